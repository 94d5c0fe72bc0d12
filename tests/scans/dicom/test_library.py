"""What is left to pydicom: odd files, frames, compressed pixels."""

import shutil
import warnings
from contextlib import suppress
from pathlib import Path

import numpy as np
import pytest
from pydicom.data import get_testdata_file
from pydicom.dataset import Dataset, FileDataset
from pydicom.sequence import Sequence
from pydicom.uid import EnhancedCTImageStorage, RLELossless

from slidekit.errors import ScanError
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.dicom.decoding import decode_frame
from slidekit.scans.dicom.library import parse_header
from slidekit.scans.model import GreyWindow, PlaneRequest, Series
from slidekit.scans.pixels import read_stored
from slidekit.scans.planes.read import read_planes
from tests.scans.dicom_series import ds, image_dataset

# lossless encodings of one MR slice: pydicom's own test files
ENCODINGS = [
    "MR_small.dcm",
    "MR_small_RLE.dcm",
    "MR_small_bigendian.dcm",
    "MR_small_expb.dcm",
    "MR_small_implicit.dcm",
    "MR_small_jp2klossless.dcm",
    "MR_small_jpeg_ls_lossless.dcm",
    "MR_small_padded.dcm",
]


def bundled(name: str, folder: Path) -> Series:
    shutil.copy(get_testdata_file(name, download=False), folder)
    return choose_series(index_folder(folder), None)


@pytest.mark.parametrize("name", ENCODINGS)
def test_every_encoding_of_a_slice_gives_the_same_values(name, tmp_path):
    (image,) = read_planes(bundled(name, tmp_path), [PlaneRequest("acquired")])
    # values of MR_small.dcm, by pydicom 3.0.2
    assert image.values.dtype == np.int16
    assert (image.values.min(), image.values.max(), image.values[0, 0]) == (127, 2145, 905)
    assert image.values.mean() == pytest.approx(518.8813, abs=1e-4)


def test_signed_values_in_a_stream_that_says_unsigned_keep_their_sign(tmp_path):
    # JPEG 2000 whose own header contradicts Pixel Representation: air is far below 0
    (image,) = read_planes(
        bundled("J2K_pixelrep_mismatch.dcm", tmp_path), [PlaneRequest("acquired")]
    )
    assert image.values[0, 0] == -2000
    assert image.values.max() > 500


def test_a_deflated_file_is_read(tmp_path):
    header = parse_header(Path(get_testdata_file("image_dfl.dcm", download=False)))
    assert header is not None
    assert header.has_pixels


@pytest.mark.parametrize("name", ["test1.json", "crayons.icc", "rtplan.dump", "zipMR.gz"])
def test_what_is_not_dicom_is_not_taken_for_it(name):
    path = next(Path(get_testdata_file("CT_small.dcm", download=False)).parent.rglob(name))
    assert parse_header(path) is None


def test_an_absurd_length_in_an_odd_file_is_refused_without_allocating_it(tmp_path):
    path = tmp_path / "huge"
    big = bytearray(Path(get_testdata_file("MR_small_bigendian.dcm", download=False)).read_bytes())
    at = big.index(b"\x7f\xe0\x00\x10OW")
    big[at + 8 : at + 12] = b"\xff\xff\xff\xf0"
    path.write_bytes(bytes(big))
    header = parse_header(path)
    assert header is None or header.file_size < 20_000


def test_damaged_compressed_pixels_name_the_file_and_what_to_do(tmp_path):
    source = Path(get_testdata_file("MR_small_RLE.dcm", download=False))
    path = tmp_path / "damaged.dcm"
    path.write_bytes(source.read_bytes()[:-3000])
    message = (
        r"^The pixels of damaged\.dcm cannot be decoded: .+\. Copy or export the file again,"
        r" uncompressed if that fails too\.$"
    )
    with pytest.raises(ScanError, match=message):
        decode_frame(path, 0)


# --- enhanced multi-frame (PS3.3 C.7.6.16), two frames laid out as in a scanner's file --------


def group(keyword: str, **values: object) -> Dataset:
    item, outer = Dataset(), Dataset()
    for name, value in values.items():
        setattr(item, name, value)
    setattr(outer, keyword, Sequence([item]))
    return outer


def merged(*groups: Dataset) -> Sequence:
    whole = Dataset()
    for one in groups:
        whole.update(one)
    return Sequence([whole])


def enhanced(stored: np.ndarray) -> FileDataset:
    """Frames that run against their normal: orientation -1\\0\\0\\0\\1\\0, z rising."""
    image = image_dataset(stored[0])
    image.SOPClassUID = image.file_meta.MediaStorageSOPClassUID = EnhancedCTImageStorage
    del image.RescaleSlope, image.RescaleIntercept
    image.NumberOfFrames = len(stored)
    image.PixelData = stored.tobytes()
    image.SharedFunctionalGroupsSequence = merged(
        group("PixelMeasuresSequence", PixelSpacing=[0.5, 0.4], SliceThickness=10),
        group("PlaneOrientationSequence", ImageOrientationPatient=[-1, 0, 0, 0, 1, 0]),
        group(
            "PixelValueTransformationSequence",
            RescaleSlope=1,
            RescaleIntercept=-1024,
            RescaleType="HU",
        ),
        group("FrameVOILUTSequence", WindowCenter=49, WindowWidth=102),
    )
    image.PerFrameFunctionalGroupsSequence = Sequence(
        group("PlanePositionSequence", ImagePositionPatient=[99.5, -301.5, ds(-159 + 10 * k)])
        for k in range(len(stored))
    )
    return image


STORED = np.arange(3 * 4 * 5, dtype=np.int16).reshape(3, 4, 5)


@pytest.mark.parametrize("compressed", [False, True])
def test_frames_are_placed_by_their_functional_groups(compressed, tmp_path):
    image = enhanced(STORED)
    if compressed:
        image.compress(RLELossless)
    image.save_as(tmp_path / "frames", enforce_file_format=True)
    series = choose_series(index_folder(tmp_path), None)
    assert series.kind == "stack"
    assert [one.frame for one in series.slices] == [2, 1, 0]  # the normal points to the feet
    assert [one.position_lps[2] for one in series.slices] == [-139, -149, -159]
    assert (series.row_spacing_mm, series.column_spacing_mm) == (0.5, 0.4)
    assert series.stored_window == GreyWindow(49, 102)
    assert (series.unit, series.thickness_mm) == ("HU", 10)
    acquired, axial = read_planes(
        series, [PlaneRequest("acquired", slice_number=3), PlaneRequest("axial", at_mm=-159)]
    )
    np.testing.assert_array_equal(acquired.values, STORED[0] - 1024)
    np.testing.assert_array_equal(axial.values, STORED[0][:, ::-1] - 1024)


def test_frames_without_functional_groups_are_pages(tmp_path):
    image = enhanced(STORED)
    del image.PerFrameFunctionalGroupsSequence
    image.save_as(tmp_path / "frames", enforce_file_format=True)
    (series,) = index_folder(tmp_path).series
    assert (series.kind, [one.frame for one in series.slices]) == ("page", [0, 1, 2])
    for k, stored in enumerate(STORED):
        np.testing.assert_array_equal(read_stored(series, k), stored)


def test_fewer_groups_than_frames_are_refused(tmp_path):
    image = enhanced(STORED)
    image.PerFrameFunctionalGroupsSequence = image.PerFrameFunctionalGroupsSequence[:2]
    image.save_as(tmp_path / "frames", enforce_file_format=True)
    with pytest.raises(ScanError, match=r"frames: it has 3 frames, but says where 2 lie"):
        index_folder(tmp_path)


def test_frames_of_two_echoes_in_one_place_are_two_stacks(tmp_path):
    image = enhanced(np.concatenate((STORED, STORED)))
    for k, frame in enumerate(image.PerFrameFunctionalGroupsSequence):
        position = [99.5, -301.5, ds(-159 + 10 * (k % 3))]
        frame.update(group("PlanePositionSequence", ImagePositionPatient=position))
        frame.update(group("MREchoSequence", EffectiveEchoTime=10.0 + 20 * (k // 3)))
    image.save_as(tmp_path / "frames", enforce_file_format=True)
    catalogue = index_folder(tmp_path)
    assert [one.technique for one in catalogue.series] == [("echo 10.0",), ("echo 30.0",)]
    assert [len(one.slices) for one in catalogue.series] == [3, 3]


def test_frames_in_one_place_that_nothing_tells_apart_are_named(tmp_path):
    image = enhanced(STORED)
    for frame in image.PerFrameFunctionalGroupsSequence:
        frame.update(group("PlanePositionSequence", ImagePositionPatient=[0, 0, 0]))
    image.save_as(tmp_path / "frames", enforce_file_format=True)
    with pytest.raises(ScanError, match=r"in the same place, frames frame 1 and frames frame 2, "):
        index_folder(tmp_path)


@pytest.mark.parametrize(
    "spoiled", [b"1.2.840.1!008.1.2.1", b"1.2.840.10008.1.2.\xff", b"LOCALIZER"]
)
def test_nobody_hears_what_pydicom_says_of_spoiled_values(tmp_path, spoiled):
    # warnings are errors in these tests: one that got out would fail them
    data = Path(get_testdata_file("CT_small.dcm", download=False)).read_bytes()
    syntax = b"1.2.840.10008.1.2.1\0"
    assert data.count(syntax) == 1
    (tmp_path / "file").write_bytes(data.replace(syntax, spoiled.ljust(len(syntax), b"\0")))
    with warnings.catch_warnings(record=True) as heard:
        warnings.simplefilter("always")
        with suppress(ScanError):
            series = choose_series(index_folder(tmp_path), None)
            read_planes(series, [PlaneRequest("acquired")])
    assert [str(one.message) for one in heard] == []
