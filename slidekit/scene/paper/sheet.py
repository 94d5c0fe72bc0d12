"""A sheet of A4 with its margins, head and foot: dark on white, whatever the look of the slides."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from slidekit.scene.model import Box, Item, Page, Paragraph, Polyline, Stroke, Text
from slidekit.scene.style import Size
from slidekit.scene.text import as_written, drawn_height_mm, fit_size_pt, paragraphs_of

A4_MM = (210.0, 297.0)
MARGIN_MM = 18.0
FOOT_MM = 10.0
GROUND, INK, QUIET, RULE, ACCENT = "#FFFFFF", "#111111", "#555555", "#BBBBBB", "#8A2B00"
"""Contrast on white: 18.9, 7.5, 1.9 (lines only) and 8.4 to one (WCAG 2.2)."""
CONTENT = Box(MARGIN_MM, MARGIN_MM, A4_MM[0] - 2 * MARGIN_MM, A4_MM[1] - 2 * MARGIN_MM - FOOT_MM)
DATA_PT = 10.0
HEAD_SIZE = Size(pt=16, least_pt=11)
HEAD_GAP_MM = 5.0
HEAD_MOST_MM = 24.0


@dataclass(frozen=True)
class Imprint:
    """What stands at the foot of every sheet."""

    id: str  # of its pages: "script"
    line: str  # title and speaker
    language: str


def set_text(
    paragraphs: Sequence[Paragraph],
    place_mm: tuple[float, float, float],
    size_pt: float,
    color: str = INK,
) -> Text:
    """Text from a place (left, top, width) down, as high as it needs."""
    left_mm, top_mm, width_mm = place_mm
    box = Box(left_mm, top_mm, width_mm, drawn_height_mm(paragraphs, width_mm, size_pt))
    return Text(box, tuple(paragraphs), size_pt, color, "body")


def head_of(title: str, data: str, top_mm: float = CONTENT.top_mm) -> tuple[Item, ...]:
    """A bold title, a quiet line below it if there is one, and a rule; the rule comes last."""
    paragraphs = paragraphs_of(title, bold=True)
    size_pt = fit_size_pt(paragraphs, CONTENT.width_mm, HEAD_MOST_MM, HEAD_SIZE, "the title")
    lines = [set_text(paragraphs, (CONTENT.left_mm, top_mm, CONTENT.width_mm), size_pt)]
    if data:
        place_mm = CONTENT.left_mm, lines[0].box.bottom_mm, CONTENT.width_mm
        lines.append(set_text(paragraphs_of(data), place_mm, DATA_PT, QUIET))
    return *lines, rule_at(lines[-1].box.bottom_mm + 1.5)


def rule_at(top_mm: float) -> Polyline:
    """A thin line across the content."""
    ends = (CONTENT.left_mm, top_mm), (CONTENT.right_mm, top_mm)
    return Polyline(ends, stroke=Stroke(RULE, 0.75))


def room_below(head: Sequence[Item]) -> Box:
    """What is left of the sheet under a head."""
    rule = head[-1]
    top_mm = (rule.points_mm[0][1] if isinstance(rule, Polyline) else CONTENT.top_mm) + HEAD_GAP_MM
    return CONTENT._replace(top_mm=top_mm, height_mm=CONTENT.bottom_mm - top_mm)


def numbered(sheets: Sequence[Sequence[Item]], imprint: Imprint) -> tuple[Page, ...]:
    """The sheets as pages, each with its foot: "3 of 12"."""
    return tuple(
        _page(items, imprint, number, len(sheets)) for number, items in enumerate(sheets, start=1)
    )


def _page(items: Sequence[Item], imprint: Imprint, number: int, of: int) -> Page:
    top_mm = A4_MM[1] - MARGIN_MM - 4.0
    width_mm = CONTENT.width_mm
    line = paragraphs_of(imprint.line)
    size_pt = fit_size_pt(line, width_mm - 25, 8, Size(pt=9, least_pt=6), "title and speaker")
    left = set_text(line, (CONTENT.left_mm, top_mm, width_mm - 25), size_pt, color=QUIET)
    place_mm = CONTENT.right_mm - 25, top_mm, 25
    count = as_written(f"{number}/{of}")
    right = replace(set_text(count, place_mm, 9, color=QUIET), align="right")
    return Page(
        f"{imprint.id}-{number}",
        f"{imprint.line} {number}/{of}",
        "title_only",
        A4_MM,
        GROUND,
        (*items, left, right),
        language=imprint.language,
    )
