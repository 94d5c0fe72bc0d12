"""The layouts of a timeline: what is written, how large, and in which rows. No shapes yet."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil
from typing import TypeAlias

from slidekit.evidence.dates import Date
from slidekit.scene.model import Paragraph
from slidekit.scene.style import Style
from slidekit.scene.text import line_width_mm
from slidekit.scene.timeline.axis import Scale, Tick, scale_for
from slidekit.scene.timeline.labels import Label, label_in, labels_in
from slidekit.scene.timeline.places import (
    POLE_GAP_MM,
    Bar,
    Flag,
    PlacedBar,
    Span,
    place_bars,
    place_flags,
)
from slidekit.scene.timeline.shapes import BarShape, bar_shape, marker_span
from slidekit.scene.timeline.story import Dates, PeriodEntry, Story, event_words, period_words

BAR_PAD_MM = (1.8, 1.2)  # between a bar's edge and its label, across and down
BAR_GAP_MM = 2.4  # between rows of bars
FLAG_GAP_MM = 2.5  # between rows of flags
_MOST_FLAG_ROWS = 8
_MOST_LINES = 4

_Writing: TypeAlias = tuple[float, Dates, Style]  # size in points, which dates, colours


@dataclass(frozen=True)
class Flags:
    """Events: label, flag and marker of each, and the height of each row."""

    labels: tuple[Label, ...]
    flags: tuple[Flag, ...]
    markers: tuple[Span, ...]
    levels: tuple[int, ...]  # how often each marker is lifted; 0 is on the axis
    rows_mm: tuple[float, ...]

    @property
    def height_mm(self) -> float:
        return sum(self.rows_mm) + FLAG_GAP_MM * len(self.rows_mm)


@dataclass(frozen=True)
class Bars:
    """Periods: label, shape and place of each, and the height of each row."""

    labels: tuple[Label, ...]
    shapes: tuple[BarShape, ...]
    placed: tuple[PlacedBar, ...]
    rows_mm: tuple[float, ...]

    @property
    def height_mm(self) -> float:
        return sum(self.rows_mm) + BAR_GAP_MM * len(self.rows_mm)


@dataclass(frozen=True)
class Plan:
    """One layout of a whole timeline at one type size."""

    size_pt: float
    dates: Dates
    scale: Scale
    ticks: tuple[Tick, ...]
    flags: Flags
    bars: Bars


def plans_at(
    story: Story, room: Span, size_pt: float, dates: Dates, style: Style
) -> Iterator[Plan]:
    """Layouts at one size, with labels of one line up to several; none if flags would collide."""
    scale, ticks = scale_for(
        story.years, room, story.era, lambda text: line_width_mm(text, size_pt) * 1.02 + 0.3
    )
    writing = (size_pt, dates, style)
    flags = _flags(story, scale, room, writing)
    if flags is not None:
        for bars in _bars(story, scale, room, writing):
            yield Plan(size_pt, dates, scale, ticks, flags, bars)


def _flags(story: Story, scale: Scale, room: Span, writing: _Writing) -> Flags | None:
    """The flags of least height, or None if there is no way to keep them apart."""
    if not story.events:
        return Flags((), (), (), (), ())
    size_pt, dates, style = writing
    texts = [event_words(event, story.era, dates, style) for event in story.events]
    markers = tuple(marker_span(event.date, scale) for event in story.events)
    poles = [(span.left_mm + span.right_mm) / 2 for span in markers]
    levels = _levels([event.date for event in story.events], markers)
    found = []
    for lines in range(1, _MOST_LINES + 1):
        labels = labels_in(texts, size_pt, lines)
        flags = labels and _fewest_rows(poles, [label.width_mm for label in labels], room)
        if labels and flags:
            rows_mm = _row_heights(labels, [flag.row for flag in flags], 0.0)
            found.append(Flags(tuple(labels), flags, markers, levels, rows_mm))
    return min(found, key=lambda flags: flags.height_mm, default=None)


def _fewest_rows(
    poles_mm: Sequence[float], widths_mm: Sequence[float], room: Span
) -> tuple[Flag, ...] | None:
    needed = sum(width + POLE_GAP_MM for width in widths_mm) / room.width_mm
    for rows in range(ceil(needed), _MOST_FLAG_ROWS + 1):
        if flags := place_flags(poles_mm, widths_mm, room, rows):
            return flags
    return None


def _levels(dates: Sequence[Date], markers: Sequence[Span]) -> tuple[int, ...]:
    """Spans that would cover each other are lifted off the axis; dots show on top of them."""
    levels: list[int] = []
    spans: list[int] = []
    for i, date in enumerate(dates):
        level = 0
        if date.earliest < date.latest:
            taken = {levels[j] for j in spans if markers[i].meets(markers[j])}
            level = next(free for free in range(i + 1) if free not in taken)
            spans.append(i)
        levels.append(level)
    return tuple(levels)


def _bars(story: Story, scale: Scale, room: Span, writing: _Writing) -> Iterator[Bars]:
    if not story.periods:
        yield Bars((), (), (), ())
        return
    size_pt, dates, style = writing
    texts = [period_words(period, story.era, dates, style) for period in story.periods]
    shapes = tuple(bar_shape(period.start, period.end, scale) for period in story.periods)
    insides = [_inside(*pair) for pair in zip(shapes, story.periods, strict=True)]
    lanes = [period.lane for period in story.periods]
    for lines in range(1, _MOST_LINES + 1):
        fitted = [
            _bar_label(text, inside, size_pt, lines)
            for text, inside in zip(texts, insides, strict=True)
        ]
        labels = tuple(label for label in fitted if label is not None)
        if len(labels) < len(fitted):
            continue
        wanted = [
            Bar(shape.whole, inside, lane, label.width_mm)
            for shape, inside, lane, label in zip(shapes, insides, lanes, labels, strict=True)
        ]
        if placed := place_bars(wanted, room):
            rows_mm = _row_heights(labels, [bar.row for bar in placed], 2 * BAR_PAD_MM[1])
            yield Bars(labels, shapes, placed, rows_mm)


def _inside(shape: BarShape, period: PeriodEntry) -> Span:
    """Where a label may stand: that of a highlighted period needs the solid fill under it."""
    left, right = shape.solid if period.highlighted else shape.whole
    return Span(left + BAR_PAD_MM[0], right - BAR_PAD_MM[0])


def _bar_label(
    text: tuple[Paragraph, ...], inside: Span, size_pt: float, most_lines: int
) -> Label | None:
    """In as few lines as fit inside the bar; if none do, as narrow as may be."""
    tried = [label_in(text, size_pt, lines) for lines in range(1, most_lines + 1)]
    labels = [label for label in tried if label is not None]
    fitting = [label for label in labels if label.width_mm <= inside.width_mm]
    return fitting[0] if fitting else labels[-1] if labels else None


def _row_heights(
    labels: Sequence[Label], rows: Sequence[int], extra_mm: float
) -> tuple[float, ...]:
    heights = [0.0] * (max(rows) + 1)
    for label, row in zip(labels, rows, strict=True):
        heights[row] = max(heights[row], label.height_mm + extra_mm)
    return tuple(heights)
