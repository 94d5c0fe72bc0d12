"""One number, in every output that gives it."""

import json
import re
import zipfile

import pytest
from openxml_audit import OpenXmlValidator
from pypdf import PdfReader

from slidekit.build import Options, build_talk
from slidekit.errors import StoryboardError
from slidekit.panels import build_panels
from slidekit.review import check_talk
from tests.counting_talk import COUNTING_TALK, write_counting_talk
from tests.storyboard.boards import spoiled
from tests.storyboard.number_boards import TABLE
from tests.talks import no_progress


class Outputs:
    """All words of a talk's files and of its panel."""

    def __init__(self, folder, table: str) -> None:
        storyboard = write_counting_talk(folder, table=table)
        _, files = build_talk(storyboard, folder / "out", Options(), no_progress)
        panels = build_panels(storyboard, folder / "panels", None, no_progress).files
        by_name = {file.name: file for file in files}
        self.deck = by_name["deck.pptx"]
        self.script = by_name["script.md"].read_text(encoding="utf-8")
        self.record = json.loads(by_name["record.json"].read_text(encoding="utf-8"))
        self.panel = " ".join(PdfReader(panels[0]).pages[0].extract_text().split())
        self.panel_record = json.loads(panels[2].read_text(encoding="utf-8"))

    def slides(self) -> str:
        with zipfile.ZipFile(self.deck) as parts:
            names = [n for n in parts.namelist() if re.search(r"ppt/slides/slide\d+\.xml$", n)]
            return " ".join(parts.read(name).decode() for name in sorted(names))


@pytest.fixture(scope="module")
def before(tmp_path_factory):
    return Outputs(tmp_path_factory.mktemp("before"), TABLE)


@pytest.fixture(scope="module")
def after(tmp_path_factory):
    """One urn more is found to have a hole."""
    table = spoiled("P02,early,none", "P02,early,drilled", TABLE)
    return Outputs(tmp_path_factory.mktemp("after"), table)


def test_one_row_of_the_table_changes_the_slide(before, after):
    told = ("One in three has a hole", "3 of 9", "33\N{NO-BREAK SPACE}% (12 to 65", "One of three")
    changed = ("About two in five has a hole", "4 of 9", "44\N{NO-BREAK SPACE}% (19 to 73")
    assert [words for words in told if words not in before.slides()] == []
    assert [words for words in changed if words not in after.slides()] == []
    assert "3 of 9" not in after.slides()


def test_one_row_of_the_table_changes_the_words(before, after):
    assert "**[click 1: A drilled hole: 3 of 9]** Three of nine, that is 33" in before.script
    assert "**[click 1: A drilled hole: 4 of 9]** Four of nine, that is 44" in after.script
    assert "Of those, two of three." in before.script
    assert "Of those, two of four." in after.script


def test_one_row_of_the_table_changes_the_findings(before, after):
    assert "Of these urns three of nine have a hole" in before.slides()
    assert "Of these urns four of nine have a hole" in after.slides()


def test_one_row_of_the_table_changes_the_panel(before, after):
    assert "Three of nine urns have a hole." in before.panel
    assert "Four of nine urns have a hole." in after.panel


def test_one_row_of_the_table_changes_the_record(before, after):
    first, second = (one.record["counts"]["holes"] for one in (before, after))
    assert (first["k"], first["n"], first["missing"]) == (3, 9, 1)
    assert (second["k"], second["n"], second["missing"]) == (4, 9, 1)
    assert first["interval_95"] == [0.120584, 0.645798]
    assert before.record["inputs_sha256"] != after.record["inputs_sha256"]
    assert before.panel_record["counts"] == before.record["counts"]


def test_the_record_tells_how_each_number_was_made(before):
    record = before.record
    assert record["tables"] == {"urns": {"cases": 10}}
    assert record["counts"]["tall"]["where"] == [
        {"column": "height_mm", "at_least": 200.0},
        {"column": "lid", "is_not": ["sealed"]},
    ]
    assert record["comparisons"]["phases"]["cells"] == [[2, 4], [1, 2]]
    assert record["comparisons"]["phases"]["odds_ratio"] == 1.0
    assert record["agreements"]["readers"]["same"] == 8
    assert record["quoted"]["survey"]["counts"] == [26]
    assert record["quoted"]["split"]["possible"] is True


def test_the_record_tells_what_each_finding_rests_on_and_how_much_that_carries(before, after):
    (finding,) = before.record["findings"].values()
    assert finding["certainty"] == "possible"
    assert [(one["what"], one["carries"]) for one in finding["rests_on"]] == [
        ("the region `coil`", "observed"),
        ("the count `holes`", "possible"),
    ]
    assert before.record["findings"] != after.record["findings"]


def test_the_record_names_no_case_and_no_file(before):
    text = json.dumps(before.record)
    assert "urns.csv" not in text
    assert re.findall(r"P\d\d", text) == []


def test_a_deck_that_counts_is_valid(before):
    assert [str(e) for e in OpenXmlValidator().validate(str(before.deck)).errors] == []


def test_a_talk_that_counts_leaves_nothing_to_look_at_again(tmp_path):
    assert check_talk(write_counting_talk(tmp_path), None, no_progress).remarks == ()


def test_a_fault_of_the_table_leaves_nothing_written(tmp_path):
    storyboard = write_counting_talk(tmp_path, table=TABLE.replace("P10,late", "P10,latest"))
    with pytest.raises(StoryboardError, match=r"urns\.csv:11: phase: `latest` is not in the dict"):
        build_talk(storyboard, tmp_path / "out", Options(), no_progress)
    assert not (tmp_path / "out").exists()


def test_two_builds_of_one_table_are_alike(tmp_path, before):
    again = Outputs(tmp_path, TABLE)
    assert again.deck.read_bytes() == before.deck.read_bytes()
    assert again.record == before.record


def test_the_table_is_a_talks_own_wherever_it_is_built_from(tmp_path, monkeypatch):
    storyboard = write_counting_talk(tmp_path / "deep")
    monkeypatch.chdir(tmp_path)
    assert "tables" in COUNTING_TALK
    build_talk(storyboard, tmp_path / "out", Options(only=("rare",)), no_progress)
    assert "Three of nine" in (tmp_path / "out" / "script.md").read_text(encoding="utf-8")
