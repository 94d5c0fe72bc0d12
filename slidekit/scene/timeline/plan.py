"""The layouts of a timeline: what is written, how large, and in which rows. No shapes yet."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import count
from math import ceil
from typing import TypeAlias

from slidekit.scene.model import Paragraph
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, line_width_mm
from slidekit.scene.timeline.axis import Extent, Scale, Tick, scale_for
from slidekit.scene.timeline.labels import Label, label_in, labels_in
from slidekit.scene.timeline.places import (
    POLE_GAP_MM,
    Bar,
    Flag,
    PlacedBar,
    Span,
    place_bars,
    place_flags,
    spread_apart,
)
from slidekit.scene.timeline.shapes import BarShape, bar_shape, marker_span
from slidekit.scene.timeline.story import (
    Dates,
    EventEntry,
    PeriodEntry,
    Story,
    event_words,
    period_words,
)

BAR_PAD_MM = (1.8, 1.2)  # between a bar's edge and its label, across and down
BAR_GAP_MM = 2.4  # between rows of bars
FLAG_GAP_MM = 2.5  # between rows of flags
CASE_PAD_MM = (2.0, 0.8)  # around the label of the case of the talk, on its plate
LANE_GAP_MM = 4.0  # between the names of lanes and the axis
_NUMBER_GAP_MM = 2.0  # between two counts
_MOST_LANE_SHARE = 0.2  # of the width, for the names of lanes
_MOST_FLAG_ROWS = 8
_MOST_LINES = 4

_Writing: TypeAlias = tuple[float, Dates, Style]  # size in points, which dates, colours


@dataclass(frozen=True)
class Flags:
    """Events: label, flag and marker of each, and the height of each row."""

    labels: tuple[Label, ...] = ()
    flags: tuple[Flag, ...] = ()
    markers: tuple[Span, ...] = ()
    levels: tuple[int, ...] = ()  # how often each marker is lifted; 0 is on the axis
    rows_mm: tuple[float, ...] = ()

    @property
    def height_mm(self) -> float:
        return sum(self.rows_mm) + FLAG_GAP_MM * len(self.rows_mm)


@dataclass(frozen=True)
class Bars:
    """Periods: label, shape and place of each, and the height of each row."""

    labels: tuple[Label, ...] = ()
    shapes: tuple[BarShape, ...] = ()
    placed: tuple[PlacedBar, ...] = ()
    rows_mm: tuple[float, ...] = ()

    @property
    def height_mm(self) -> float:
        return sum(self.rows_mm) + BAR_GAP_MM * len(self.rows_mm)


@dataclass(frozen=True)
class Lane:
    """A lane with a name: its label, and its first and last row of bars."""

    label: Label
    rows: tuple[int, int]


@dataclass(frozen=True)
class Column:
    """A count under a period: of which, where it stands, and where the period has its middle."""

    period: int
    number: str
    across: Span
    middle_mm: float


@dataclass(frozen=True)
class Plan:
    """One layout of a whole timeline at one type size."""

    size_pt: float
    dates: Dates
    scale: Scale
    ticks: tuple[Tick, ...]
    flags: Flags
    bars: Bars
    lanes: tuple[Lane, ...] = ()
    columns: tuple[Column, ...] = ()


def plans_at(
    story: Story, room: Span, size_pt: float, dates: Dates, style: Style
) -> Iterator[Plan]:
    """Layouts at one size, with labels of one line up to several; none if flags would collide."""
    lanes = _lane_labels(story, room, size_pt)
    if lanes is None:
        return
    widest = max((label.width_mm for label in lanes.values()), default=-LANE_GAP_MM)
    room = Span(room.left_mm + widest + LANE_GAP_MM, room.right_mm)
    years = Extent(*story.years, story.in_days, story.opens, story.zooms)
    scale, ticks = scale_for(
        years, room, story.manner, lambda text: line_width_mm(text, size_pt) * 1.02 + 0.3
    )
    writing = (size_pt, dates, style)
    flags = _flags(story, scale, room, writing)
    columns = _columns(story, scale, room, size_pt)
    if flags is None or columns is None:
        return
    for bars in _bars(story, scale, room, writing):
        placed, named = _named_lanes(story, bars, lanes)
        yield Plan(size_pt, dates, scale, ticks, flags, placed, named, columns)


def _lane_labels(story: Story, room: Span, size_pt: float) -> Mapping[int, Label] | None:
    """The names of the lanes in up to three lines; None if one is too wide."""
    labels: dict[int, Label] = {}
    for lane, name in story.lanes.items():
        label = label_in(as_written(name, bold=True), size_pt, 3)
        if label is None or label.width_mm > _MOST_LANE_SHARE * room.width_mm:
            return None
        labels[lane] = label
    return labels


def _named_lanes(
    story: Story, bars: Bars, labels: Mapping[int, Label]
) -> tuple[Bars, tuple[Lane, ...]]:
    """The lanes that have names; their rows are made high enough for these."""
    rows_mm = list(bars.rows_mm)
    lanes = []
    for number, label in labels.items():
        rows = [
            placed.row
            for period, placed in zip(story.periods, bars.placed, strict=True)
            if period.lane == number
        ]
        first, last = min(rows), max(rows)
        height = sum(rows_mm[first : last + 1]) + BAR_GAP_MM * (last - first)
        for row in range(first, last + 1):
            rows_mm[row] += max(label.height_mm - height, 0.0) / (last - first + 1)
        lanes.append(Lane(label, (first, last)))
    return Bars(bars.labels, bars.shapes, bars.placed, tuple(rows_mm)), tuple(lanes)


def _columns(story: Story, scale: Scale, room: Span, size_pt: float) -> tuple[Column, ...] | None:
    """Counts under the middles of their periods, moved apart where they would meet; None if there
    is no room for all of them."""
    if story.counted is None:
        return ()
    wanted = []
    for i, period in enumerate(story.periods):
        if (cases := story.counted.cases.get(period.name)) is not None:
            whole = bar_shape(period.start, period.end, scale).whole
            number = str(cases)
            width = line_width_mm(number, size_pt) * 1.02 + 0.3
            wanted.append((sum(whole) / 2, width, i, number))
    wanted.sort()
    spans = spread_apart(
        [one[0] for one in wanted], [one[1] for one in wanted], room, _NUMBER_GAP_MM
    )
    if spans is None:
        return None
    return tuple(
        Column(i, number, span, middle)
        for (middle, _, i, number), span in zip(wanted, spans, strict=True)
    )


def _flags(story: Story, scale: Scale, room: Span, writing: _Writing) -> Flags | None:
    """The flags of least height, or None if there is no way to keep them apart."""
    if not story.events:
        return Flags()
    size_pt, dates, style = writing
    texts = [event_words(event, story.manner, dates, style) for event in story.events]
    markers = tuple(marker_span(event.date, scale) for event in story.events)
    poles = tuple((span.left_mm + span.right_mm) / 2 for span in markers)
    levels = _levels(story.events, markers)
    found = []
    for lines in range(1, _MOST_LINES + 1):
        fitted = labels_in(texts, size_pt, lines)
        labels = fitted and [
            label.padded(*CASE_PAD_MM) if event.is_case else label
            for event, label in zip(story.events, fitted, strict=True)
        ]
        flags = labels and _fewest_rows(poles, tuple(label.width_mm for label in labels), room)
        if labels and flags:
            rows_mm = _row_heights(labels, [flag.row for flag in flags], 0.0)
            found.append(Flags(tuple(labels), flags, markers, levels, rows_mm))
    return min(found, key=lambda flags: flags.height_mm, default=None)


@lru_cache(maxsize=256)  # asked again for every way to write the dates of periods
def _fewest_rows(
    poles_mm: tuple[float, ...], widths_mm: tuple[float, ...], room: Span
) -> tuple[Flag, ...] | None:
    needed = sum(width + POLE_GAP_MM for width in widths_mm) / room.width_mm
    for rows in range(ceil(needed), _MOST_FLAG_ROWS + 1):
        if flags := place_flags(poles_mm, widths_mm, room, rows):
            return flags
    return None


def _levels(events: Sequence[EventEntry], markers: Sequence[Span]) -> tuple[int, ...]:
    """Spans that would cover each other are lifted off the axis, but not the case of the talk;
    dots show on top of them."""
    levels = [0] * len(events)
    spans: list[int] = []
    for i in sorted(range(len(events)), key=lambda i: not events[i].is_case):
        if not events[i].date.is_moment:
            taken = {levels[j] for j in spans if markers[i].meets(markers[j])}
            lowest = 1 if events[i].date.choices else 0  # the line of a set is not the axis
            levels[i] = next(free for free in count(lowest) if free not in taken)
            spans.append(i)
    return tuple(levels)


def _bars(story: Story, scale: Scale, room: Span, writing: _Writing) -> Iterator[Bars]:
    if not story.periods:
        yield Bars()
        return
    size_pt, dates, style = writing
    texts = [period_words(period, story.manner, dates, style) for period in story.periods]
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
