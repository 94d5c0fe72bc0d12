"""The header walker: equal to pydicom on real files, and never fooled by a damaged one."""

from pathlib import Path

import numpy as np
import pydicom
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydicom.data import get_testdata_file
from pydicom.dataset import Dataset
from pydicom.sequence import Sequence
from pydicom.uid import ImplicitVRLittleEndian

from slidekit.errors import ScanError
from slidekit.scans.dicom import tags
from slidekit.scans.dicom.header import Header
from slidekit.scans.dicom.library import parse_header
from slidekit.scans.dicom.walker import OddFileError, read_header
from tests.scans.dicom_series import image_dataset

BUNDLED = Path(pydicom.__file__).parent / "data" / "test_files"
FILES = sorted(path for path in BUNDLED.rglob("*") if path.is_file())


def walked(path: Path) -> Header | None:
    try:
        return read_header(path)
    except OddFileError:
        return None


def values(header: Header, tag: int) -> object:
    if tag in tags.SHORT_TAGS:
        return header.shorts(tag)
    try:
        numbers = header.floats(tag)
    except ScanError:
        numbers = ()
    return numbers or header.texts(tag)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(BUNDLED).as_posix())
def test_what_is_walked_equals_what_pydicom_reads(path: Path):
    ours = walked(path)
    if ours is None:  # counted by the next test
        return
    theirs = parse_header(path)
    assert theirs is not None
    for tag in tags.VALUE_TAGS - {tags.CHARACTER_SET, tags.TRANSFER_SYNTAX}:
        assert values(ours, tag) == values(theirs, tag), hex(tag)
    assert ours.transfer_syntax == theirs.transfer_syntax
    assert ours.has_pixels == theirs.has_pixels
    assert ours.overlay_bits == theirs.overlay_bits
    if ours.pixels_offset is not None:
        pixels = pydicom.dcmread(path).PixelData
        start = path.read_bytes()[ours.pixels_offset : ours.pixels_offset + len(pixels)]
        assert pixels.startswith(start)


def test_nearly_all_bundled_images_are_walked():
    # the others are big endian, deflated, out of order or without a transfer syntax
    images = [header for path in FILES if (header := walked(path)) and header.has_pixels]
    assert len(images) >= 80


def write(folder: Path, dataset: Dataset) -> Path:
    path = folder / "image"
    dataset.save_as(path, enforce_file_format=True)
    return path


@pytest.fixture
def image() -> pydicom.FileDataset:
    return image_dataset(np.arange(6, dtype=np.int16).reshape(2, 3))


@pytest.mark.parametrize("length", [10_000, 16_000, 40_000, 1_000_000])
def test_headers_longer_than_the_first_read_are_read_whole(image, length, tmp_path):
    image.add_new(0x00091001, "OB", b"\1" * length)
    header = read_header(write(tmp_path, image))
    assert header is not None
    assert header.short(tags.ROWS) == 2
    assert header.pixels_offset == header.file_size - 12


@pytest.mark.parametrize("syntax", ["1.2.840.10008.1.2.1", ImplicitVRLittleEndian])
def test_nested_sequences_of_undefined_length_are_stepped_over(image, syntax, tmp_path):
    inner, middle = Dataset(), Dataset()
    inner.PixelData, inner.Rows, inner.BitsAllocated = b"\xfe\xff" * 4, 999, 16
    inner["PixelData"].VR = "OW"
    inner.is_undefined_length_sequence_item = True
    middle.IconImageSequence = Sequence([inner])
    middle["IconImageSequence"].is_undefined_length = True
    middle.is_undefined_length_sequence_item = True
    image.ReferencedImageSequence = Sequence([middle, middle])
    image["ReferencedImageSequence"].is_undefined_length = True
    image.file_meta.TransferSyntaxUID = syntax
    header = read_header(write(tmp_path, image))
    assert header is not None
    assert header.short(tags.ROWS) == 2
    assert header.has_pixels


def test_a_length_past_the_end_of_the_file_is_damage(image, tmp_path):
    path = write(tmp_path, image)
    data = path.read_bytes()
    at = data.index(b"\x08\x00\x60\x00CS")  # Modality
    path.write_bytes(data[: at + 6] + b"\xff\xff" + data[at + 8 :])
    with pytest.raises(OddFileError, match=r"^its attribute \(0008,0060\) claims 65535 bytes, but"):
        read_header(path)


def test_a_file_without_its_preamble_and_foreign_bytes_is_not_dicom(tmp_path):
    for name, content in {"empty": b"", "short": b"DICM", "text": b"Dear all, " * 40}.items():
        (tmp_path / name).write_bytes(content)
        assert read_header(tmp_path / name) is None


def test_descriptions_are_decoded_in_the_character_set_of_the_file(image, tmp_path):
    for charset, text in {
        "ISO_IR 100": "Schädel",
        "ISO_IR 192": "урна 骨",
        "ISO_IR 144": "Урна",
    }.items():
        image.SpecificCharacterSet, image.SeriesDescription = charset, text
        header = read_header(write(tmp_path, image))
        assert header is not None
        assert header.text(tags.SERIES_DESCRIPTION) == text


def test_descriptions_with_code_extensions_are_left_to_pydicom(image, tmp_path):
    image.SpecificCharacterSet, image.SeriesDescription = ["", "ISO 2022 IR 87"], "山田"
    path = write(tmp_path, image)
    with pytest.raises(OddFileError):
        read_header(path)
    header = parse_header(path)
    assert header is not None
    assert header.text(tags.SERIES_DESCRIPTION) == "山田"


def test_a_malformed_number_that_matters_is_an_error_and_another_is_absent(image, tmp_path):
    path = write(tmp_path, image)
    data = path.read_bytes().replace(
        b"\x28\x00\x53\x10DS\x04\x001.0 ", b"\x28\x00\x53\x10DS\x04\x00one "
    )
    path.write_bytes(data)
    header = read_header(path)
    assert header is not None
    message = (
        r"^it holds 'one' where numbers belong, in attribute \(0028,1053\)\. Export the series"
    )
    with pytest.raises(ScanError, match=message):
        header.floats(tags.RESCALE_SLOPE)


SMALL = Path(get_testdata_file("CT_small.dcm", download=False)).read_bytes()
END_OF_HEADER = SMALL.index(b"\xe0\x7f\x10\x00OW")
quick = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def outcome(path: Path) -> str:
    """What becomes of a file; anything but these is a fault of the walker."""
    try:
        header = read_header(path)
    except OddFileError:
        return "odd"
    return "none" if header is None else "header"


@quick
@given(cut=st.integers(0, END_OF_HEADER + 12))
def test_a_header_cut_anywhere_is_never_taken_for_an_image(cut, tmp_path):
    path = tmp_path / "cut"
    path.write_bytes(SMALL[:cut])
    if outcome(path) == "header":
        header = read_header(path)
        assert header is not None
        assert header.has_pixels == (cut >= END_OF_HEADER + 12)


@quick
@given(
    changes=st.lists(st.tuples(st.integers(132, END_OF_HEADER), st.integers(0, 255)), max_size=8)
)
def test_changed_bytes_never_break_the_walker(changes, tmp_path):
    data = bytearray(SMALL)
    for at, byte in changes:
        data[at] = byte
    path = tmp_path / "changed"
    path.write_bytes(bytes(data))
    assert outcome(path) in ("odd", "none", "header")
