"""What `check` found, as SARIF 2.1.0 (OASIS Standard, 2020, errata 01), for editors and pipelines.

Sections named below are those of the standard.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import quote

from slidekit import __version__
from slidekit.checks.rules.register import RULES
from slidekit.checks.rules.rule import Rule
from slidekit.checks.talk import Checked, Remark

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
_AT = {rule.name: i for i, rule in enumerate(RULES)}


def report_sarif(checked: Checked) -> str:
    """One run; waived remarks are results with a suppression (3.35)."""
    run = {
        "tool": {
            "driver": {
                "name": "slidekit",
                "version": __version__,
                "rules": [_rule(rule) for rule in RULES],
            }
        },
        "columnKind": "unicodeCodePoints",
        "invocations": [
            {
                "executionSuccessful": True,
                "toolExecutionNotifications": list(_notifications(checked)),
            }
        ],
        "results": [_result(remark) for remark in (*checked.remarks, *checked.waived)],
    }
    log = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return json.dumps(log, indent=1, ensure_ascii=False) + "\n"


def _rule(rule: Rule) -> dict[str, Any]:
    """A reportingDescriptor (3.49)."""
    return {
        "id": rule.name,
        "shortDescription": {"text": rule.summary},
        "help": {"text": rule.page},
        "defaultConfiguration": {"level": rule.severity},
    }


def _notifications(checked: Checked) -> Iterator[dict[str, Any]]:
    """What could not be looked at (3.58)."""
    for rule, why in checked.unchecked:
        yield {
            "level": "note",
            "message": {"text": f"not checked: {why}"},
            "associatedRule": {"id": rule, "index": _AT[rule]},
        }


def _result(remark: Remark) -> dict[str, Any]:
    """A result (3.27); its level words are our severities."""
    result: dict[str, Any] = {
        "ruleId": remark.rule,
        "ruleIndex": _AT[remark.rule],
        "level": remark.severity,
        "message": {"text": f"{remark.text[:1].upper()}{remark.text[1:]}."},
        "locations": [
            {
                "physicalLocation": {
                    "artifactLocation": {"uri": _uri(remark.file)},
                    "region": {"startLine": remark.line},
                }
            }
        ],
    }
    if remark.because:
        justification = {"kind": "inSource", "justification": remark.because}
        result["suppressions"] = [justification]
    return result


def _uri(file: Path) -> str:
    """Relative to the working folder where it lies below it (3.4.3), as pipelines want it."""
    path, here = file.absolute(), Path.cwd()
    return quote(path.relative_to(here).as_posix()) if path.is_relative_to(here) else path.as_uri()
