"""Kept pictures: equal to new ones, found by all they depend on, and verified by content."""

import hashlib
import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from slidekit.cache import cache_folder
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.kept import pictures as kept_pictures
from slidekit.scans.kept.fingerprint import hash_slices, slice_sha256
from slidekit.scans.kept.pictures import PictureRequest, begin_pictures
from slidekit.scans.model import GreyWindow, LookupTable, PlaneRequest, ScanPicture, Series
from slidekit.scans.planes import read as planes
from tests.scans.dicom_series import write_series

AXIAL = PictureRequest(PlaneRequest("axial", 2.0), (GreyWindow(50, 100),), 40)
CORONAL = PictureRequest(PlaneRequest("coronal", 3.0), (GreyWindow(50, 100),), 40)


@pytest.fixture(autouse=True)
def own_cache_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("SLIDEKIT_CACHE", str(tmp_path / "cache"))


@pytest.fixture
def series(tmp_path: Path) -> Series:
    volume = np.random.default_rng(1).integers(0, 100, (6, 10, 12)).astype(np.int16)
    return choose_series(index_folder(write_series(tmp_path / "scans", volume)), None)


@pytest.fixture
def slices_read(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    read: list[int] = []
    whole = planes.read_samples

    def counted(series: Series, index: int, rows: range | None = None):
        read.append(index)
        return whole(series, index, rows)

    monkeypatch.setattr(planes, "read_samples", counted)
    return read


def pictures(series: Series, *requests: PictureRequest, verify: bool = False) -> list[ScanPicture]:
    with ThreadPoolExecutor(2) as pool:
        begun = begin_pictures(series, requests, pool, verify=verify)
        return [one.picture.result() for one in begun]


def assert_same(one: ScanPicture, other: ScanPicture) -> None:
    for field in fields(ScanPicture):
        first, second = getattr(one, field.name), getattr(other, field.name)
        if field.name == "pixels":
            np.testing.assert_array_equal(first, second)
        else:
            assert first == second
            assert type(first) is type(second)


def test_a_picture_made_before_is_the_same_and_reads_nothing(series, slices_read):
    first = pictures(series, AXIAL, CORONAL)
    slices_read.clear()
    for one, other in zip(first, pictures(series, AXIAL, CORONAL), strict=True):
        assert_same(one, other)
    assert slices_read == []


@pytest.mark.parametrize(
    "scale", [GreyWindow(40, 80, "sigmoid"), LookupTable(0, (0, 9, 200, 255), 8)]
)
def test_every_kind_of_grey_scale_comes_back(series, scale):
    request = replace(AXIAL, scales=(scale, GreyWindow(50, 100)))
    (first,) = pictures(series, request)
    assert_same(pictures(series, request)[0], first)
    assert first.scales == (scale, GreyWindow(50, 100))


def test_only_what_is_new_is_made(series, slices_read):
    pictures(series, CORONAL)
    slices_read.clear()
    pictures(series, CORONAL, AXIAL)
    assert slices_read == [2]


@pytest.mark.parametrize(
    "other",
    [
        replace(AXIAL, scales=(GreyWindow(51, 100),)),
        replace(AXIAL, scales=(GreyWindow(50, 100), GreyWindow(50, 400))),
        replace(AXIAL, scales=(GreyWindow(50, 100, "sigmoid"),)),
        replace(AXIAL, scales=(LookupTable(0, (0, 9, 200, 255), 8),)),
        replace(AXIAL, target_px=60),
        replace(AXIAL, plane=PlaneRequest("axial", 3.0)),
        replace(AXIAL, plane=PlaneRequest("axial", 2.0, slab_mm=2)),
        replace(AXIAL, plane=PlaneRequest("axial", 2.0, crop_mm=((1, 1), (6, 6)))),
    ],
)
def test_another_request_is_another_picture(series, slices_read, other):
    pictures(series, AXIAL)
    slices_read.clear()
    pictures(series, other)
    assert slices_read != []


def test_a_changed_file_is_another_picture(series, slices_read):
    pictures(series, AXIAL)
    slices_read.clear()
    touched = replace(series.slices[0], file_mtime_ns=series.slices[0].file_mtime_ns + 1)
    pictures(replace(series, slices=(touched, *series.slices[1:])), AXIAL)
    assert slices_read == [2]


def test_other_code_makes_other_pictures(series, slices_read, monkeypatch):
    pictures(series, AXIAL)
    slices_read.clear()
    monkeypatch.setattr(kept_pictures, "code_version", lambda _: "another")
    pictures(series, AXIAL)
    assert slices_read == [2]


def overwrite_unnoticed(path: Path) -> None:
    """Other pixels under the same size and time of change."""
    status = path.stat()
    data = bytearray(path.read_bytes())
    data[-40:] = bytes(40)
    path.write_bytes(data)
    os.utime(path, ns=(status.st_atime_ns, status.st_mtime_ns))


def test_a_change_that_stat_does_not_tell_is_found_by_verifying(series, slices_read):
    before = pictures(series, AXIAL, CORONAL)
    overwrite_unnoticed(series.slices[2].path)
    trusted = pictures(series, AXIAL)
    assert_same(trusted[0], before[0])
    slices_read.clear()
    verified = pictures(series, AXIAL, CORONAL, verify=True)
    assert slices_read == [0, 1, 2, 3, 4, 5]
    assert (verified[0].pixels != before[0].pixels).any()
    slices_read.clear()
    assert_same(pictures(series, AXIAL, verify=True)[0], verified[0])
    assert slices_read == []


def test_verifying_makes_only_those_again_whose_files_differ(series, slices_read):
    other = replace(AXIAL, plane=PlaneRequest("axial", 4.0))
    pictures(series, AXIAL, other)
    overwrite_unnoticed(series.slices[2].path)
    slices_read.clear()
    pictures(series, AXIAL, other, verify=True)
    assert slices_read == [2]


def test_it_is_told_which_kept_pictures_were_renewed(series):
    other = replace(AXIAL, plane=PlaneRequest("axial", 4.0))
    pictures(series, AXIAL, other)
    overwrite_unnoticed(series.slices[2].path)
    with ThreadPoolExecutor(1) as pool:
        begun = begin_pictures(series, [AXIAL, other, CORONAL], pool, verify=True)
    assert [one.renewed for one in begun] == [True, False, False]  # the last was not kept before


def test_a_new_picture_is_verified_too(series):
    pictures(series, CORONAL)
    overwrite_unnoticed(series.slices[2].path)
    pictures(series, AXIAL, verify=True)
    content = series.slices[2].path.read_bytes()
    assert slice_sha256(series.slices[2]) == hashlib.sha256(content).hexdigest()


def test_hashes_are_kept_and_taken_afresh_on_demand(series):
    before = hash_slices(series, [2])
    overwrite_unnoticed(series.slices[2].path)
    assert hash_slices(series, [2]) == before
    assert hash_slices(series, [2], fresh=True) != before


def test_damaged_pictures_are_made_again(series, slices_read):
    first = pictures(series, AXIAL)
    for file in (cache_folder() / "kept" / "pictures").iterdir():
        file.write_bytes(file.read_bytes()[:-3])
    slices_read.clear()
    assert_same(pictures(series, AXIAL)[0], first[0])
    assert slices_read == [2]


@pytest.mark.parametrize("content", [b"", b"{}\n", b"[]\nx", b'{"picture": {}, "shape": [2]}\nxx'])
def test_pictures_that_make_no_sense_are_made_again(series, monkeypatch, content):
    first = pictures(series, AXIAL)
    monkeypatch.setattr(kept_pictures, "read_entry", lambda _kind, _key: content)
    assert_same(pictures(series, AXIAL)[0], first[0])
