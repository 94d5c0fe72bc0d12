"""Windowed pictures against DCMTK's dcm2pnm, which truncates where we round."""

import shutil
import subprocess
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from pydicom.data import get_testdata_file

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.model import GreyWindow, PlaneRequest
from slidekit.scans.pictures import make_picture
from slidekit.scans.planes import read_planes
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
