"""Windowed pictures against DCMTK's dcm2pnm, which truncates where we round."""

import shutil
import subprocess
from fractions import Fraction
from pathlib import Path

import numpy as np
import pydicom
import pytest
from PIL import Image
from pydicom.data import get_testdata_file
from pydicom.dataset import Dataset
from pydicom.sequence import Sequence

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.dicom.file_windows import choose_stored
from slidekit.scans.dicom.tables import look_up
from slidekit.scans.model import GreyWindow, LookupTable, PlaneRequest
from slidekit.scans.pictures import make_picture
from slidekit.scans.planes.read import read_planes
from slidekit.scans.windows import apply_window
from tests.scans.dicom_series import Attributes, write_series

pytestmark = pytest.mark.skipif(
    shutil.which("dcm2pnm") is None, reason="DCMTK's dcm2pnm is not installed"
)

WINDOWS = [(40, 80), (40, 400), (600, 2800), (-600, 1500), (37.5, 77), (300, 1)]


def dcm2pnm(file: Path, center: float, width: float, *options: str) -> np.ndarray:
    picture = file.parent / "dcmtk.pgm"
    window = ["+Ww", str(center), str(width)]
    command = ["dcm2pnm", *options, *window, str(file), str(picture)]
    subprocess.run(command, check=True, capture_output=True)
    return np.asarray(Image.open(picture)).astype(int)


def our_picture(folder: Path, center: float, width: float):
    series = choose_series(index_folder(folder), None)
    (image,) = read_planes(series, [PlaneRequest("acquired")])
    native = max(series.rows, series.columns)
    return image, make_picture(image, GreyWindow(center, width), target_px=native).pixels.astype(
        int
    )


def exact_levels(values: np.ndarray, center: float, width: float) -> list[Fraction]:
    """y of PS3.3 C.11.2.1.2.1 as exact fractions, one for each value."""
    c, w, half = Fraction(center), Fraction(width), Fraction(1, 2)
    if w == 1:
        return [Fraction(255 if v > c - half else 0) for v in values.tolist()]
    ramp = [((v - (c - half)) / (w - 1) + half) * 255 for v in values.tolist()]
    return [min(max(y, Fraction(0)), Fraction(255)) for y in ramp]


def assert_agrees(values: np.ndarray, ours: np.ndarray, dcmtk: np.ndarray, window) -> None:
    """dcm2pnm gives floor(y), or one less where y is whole and its floating point falls short."""
    distinct, where = np.unique(values, return_inverse=True)
    exact = exact_levels(distinct, *window)
    floor = np.array([int(y) for y in exact])[where].reshape(values.shape)
    whole = np.array([y.denominator == 1 for y in exact])[where].reshape(values.shape)
    assert ((dcmtk == floor) | (whole & (dcmtk == floor - 1))).all()
    assert np.abs(ours - dcmtk).max() <= 1
    rounded = np.array([int(y + Fraction(1, 2)) for y in exact])[where].reshape(values.shape)
    np.testing.assert_array_equal(ours, rounded)


@pytest.mark.parametrize("window", WINDOWS)
def test_a_real_slice_is_within_one_level_of_dcmtk(window, tmp_path):
    file = Path(shutil.copy(get_testdata_file("CT_small.dcm", download=False), tmp_path))
    image, ours = our_picture(tmp_path, *window)
    assert_agrees(image.values, ours, dcm2pnm(file, *window), window)


@pytest.mark.parametrize("window", WINDOWS)
def test_every_ct_number_is_within_one_level_of_dcmtk(window, tmp_path):
    ramp = np.arange(-1024, 3072, dtype=np.int16).reshape(1, 64, 64)
    folder = write_series(tmp_path / "ramp", ramp)
    image, ours = our_picture(folder, *window)
    np.testing.assert_array_equal(image.values, ramp[0])
    assert_agrees(image.values, ours, dcm2pnm(folder / "S1I0000", *window), window)


def test_an_inverted_picture_is_within_one_level_of_dcmtk(tmp_path):
    ramp = np.arange(-1024, 3072, dtype=np.int16).reshape(1, 64, 64)
    inverted = Attributes({"PhotometricInterpretation": "MONOCHROME1"})
    folder = write_series(tmp_path / "ramp", ramp, attributes=inverted)
    _, ours = our_picture(folder, 40, 400)
    dcmtk = dcm2pnm(folder / "S1I0000", 40, 400)
    assert ours[0, 0] == 255
    assert np.abs(ours - dcmtk).max() <= 1


@pytest.mark.parametrize("name", ["MR_small.dcm", "MR_small_bigendian.dcm", "MR_small_RLE.dcm"])
def test_every_encoding_of_a_slice_is_within_one_level_of_dcmtk(name, tmp_path):
    file = Path(shutil.copy(get_testdata_file(name, download=False), tmp_path))
    image, ours = our_picture(tmp_path, 600, 1600)
    assert_agrees(image.values, ours, dcm2pnm(file, 600, 1600), (600, 1600))


def dcm2pnm_as_stored(file: Path, *options: str) -> np.ndarray:
    picture = file.parent / "dcmtk.pgm"
    subprocess.run(["dcm2pnm", *options, str(file), str(picture)], check=True, capture_output=True)
    return np.asarray(Image.open(picture)).astype(int)


# LINEAR_EXACT is left out: dcm2pnm 3.6.7 computes LINEAR for it
@pytest.mark.parametrize("window", [(40, 80), (40, 400), (600, 2800), (300.5, 33)])
@pytest.mark.parametrize("inverted", [False, True])
def test_a_sigmoid_of_every_ct_number_is_within_one_level_of_dcmtk(window, inverted, tmp_path):
    ramp = np.arange(-1024, 3072, dtype=np.int16).reshape(1, 64, 64)
    kind = Attributes({"PhotometricInterpretation": "MONOCHROME1"} if inverted else {})
    folder = write_series(tmp_path / "ramp", ramp, attributes=kind)
    dcmtk = dcm2pnm(folder / "S1I0000", *window, "+Wfs")
    sigmoid = GreyWindow(*window, "sigmoid")
    ours = apply_window(ramp[0], sigmoid, inverted=inverted).astype(int)
    # floor of the standard's value, where ours is rounded: the same, or one less
    assert set(np.unique(ours - dcmtk)) <= {0, 1}
    c, w = window
    y = 255 / (1 + np.exp(-4 * (ramp[0] - c) / w))
    np.testing.assert_array_equal(dcmtk, np.floor(255 - y if inverted else y))


def test_levels_by_a_stored_table_are_those_of_dcmtk(tmp_path):
    file = Path(shutil.copy(get_testdata_file("CT_small.dcm", download=False), tmp_path))
    rng = np.random.default_rng(1)
    item = Dataset()
    item.add_new("LUTDescriptor", "SS", [1500, -700, 16])
    item.add_new("LUTData", "US", np.sort(rng.integers(0, 65_536, 1500)).tolist())
    image = pydicom.dcmread(file)
    image.VOILUTSequence = Sequence([item])
    image.save_as(file)
    series = choose_series(index_folder(tmp_path), None)
    (plane,) = read_planes(series, [PlaneRequest("acquired")])
    ours = apply_window(plane.values, choose_stored(series, 0, "table").scale).astype(int)
    dcmtk = dcm2pnm_as_stored(file, "+Wl", "1")
    assert np.abs(ours - dcmtk).max() <= 1
    assert len(np.unique(ours)) > 200


def test_a_real_table_gives_the_levels_of_dcmtk(tmp_path):
    file = get_testdata_file("vlut_04.dcm", download=False)
    if file is None:
        pytest.skip("the package pydicom-data is not installed")
    image = pydicom.dcmread(file)
    (item,) = image.VOILUTSequence
    table = LookupTable(item.LUTDescriptor[1], tuple(item.LUTData), item.LUTDescriptor[2])
    ours = apply_window(image.pixel_array.astype(np.int16), table).astype(int)
    dcmtk = dcm2pnm_as_stored(Path(shutil.copy(file, tmp_path)), "+Wl", "1")
    assert dcmtk.mean() == pytest.approx(128.8300, abs=1e-4)
    np.testing.assert_array_equal(ours, dcmtk)


def test_values_by_a_real_table_are_those_of_dcmtk_in_a_window(tmp_path):
    file = get_testdata_file("mlut_18.dcm", download=False)
    if file is None:
        pytest.skip("the package pydicom-data is not installed")
    image = pydicom.dcmread(file)
    (item,) = image.ModalityLUTSequence
    table = LookupTable(item.LUTDescriptor[1], tuple(item.LUTData), item.LUTDescriptor[2])
    values = look_up(image.pixel_array, table)
    copy = Path(shutil.copy(file, tmp_path))
    for window in ((32_768, 65_536), (20_000, 12_000)):
        ours = apply_window(values, GreyWindow(*window)).astype(int)
        assert_agrees(values.astype(int), ours, dcm2pnm(copy, *window), window)
