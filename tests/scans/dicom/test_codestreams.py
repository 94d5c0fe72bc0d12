"""Sizes that compressed data announce, and what is refused before it is unpacked."""

import shutil
import struct
import zlib
from pathlib import Path

import pydicom
import pytest
from pydicom.data import get_testdata_file
from pydicom.encaps import get_frame
from pydicom.uid import DeflatedExplicitVRLittleEndian

from slidekit.errors import ScanError
from slidekit.scans.catalogue import index_folder
from slidekit.scans.dicom import codestreams
from slidekit.scans.dicom.codestreams import check_deflated, codestream_size
from slidekit.scans.model import PlaneRequest
from slidekit.scans.planes.read import read_planes


def bundled(name: str) -> Path:
    return Path(str(get_testdata_file(name, download=False)))


@pytest.mark.parametrize(
    "name",
    [
        "MR_small_jp2klossless.dcm",  # JPEG 2000
        "JPEG2000.dcm",
        "MR_small_jpeg_ls_lossless.dcm",
        "SC_rgb_jpeg_dcmtk.dcm",  # JPEG baseline, tables before the frame
        "JPEG-lossy.dcm",  # JPEG extended
    ],
)
@pytest.mark.filterwarnings("ignore:Expected explicit VR:UserWarning")
def test_a_codestream_announces_the_size_that_its_header_gives(name):
    dataset = pydicom.dcmread(bundled(name))
    data = get_frame(dataset.PixelData, 0, number_of_frames=1)
    assert codestream_size(data) == (dataset.Rows, dataset.Columns)


@pytest.mark.parametrize(
    "data", [b"", b"\xff\xd8", b"\xff\xd8\xff", b"\xff\xd8\xff\xc0\0\x0b", b"x"]
)
def test_what_announces_no_size_has_none(data):
    assert codestream_size(data) is None


@pytest.mark.parametrize(
    ("name", "mark", "offset"),
    [
        ("MR_small_jp2klossless.dcm", b"\xff\x4f\xff\x51", 8),
        ("MR_small_jpeg_ls_lossless.dcm", b"\xff\xd8\xff\xf7", 5),
    ],
)
def test_a_codestream_of_another_size_is_refused_before_it_is_decoded(tmp_path, name, mark, offset):
    data = bytearray(bundled(name).read_bytes())
    at = data.find(mark) + offset
    if b"\x4f" in mark:
        struct.pack_into(">2I", data, at, 60_000, 60_000)
    else:
        struct.pack_into(">2H", data, at + 2, 60_000, 60_000)
    (tmp_path / "file").write_bytes(data)
    (series,) = index_folder(tmp_path).series
    with pytest.raises(
        ScanError,
        match=r"^The header says 64 × 64 pixels, the compressed pixels say 60000 × 60000\. Export",
    ):
        read_planes(series, [PlaneRequest("acquired")])


def deflated(content: bytes) -> bytes:
    """A file whose dataset is `content`, deflated (PS3.5 A.5)."""
    uid = DeflatedExplicitVRLittleEndian.encode() + b"\0"
    syntax = struct.pack("<HH2sH", 2, 0x10, b"UI", len(uid)) + uid
    packer = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    return bytes(128) + b"DICM" + syntax + packer.compress(content) + packer.flush()


def test_a_deflated_file_that_unpacks_to_too_much_is_refused(monkeypatch):
    monkeypatch.setattr(codestreams, "MOST_UNPACKED", 2**20)
    check_deflated(deflated(bytes(2**20)))
    with pytest.raises(ScanError, match=r"^it unpacks to more than 1 MiB\. Export the file again"):
        check_deflated(deflated(bytes(2**20 + 1)))


def test_an_ordinary_deflated_file_is_read(tmp_path):
    shutil.copy(bundled("image_dfl.dcm"), tmp_path)
    assert len(index_folder(tmp_path).series) == 1
