"""DICOM images without a place in a patient, shown as plain pictures."""

import numpy as np
import pytest
from PIL import Image
from pydicom import dcmread
from pydicom.data import get_testdata_file
from pydicom.pixels import apply_color_lut
from pydicom.uid import SecondaryCaptureImageStorage

from slidekit.errors import ScanError
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.model import GreyWindow, PlaneRequest
from slidekit.scans.pages import check_page, page_grid, read_page
from slidekit.scans.photographs import open_photograph
from slidekit.scans.pictures import make_picture, make_plain_picture
from tests.scans.dicom_series import Attributes, image_dataset, set_attributes, write_series

PICTURE = PlaneRequest("picture")
COLOR = np.random.default_rng(3).integers(0, 256, (5, 7, 3), np.uint8)


def page(folder, name):
    """The picture of one of pydicom's own test files."""
    (folder / name).symlink_to(get_testdata_file(name, download=False))
    return read_page(choose_series(index_folder(folder), None), PICTURE)


def write_page(folder, stored, **attributes):
    image = image_dataset(stored if stored.ndim == 2 else stored[..., 0])
    if stored.ndim == 3:
        image.SamplesPerPixel, image.PhotometricInterpretation = 3, "RGB"
        image.PlanarConfiguration = 0
        image.PixelData = stored.tobytes() + b"\0" * (stored.size % 2)
    set_attributes(image, {"SOPClassUID": SecondaryCaptureImageStorage, **attributes})
    folder.mkdir(exist_ok=True)
    image.save_as(folder / "page", enforce_file_format=True)
    return choose_series(index_folder(folder), None)


def test_rgb_levels_are_kept_as_they_are(tmp_path):
    series = write_page(tmp_path, COLOR)
    assert (series.kind, series.as_is) == ("page", True)
    image = read_page(series, PICTURE)
    np.testing.assert_array_equal(image.values, COLOR)
    np.testing.assert_array_equal(make_plain_picture(image, target_px=7).pixels, COLOR)


def test_colours_stored_plane_by_plane_are_the_same(tmp_path):
    series = write_page(tmp_path, COLOR, PlanarConfiguration=1)
    planes = np.moveaxis(COLOR, -1, 0).tobytes()
    image = dcmread(tmp_path / "page")
    image.PixelData = planes + b"\0"
    image.save_as(tmp_path / "page")
    np.testing.assert_array_equal(read_page(series, PICTURE).values, COLOR)


# the picture of these files, as their makers describe it: ten bars of ten rows, from red to white
BARS = [
    (255, 0, 0),
    (255, 128, 128),
    (0, 255, 0),
    (128, 255, 128),
    (0, 0, 255),
    (128, 128, 255),
    (0, 0, 0),
    (64, 64, 64),
    (192, 192, 192),
    (255, 255, 255),
]


@pytest.mark.parametrize(
    ("name", "most"),
    [
        ("SC_rgb_rle.dcm", 0),
        ("SC_rgb_rle_16bit.dcm", 0),
        ("SC_rgb_gdcm_KY.dcm", 1),  # YBR_RCT without loss
        ("SC_ybr_full_422_uncompressed.dcm", 5),  # 8-bit YBR: full green is (0, 255, 5) in it
        ("SC_rgb_dcmtk_+eb+cy+np.dcm", 5),  # JPEG: lossy
        ("SC_rgb_dcmtk_+eb+cr.dcm", 5),
        ("SC_rgb_jpeg_dcmtk.dcm", 5),
    ],
)
def test_colours_are_those_of_the_bars_however_they_are_coded(tmp_path, name, most):
    values = page(tmp_path, name).values.astype(int)
    middles = values[5::10, 50]
    assert np.abs(middles - np.array(BARS)).max() <= most


def test_a_palette_is_looked_up(tmp_path):
    # PS3.3 C.7.9: pydicom's own look-up, 16 bits to 8
    data = dcmread(get_testdata_file("examples_palette.dcm", download=False))
    looked_up = apply_color_lut(data.pixel_array, data)
    values = page(tmp_path, "examples_palette.dcm").values
    np.testing.assert_array_equal(values, looked_up >> 8)


def test_the_picture_of_an_ultrasound_is_ybr_made_rgb(tmp_path):
    # equations of PS3.3 C.7.6.3.1.2, YBR_FULL to RGB
    data = dcmread(get_testdata_file("examples_ybr_color.dcm", download=False))
    values = page_of_frame(tmp_path, "examples_ybr_color.dcm", 2)
    from pydicom.pixels import pixel_array  # noqa: PLC0415 - raw samples, for the comparison

    y, b, r = np.moveaxis(pixel_array(data, index=1, raw=True).astype(float), -1, 0)
    red = y + 1.402 * (r - 128)
    green = y - 0.344136 * (b - 128) - 0.714136 * (r - 128)
    blue = y + 1.772 * (b - 128)
    expected = np.clip(np.stack((red, green, blue), -1), 0, 255)
    assert np.abs(values - expected).max() <= 1


def page_of_frame(folder, name, number):
    (folder / name).symlink_to(get_testdata_file(name, download=False))
    series = choose_series(index_folder(folder), None)
    return read_page(series, PlaneRequest("picture", slice_number=number)).values.astype(int)


def test_a_radiograph_is_windowed_and_monochrome1_is_dark_where_values_are_high(tmp_path):
    stored = np.array([[0, 100], [200, 300]], np.uint16)
    series = write_page(tmp_path, stored, PhotometricInterpretation="MONOCHROME1")
    assert (series.kind, series.as_is, series.inverted) == ("page", False, True)
    image = read_page(series, PICTURE)
    picture = make_picture(image, GreyWindow(100, 201), target_px=2)
    # PS3.3 C.11.2.1.2.1: (v - 99.5) / 200 + 0.5, turned over
    expected = 255 - np.floor(np.clip((stored - 99.5) / 200 + 0.5, 0, 1) * 255 + 0.5)
    np.testing.assert_array_equal(picture.pixels, expected)
    assert (picture.letters, picture.grid.space) == (None, "pixels")


def test_values_of_32_bits_are_read(tmp_path):
    stored = np.array([[0, 70_000], [2**31, 2**32 - 1]], np.uint32)
    series = write_page(tmp_path, stored, Modality="OT")
    np.testing.assert_allclose(read_page(series, PICTURE).values, stored.astype(float))


def test_a_capture_has_no_hounsfield_units(tmp_path):
    assert write_page(tmp_path, np.zeros((4, 4), np.uint16)).unit == ""


def test_a_capture_may_hold_text_unless_it_says_no(tmp_path):
    may = write_page(tmp_path / "may", COLOR)
    no = write_page(tmp_path / "no", COLOR, BurnedInAnnotation="NO")
    assert (may.burned_in_text, no.burned_in_text) == (True, False)
    assert "text may be burned into the pixels: look for names before showing it" in may.remarks


def test_the_grid_of_a_picture_counts_pixels_unless_a_scale_is_stated(tmp_path):
    Image.fromarray(COLOR).save(tmp_path / "find.png")
    series = open_photograph(tmp_path / "find.png")
    grid = page_grid(series)
    assert (grid.space, grid.column_mm, grid.rows, grid.columns) == ("pixels", 1.0, 5, 7)


@pytest.mark.parametrize(
    ("request_", "message"),
    [
        (PlaneRequest("picture", at_mm=3), r"has no at_mm and no slab_mm\. Remove them"),
        (PlaneRequest("picture", slab_mm=3), r"has no at_mm and no slab_mm\. Remove them"),
        (PlaneRequest("picture", slice_number=2), r"^slice: 2 does not exist in a series of 1\."),
    ],
)
def test_what_a_picture_has_not_is_refused(tmp_path, request_, message):
    Image.fromarray(COLOR).save(tmp_path / "find.png")
    with pytest.raises(ScanError, match=message):
        check_page(open_photograph(tmp_path / "find.png"), request_)


def test_slices_of_a_stack_are_not_shown_without_their_place(tmp_path):
    series = choose_series(index_folder(write_series(tmp_path, np.zeros((3, 4, 4), "i2"))), None)
    message = (
        r"^plane: picture leaves out where a picture lies, and these slices lie in a patient\."
        r" Write plane: acquired\.$"
    )
    with pytest.raises(ScanError, match=message):
        check_page(series, PICTURE)


def test_one_of_several_pictures_must_be_chosen(tmp_path):
    name = "examples_ybr_color.dcm"
    (tmp_path / name).symlink_to(get_testdata_file(name, download=False))
    series = choose_series(index_folder(tmp_path), None)
    message = r"^The series holds 30 pictures\. Write slice, from 1 to 30, to choose one\.$"
    with pytest.raises(ScanError, match=message):
        check_page(series, PICTURE)


def test_a_large_photograph_is_shrunk_to_what_a_page_shows(tmp_path):
    Image.new("RGB", (6000, 4000), (90, 80, 70)).save(tmp_path / "find.png")
    picture = make_plain_picture(
        read_page(open_photograph(tmp_path / "find.png"), PICTURE), target_px=1000
    )
    assert (picture.grid.columns, picture.grid.rows) == (1500, 1000)
    assert picture.pixels.shape == (1000, 1500, 3)
    assert (picture.pixels == (90, 80, 70)).all()
    assert picture.grid.column_mm == 4  # stored pixels to one of the picture


def test_a_localizer_is_shown_as_a_plain_picture_too(tmp_path):
    stored = np.arange(20, dtype=np.int16).reshape(1, 4, 5)
    write_series(tmp_path, stored, attributes=Attributes({"ImageType": ["A", "B", "LOCALIZER"]}))
    series = choose_series(index_folder(tmp_path), None)
    assert series.kind == "localizer"
    image = read_page(series, PICTURE)
    np.testing.assert_array_equal(image.values, stored[0])
    assert image.grid.space == "pixels"


def test_a_picture_far_longer_than_wide_keeps_a_pixel_across(tmp_path):
    Image.new("L", (9000, 2), 70).save(tmp_path / "strip.png")
    image = read_page(open_photograph(tmp_path / "strip.png"), PICTURE)
    assert make_plain_picture(image, target_px=100).pixels.shape == (1, 150)
