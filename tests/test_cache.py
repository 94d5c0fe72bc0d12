"""What is kept: found again whole, never trusted when damaged, never more than allowed."""

import os
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from slidekit.cache import (
    cache_folder,
    clear_cache,
    content_key,
    measure_cache,
    read_entry,
    trim_cache,
    write_entry,
)
from slidekit.errors import WriteError


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SLIDEKIT_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


def entry_file(folder: Path) -> Path:
    (path,) = (path for path in folder.rglob("*") if path.is_file())
    return path


def test_what_is_written_is_read_again():
    write_entry("things", "a" * 64, b"content")
    assert read_entry("things", "a" * 64) == b"content"
    assert read_entry("things", "b" * 64) is None
    assert read_entry("others", "a" * 64) is None


@pytest.mark.parametrize("cut", [0, 1, 10, 19, 22])
def test_an_entry_cut_short_is_no_entry(folder: Path, cut: int):
    write_entry("things", "a" * 64, b"content")
    file = entry_file(folder)
    file.write_bytes(file.read_bytes()[:cut])
    assert read_entry("things", "a" * 64) is None


def test_an_entry_with_one_wrong_bit_is_no_entry(folder: Path):
    write_entry("things", "a" * 64, b"content")
    file = entry_file(folder)
    whole = file.read_bytes()
    for k in range(len(whole)):
        file.write_bytes(whole[:k] + bytes([whole[k] ^ 1]) + whole[k + 1 :])
        assert read_entry("things", "a" * 64) is None


def test_a_folder_that_cannot_be_written_is_passed_over(folder: Path):
    folder.write_text("a file, where the folder should be")
    write_entry("things", "a" * 64, b"content")
    assert read_entry("things", "a" * 64) is None
    trim_cache()
    assert measure_cache().entries == 0


def test_the_entries_used_longest_ago_are_removed_first(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("SLIDEKIT_CACHE_MIB", "1")
    for name in "abc":
        write_entry("things", name, bytes(400_000))
    for file in sorted(cache_folder().rglob("?")):
        os.utime(file, (1e9 + ord(file.name), 1e9 + ord(file.name)))
    assert read_entry("things", "a")  # used again
    trim_cache()
    assert [name for name in "abc" if read_entry("things", name)] == ["a", "c"]
    assert measure_cache().entries_bytes <= 2**20


def test_what_another_run_is_writing_is_left_alone(folder: Path):
    write_entry("things", "a", b"content")
    fresh, old = folder / "kept/things/.new", folder / "kept/things/.old"
    fresh.write_bytes(b"half")
    old.write_bytes(b"half")
    os.utime(old, (1e9, 1e9))
    trim_cache()
    assert fresh.exists()
    assert not old.exists()


def test_a_limit_of_nothing_keeps_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch):
    write_entry("things", "a", b"content")
    monkeypatch.setenv("SLIDEKIT_CACHE_MIB", "0")
    assert read_entry("things", "a") is None
    write_entry("things", "b", b"content")
    assert not (folder / "kept/things/b").exists()


def test_a_limit_that_is_no_number_is_refused(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("SLIDEKIT_CACHE_MIB", "2 GB")
    with pytest.raises(
        WriteError,
        match=r"^SLIDEKIT_CACHE_MIB is `2 GB`. Set it to a number of MiB, or to 0 to keep "
        r"nothing.$",
    ):
        read_entry("things", "a")


def test_only_the_user_may_look_into_the_folder(folder: Path):
    write_entry("things", "a", b"content")
    assert (folder / "kept" / "things").stat().st_mode & 0o077 == 0
    assert (folder / "kept/things/a").stat().st_mode & 0o077 == 0


def test_clearing_removes_what_is_kept_and_nothing_else(folder: Path):
    write_entry("things", "a", b"content")
    (folder / "demo").mkdir()
    (folder / "demo" / "file").write_bytes(b"12345")
    (folder / "mine.txt").write_text("not ours")
    size = measure_cache()
    assert (size.entries, size.demo_bytes) == (1, 5)
    clear_cache()
    assert measure_cache().entries_bytes == measure_cache().demo_bytes == 0
    assert (folder / "mine.txt").exists()


@dataclass(frozen=True)
class Wish:
    at_mm: float | None
    name: str = "x"


def test_keys_tell_values_apart_that_print_alike():
    keys = [
        content_key(Wish(1.0)),
        content_key(Wish(1)),
        content_key(Wish(None)),
        content_key(Wish(1.0, "y")),
        content_key("1", "2"),
        content_key("12"),
        content_key((1, 2)),
        content_key(((1, 2),)),
        content_key({"a": 1}),
    ]
    assert len(set(keys)) == len(keys)
    assert content_key(Wish(1.0)) == content_key(Wish(1.0))


def test_pixels_count_by_their_values_and_shape():
    pixels = np.arange(12, dtype=np.uint8)
    keys = {content_key(pixels), content_key(pixels + 1), content_key(pixels.reshape(3, 4))}
    assert len(keys) == 3
    assert content_key(pixels.reshape(3, 4).T.copy()) == content_key(pixels.reshape(3, 4).T)


def test_a_key_of_values_without_an_exact_text_is_refused():
    with pytest.raises(TypeError, match=r"^ndarray has no exact text$"):
        content_key(np.zeros(9))
