"""Picture files: what is kept of them is pixels, upright."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms
from pydicom.data import get_testdata_file

from slidekit.errors import ScanError
from slidekit.scans.photographs import decode_photograph, open_photograph

ORIENTATION = 0x0112
RGB = np.random.default_rng(5).integers(0, 256, (6, 9, 3), np.uint8)
GREY = RGB[..., 0]


@pytest.mark.parametrize("suffix", ["png", "tif"])
@pytest.mark.parametrize("pixels", [RGB, GREY], ids=["colour", "grey"])
def test_pixels_of_8_bits_are_kept_as_they_are(tmp_path, suffix, pixels):
    path = tmp_path / f"find.{suffix}"
    Image.fromarray(pixels).save(path)
    series = open_photograph(path)
    assert (series.kind, series.as_is, series.rows, series.columns) == ("page", True, 6, 9)
    np.testing.assert_array_equal(decode_photograph(path), pixels)


def test_a_jpeg_decodes_as_pillow_decodes_it(tmp_path):
    path = tmp_path / "find.jpg"
    Image.fromarray(RGB).save(path, quality=95)
    np.testing.assert_array_equal(decode_photograph(path), np.asarray(Image.open(path)))


def turned(upright, orientation):
    """The stored rows and columns of a picture, by the words of CIPA DC-008 4.6.4."""
    # value: the visual side on which the 0th row lies, and that of the 0th column
    row, column = {
        1: ("top", "left"),
        2: ("top", "right"),
        3: ("bottom", "right"),
        4: ("bottom", "left"),
        5: ("left", "top"),
        6: ("right", "top"),
        7: ("right", "bottom"),
        8: ("left", "bottom"),
    }[orientation]
    stored = upright
    if row in ("left", "right"):  # stored rows are visual columns
        stored = stored.swapaxes(0, 1)
    if row in ("bottom", "right"):
        stored = stored[::-1]
    if column in ("bottom", "right"):
        stored = stored[:, ::-1]
    return np.ascontiguousarray(stored)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_picture_stands_upright_however_the_camera_was_held(tmp_path, orientation):
    path = tmp_path / "find.tif"
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    Image.fromarray(turned(RGB, orientation)).save(path, exif=exif)
    series = open_photograph(path)
    assert (series.rows, series.columns) == RGB.shape[:2]
    np.testing.assert_array_equal(decode_photograph(path), RGB)


def test_16_bit_grey_keeps_its_upper_bits_rounded(tmp_path):
    path = tmp_path / "deep.png"
    Image.fromarray(np.array([[0, 128, 129, 32896, 65535]], np.uint16)).save(path)
    assert decode_photograph(path).tolist() == [[0, 0, 1, 128, 255]]


def test_transparent_parts_lie_on_white(tmp_path):
    path = tmp_path / "cut.png"
    pixels = np.array([[[10, 20, 30, 255], [10, 20, 30, 0]]], np.uint8)
    Image.fromarray(pixels).save(path)
    assert decode_photograph(path).tolist() == [[[10, 20, 30], [255, 255, 255]]]


def test_a_drawing_of_one_bit_becomes_black_and_white(tmp_path):
    path = tmp_path / "drawing.tif"
    Image.fromarray(np.array([[True, False]])).save(path)
    assert decode_photograph(path).tolist() == [[255, 0]]


def test_an_srgb_profile_changes_nothing(tmp_path):
    path = tmp_path / "find.png"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    Image.fromarray(RGB).save(path, icc_profile=profile)
    np.testing.assert_array_equal(decode_photograph(path), RGB)


def test_colours_of_another_profile_are_converted_to_srgb(tmp_path):
    # a profile of sRGB's primaries; with red and blue exchanged in its tag table (ICC.1 7.3), what
    # it calls red is blue
    profile = Path(get_testdata_file("crayons.icc", download=False)).read_bytes()
    swapped = profile.replace(b"rXYZ", b"____", 1).replace(b"bXYZ", b"rXYZ", 1)
    swapped = swapped.replace(b"____", b"bXYZ", 1)
    path = tmp_path / "find.png"
    Image.fromarray(RGB).save(path, icc_profile=swapped)
    np.testing.assert_allclose(decode_photograph(path).astype(int), RGB[..., ::-1], atol=1)


def test_the_pages_of_a_tiff_are_pictures_of_one_series(tmp_path):
    path = tmp_path / "diary.tif"
    Image.fromarray(GREY).save(path, save_all=True, append_images=[Image.fromarray(GREY[::-1])])
    assert [one.frame for one in open_photograph(path).slices] == [0, 1]
    np.testing.assert_array_equal(decode_photograph(path, 1), GREY[::-1])


def test_a_text_is_no_picture(tmp_path):
    path = tmp_path / "find.jpg"
    path.write_text("not a picture")
    message = r"^find\.jpg is not a PNG, JPEG or TIFF picture\. Use a PNG, JPEG or TIFF file\.$"
    with pytest.raises(ScanError, match=message):
        open_photograph(path)


def test_other_picture_formats_are_refused(tmp_path):
    path = tmp_path / "find.gif"
    Image.fromarray(GREY).save(path)
    with pytest.raises(ScanError, match=r"^find\.gif is not a PNG, JPEG or TIFF picture"):
        open_photograph(path)


def test_a_picture_that_is_not_there_is_named(tmp_path):
    with pytest.raises(ScanError, match=r"gone\.png cannot be opened: No such file or directory"):
        open_photograph(tmp_path / "gone.png")


@pytest.mark.parametrize("suffix", ["png", "jpg", "tif"])
def test_a_damaged_picture_is_told(tmp_path, suffix):
    path = tmp_path / f"find.{suffix}"
    big = np.random.default_rng(1).integers(0, 256, (64, 64, 3), np.uint8)
    Image.fromarray(big).save(path)
    path.write_bytes(path.read_bytes()[:3000])
    with pytest.raises(ScanError, match=r"find\.\w+ is damaged"):
        decode_photograph(path)


def test_a_picture_larger_than_any_camera_makes_is_refused(tmp_path):
    path = tmp_path / "huge.png"
    Image.new("1", (20_000, 20_000)).save(path)
    with pytest.raises(ScanError, match=r"^huge\.png has more than 134,000,000 pixels\."):
        open_photograph(path)
