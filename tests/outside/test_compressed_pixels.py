"""Every transfer syntax decodes to the samples that were put in, bit for bit.

Encoders are other programs and libraries than the decoders where there is a choice: DCMTK
(`dcmcjpeg`, `dcmcjpls`), OpenJPEG through pydicom, OpenJPH through imagecodecs; the originals are
the images in pydicom's wheel.
"""

import shutil
import subprocess
from importlib import util
from pathlib import Path

import imagecodecs
import numpy as np
import pytest
from pydicom import dcmread, uid
from pydicom.data import get_testdata_file
from pydicom.encaps import encapsulate

from slidekit.errors import ScanError
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.dicom import jpeg
from slidekit.scans.dicom.decoding import decode_color, decode_frame
from slidekit.scans.model import PlaneRequest
from slidekit.scans.pixels import read_stored
from slidekit.scans.viewing import read_views

DCMTK = pytest.mark.skipif(shutil.which("dcmcjpeg") is None, reason="dcmcjpeg of DCMTK is missing")


def bundled(name: str) -> Path:
    return Path(get_testdata_file(name, download=False))


CT, MR, COLOR = (bundled(n) for n in ("CT_small.dcm", "MR_small.dcm", "SC_rgb_small_odd.dcm"))


def stored(folder: Path) -> np.ndarray:
    """The samples of the one image in a folder, as slidekit reads them."""
    return read_stored(choose_series(index_folder(folder), None), 0)


def assert_same(found: np.ndarray, original: Path) -> None:
    """Equal bits: decoders may give signed samples as unsigned ones of the same bits."""
    expected = dcmread(original).pixel_array
    np.testing.assert_array_equal(found.astype(np.int64) & 0xFFFF, expected.astype(int) & 0xFFFF)


@pytest.mark.parametrize(
    "name",
    [
        "MR_small_RLE.dcm",
        "MR_small_bigendian.dcm",
        "MR_small_expb.dcm",
        "MR_small_implicit.dcm",
        "MR_small_jp2klossless.dcm",
        "MR_small_jpeg_ls_lossless.dcm",
        "MR_small_padded.dcm",
    ],
)
def test_every_variant_of_one_image_is_that_image(tmp_path, name):
    shutil.copy(bundled(name), tmp_path)
    assert_same(stored(tmp_path), MR)


@pytest.mark.parametrize(
    "syntax",
    [
        uid.ImplicitVRLittleEndian,
        uid.DeflatedExplicitVRLittleEndian,
        uid.RLELossless,
        uid.JPEGLSLossless,
        uid.JPEG2000Lossless,
    ],
    ids=lambda syntax: syntax.name,
)
@pytest.mark.parametrize("original", [CT, MR], ids=["CT", "MR"])
def test_what_pydicom_encodes_comes_back(tmp_path, original, syntax):
    image = dcmread(original)
    if syntax.is_compressed and syntax != uid.DeflatedExplicitVRLittleEndian:
        image.compress(syntax, generate_instance_uid=False)
    else:
        image.file_meta.TransferSyntaxUID = syntax
    image.save_as(tmp_path / "image", enforce_file_format=True)
    assert_same(stored(tmp_path), original)


@pytest.mark.parametrize("original", [CT, MR], ids=["CT", "MR"])
def test_high_throughput_jpeg_2000_comes_back(tmp_path, original):
    # ISO/IEC 15444-15, encoded by OpenJPH
    image = dcmread(original)
    frame = imagecodecs.htj2k_encode(image.pixel_array)
    image.file_meta.TransferSyntaxUID = uid.HTJ2KLossless
    image.PixelData = encapsulate([frame])
    image["PixelData"].VR = "OB"
    image["PixelData"].is_undefined_length = True
    image.save_as(tmp_path / "image", enforce_file_format=True)
    assert_same(stored(tmp_path), original)


PREDICTORS = [["+el", "+sv", str(k)] for k in range(1, 8)]


@DCMTK
@pytest.mark.parametrize("options", [["+e1"], *PREDICTORS], ids=" ".join)
@pytest.mark.parametrize("original", [CT, MR], ids=["CT", "MR"])
def test_jpeg_without_loss_comes_back_from_every_predictor(tmp_path, original, options):
    # ITU-T T.81 annex H, table H.1: seven predictors
    subprocess.run(["dcmcjpeg", *options, original, tmp_path / "image"], check=True)
    syntax = dcmread(tmp_path / "image").file_meta.TransferSyntaxUID
    assert syntax == (uid.JPEGLosslessSV1 if options == ["+e1"] else uid.JPEGLossless)
    assert_same(stored(tmp_path), original)


@DCMTK
def test_colours_of_jpeg_without_loss_come_back(tmp_path):
    subprocess.run(["dcmcjpeg", "+e1", COLOR, tmp_path / "image"], check=True)
    np.testing.assert_array_equal(decode_color(tmp_path / "image", 0), dcmread(COLOR).pixel_array)


@DCMTK
def test_jpeg_ls_of_another_encoder_comes_back(tmp_path):
    subprocess.run(["dcmcjpls", CT, tmp_path / "image"], check=True)
    assert_same(stored(tmp_path), CT)


@DCMTK
@pytest.mark.parametrize("name", ["JPEG-lossy.dcm", "JPGExtended.dcm"])
def test_jpeg_of_12_bits_is_what_dcmtk_makes_of_it(tmp_path, name):
    subprocess.run(["dcmdjpeg", bundled(name), tmp_path / "plain"], check=True, capture_output=True)
    ours = decode_frame(bundled(name), 0)
    np.testing.assert_array_equal(ours, dcmread(tmp_path / "plain").pixel_array)


@DCMTK
def test_jpeg_of_8_bits_is_what_dcmtk_makes_of_it(tmp_path):
    # two inverse cosine transforms may round differently: ITU-T T.83 allows one level
    name = "SC_rgb_jpeg_dcmtk.dcm"
    command = ["dcmdjpeg", "+cn", bundled(name), tmp_path / "plain"]
    subprocess.run(command, check=True, capture_output=True)
    image = dcmread(tmp_path / "plain")
    assert image.PhotometricInterpretation == "YBR_FULL"
    ours = decode_color(bundled(name), 0).astype(int)
    assert np.abs(ours - decode_color(tmp_path / "plain", 0).astype(int)).max() <= 3


@DCMTK
@pytest.mark.parametrize("name", ["JPEGLSNearLossless_08.dcm", "JPEGLSNearLossless_16.dcm"])
def test_jpeg_ls_with_loss_is_what_dcmtk_makes_of_it(tmp_path, name):
    subprocess.run(["dcmdjpls", bundled(name), tmp_path / "plain"], check=True)
    expected = dcmread(tmp_path / "plain").pixel_array
    np.testing.assert_array_equal(decode_frame(bundled(name), 0), expected)


@pytest.mark.parametrize("name", ["rtdose.dcm", "rtdose_rle.dcm", "rtdose_expb.dcm"])
def test_a_dose_map_is_refused_with_its_reason(tmp_path, name):
    shutil.copy(bundled(name), tmp_path)
    with pytest.raises(ScanError, match=r"it is a radiotherapy dose map, not an image"):
        index_folder(tmp_path)


@pytest.mark.parametrize("name", ["SC_rgb_rle_32bit.dcm", "SC_rgb_rle_16bit.dcm"])
def test_deep_colours_keep_their_upper_bits(tmp_path, name):
    shutil.copy(bundled(name), tmp_path)
    original = dcmread(bundled(name)).pixel_array
    (image,) = read_views(choose_series(index_folder(tmp_path), None), [PlaneRequest("picture")])
    np.testing.assert_array_equal(image.values, original >> (original.dtype.itemsize * 8 - 8))


@DCMTK
def test_a_missing_decoder_is_named_with_what_to_install(tmp_path, monkeypatch):
    subprocess.run(["dcmcjpeg", "+e1", CT, tmp_path / "image"], check=True)
    decoder = __import__(
        "pydicom.pixels.decoders", fromlist=["JPEGLosslessSV1Decoder"]
    ).JPEGLosslessSV1Decoder
    monkeypatch.setattr(decoder, "_available", {})
    message = (
        r"^Nothing that is installed decodes the pixels of image, which are JPEG Lossless,"
        r" Non-Hierarchical, First-Order Prediction \(Process 14 \[Selection Value 1\]\)\."
        r" Install slidekit\[compressed\], or export the series uncompressed\.$"
    )
    with pytest.raises(ScanError, match=message):
        decode_frame(tmp_path / "image", 0)


def test_the_decoder_says_whether_its_library_is_there(monkeypatch):
    assert jpeg.is_available(uid.JPEGLosslessSV1)
    assert not jpeg.is_available(uid.JPEG2000)
    monkeypatch.setattr(jpeg, "find_spec", lambda _name: None)
    assert not jpeg.is_available(uid.JPEGLosslessSV1)
    assert util.find_spec("imagecodecs") is not None
