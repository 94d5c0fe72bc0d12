"""The legend of a timeline: a sample for each way in which a date may be less than known, for
compressed time, and notes in words."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate

from slidekit.evidence.dates.years import Date
from slidekit.scene.model import Box, Group, Rect, Shape, Text
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, line_width_mm
from slidekit.scene.timeline.axis import Scale
from slidekit.scene.timeline.ground import closer, hatching
from slidekit.scene.timeline.places import Span
from slidekit.scene.timeline.shapes import DOT_MM, BarShape, End, draw_bar, draw_marker, end_of
from slidekit.scene.timeline.story import Story
from slidekit.scene.type_units import line_mm
from slidekit.wording import labelled, phrase

_SAMPLE_MM = 13.0
_SAMPLE_HEIGHT_MM = 5.0
_SAMPLE_GAP_MM = 2.5
_ENTRY_GAP_MM = 9.0
_GAP_ABOVE_MM = 5.0

_FIRM = End(approximate=False, uncertain=False)


@dataclass(frozen=True)
class _Entry:
    text: str
    draw: Callable[[Box, Style], Sequence[Shape]]

    @property
    def sample_mm(self) -> float:
        return {_ring: 2 * DOT_MM, _nothing: 0.0}.get(self.draw, _SAMPLE_MM)


def legend_height_mm(story: Story, scale: Scale, width_mm: float, style: Style) -> float:
    """Height of the legend with the gap above it; 0 if there is nothing to explain."""
    rows = len(_rows(story, scale, width_mm, style))
    return rows * _row_mm(style) + _GAP_ABOVE_MM if rows else 0.0


def compose_legend(story: Story, scale: Scale, box: Box, style: Style) -> tuple[Group, ...]:
    """One group at the bottom left of `box`, or none."""
    rows = _rows(story, scale, box.width_mm, style)
    if not rows:
        return ()
    items: list[Shape | Text] = []
    for number, row in enumerate(rows):
        top = box.bottom_mm - (len(rows) - number) * _row_mm(style)
        lefts = accumulate((_width_mm(one, style) for one in row[:-1]), initial=box.left_mm)
        for entry, left in zip(row, lefts, strict=True):
            items += _entry(entry, left, top, style)
    words = "; ".join(entry.text for row in rows for entry in row)
    return (Group("Legend", phrase("Legend of the timeline: {words}", words=words), tuple(items)),)


def _row_mm(style: Style) -> float:
    return line_mm(style.sizes["label"].least_pt) + 1.0


def _entries(story: Story, scale: Scale) -> list[_Entry]:
    starts = [end_of(period.start, is_start=True) for period in story.periods]
    ends = starts + [end_of(period.end, is_start=False) for period in story.periods]
    moments = [date for event in story.events for date in event.date.choices or (event.date,)]
    open_sided = [date for date in moments if date.first is None or date.last is None]
    found = [
        (any(end.approximate for end in ends), phrase("approximate"), _soft_bar),
        (any(end.uncertain for end in ends), phrase("uncertain"), _dashed_bar),
        (
            any(end.open for end in ends) or bool(open_sided),
            phrase("goes on, or no limit is known"),
            _pointed_bar,
        ),
        (any(map(_is_vague, moments)), phrase("approximate or uncertain moment"), _ring),
        (
            any(not date.is_moment and date not in open_sided for date in moments),
            phrase("some time within"),
            _span,
        ),
        (bool(scale.compressed), closer(scale), _hatched),
    ]
    return [_Entry(text, draw) for is_used, text, draw in found if is_used]


def _notes(story: Story) -> list[str]:
    """Words alone, each from a new line on: what was counted, and which samples were dated."""
    notes = [story.counted.words] if story.counted else []
    dated = [labelled(event.label, event.reference) for event in story.events if event.reference]
    if dated:
        notes.append("; ".join(dated))
    return notes


def _nothing(_box: Box, _style: Style) -> Sequence[Shape]:
    return ()


def _is_vague(date: Date) -> bool:
    return date.is_moment and (date.approximate or date.uncertain)


def _hatched(box: Box, style: Style) -> Sequence[Shape]:
    return [Rect(box, fill=style.colors.plate), *hatching(box, style)]


def _pointed_bar(box: Box, style: Style) -> Sequence[Shape]:
    return _half_bar(box, style, End(approximate=False, uncertain=False, open=True))


def _soft_bar(box: Box, style: Style) -> Sequence[Shape]:
    return _half_bar(box, style, End(approximate=True, uncertain=False))


def _dashed_bar(box: Box, style: Style) -> Sequence[Shape]:
    return _half_bar(box, style, End(approximate=False, uncertain=True))


def _half_bar(box: Box, style: Style, start: End) -> Sequence[Shape]:
    whole = Span(box.left_mm, box.right_mm)
    solid = Span(box.left_mm + 3.5 if start.open else box.center_mm[0] + 1, box.right_mm)
    bar = BarShape(whole, solid, start, _FIRM)
    return draw_bar(bar, box.top_mm, box.height_mm, style, highlighted=False)


def _ring(box: Box, style: Style) -> Sequence[Shape]:
    span = Span(box.left_mm, box.right_mm)
    date = Date(1, 1, approximate=True)
    return (draw_marker(date, span, box.center_mm[1], style, highlighted=False),)


def _span(box: Box, style: Style) -> Sequence[Shape]:
    span = Span(box.left_mm, box.right_mm)
    return (draw_marker(Date(1, 2), span, box.center_mm[1], style, highlighted=False),)


def _text_mm(text: str, style: Style) -> float:
    return line_width_mm(text, style.sizes["label"].least_pt) * 1.02 + 0.5


def _indent_mm(entry: _Entry) -> float:
    return entry.sample_mm + _SAMPLE_GAP_MM if entry.sample_mm else 0.0


def _width_mm(entry: _Entry, style: Style) -> float:
    return _indent_mm(entry) + _text_mm(entry.text, style) + _ENTRY_GAP_MM


def _rows(story: Story, scale: Scale, width_mm: float, style: Style) -> list[list[_Entry]]:
    rows: list[list[_Entry]] = []
    left = 0.0
    for entry in _entries(story, scale):
        entry_mm = _width_mm(entry, style)
        if not rows or left + entry_mm - _ENTRY_GAP_MM > width_mm:
            rows.append([])
            left = 0.0
        rows[-1].append(entry)
        left += entry_mm
    lines = [line for note in _notes(story) for line in _lines(note, width_mm, style)]
    return rows + [[_Entry(line, _nothing)] for line in lines]


def _lines(note: str, width_mm: float, style: Style) -> list[str]:
    """The note in lines that are not too long."""
    lines: list[str] = []
    for word in note.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and _text_mm(longer, style) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _entry(entry: _Entry, left_mm: float, top_mm: float, style: Style) -> list[Shape | Text]:
    row_mm = _row_mm(style)
    sample_top = top_mm + (row_mm - _SAMPLE_HEIGHT_MM) / 2
    sample = Box(left_mm, sample_top, entry.sample_mm, _SAMPLE_HEIGHT_MM)
    text = Text(
        Box(left_mm + _indent_mm(entry), top_mm, _text_mm(entry.text, style), row_mm),
        as_written(entry.text),
        style.sizes["label"].least_pt,
        style.colors.quiet,
        "label",
        anchor="middle",
    )
    return [*entry.draw(sample, style), text]
