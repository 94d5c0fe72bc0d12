"""Where each line of a text stands on the page, for the writers that draw letters themselves."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Literal, TypeAlias

from slidekit.scene.fonts import ASCENT_EM, DESCENT_EM, Face, face_of, kerned_width_em
from slidekit.scene.model import Paragraph, Run, Text
from slidekit.scene.text import (
    BULLET,
    bullet_indent_mm,
    wrap_lines,
)
from slidekit.scene.type_units import LINE_PITCH_EM, MM_PER_PT, line_mm

Align: TypeAlias = Literal["left", "center", "right"]

FIRST_BASELINE_EM = (LINE_PITCH_EM - ASCENT_EM - DESCENT_EM) / 2 + ASCENT_EM
"""From the top of a line to its baseline, the reserve of the pitch shared above and below."""


@dataclass(frozen=True)
class SetRun:
    """Letters of one face and colour, from `left_mm` on the page."""

    text: str
    face: Face
    color: str
    left_mm: float


@dataclass(frozen=True)
class SetLine:
    """One line of letters on its baseline; `left_mm` and `width_mm` are of the letters."""

    runs: tuple[SetRun, ...]
    left_mm: float
    width_mm: float
    baseline_mm: float
    align: Align

    @property
    def plain(self) -> str:
        return "".join(run.text for run in self.runs)


def set_lines(text: Text) -> tuple[SetLine, ...]:
    """All lines of the text, top down, empty ones left out; a bullet is a line of its own beside
    the first line of its words.

    Runs follow each other at their kerned widths, as typesetting programs set them.
    """
    room = text.box.inset(*text.inset_mm)
    wrapped = [wrap_lines(paragraph, room.width_mm, text.size_pt) for paragraph in text.paragraphs]
    pitch_mm = line_mm(text.size_pt)
    gaps_mm = [_gap_above_mm(text.paragraphs, i) for i in range(len(wrapped))]
    height_mm = sum(gaps_mm) + pitch_mm * sum(map(len, wrapped))
    share = {"top": 0.0, "middle": 0.5, "bottom": 1.0}[text.anchor]
    baseline_mm = (
        room.top_mm
        + share * (room.height_mm - height_mm)
        + FIRST_BASELINE_EM * text.size_pt * MM_PER_PT
    )
    lines: list[SetLine] = []
    for paragraph, paragraph_lines, gap_mm in zip(text.paragraphs, wrapped, gaps_mm, strict=True):
        baseline_mm += gap_mm
        align, indent_mm = text.align, 0.0
        if paragraph.bullet:  # hangs at the left, whatever the alignment
            align, indent_mm = "left", bullet_indent_mm(text.size_pt)
            lines.append(_set_line((Run(BULLET),), text, baseline_mm, align, 0.0))
        for runs in paragraph_lines:
            if runs:
                lines.append(_set_line(runs, text, baseline_mm, align, indent_mm))
            baseline_mm += pitch_mm
    return tuple(lines)


def _gap_above_mm(paragraphs: Sequence[Paragraph], i: int) -> float:
    """There is nothing above the first paragraph that it should keep away from."""
    return paragraphs[i].space_before_pt * MM_PER_PT if i else 0.0


def _set_line(
    runs: Sequence[Run], text: Text, baseline_mm: float, align: Align, indent_mm: float
) -> SetLine:
    room = text.box.inset(*text.inset_mm)
    faces = [face_of(bold=run.bold, italic=run.italic) for run in runs]
    widths_mm = [
        kerned_width_em(run.text, face) * text.size_pt * MM_PER_PT
        for run, face in zip(runs, faces, strict=True)
    ]
    spare_mm = room.width_mm - indent_mm - sum(widths_mm)
    share = {"left": 0.0, "center": 0.5, "right": 1.0}[align]
    left_mm = room.left_mm + indent_mm + share * spare_mm
    starts_mm = accumulate(widths_mm[:-1], initial=left_mm)
    placed = tuple(
        SetRun(run.text, face, run.color or text.color, at_mm)
        for run, face, at_mm in zip(runs, faces, starts_mm, strict=True)
    )
    return SetLine(placed, left_mm, sum(widths_mm), baseline_mm, align)
