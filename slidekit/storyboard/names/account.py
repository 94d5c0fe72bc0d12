"""Faults of an account: names that lead nowhere, and stages that rest on themselves."""

from collections.abc import Iterator, Mapping
from typing import TypeAlias

from slidekit.storyboard.account import Stages
from slidekit.storyboard.findings import Finding
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.evidence import complaints_about_evidence
from slidekit.storyboard.names.lookup import (
    COUNTS,
    SHOWN,
    STAGES,
    Definitions,
    Section,
    complaint_about,
)
from slidekit.storyboard.places import FieldPath

_Complaint: TypeAlias = tuple[FieldPath, str, str]

SHOWING_STAGES: tuple[Section, ...] = tuple(section for section in SHOWN if section != STAGES)
"""What `by` may name: all that slides show, but not stages."""


def complaints_about_account(board: Storyboard, defined: Definitions) -> Iterator[_Complaint]:
    """Names that lead nowhere, stand twice, or lead back to their stage."""
    for name, stage in Stages(board.account).known.items():
        path = (*STAGES, name)
        if stage.series is not None and (
            complaint := complaint_about(stage.series, (COUNTS,), defined)
        ):
            yield (*path, "series"), *complaint
        by = (*path, "by")
        yield from complaints_about_evidence(by, stage.by, SHOWING_STAGES, board, defined)
        for i, shown in enumerate(stage.by):
            if shown in board.findings and _rests_on(shown, name, board.findings):
                wrong = f"the finding `{shown}` rests on the stage `{name}` itself"
                yield (*by, i), wrong, "Name what both rest on"


def _rests_on(finding: str, stage: str, findings: Mapping[str, Finding]) -> bool:
    """Whether the evidence of a finding has the stage, itself or through other findings."""
    waiting, seen = [finding], set[str]()
    while waiting:
        one = waiting.pop()
        if one not in seen and one in findings:
            seen.add(one)
            waiting += findings[one].rests_on
    return any(stage in findings[one].rests_on for one in seen)
