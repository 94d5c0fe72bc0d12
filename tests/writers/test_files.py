import stat
from pathlib import Path

import pytest

from slidekit.errors import WriteError
from slidekit.writers.files import replacing, write_text


def test_a_block_that_ends_well_renames_its_file(tmp_path):
    with replacing(tmp_path / "new" / "a.txt") as beside:
        beside.write_text("whole", encoding="utf-8")
    assert (tmp_path / "new" / "a.txt").read_text(encoding="utf-8") == "whole"


def stop_halfway(path: Path) -> None:
    with replacing(path) as beside:
        beside.write_text("half", encoding="utf-8")
        raise RuntimeError("halfway")


def test_a_block_that_fails_leaves_the_old_file_and_nothing_beside(tmp_path):
    write_text("old", tmp_path / "a.txt")
    with pytest.raises(RuntimeError, match=r"^halfway$"):
        stop_halfway(tmp_path / "a.txt")
    assert [path.name for path in tmp_path.iterdir()] == ["a.txt"]
    assert (tmp_path / "a.txt").read_text(encoding="utf-8") == "old"


def test_a_new_file_may_be_read_by_whom_the_user_lets(tmp_path):
    write_text("x", tmp_path / "ours")
    (tmp_path / "usual").write_text("x", encoding="utf-8")
    modes = {stat.S_IMODE((tmp_path / name).stat().st_mode) for name in ("ours", "usual")}
    assert len(modes) == 1


def test_a_folder_that_cannot_be_made_is_refused_with_a_remedy(tmp_path):
    write_text("x", tmp_path / "file")
    with pytest.raises(
        WriteError,
        match=r"^cannot write .*: (Not a directory|File exists)\. "
        r"Choose another place with --out, or make the folder writable\.$",
    ):
        write_text("x", tmp_path / "file" / "a.txt")


def test_a_file_in_the_way_of_nothing_is_written_with_plain_line_ends(tmp_path):
    write_text("a\nb\n", tmp_path / "a.txt")
    assert (tmp_path / "a.txt").read_bytes() == b"a\nb\n"
