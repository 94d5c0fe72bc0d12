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
from slidekit.scans.planes.read import read_planes
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

# (c, w, x, LINEAR, LINEAR_EXACT, SIGMOID) at 0 to 255, four decimals: PS3.3 C.11.2.1.2.1 and
# C.11.2.1.3, computed with pydicom 3.0.2 and rescaled from its range
POINTS = [
    *[(40, 400, *levels) for levels in [
        (-1000, 0, 0, 0.0078), (-160, 0, 0, 30.3967), (-159.5, 0.3195, 0.3187, 30.5309),
        (-159, 0.6391, 0.6375, 30.6655), (-100, 38.3459, 38.2500, 50.4431),
        (0, 102.2556, 102.0000, 102.3346), (39, 127.1805, 126.8625, 126.8625),
        (39.5, 127.5000, 127.1813, 127.1813), (40, 127.8195, 127.5000, 127.5000),
        (100, 166.1654, 165.7500, 164.6424), (200, 230.0752, 229.5000, 212.1647),
        (238, 254.3609, 253.7250, 224.0637), (239, 255, 254.3625, 224.3345),
        (240, 255, 255, 224.6033), (1000, 255, 255, 254.9827),
    ]],
    *[(600, 2800, *levels) for levels in [
        (-1024, 0, 0, 22.8174), (-800, 0, 0, 30.3967), (-799, 0.0911, 0.0911, 30.4350),
        (-400, 36.4416, 36.4286, 49.2969), (0, 72.8832, 72.8571, 75.9738),
        (300, 100.2144, 100.1786, 100.5892), (599, 127.4544, 127.4089, 127.4089),
        (600, 127.5456, 127.5, 127.5), (1000, 163.9871, 163.9286, 162.9687),
        (1500, 209.5391, 209.4643, 199.7723), (1998, 254.9089, 254.8179, 224.5267),
        (1999, 255, 254.9089, 224.5650), (2000, 255, 255, 224.6033), (3071, 255, 255, 247.7400),
    ]],
    *[(40, 80, *levels) for levels in [
        (0, 0, 0, 30.3967), (1, 3.2278, 3.1875, 31.7611), (20, 64.5570, 63.7500, 68.5801),
        (39, 125.8861, 124.3125, 124.3132), (40, 129.1139, 127.5, 127.5),
        (41, 132.3418, 130.6875, 130.6868), (60, 193.6709, 191.2500, 186.4199),
        (78, 251.7722, 248.6250, 221.8223), (79, 255, 251.8125, 223.2389),
        (80, 255, 255, 224.6033),
    ]],
    *[(2048, 4096, *levels) for levels in [
        (0, 0, 0, 30.3967), (1, 0.0623, 0.0623, 30.4229), (1024, 63.7656, 63.7500, 68.5801),
        (2047, 127.4689, 127.4377, 127.4377), (2048, 127.5311, 127.5, 127.5),
        (3071, 191.2344, 191.1877, 186.3710), (4094, 254.9377, 254.8755, 224.5509),
        (4095, 255, 254.9377, 224.5771),
    ]],
    *[(0, 100, *levels) for levels in [
        (-50, 0, 0, 30.3967), (-49, 2.5758, 2.5500, 31.4841), (-0.5, 127.5, 126.2250, 126.2250),
        (0, 128.7879, 127.5, 127.5), (48, 252.4242, 249.9000, 222.3953),
        (49, 255, 252.4500, 223.5159),
    ]],
    *[(100, 1, *levels) for levels in [
        (99, 0, 0, 4.5865), (99.5, 0, 0, 30.3967), (100, 255, 127.5, 127.5),
        (101, 255, 255, 250.4135),
    ]],
    *[(100, 2, *levels) for levels in [
        (99, 0, 0, 30.3967), (99.5, 127.5, 63.75, 68.5801), (100, 255, 127.5, 127.5),
        (101, 255, 255, 224.6033),
    ]],
    *[(-600, 1500, *levels) for levels in [
        (-1350, 0, 0, 30.3967), (-1000, 59.5397, 59.5000, 65.2896),
        (-600, 127.5851, 127.5, 127.5), (0, 229.6531, 229.5000, 212.1647),
        (149, 255, 254.8300, 224.5318),
    ]],
]  # fmt: skip


@pytest.mark.parametrize(("center", "width", "value", "expected"), NOTE_3)
def test_levels_are_those_of_the_standards_own_notes(center, width, value, expected):
    assert_levels(GreyWindow(center, width), value, expected)


@pytest.mark.parametrize(("center", "width", "value", "linear", "exact", "sigmoid"), POINTS)
def test_levels_are_the_tables_values_rounded_half_up(center, width, value, linear, exact, sigmoid):
    assert_levels(GreyWindow(center, width), value, linear)
    assert_levels(GreyWindow(center, width, "linear_exact"), value, exact)
    assert_levels(GreyWindow(center, width, "sigmoid"), value, sigmoid)


def assert_levels(window: GreyWindow, value: float, expected: float) -> None:
    level = int(np.floor(expected + 0.5))
    assert apply_window(np.array([value], np.float32), window).tolist() == [level]
    inverted = apply_window(np.array([value], np.float32), window, inverted=True)
    assert inverted.tolist() == [255 - level]
    if value == int(value):
        assert apply_window(np.array([value], np.int16), window).tolist() == [level]


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
    curve=st.sampled_from(["linear", "linear_exact", "sigmoid"]),
)
def test_levels_are_pydicoms_rounded_half_up_except_at_ties(center, width, curve):
    values = np.arange(-32_768, 32_768, 7).astype(np.int16)
    dataset = Dataset()
    dataset.WindowCenter, dataset.WindowWidth = center, width
    dataset.VOILUTFunction = curve.upper()
    dataset.PhotometricInterpretation = "MONOCHROME2"
    dataset.BitsStored, dataset.PixelRepresentation = 16, 1
    with np.errstate(over="ignore"):  # of exp, in pydicom, far below a narrow sigmoid
        reference = apply_windowing(values, dataset)
    # pydicom scales to the whole range of 16 bits, PS3.3 C.11.2.1.2.1 to 0 and 255
    reference = (reference + 32_768) / 65_535 * 255
    levels = apply_window(values, GreyWindow(center, width, curve))
    tie = np.abs(reference % 1 - 0.5) < 1e-9
    np.testing.assert_array_equal(levels[~tie], np.floor(reference + 0.5)[~tie])
    assert np.abs(levels - reference).max() <= 0.5 + 1e-6


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
