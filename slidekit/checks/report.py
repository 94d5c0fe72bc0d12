"""What `check` found: as lines to read, or as JSON or SARIF to go on with."""

import json
from dataclasses import asdict
from pathlib import Path
from typing import Literal

from slidekit.checks.sarif import report_sarif
from slidekit.checks.talk import Checked, Remark


def report(checked: Checked, storyboard: Path, form: Literal["text", "json", "sarif"]) -> str:
    """What a check of `storyboard` found, in the form the author asks for."""
    match form:
        case "text":
            return report_text(checked, storyboard)
        case "json":
            return report_json(checked, storyboard)
        case "sarif":
            return report_sarif(checked)


def report_text(checked: Checked, storyboard: Path) -> str:
    """One line for each remark, then what was waived and what could not be looked at."""
    lines = [str(remark) for remark in checked.remarks]
    if not lines:
        lines = [f"{storyboard}: nothing to look at again"]
    lines += [f"waived: {remark} ({remark.because})" for remark in checked.waived]
    for why in dict.fromkeys(why for _, why in checked.unchecked):
        rules = ", ".join(rule for rule, other in checked.unchecked if other == why)
        lines.append(f"not checked: {rules}: {why}")
    return "\n".join(lines) + "\n"


def report_json(checked: Checked, storyboard: Path) -> str:
    """The same, one object for each remark."""
    report = {
        "storyboard": str(storyboard),
        "remarks": [_object(remark) for remark in checked.remarks],
        "waived": [_object(remark) for remark in checked.waived],
        "not_checked": [{"rule": rule, "why": why} for rule, why in checked.unchecked],
    }
    return json.dumps(report, indent=1, ensure_ascii=False) + "\n"


def _object(remark: Remark) -> dict[str, object]:
    fields = asdict(remark) | {"file": str(remark.file)}
    return {name: value for name, value in fields.items() if name != "because" or value}
