"""Overlays (PS3.3 C.9.2) drawn where they lie: real files against DCMTK's `dcm2pnm`, and written
ones against their own bits."""

import os
import shutil
import subprocess
from pathlib import Path

import data_store
import numpy as np
import pytest
from PIL import Image
from pydicom import dcmread
from pydicom.data import get_testdata_file
from pydicom.pixels import pack_bits

from slidekit.errors import ScanError
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.model import GreyWindow, PlaneRequest
from slidekit.scans.pictures import make_picture
from slidekit.scans.planes.read import read_planes
from slidekit.scans.viewing import read_views
from tests.scans.dicom_series import Attributes, image_dataset, write_series

STORE = Path(next(iter(data_store.__path__)))
REAL = [
    Path(get_testdata_file("examples_overlay.dcm", download=False)),
    next(STORE.rglob("MR-SIEMENS-DICOM-WithOverlays.dcm")),
]
WINDOW = GreyWindow(450, 790)
SHOWN = PlaneRequest("acquired", slice_number=1, overlays=True)


def drawn(series, request=SHOWN):
    (image,) = read_planes(series, [request])
    return image, make_picture(image, WINDOW, target_px=1).pixels


@pytest.fixture(params=REAL, ids=lambda path: path.stem)
def real(request, tmp_path):
    shutil.copy(request.param, tmp_path / "image")
    return tmp_path / "image", choose_series(index_folder(tmp_path), None)


@pytest.mark.skipif(shutil.which("dcm2pnm") is None, reason="dcm2pnm of DCMTK is missing")
def test_a_real_overlay_is_drawn_where_dcmtk_draws_it(real):
    path, series = real
    with_it, without = path.with_name("with.pgm"), path.with_name("without.pgm")
    common = ["dcm2pnm", "+Ww", str(WINDOW.center), str(WINDOW.width)]
    subprocess.run([*common, "+O", "0", "+Omr", path, with_it], check=True, capture_output=True)
    subprocess.run([*common, "-O", path, without], check=True, capture_output=True)
    theirs, plain = (np.asarray(Image.open(p)).astype(int) for p in (with_it, without))
    image, pixels = drawn(series)
    # `+Omr` sets overlay pixels to the foreground, white
    np.testing.assert_array_equal(image.overlay | (plain == 255), theirs == 255)
    assert np.abs(pixels.astype(int) - theirs).max() <= 1
    assert (pixels[image.overlay] == 255).all()


def test_a_real_overlay_has_the_bits_that_pydicom_reads(real):
    path, series = real
    image, _ = drawn(series)
    np.testing.assert_array_equal(image.overlay, dcmread(path).overlay_array(0x6000) > 0)
    assert image.overlay.sum() in (222, 323)


def test_values_and_other_pixels_are_untouched(real):
    _, series = real
    image, pixels = drawn(series)
    plain, bare = drawn(series, PlaneRequest("acquired", slice_number=1))
    assert plain.overlay is None
    np.testing.assert_array_equal(image.values, plain.values)
    np.testing.assert_array_equal(pixels[~image.overlay], bare[~image.overlay])


def overlay(bits: np.ndarray, origin=(1, 1), group=0x6000):
    """The attributes of an overlay, as (tag, VR, value)."""
    rows, columns = bits.shape
    return [
        ((group, 0x0010), "US", rows),
        ((group, 0x0011), "US", columns),
        ((group, 0x0040), "CS", "G"),
        ((group, 0x0050), "SS", list(origin)),
        ((group, 0x0100), "US", 1),
        ((group, 0x0102), "US", 0),
        ((group, 0x3000), "OW", pack_bits(bits.astype(np.uint8), pad=True)),
    ]


def write_image(folder: Path, *overlays) -> None:
    folder.mkdir(exist_ok=True)
    image = image_dataset(np.full((12, 16), 100, np.int16))
    image.ImagePositionPatient, image.ImageOrientationPatient = [0, 0, 0], [1, 0, 0, 0, 1, 0]
    image.PixelSpacing = [1, 1]
    for one in overlays:
        for tag, vr, value in one:
            image.add_new(tag, vr, value)
    image.save_as(folder / "image", enforce_file_format=True)


@pytest.mark.parametrize("origin", [(1, 1), (4, 6), (-1, 0), (9, 12)])
def test_an_overlay_of_its_own_size_lies_at_its_origin(tmp_path, origin):
    bits = np.random.default_rng(4).random((6, 8)) > 0.5
    write_image(tmp_path, overlay(bits, origin))
    image, _ = drawn(choose_series(index_folder(tmp_path), None))
    expected = np.zeros((12, 16), bool)
    for row, column in np.argwhere(bits) + np.array(origin) - 1:
        if 0 <= row < 12 and 0 <= column < 16:
            expected[row, column] = True
    np.testing.assert_array_equal(image.overlay, expected)


def test_several_overlays_are_drawn_together_and_cut_with_the_picture(tmp_path):
    first, second = np.zeros((12, 16), bool), np.zeros((12, 16), bool)
    first[3, 2:9], second[5:9, 4] = True, True
    write_image(tmp_path, overlay(first), overlay(second, group=0x6004))
    series = choose_series(index_folder(tmp_path), None)
    crop = ((2, 3), (8, 10))
    request = PlaneRequest("acquired", slice_number=1, overlays=True, crop_mm=crop)
    image, _ = drawn(series, request)
    np.testing.assert_array_equal(image.overlay, (first | second)[3:11, 2:9])


def test_overlays_of_pages_are_drawn_too(tmp_path):
    bits = np.zeros((12, 16), bool)
    bits[2:4, 5:9] = True
    folder = tmp_path / "page"
    write_image(folder, overlay(bits))
    image = dcmread(folder / "image")
    del image.ImagePositionPatient
    image.save_as(folder / "image")
    series = choose_series(index_folder(folder), None)
    (page,) = read_views(series, [PlaneRequest("picture", overlays=True)])
    assert series.kind == "page"
    np.testing.assert_array_equal(page.overlay, bits)


@pytest.mark.parametrize(
    ("request_", "said"),
    [
        (
            SHOWN,
            "overlays: slice 1 carries none beside its pixels. Remove `overlays`, or show another.",
        ),
        (
            PlaneRequest("axial", 1.0, overlays=True),
            "overlays: they belong to the slices as they were acquired. Write plane: acquired, "
            "without slab_mm, or remove `overlays`.",
        ),
    ],
)
def test_overlays_that_are_not_there_are_told(tmp_path, request_, said):
    write_series(tmp_path, np.zeros((4, 8, 8), np.int16), attributes=Attributes())
    with pytest.raises(ScanError) as raised:
        read_planes(choose_series(index_folder(tmp_path), None), [request_])
    assert str(raised.value) == said


def test_a_damaged_overlay_is_told(tmp_path):
    bits = overlay(np.ones((12, 16), bool))
    bits[-1] = (*bits[-1][:2], b"\1\2")
    write_image(tmp_path, bits)
    with pytest.raises(ScanError, match=r"^An overlay of image is damaged\. Export the file again"):
        drawn(choose_series(index_folder(tmp_path), None))


def test_the_files_are_where_their_package_lies():
    assert all(os.access(path, os.R_OK) for path in REAL)
