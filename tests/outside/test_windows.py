"""Grey levels against the standard's own examples, a table of values and two libraries."""

import shutil
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydicom.data import get_testdata_file
from pydicom.dataset import Dataset
from pydicom.pixels import apply_windowing

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.model import GreyWindow, PlaneRequest
from slidekit.scans.planes import read_planes
from slidekit.scans.windows import apply_window, window_lut

# PS3.3 C.11.2.1.2.1 note 3, range 0 to 255: (c, w, x, y)
NOTE_3 = [
    (2048, 4096, 0, 0),
    (2048, 4096, 2047, ((2047 - 2047.5) / 4095 + 0.5) * 255),
    (2048, 4096, 4095, 255),
    (2048, 1, 2047, 0),
    (2048, 1, 2048, 255),
    (0, 100, -50, 0),
    (0, 100, 0, ((0 + 0.5) / 99 + 0.5) * 255),
    (0, 100, 49, 255),
    (0, 1, -1, 0),
    (0, 1, 0, 255),
]

# LINEAR at 0 to 255, four decimals; computed with pydicom 3.0.2 and rescaled from its range
POINTS = [
    *[(40, 400, x, y) for x, y in [
        (-1000, 0), (-160, 0), (-159.5, 0.3195), (-159, 0.6391), (-100, 38.3459), (0, 102.2556),
        (39, 127.1805), (39.5, 127.5), (40, 127.8195), (100, 166.1654), (200, 230.0752),
        (238, 254.3609), (239, 255), (240, 255), (1000, 255),
    ]],
    *[(600, 2800, x, y) for x, y in [
        (-1024, 0), (-800, 0), (-799, 0.0911), (-400, 36.4416), (0, 72.8832), (300, 100.2144),
        (599, 127.4544), (600, 127.5456), (1000, 163.9871), (1500, 209.5391), (1998, 254.9089),
        (1999, 255), (2000, 255), (3071, 255),
    ]],
    *[(40, 80, x, y) for x, y in [
        (0, 0), (1, 3.2278), (20, 64.5570), (39, 125.8861), (40, 129.1139), (41, 132.3418),
        (60, 193.6709), (78, 251.7722), (79, 255), (80, 255),
    ]],
    *[(2048, 4096, x, y) for x, y in [
        (0, 0), (1, 0.0623), (1024, 63.7656), (2047, 127.4689), (2048, 127.5311),
        (3071, 191.2344), (4094, 254.9377), (4095, 255),
    ]],
    *[(0, 100, x, y) for x, y in [
        (-50, 0), (-49, 2.5758), (-0.5, 127.5), (0, 128.7879), (48, 252.4242), (49, 255),
    ]],
    *[(100, 1, x, y) for x, y in [(99, 0), (99.5, 0), (100, 255), (101, 255)]],
    *[(100, 2, x, y) for x, y in [(99, 0), (99.5, 127.5), (100, 255), (101, 255)]],
    *[(-600, 1500, x, y) for x, y in [
        (-1350, 0), (-1000, 59.5397), (-600, 127.5851), (0, 229.6531), (149, 255),
    ]],
]  # fmt: skip


@pytest.mark.parametrize(("center", "width", "value", "expected"), [*NOTE_3, *POINTS])
def test_levels_are_the_tables_values_rounded_half_up(center, width, value, expected):
    level = int(np.floor(expected + 0.5))
    assert apply_window(np.array([value], np.float32), GreyWindow(center, width)).tolist() == [
        level
    ]
    if value == int(value):
        assert apply_window(np.array([value], np.int16), GreyWindow(center, width)).tolist() == [
            level
        ]


@pytest.mark.parametrize("bits", [8, 12, 15])
def test_identity_window_of_note_4_keeps_order_and_ends(bits):
    # note 4: n-bit unsigned data are mapped whole by c = 2^(n-1), w = 2^n
    lut = window_lut(GreyWindow(2 ** (bits - 1), 2**bits))[: 2**bits]
    assert lut[0] == 0
    assert lut[-1] == 255
    expected = np.floor(np.arange(2**bits) * 255 / (2**bits - 1) + 0.5)
    np.testing.assert_array_equal(lut, expected)


def test_width_two_equals_width_one_for_whole_values():
    # note 5
    np.testing.assert_array_equal(window_lut(GreyWindow(100, 2)), window_lut(GreyWindow(100, 1)))


@settings(max_examples=60, deadline=None)
@given(
    center=st.integers(-2000, 4000).map(lambda c: c / 2),
    width=st.integers(2, 8000).map(lambda w: w / 2),
)
def test_levels_are_pydicoms_rounded_half_up_except_at_ties(center, width):
    values = np.arange(-32_768, 32_768, 7).astype(np.int16)
    dataset = Dataset()
    dataset.WindowCenter, dataset.WindowWidth = center, width
    dataset.PhotometricInterpretation = "MONOCHROME2"
    dataset.BitsStored, dataset.PixelRepresentation = 16, 1
    # pydicom scales to the whole range of 16 bits, PS3.3 C.11.2.1.2.1 to 0 and 255
    reference = (apply_windowing(values, dataset) + 32_768) / 65_535 * 255
    levels = apply_window(values, GreyWindow(center, width))
    tie = np.abs(reference % 1 - 0.5) < 1e-9
    np.testing.assert_array_equal(levels[~tie], np.floor(reference + 0.5)[~tie])
    assert np.abs(levels - reference).max() <= 0.5 + 1e-9


# sum of the rounded levels, black and white pixels; the file's values through the formula
CT_SMALL = [
    (40, 400, 1_663_315, 3772, 1443),
    (600, 2800, 1_020_403, 1839, 0),
    (-600, 1500, 3_351_419, 0, 2777),
    (40, 80, 1_483_374, 8131, 3663),
]


@pytest.mark.parametrize(("center", "width", "total", "black", "white"), CT_SMALL)
def test_a_real_slice_has_the_known_sum_of_levels(center, width, total, black, white, tmp_path):
    shutil.copy(get_testdata_file("CT_small.dcm", download=False), tmp_path)
    series = choose_series(index_folder(Path(tmp_path)), None)
    (image,) = read_planes(series, [PlaneRequest("acquired")])
    assert image.values.dtype == np.int16
    assert image.values.mean() == pytest.approx(-119.0739, abs=1e-4)
    assert (image.values[0, 0], image.values[64, 64]) == (-849, 904)
    levels = apply_window(image.values, GreyWindow(center, width))
    assert levels.sum(dtype=int) == total
    assert ((levels == 0).sum(), (levels == 255).sum()) == (black, white)


# PS3.3 C.7.6.3.1.2: MONOCHROME1 shows the lowest value white. Floor of 255 - y, as DCMTK's
# dcm2pnm 3.6.7 writes it, may lie one level below our rounding.
MONOCHROME1 = [(-160, 255), (-159, 254), (0, 152), (39, 127), (40, 127), (100, 88), (239, 0)]


@pytest.mark.parametrize(("value", "dcmtk"), MONOCHROME1)
def test_inverted_levels_are_those_of_monochrome1(value, dcmtk):
    level = int(apply_window(np.array([value], np.int16), GreyWindow(40, 400), inverted=True)[0])
    assert 0 <= level - dcmtk <= 1
