"""The legend of a timeline: a sample for each way in which a date may be less than known."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate

from slidekit.evidence.dates import Date
from slidekit.scene.model import Box, Group, Paragraph, Run, Shape, Text
from slidekit.scene.style import Style
from slidekit.scene.text import line_width_mm
from slidekit.scene.timeline.labels import pitch_mm
from slidekit.scene.timeline.places import Span
from slidekit.scene.timeline.shapes import DOT_MM, BarShape, End, draw_bar, draw_marker, end_of
from slidekit.scene.timeline.story import Story

_SAMPLE_MM = 13.0
_SAMPLE_HEIGHT_MM = 5.0
_SAMPLE_GAP_MM = 2.5
_ENTRY_GAP_MM = 9.0
_GAP_ABOVE_MM = 5.0

_FIRM = End(approximate=False, uncertain=False)


@dataclass(frozen=True)
class _Entry:
    text: str
    sample_mm: float
    draw: Callable[[Box, Style], Sequence[Shape]]


def legend_height_mm(story: Story, width_mm: float, style: Style) -> float:
    """Height of the legend with the gap above it; 0 if every date is known to the year."""
    rows = len(_rows(_entries(story), width_mm, style))
    return rows * _row_mm(style) + _GAP_ABOVE_MM if rows else 0.0


def compose_legend(story: Story, box: Box, style: Style) -> tuple[Group, ...]:
    """One group at the bottom left of `box`, or none."""
    rows = _rows(_entries(story), box.width_mm, style)
    if not rows:
        return ()
    items: list[Shape | Text] = []
    for number, row in enumerate(rows):
        top = box.bottom_mm - (len(rows) - number) * _row_mm(style)
        lefts = accumulate((_width_mm(one, style) for one in row[:-1]), initial=box.left_mm)
        for entry, left in zip(row, lefts, strict=True):
            items += _entry(entry, left, top, style)
    words = "; ".join(entry.text for row in rows for entry in row)
    return (Group("Legend", f"Legend of the drawn dates: {words}", tuple(items)),)


def _row_mm(style: Style) -> float:
    return pitch_mm(style.sizes["label"].least_pt) + 1.0


def _entries(story: Story) -> list[_Entry]:
    ends = [end_of(date) for period in story.periods for date in (period.start, period.end)]
    moments = [event.date for event in story.events]
    found = [
        (any(end.approximate for end in ends), _Entry("approximate", _SAMPLE_MM, _soft_bar)),
        (any(end.uncertain for end in ends), _Entry("uncertain", _SAMPLE_MM, _dashed_bar)),
        (
            any(_is_vague(date) for date in moments),
            _Entry("approximate or uncertain moment", 2 * DOT_MM, _ring),
        ),
        (
            any(date.earliest < date.latest for date in moments),
            _Entry("some time within", _SAMPLE_MM, _span),
        ),
    ]
    return [entry for is_used, entry in found if is_used]


def _is_vague(date: Date) -> bool:
    return date.earliest == date.latest and (date.approximate or date.uncertain)


def _soft_bar(box: Box, style: Style) -> Sequence[Shape]:
    return _half_bar(box, style, End(approximate=True, uncertain=False))


def _dashed_bar(box: Box, style: Style) -> Sequence[Shape]:
    return _half_bar(box, style, End(approximate=False, uncertain=True))


def _half_bar(box: Box, style: Style, start: End) -> Sequence[Shape]:
    whole = Span(box.left_mm, box.right_mm)
    bar = BarShape(whole, Span(box.center_mm[0] + 1, box.right_mm), start, _FIRM)
    return draw_bar(bar, box.top_mm, box.height_mm, style, highlighted=False)


def _ring(box: Box, style: Style) -> Sequence[Shape]:
    span = Span(box.left_mm, box.right_mm)
    date = Date(1, 1, approximate=True)
    return (draw_marker(date, span, box.center_mm[1], style, highlighted=False),)


def _span(box: Box, style: Style) -> Sequence[Shape]:
    span = Span(box.left_mm, box.right_mm)
    return (draw_marker(Date(1, 2), span, box.center_mm[1], style, highlighted=False),)


def _text_mm(entry: _Entry, style: Style) -> float:
    return line_width_mm(entry.text, style.sizes["label"].least_pt) * 1.02 + 0.5


def _width_mm(entry: _Entry, style: Style) -> float:
    return entry.sample_mm + _SAMPLE_GAP_MM + _text_mm(entry, style) + _ENTRY_GAP_MM


def _rows(entries: Sequence[_Entry], width_mm: float, style: Style) -> list[list[_Entry]]:
    rows: list[list[_Entry]] = []
    left = 0.0
    for entry in entries:
        entry_mm = _width_mm(entry, style)
        if not rows or left + entry_mm - _ENTRY_GAP_MM > width_mm:
            rows.append([])
            left = 0.0
        rows[-1].append(entry)
        left += entry_mm
    return rows


def _entry(entry: _Entry, left_mm: float, top_mm: float, style: Style) -> list[Shape | Text]:
    row_mm = _row_mm(style)
    height = _SAMPLE_HEIGHT_MM
    sample = Box(left_mm, top_mm + (row_mm - height) / 2, entry.sample_mm, height)
    text = Text(
        Box(sample.right_mm + _SAMPLE_GAP_MM, top_mm, _text_mm(entry, style), row_mm),
        (Paragraph((Run(entry.text),)),),
        style.sizes["label"].least_pt,
        style.colors.quiet,
        "label",
        anchor="middle",
    )
    return [*entry.draw(sample, style), text]
