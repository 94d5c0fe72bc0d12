"""SARIF: the required properties and closed vocabularies of the OASIS standard, 2.1.0."""

import json
from pathlib import Path

import pytest

from slidekit.checks.report import report
from slidekit.checks.talk import Checked, Remark

BOARD = Path("talks/urn one.yaml")
EARLY = Remark(BOARD, 58, "early", "error", "{coil.mark} is spoken too soon")
STILL = Remark(BOARD, 40, "still", "warning", "slide `coil` changes only every 2:30", "I turn it")
CHECKED = Checked((EARLY,), (STILL,), (("back-row", "`talk` has no `room`"),))


def test_the_text_names_place_severity_and_rule():
    assert report(CHECKED, BOARD, "text").splitlines() == [
        "talks/urn one.yaml:58: error: early: {coil.mark} is spoken too soon",
        "waived: talks/urn one.yaml:40: warning: still: slide `coil` changes only every 2:30"
        " (I turn it)",
        "not checked: back-row: `talk` has no `room`",
    ]


def test_a_sound_talk_is_told_so():
    assert report(Checked(()), BOARD, "text") == f"{BOARD}: nothing to look at again\n"


def test_the_json_has_every_field():
    told = json.loads(report(CHECKED, BOARD, "json"))
    assert told["remarks"] == [
        {
            "file": str(BOARD),
            "line": 58,
            "rule": "early",
            "severity": "error",
            "text": "{coil.mark} is spoken too soon",
        }
    ]
    assert told["waived"][0]["because"] == "I turn it"
    assert told["not_checked"] == [{"rule": "back-row", "why": "`talk` has no `room`"}]


@pytest.fixture
def run():
    log = json.loads(report(Checked((EARLY,), (STILL,)), BOARD, "sarif"))
    assert log["version"] == "2.1.0"  # 3.13.2
    return log["runs"][0]


def test_a_sarif_result_points_to_its_rule_and_line(run):
    early = run["results"][0]
    assert run["tool"]["driver"]["rules"][early["ruleIndex"]]["id"] == early["ruleId"] == "early"
    place = early["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == "talks/urn%20one.yaml"  # RFC 3986
    assert place["region"] == {"startLine": 58}
    assert early["level"] == "error"  # 3.27.10
    assert early["message"]["text"] == "{coil.mark} is spoken too soon."


def test_what_is_waived_is_a_suppressed_sarif_result(run):
    assert run["results"][1]["suppressions"] == [{"kind": "inSource", "justification": "I turn it"}]


def test_a_file_elsewhere_has_an_absolute_uri(tmp_path):
    remark = Remark(tmp_path / "talk.yaml", 1, "early", "error", "it is spoken too soon")
    run = json.loads(report(Checked((remark,)), BOARD, "sarif"))["runs"][0]
    place = run["results"][0]["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == (tmp_path / "talk.yaml").as_uri()
