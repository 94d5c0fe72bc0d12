import json
import os
import re
import shutil
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from slidekit.cli import app
from tests.scans.dicom_series import write_series
from tests.talks import TALK, write_block, write_talk

CROWD = "The words of this slide are far too many for the room that it has. " * 12


def run(*arguments: object):
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def complaint_about(folder: Path, old: str = "", new: str = "") -> str:
    """What `build` says of the small talk with `old` replaced by `new`, without the folder."""
    assert old in TALK
    result = run("build", write_talk(folder, TALK.replace(old, new, 1)), "--out", folder / "out")
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert not (folder / "out").exists()
    return result.stderr.replace(f"{folder}/", "").strip()


def line_of(text: str, spoiled: str) -> int:
    return next(i for i, line in enumerate(spoiled.splitlines(), 1) if text in line)


SPOILED = {
    "a name that is no view": (
        "{view: front, regions",
        "{view: frnt, regions",
        "talk.yaml:56: slides[1].views[1].view: there is no view `frnt`. Write `front`",
    ),
    "a name that is no region": ("[show gap]", "[show gap, gup]", "there is no region `gup`"),
    "a colour the style lacks": ("color: orange", "color: ornge", "has no mark `ornge`"),
    "a window the style lacks": (
        "window: soft_tissue",
        "window: soft_tisue",
        "has no window `soft_tisue`",
    ),
    "a style there is none of": (
        "slot_min: 2",
        "slot_min: 2\n  style: lecture-drak",
        "talk.yaml:6: talk.style: There is no style called 'lecture-drak'. Write lecture-dark",
    ),
    "a misspelt key": ("center_mm", "centre_mm", "Write `center_mm` if you mean that"),
    "a region beyond its picture": (
        "center_mm: [16, 12]",
        "center_mm: [36, 12]",
        "beyond the edge",
    ),
    "a position beyond the series": ("at_mm: 4", "at_mm: 44", "from 0.0 to 7.0 mm"),
    "a width below one": ("width: 400", "width: 0.5", "1 or more"),
    "a slide id used twice": ("id: times", "id: base", "`base` is used before"),
    "a click for what is not there": ("[show gap]", "[show cap]", "there is no region `cap`"),
    "a name in the words": ("{coil.mark}", "{coin.mark}", "`coin`. Write `coil`"),
    "words that cannot fit": (
        "caption: Section through",
        f"caption: {CROWD}",
        "leave 0 mm of height for the pictures",
    ),
    "a date that is none": ("2200 BCE", "the year dot", "is not a date that can be read"),
    "a year 0": ("end: 50 CE", "end: 0", "0 would be a year 0, and there is none"),
    "a name that leads out of the folder": (
        "panels:\n  coil:",
        "panels:\n  ../coil:",
        "`../coil` is not a name",
    ),
    "evidence that no slide shows": (
        "evidence: [coil]",
        "evidence: [coil, nothing]",
        "finding `nothing`. Define it",
    ),
}


@pytest.mark.parametrize("case", SPOILED)
def test_bad_input_is_answered_with_its_line_and_a_remedy(tmp_path, case):
    old, new, said = SPOILED[case]
    complaint = complaint_about(tmp_path, old, new)
    first = complaint.splitlines()[0]
    assert said in first
    place, _, words = first.partition(": ")
    assert place.startswith("talk.yaml:")
    assert words.endswith(".")
    assert words.count(". ") >= 1, "a fault and a remedy"


def test_all_faults_are_told_at_once(tmp_path):
    text = TALK.replace("slot_min: 2", "slot_min: -2").replace("kind: timeline", "kind: timelin")
    result = run("build", write_talk(tmp_path, text), "--out", tmp_path / "out")
    assert len(result.stderr.strip().splitlines()) == 2


def test_a_position_beyond_the_series_is_told_the_range(tmp_path):
    complaint = complaint_about(tmp_path, "at_mm: 4", "at_mm: 44")
    assert f"talk.yaml:{line_of('at_mm: 4', TALK)}: views.base.at_mm" in complaint
    assert "from 0.0 to 7.0 mm" in complaint


def test_a_storyboard_that_is_not_there(tmp_path):
    result = run("build", tmp_path / "none.yaml", "--out", tmp_path)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "there is no such file" in result.stderr


def test_yaml_that_cannot_be_read_is_told_line_and_column(tmp_path):
    result = run("build", write_talk(tmp_path, TALK + "oops: [1, 2\n"), "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert f"talk.yaml:{len(TALK.splitlines()) + 1}" in result.stderr
    assert "column" in result.stderr


def test_a_scan_folder_that_is_not_there(tmp_path):
    assert "no" in complaint_about(tmp_path, "folder: block", "folder: blok")


def test_a_folder_without_dicom_files(tmp_path):
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "a.txt").write_text("no scan", encoding="utf-8")
    complaint = complaint_about(tmp_path, "folder: block", "folder: letters")
    assert "DICOM" in complaint


def test_a_folder_of_several_series_lists_them(tmp_path):
    write_block(tmp_path / "two")
    write_series(tmp_path / "two", np.zeros((3, 8, 8), np.int16), series=2)
    complaint = complaint_about(tmp_path, "folder: block", "folder: two")
    assert "2 " in complaint or "two" in complaint
    assert "series" in complaint


def test_a_truncated_file_is_named(tmp_path):
    storyboard = write_talk(tmp_path)
    file = sorted((tmp_path / "block").iterdir())[4]
    file.write_bytes(file.read_bytes()[:-200])
    result = run("build", storyboard, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert file.name in result.stderr


def test_an_output_folder_that_cannot_be_made(tmp_path):
    storyboard = write_talk(tmp_path)
    (tmp_path / "file").write_text("", encoding="utf-8")
    result = run("build", storyboard, "--out", tmp_path / "file" / "out")
    assert result.exit_code == 2
    assert "--out" in result.stderr


def test_a_build_prints_slides_minutes_and_files(tmp_path):
    result = run("build", write_talk(tmp_path), "--out", tmp_path / "out")
    assert result.exit_code == 0
    first, *files = result.stdout.splitlines()
    assert first.startswith("5 slides, 0:")
    assert first.endswith(" left")
    assert [Path(line.strip()).name for line in files] == [
        "deck.pptx", "script.md", "timeline.svg", "timeline.png", "record.json",
    ]  # fmt: skip
    assert result.stderr == ""


def test_check_ends_with_one_when_there_is_something_to_look_at(tmp_path):
    result = run("check", write_talk(tmp_path, TALK.replace("slot_min: 2", "slot_min: 0.1")))
    assert result.exit_code == 1
    assert "talk.yaml:5: error: slot: the words take" in result.stdout


def test_check_reports_in_the_form_asked_for(tmp_path):
    storyboard = write_talk(tmp_path)
    assert json.loads(run("check", storyboard, "--format", "json").stdout)["remarks"] == []
    assert json.loads(run("check", storyboard, "--format", "sarif").stdout)["version"] == "2.1.0"


def test_check_explains_a_rule_without_a_storyboard():
    result = run("check", "--explain", "early")
    assert (result.exit_code, result.stdout.split()[0]) == (0, "early")
    assert run("check", "--explain", "erly").exit_code == 2
    assert run("check").exit_code == 2


def test_new_never_writes_over_a_file(tmp_path):
    storyboard = write_talk(tmp_path)
    before = storyboard.read_text(encoding="utf-8")
    result = run("new", tmp_path / "block", "--out", storyboard)
    assert result.exit_code == 2
    assert storyboard.read_text(encoding="utf-8") == before


def test_what_new_writes_can_be_built(tmp_path):
    write_block(tmp_path / "block")
    assert run("new", tmp_path / "block", "--out", tmp_path / "mine.yaml").exit_code == 0
    result = run("build", tmp_path / "mine.yaml", "--out", tmp_path / "out")
    assert result.exit_code == 0, result.stderr


def test_the_schema_is_json():
    result = run("schema")
    assert json.loads(result.stdout)["type"] == "object"


def test_panels_prints_its_files(tmp_path):
    result = run("panels", write_talk(tmp_path), "--out", tmp_path / "out")
    assert result.exit_code == 0, result.stderr
    assert [Path(line).name for line in result.stdout.splitlines()][:2] == ["coil.pdf", "coil.png"]
    shutil.rmtree(tmp_path / "out")


def test_verifying_names_the_views_whose_pictures_were_renewed(tmp_path):
    talk = write_talk(tmp_path)
    run("build", talk, "--out", tmp_path / "out")
    sound = run("build", talk, "--out", tmp_path / "out", "--verify")
    assert sound.stdout.splitlines()[-1].startswith("verified: every kept picture is of the files")
    slice_ = min(path for path in (tmp_path / "block").rglob("*") if path.is_file())
    status, data = slice_.stat(), bytearray(slice_.read_bytes())
    data[-40:] = bytes(40)
    slice_.write_bytes(data)
    os.utime(slice_, ns=(status.st_atime_ns, status.st_mtime_ns))
    renewed = run("build", talk, "--out", tmp_path / "out", "--verify")
    assert renewed.stdout.splitlines()[-1].endswith("than when they were kept: front")


def test_the_cache_says_where_it_is_and_is_cleared(tmp_path, monkeypatch):
    monkeypatch.setenv("SLIDEKIT_CACHE", str(tmp_path / "cache"))
    run("build", write_talk(tmp_path), "--out", tmp_path / "out")
    shown = run("cache").stdout.splitlines()
    assert shown[0] == f"folder: {tmp_path / 'cache'}"
    assert re.match(r"kept: \d+ entries, \d+ MiB of at most 2,048 MiB; set SLIDEKIT_", shown[1])
    assert "kept: 0 entries, 0 MiB" in run("cache", "--clear").stdout
    assert not (tmp_path / "cache" / "kept").exists()
