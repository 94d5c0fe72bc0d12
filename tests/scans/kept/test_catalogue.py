"""The kept catalogue: the same as a new one, private, and gone as soon as a file changes."""

import json
import os
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from slidekit.cache import cache_folder
from slidekit.errors import ScanError
from slidekit.scans import catalogue as catalogue_module
from slidekit.scans.catalogue import (
    choose_series,
    index_archive,
    index_folder,
    with_descriptions,
)
from slidekit.scans.kept import catalogue as kept_catalogue
from tests.scans.dicom_series import ROOT_UID, Attributes, Placement, write_series

VOLUME = np.zeros((6, 4, 5), np.int16)
NAMED = Attributes(every={"SeriesDescription": "Canary^Description"})


@pytest.fixture(autouse=True)
def own_cache_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("SLIDEKIT_CACHE", str(tmp_path / "cache"))


@pytest.fixture
def scans(tmp_path: Path) -> Path:
    """Two series, a page, a doubled series, a copy, and a file that is no scan."""
    folder = tmp_path / "CanaryFolder"
    write_series(folder, VOLUME, Placement(step_lps=(0, 0.2, 1.5)), NAMED)
    write_series(folder, VOLUME[:1], attributes=NAMED, series=2)
    write_series(folder, VOLUME[:2], Placement(step_lps=(0, 0, 0)), NAMED, series=3)
    (folder / "CanaryNotes.txt").write_text("no scan")
    (folder / "copy").write_bytes((folder / "S1I0002").read_bytes())
    return folder


@pytest.fixture
def headers_read(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """The files whose headers are read from here on."""
    read: list[Path] = []
    whole = catalogue_module._read_any_header

    def counted(path: Path):
        read.append(path)
        return whole(path)

    monkeypatch.setattr(catalogue_module, "_read_any_header", counted)
    return read


def kept_files() -> list[Path]:
    return [path for path in cache_folder().rglob("*") if path.is_file()]


def test_an_unchanged_folder_is_not_read_again(scans, headers_read):
    first = index_folder(scans)
    assert len(headers_read) == 11
    second = index_folder(scans)
    assert len(headers_read) == 11
    assert second == replace(
        first, described=False, series=tuple(replace(one, description="") for one in first.series)
    )


def test_an_unchanged_archive_is_not_read_again_and_keeps_no_name(scans, headers_read, tmp_path):
    archive = Path(shutil.make_archive(str(tmp_path / "packed"), "zip", scans))
    first = index_archive(archive)
    assert len(headers_read) == 11
    second = index_archive(archive)
    assert len(headers_read) == 11
    assert [one.slices for one in second.series] == [one.slices for one in first.series]
    assert second.refusals == first.refusals
    index_archive(archive, fresh=True)
    assert len(headers_read) == 22
    for path in kept_files():
        assert b"Canary" not in path.read_bytes()
        assert b"S1I000" not in path.read_bytes()


def test_descriptions_are_read_when_they_are_asked_for(scans, headers_read):
    first = index_folder(scans)
    headers_read.clear()
    assert with_descriptions(index_folder(scans)) == first
    assert len(headers_read) == len(first.series)


def test_a_series_is_chosen_by_number_uid_or_name_without_reading(scans, headers_read):
    index_folder(scans)
    headers_read.clear()
    for wanted in ("2", f"{ROOT_UID}.2"):
        assert choose_series(index_folder(scans), wanted).uid == f"{ROOT_UID}.2"
    assert headers_read == []


def test_a_series_is_chosen_by_its_description_all_the_same(tmp_path):
    for _ in range(2):
        for number, name in ((1, "Head"), (2, "Feet")):
            described = Attributes(every={"SeriesDescription": name})
            write_series(tmp_path / "scans", VOLUME[:1], attributes=described, series=number)
        assert choose_series(index_folder(tmp_path / "scans"), "feet").number == 2


def test_the_question_which_series_shows_descriptions_from_the_cache_too(tmp_path):
    write_series(tmp_path / "scans", VOLUME, attributes=NAMED)
    write_series(tmp_path / "scans", VOLUME, attributes=NAMED, series=2)
    for _ in range(2):
        with pytest.raises(ScanError, match=r"'Canary\^Description'.+'Canary\^Description'\.$"):
            choose_series(index_folder(tmp_path / "scans"), None)


def changed(scans: Path) -> None:
    file = scans / "S1I0000"
    os.utime(file, ns=(1, file.stat().st_mtime_ns + 1))


def grown(scans: Path) -> None:
    file = scans / "S1I0000"
    status = file.stat()
    file.write_bytes(file.read_bytes() + b"\0\0")
    os.utime(file, ns=(status.st_atime_ns, status.st_mtime_ns))


def renamed(scans: Path) -> None:
    (scans / "S1I0000").rename(scans / "elsewhere")


def added(scans: Path) -> None:
    (scans / "more.txt").write_text("no scan")


def removed(scans: Path) -> None:
    (scans / "copy").unlink()


@pytest.mark.parametrize("change", [changed, grown, renamed, added, removed])
def test_any_change_in_the_folder_reads_it_again(scans, headers_read, change):
    index_folder(scans)
    headers_read.clear()
    change(scans)
    index_folder(scans)
    assert len(headers_read) == sum(path.is_file() for path in scans.iterdir())
    headers_read.clear()
    index_folder(scans)
    assert headers_read == []
    assert len(kept_files()) == 1  # one entry for one folder, whatever happens to it


def test_a_fresh_index_reads_every_header(scans, headers_read):
    index_folder(scans)
    headers_read.clear()
    index_folder(scans, fresh=True)
    assert len(headers_read) == 11


def test_nothing_that_can_name_a_person_is_kept(scans):
    index_folder(scans)
    for path in kept_files():
        assert b"Canary" not in path.read_bytes()
        assert "Canary" not in path.name
        assert b"S1I000" not in path.read_bytes()  # no file name


def test_reasons_name_files_again(scans):
    first = [(one.path, one.reason) for one in index_folder(scans).refusals]
    assert any("S3I0000 and S3I0001" in reason for _, reason in first)
    assert [(one.path, one.reason) for one in index_folder(scans).refusals] == first


@pytest.mark.parametrize(
    "harm",
    [
        lambda kept: kept.update(series=[[1, 2]]),
        lambda kept: kept.update(series=3),
        lambda kept: kept["series"][0].pop(),
        lambda kept: kept["series"][0].__setitem__(7, [[999_999] * 9]),
        lambda kept: kept.pop("refusals"),
        lambda kept: kept.pop("state"),
    ],
)
def test_a_kept_catalogue_that_makes_no_sense_is_made_anew(scans, monkeypatch, harm):
    first = index_folder(scans)

    def harmed(kind: str, key: str) -> bytes | None:
        content = whole(kind, key)
        kept = json.loads(content)
        harm(kept)
        return json.dumps(kept).encode()

    whole = kept_catalogue.read_entry
    monkeypatch.setattr(kept_catalogue, "read_entry", harmed)
    assert index_folder(scans) == first


def test_a_pipe_among_the_files_is_left_out_and_not_waited_for(scans):
    os.mkfifo(scans / "pipe")
    refusals = {one.path.name: one.reason for one in index_folder(scans).refusals}
    assert refusals["pipe"] == "it is no ordinary file"
