"""Two small talks as one programme, through the whole run."""

import json

import pytest
from typer.testing import CliRunner

from slidekit.cli import app
from slidekit.programme import run_programme
from tests.talks import TALK, no_progress, write_talk

PROGRAMME = """\
programme:
  title: Blocks, unopened
  begins: "14:00"
  items:
    - {talk: block, storyboard: talk.yaml}
    - {talk: again, storyboard: again.yaml}
"""
AGAIN = """\
talk: {title: Again, speaker: B. Speaker, slot_min: 1, programme: evening.yaml}
slides:
  - {id: opening, kind: title, say: "We saw the coil {earlier: block/base}."}
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("evening")
    write_talk(folder, TALK.replace("slot_min: 2", "slot_min: 2\n  programme: evening.yaml"))
    (folder / "again.yaml").write_text(AGAIN, encoding="utf-8")
    (folder / "evening.yaml").write_text(PROGRAMME, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def built(folder):
    out = folder / "out"
    run_programme(folder / "evening.yaml", out, no_progress)
    return out


def test_every_talk_is_built_into_a_folder_of_its_name(built):
    assert (built / "block" / "deck.pptx").is_file()
    assert (built / "again" / "deck.pptx").is_file()


def test_scripts_say_who_spoke_before_and_to_whom_to_hand_over(built):
    block = (built / "block" / "script.md").read_text(encoding="utf-8")
    again = (built / "again" / "script.md").read_text(encoding="utf-8")
    assert "*Hand over at 14:02 to B. Speaker, “Again”.*" in block
    assert "*Before this: A. Speaker, “What the block holds”.*" in again
    assert "We saw the coil earlier, in the talk by A. Speaker." in again


def test_the_running_order_is_written(built):
    text = (built / "programme.md").read_text(encoding="utf-8")
    assert text.startswith("# Blocks, unopened\n\n- 14:00  A. Speaker, “What the block holds”: ")
    assert text.endswith("- 14:03  end\n")


def test_the_clock_alone_writes_nothing(folder, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    ordered = run_programme(folder / "evening.yaml", None, no_progress)
    assert not ordered.late
    assert ordered.files == ()
    assert list(tmp_path.iterdir()) == []


def test_a_talk_that_runs_over_is_a_finding(folder, tmp_path):
    long = AGAIN.replace("earlier: block/base}.", "earlier: block/base}. " + "It was so. " * 50)
    (folder / "long.yaml").write_text(long.replace("evening", "late"), encoding="utf-8")
    text = PROGRAMME.replace("again.yaml", "long.yaml")
    (folder / "late.yaml").write_text(text, encoding="utf-8")
    block = (folder / "talk.yaml").read_text(encoding="utf-8")
    assert "programme: evening.yaml" in block
    result = CliRunner().invoke(app, ["programme", str(folder / "late.yaml")])
    assert result.exit_code == 1
    assert "over the slot" in result.output


def test_the_record_of_a_talk_is_its_own(built):
    record = json.loads((built / "again" / "record.json").read_text(encoding="utf-8"))
    assert [slide["id"] for slide in record["slides"]] == ["opening"]
