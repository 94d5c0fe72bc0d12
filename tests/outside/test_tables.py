"""Tables of values and of grey levels, and stored windows, on real files and against pydicom."""

from pathlib import Path

import numpy as np
import pydicom
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydicom.data import get_testdata_file
from pydicom.dataset import Dataset
from pydicom.pixels import apply_modality_lut, apply_voi
from pydicom.sequence import Sequence
from pydicom.uid import CTImageStorage

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.dicom.file_windows import choose_stored
from slidekit.scans.dicom.tables import look_up
from slidekit.scans.model import GreyWindow, LookupTable, PlaneRequest
from slidekit.scans.planes.read import read_planes
from slidekit.scans.windows import apply_window


def placed(name: str, folder: Path):
    """A file of the packages pydicom or pydicom-data as a series of one slice: those that lie
    nowhere in a patient are given a place."""
    path = get_testdata_file(name, download=False)
    if path is None:
        pytest.skip("the package pydicom-data is not installed")
    image = pydicom.dcmread(path)
    if "ImagePositionPatient" not in image:
        image.SOPClassUID = CTImageStorage
        image.ImagePositionPatient = [0, 0, 0]
        image.ImageOrientationPatient = [1, 0, 0, 0, 1, 0]
        image.PixelSpacing = [1, 1]
    image.save_as(folder / name)
    series = choose_series(index_folder(folder), None)
    (plane,) = read_planes(series, [PlaneRequest("acquired")])
    return series, plane


def test_values_of_a_real_file_come_out_of_its_table(tmp_path):
    series, plane = placed("mlut_18.dcm", tmp_path)
    # the mean that pydicom 3.0.2 and DCMTK 3.6.7 find
    assert plane.values.mean(dtype=float) == pytest.approx(33_177.1495, abs=1e-3)
    assert (plane.values.min(), plane.values.max()) == (0, 65_535)
    image = pydicom.dcmread(get_testdata_file("mlut_18.dcm", download=False))
    np.testing.assert_array_equal(plane.values, apply_modality_lut(image.pixel_array, image))
    assert series.unit == ""  # its type is empty


def test_levels_of_a_real_file_come_out_of_its_table(tmp_path):
    series, plane = placed("vlut_04.dcm", tmp_path)
    table = choose_stored(series, 0, "table").scale
    assert isinstance(table, LookupTable)
    assert (table.first_value, len(table.entries), table.bits) == (0, 256, 16)
    # x to 257 x, of which the mean is 33109.3164
    levels = apply_window(plane.values, table)
    assert 257 * levels.mean() == pytest.approx(33_109.3164, abs=1e-3)
    np.testing.assert_array_equal(levels, plane.values)


# the lowest and highest value, and the window that the file carries
RADIOGRAPHS = [
    ("RG1_UNCR.dcm", 874, 26_479, GreyWindow(15_000, 30_000)),
    ("RG3_UNCR.dcm", 0, 1023, GreyWindow(550, 1024)),
]


@pytest.mark.parametrize(("name", "low", "high", "window"), RADIOGRAPHS)
def test_a_real_monochrome1_file_shows_low_values_bright(name, low, high, window, tmp_path):
    series, plane = placed(name, tmp_path)
    assert (plane.values.min(), plane.values.max(), plane.inverted) == (low, high, True)
    assert choose_stored(series, 0, "1").scale == window
    levels = apply_window(plane.values, window, inverted=True)
    darkest, brightest = plane.values.argmin(), plane.values.argmax()
    assert levels.flat[darkest] > levels.flat[brightest]
    np.testing.assert_array_equal(levels, 255 - apply_window(plane.values, window))


def test_two_windows_of_a_real_file_are_found_by_number_and_by_name(tmp_path):
    series, plane = placed("examples_overlay.dcm", tmp_path)
    assert plane.values.mean() == pytest.approx(191.6877, abs=1e-4)
    assert series.slices[0].windows == (GreyWindow(450, 790), GreyWindow(200, 443))
    for wanted in ("2", "WINDOW2", "window2"):
        found = choose_stored(series, 0, wanted)
        assert (found.scale, found.number, found.count) == (GreyWindow(200, 443), 2, 2)


def test_a_real_compressed_slice_carries_three_windows(tmp_path):
    series, _ = placed("J2K_pixelrep_mismatch.dcm", tmp_path)
    found = [choose_stored(series, 0, str(number)).scale for number in (1, 2, 3)]
    assert found == [GreyWindow(40, 100), GreyWindow(40, 100), GreyWindow(40, 200)]


# Modality LUT: descriptor, entries, inputs, outputs (pydicom 3.0.2)
TABLES = [
    (
        (4, 10, 16), (100, 200, 300, 400),
        (0, 9, 10, 11, 12, 13, 14, 100), (100, 100, 100, 200, 300, 400, 400, 400),
    ),
    (
        (4, -100, 16), (0, 10, 20, 30),
        (-1000, -101, -100, -99, -98, -97, -96, 0), (0, 0, 0, 10, 20, 30, 30, 30),
    ),
]  # fmt: skip


@pytest.mark.parametrize(("descriptor", "entries", "inputs", "outputs"), TABLES)
def test_values_outside_a_table_have_its_first_or_last_output(descriptor, entries, inputs, outputs):
    table = LookupTable(descriptor[1], entries, descriptor[2])
    assert look_up(np.array(inputs), table).tolist() == list(outputs)


@settings(max_examples=40, deadline=None)
@given(
    entries=st.lists(st.integers(0, 4095), min_size=2, max_size=60),
    first=st.integers(-500, 500),
)
def test_levels_by_a_table_are_pydicoms(entries, first):
    # 16-bit entries: with 8 bits, apply_voi of pydicom 3.0.2 wraps inputs beyond 255
    item = Dataset()
    item.LUTDescriptor, item.LUTData = [len(entries), first, 12], entries
    dataset = Dataset()
    dataset.VOILUTSequence = Sequence([item])
    dataset.BitsStored, dataset.PixelRepresentation = 12, 1
    item["LUTDescriptor"].VR, item["LUTData"].VR = "SS", "US"
    values = np.arange(-600, 700, dtype=np.int16)
    reference = apply_voi(values, dataset).astype(int)
    levels = apply_window(values, LookupTable(first, tuple(entries), 12))
    np.testing.assert_array_equal(levels, (reference * 255 * 2 + 4095) // (2 * 4095))
