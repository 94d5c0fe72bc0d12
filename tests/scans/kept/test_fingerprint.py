"""Fingerprints: equal for equal files, wherever they lie, and read only once."""

import hashlib
import os

import numpy as np
import pytest

from slidekit.errors import ScanError
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.kept.fingerprint import series_fingerprint, slice_sha256
from tests.scans.dicom_series import write_series

VOLUME = np.zeros((3, 4, 5), np.int16)


def series_in(folder, volume=VOLUME, **options):
    write_series(folder, volume, **options)
    return choose_series(index_folder(folder), None)


def test_a_series_has_one_fingerprint_in_every_folder(tmp_path):
    first, second = series_in(tmp_path / "a"), series_in(tmp_path / "b")
    assert series_fingerprint(first) == series_fingerprint(second)
    assert len(series_fingerprint(first)) == 64


def test_another_image_or_size_changes_the_fingerprint(tmp_path):
    whole = series_in(tmp_path / "a")
    others = [
        series_in(tmp_path / "b", VOLUME[:2]),
        series_in(tmp_path / "c", np.zeros((3, 4, 6), np.int16)),
        series_in(tmp_path / "d", series=2),
    ]
    assert len({series_fingerprint(one) for one in [whole, *others]}) == 4


def test_the_hash_of_a_slice_is_that_of_its_file(tmp_path):
    one = series_in(tmp_path).slices[1]
    assert slice_sha256(one) == hashlib.sha256(one.path.read_bytes()).hexdigest()


def test_a_file_is_hashed_once_and_again_when_it_changed(tmp_path):
    one = series_in(tmp_path).slices[0]
    before = slice_sha256(one)
    one.path.write_bytes(one.path.read_bytes()[:-1] + b"\7")
    assert slice_sha256(one) == before  # the slice as it was indexed
    os.utime(one.path, ns=(one.file_mtime_ns + 10, one.file_mtime_ns + 10))
    changed = choose_series(index_folder(tmp_path), None).slices[0]
    assert slice_sha256(changed) != before


def test_a_file_that_vanished_is_named(tmp_path):
    one = series_in(tmp_path).slices[0]
    one.path.unlink()
    message = r"^.+S1I0000 cannot be read any more: No such file or directory\. Leave the scan"
    with pytest.raises(ScanError, match=message):
        slice_sha256(one)
