"""Series in a ZIP archive, read without unpacking it."""

import zipfile
from pathlib import Path

import numpy as np
import pytest
from pydicom.data import get_testdata_file

from slidekit.errors import ScanError
from slidekit.scans.catalogue import choose_series, index_archive, index_folder
from slidekit.scans.files import LARGEST_MEMBER, list_members
from slidekit.scans.kept.fingerprint import series_fingerprint, slice_sha256
from slidekit.scans.pixels import read_samples
from tests.scans.dicom_series import write_series

VOLUME = np.arange(6 * 5 * 4, dtype=np.int16).reshape(6, 5, 4)


def pack(archive: Path, folder: Path, packing: int = zipfile.ZIP_DEFLATED) -> Path:
    with zipfile.ZipFile(archive, "w", packing) as opened:
        for path in sorted(folder.rglob("*")):
            opened.write(path, path.relative_to(folder))
    return archive


@pytest.mark.parametrize("packing", [zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED])
def test_a_series_in_an_archive_is_that_of_the_folder(tmp_path, packing):
    folder = write_series(tmp_path / "ct", VOLUME, order=[3, 1, 0, 5, 4, 2])
    plain = choose_series(index_folder(folder), None)
    packed = choose_series(index_archive(pack(tmp_path / "ct.zip", folder, packing)), None)
    assert series_fingerprint(packed) == series_fingerprint(plain)
    for k in range(len(VOLUME)):
        np.testing.assert_array_equal(read_samples(packed, k).values, VOLUME[k])
        assert slice_sha256(packed.slices[k]) == slice_sha256(plain.slices[k])


def test_nothing_is_written_beside_an_archive(tmp_path):
    archive = pack(tmp_path / "ct.zip", write_series(tmp_path / "a" / "ct", VOLUME))
    before = sorted(tmp_path.rglob("*"))
    read_samples(choose_series(index_archive(archive), None), 0)
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize(
    "name", ["MR_small_bigendian.dcm", "MR_small_RLE.dcm", "MR_small_implicit.dcm"]
)
def test_every_encoding_is_read_from_an_archive(tmp_path, name):
    with zipfile.ZipFile(tmp_path / "mr.zip", "w", zipfile.ZIP_DEFLATED) as opened:
        opened.write(get_testdata_file(name, download=False), "mr")
    series = choose_series(index_archive(tmp_path / "mr.zip"), None)
    values = read_samples(series, 0).values
    # pydicom's MR_small: lowest, highest, mean
    assert (values.min(), values.max(), round(float(values.mean()), 4)) == (127, 2145, 518.8813)


@pytest.mark.parametrize("name", ["../../ct/a", "/ct/a", "C:\\ct\\a", "ct/./a"])
def test_a_member_is_read_whatever_its_path_says(tmp_path, name):
    folder = write_series(tmp_path / "in" / "ct", VOLUME[:1])
    (file,) = folder.iterdir()
    with zipfile.ZipFile(tmp_path / "in" / "ct.zip", "w") as opened:
        opened.writestr(name, file.read_bytes())
    series = choose_series(index_archive(tmp_path / "in" / "ct.zip"), None)
    np.testing.assert_array_equal(read_samples(series, 0).values, VOLUME[0])
    assert [path.name for path in tmp_path.iterdir()] == ["in"]


def claiming(archive: Path, size: int) -> Path:
    """An archive of 10,000 zeros that says they are `size` bytes, in both of its directories."""
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as opened:
        opened.writestr("zeros", bytes(10_000))
    raw, written = archive.read_bytes(), (10_000).to_bytes(4, "little")
    assert raw.count(written) == 2
    archive.write_bytes(raw.replace(written, size.to_bytes(4, "little")))
    return archive


def test_a_member_that_claims_to_be_huge_is_left_out(tmp_path):
    archive = claiming(tmp_path / "bomb.zip", LARGEST_MEMBER + 2**20)
    assert list_members(archive) == ([], [("zeros", "it claims to unfold into 513 MiB")])


@pytest.mark.parametrize("size", [100, 20_000])
def test_a_member_never_unfolds_beyond_what_it_claims(tmp_path, size):
    (member,), _ = list_members(claiming(tmp_path / "lie.zip", size))
    with pytest.raises(OSError, match="damaged in the archive"):
        member.read_bytes()


def test_a_damaged_member_is_told_by_its_checksum(tmp_path):
    folder = write_series(tmp_path / "ct", VOLUME)
    archive = pack(tmp_path / "ct.zip", folder, zipfile.ZIP_STORED)
    raw = bytearray(archive.read_bytes())
    pixels = VOLUME[0].tobytes()
    raw[raw.index(pixels)] ^= 1
    archive.write_bytes(bytes(raw))
    catalogue = index_archive(archive)
    assert len(choose_series(catalogue, None).slices) == len(VOLUME) - 1
    (refusal,) = catalogue.refusals
    assert refusal.reason == "it cannot be opened: it is damaged in the archive"


def test_an_encrypted_member_is_left_out(tmp_path):
    archive = pack(tmp_path / "ct.zip", write_series(tmp_path / "ct", VOLUME), zipfile.ZIP_STORED)
    raw = bytearray(archive.read_bytes())
    central = raw.index(b"PK\x01\x02")
    raw[central + 8] |= 1  # general purpose bit 0 (APPNOTE 4.4.4)
    archive.write_bytes(bytes(raw))
    (refusal,) = index_archive(archive).refusals
    assert refusal.reason == "it is encrypted in the archive"


def test_a_file_that_is_no_archive_is_told(tmp_path):
    path = tmp_path / "ct.zip"
    path.write_text("no archive")
    message = r"^ct\.zip cannot be read as a ZIP archive\. Copy it again, or pack it anew\.$"
    with pytest.raises(ScanError, match=message):
        index_archive(path)


def test_an_archive_that_is_not_there_is_named(tmp_path):
    with pytest.raises(ScanError, match=r"^There is no file .*gone\.zip\."):
        index_archive(tmp_path / "gone.zip")


def test_an_archive_without_images_says_what_it_holds(tmp_path):
    with zipfile.ZipFile(tmp_path / "ct.zip", "w") as opened:
        opened.writestr("notes.txt", "nothing")
    message = r"ct\.zip holds no image that can be used: notes\.txt: it is not a DICOM file\."
    with pytest.raises(ScanError, match=message):
        index_archive(tmp_path / "ct.zip")
