"""The parts of a timeline as groups that appear, move and are read aloud as one."""

from collections.abc import Iterator
from typing import Literal

from slidekit.evidence.dates.spoken import say_date
from slidekit.evidence.dates.years import Date
from slidekit.scene.color import mix
from slidekit.scene.model import Box, Group, Polyline, Rect, Shape, Stroke, Text
from slidekit.scene.style import Style
from slidekit.scene.text import paragraphs_of
from slidekit.scene.timeline.axis import Scale
from slidekit.scene.timeline.heights import TICK_MM, Heights
from slidekit.scene.timeline.labels import Label
from slidekit.scene.timeline.places import LabelPlace, Span
from slidekit.scene.timeline.plan import CASE_PAD_MM, Plan
from slidekit.scene.timeline.shapes import bar_colors, draw_bar, draw_marker, marker_span
from slidekit.scene.timeline.story import EventEntry, PeriodEntry, Story
from slidekit.scene.timeline.stretches import breaks_mm
from slidekit.scene.type_units import line_mm
from slidekit.wording import phrase

_ALIGN: dict[LabelPlace, Literal["left", "center", "right"]] = {
    "inside": "center",
    "right": "left",
    "left": "right",
}
_AXIS_PT = 2.0
_POLE_PT = 1.0
_CASE_POLE_PT = 2.5
_GRID_PT = 0.75
_GRID_SHARE = 0.14  # of the text colour, in the lines that carry the years through the bars
_BREAK_MM = 1.8  # of the axis, left out where its scale changes
_BREAK_HALF_MM = 2.4  # half the height of the strokes beside it
_COLUMN_MM = 4.0  # width of a column


def axis_group(story: Story, plan: Plan, heights: Heights, style: Style) -> Group:
    """The axis, its years, and a faint line from each year down through the bars."""
    stroke = Stroke(style.colors.quiet, _AXIS_PT)
    y = heights.axis_mm
    items: list[Shape | Text] = [*_grid(plan, heights, style)]
    for tick in plan.ticks:
        x = plan.scale.x_mm(tick.year)
        items.append(Polyline(((x, y), (x, y + TICK_MM)), stroke=stroke))
        top, bottom = heights.years_mm
        box = Box(tick.label_mm.left_mm, top, tick.label_mm.width_mm, bottom - top)
        words = paragraphs_of(tick.label)
        items.append(Text(box, words, plan.size_pt, style.colors.quiet, "label", align="center"))
    items += _axis_line(plan.scale, y, stroke)
    years = [int(year) for year in story.years]
    first, last = (say_date(Date(year, year), story.manner) for year in years)
    alt = phrase("Time axis; the dates run from {first} to {last}", first=first, last=last)
    return Group("Time axis", alt, tuple(items))


def _axis_line(scale: Scale, y_mm: float, stroke: Stroke) -> Iterator[Polyline]:
    """The line, interrupted by two slanting strokes wherever the scale changes."""
    left = scale.left_mm
    for x in (*breaks_mm(scale), None):
        right = scale.right_mm if x is None else x - _BREAK_MM / 2
        yield Polyline(((left, y_mm), (right, y_mm)), stroke=stroke)
        if x is not None:
            left = x + _BREAK_MM / 2
            for at in (right, left):
                ends = ((at - 0.9, y_mm + _BREAK_HALF_MM), (at + 0.9, y_mm - _BREAK_HALF_MM))
                yield Polyline(ends, stroke=stroke)


def _grid(plan: Plan, heights: Heights, style: Style) -> list[Polyline]:
    if not heights.bars_mm:
        return []
    stroke = Stroke(mix(style.colors.ground, style.colors.ink, _GRID_SHARE), _GRID_PT)
    top, bottom = heights.years_mm[1], sum(heights.bars_mm[-1])
    xs = [plan.scale.x_mm(tick.year) for tick in plan.ticks]
    return [Polyline(((x, top), (x, bottom)), stroke=stroke) for x in xs]


def period_groups(story: Story, plan: Plan, heights: Heights, style: Style) -> list[Group]:
    """One group per period: its bar, and its label on it or beside it."""
    groups = []
    rows = plan.bars.placed
    for i in sorted(range(len(rows)), key=lambda i: (rows[i].row, plan.bars.shapes[i].whole)):
        period, placed, label = story.periods[i], rows[i], plan.bars.labels[i]
        top, height = heights.bars_mm[placed.row]
        bar = draw_bar(plan.bars.shapes[i], top, height, style, highlighted=period.highlighted)
        box = _label_box(label, placed.label, top + (height - label.height_mm) / 2)
        beside = placed.place != "inside"
        text = Text(
            box,
            label.paragraphs,
            plan.size_pt,
            style.colors.ink if beside else bar_colors(style, highlighted=period.highlighted)[2],
            "label",
            align=_ALIGN[placed.place],
            anchor="middle",
            fill=style.colors.ground if beside else None,  # over the lines of the years
        )
        when = period.said(story.manner)
        alt = phrase("Period: {label}, {dates}", label=period.label, dates=when)
        groups.append(Group(f"Period: {period.label}", _highlighted(alt, period), (*bar, text)))
    return groups


def event_groups(story: Story, plan: Plan, heights: Heights, style: Style) -> list[Group]:
    """One group per event: its pole, its marker on the axis, and its label."""
    groups = []
    for i in sorted(range(len(story.events)), key=lambda i: story.events[i].order):
        event, flag, label = story.events[i], plan.flags.flags[i], plan.flags.labels[i]
        marker_mm = heights.marker_mm(plan.flags.levels[i])
        bottom = heights.flag_bottoms_mm[flag.row]
        box = _label_box(label, flag.label, bottom - label.height_mm)
        color = style.colors.accent if event.highlighted else style.colors.quiet
        ends = ((flag.pole_mm, box.top_mm + 0.8), (flag.pole_mm, marker_mm))
        items: tuple[Shape | Text, ...] = (
            Polyline(ends, stroke=Stroke(color, _CASE_POLE_PT if event.is_case else _POLE_PT)),
            *_markers(event, plan.flags.markers[i], plan.scale, (marker_mm, style)),
            _flag_text(event, label, box, (flag.side, plan.size_pt, style)),
        )
        name, when = event.label, event.said(story.manner)
        if event.is_case:
            alt = phrase("This case: {label}, {dates}", label=name, dates=when)
            groups.append(Group(f"This case: {name}", alt, items))
        else:
            alt = phrase("Event: {label}, {dates}", label=name, dates=when)
            groups.append(Group(f"Event: {name}", _highlighted(alt, event), items))
    return groups


def _markers(
    event: EventEntry, whole: Span, scale: Scale, place: tuple[float, Style]
) -> Iterator[Shape]:
    """The marker; of a set of dates one for each, on a line."""
    y_mm, style = place
    if event.date.choices:
        color = style.colors.accent if event.highlighted else style.colors.quiet
        yield Polyline(((whole.left_mm, y_mm), (whole.right_mm, y_mm)), stroke=Stroke(color, 1.5))
    for date in event.date.choices or (event.date,):
        span = marker_span(date, scale) if event.date.choices else whole
        yield draw_marker(
            date, span, y_mm, style, highlighted=event.highlighted, is_case=event.is_case
        )


def _flag_text(event: EventEntry, label: Label, box: Box, look: tuple[str, float, Style]) -> Text:
    """The words at a pole; those of the case of the talk on a plate of the accent."""
    side, size_pt, style = look
    plate, _, on_plate = bar_colors(style, highlighted=True)
    return Text(
        box,
        label.paragraphs,
        size_pt,
        on_plate if event.is_case else style.colors.ink,
        "label",
        align="left" if side == "right" else "right",
        anchor="middle" if event.is_case else "bottom",
        inset_mm=CASE_PAD_MM if event.is_case else (0.0, 0.0),
        fill=plate if event.is_case else None,
        corner_mm=1.0 if event.is_case else 0.0,
    )


def count_groups(story: Story, plan: Plan, heights: Heights, style: Style) -> Iterator[Group]:
    """A column for each period that has a count, as long as its cases are many, with the number on
    top of it."""
    if story.counted is None or not plan.columns:
        return
    top, base = heights.counts_mm
    pitch = line_mm(plan.size_pt)
    most = max(1, *story.counted.cases.values())
    left, right = plan.scale.left_mm, plan.scale.right_mm
    rule = Stroke(style.colors.quiet, _POLE_PT)
    items: list[Shape | Text] = [Polyline(((left, base), (right, base)), stroke=rule)]
    told = []
    for column in plan.columns:
        period = story.periods[column.period]
        length = (base - top - pitch) * int(column.number) / most
        middle = (column.across.left_mm + column.across.right_mm) / 2
        fill = style.colors.accent if period.highlighted else style.colors.quiet
        if length > 0:
            box = Box(middle - _COLUMN_MM / 2, base - length, _COLUMN_MM, length)
            items.append(Rect(box, fill=fill))
        number = Box(column.across.left_mm, base - length - pitch, column.across.width_mm, pitch)
        words = paragraphs_of(column.number)
        items.append(Text(number, words, plan.size_pt, style.colors.ink, "label", align="center"))
        told.append(f"{period.label} {column.number}")
    yield Group("Cases by period", f"{story.counted.words}: {', '.join(told)}", tuple(items))


def _label_box(label: Label, across: Span, top_mm: float) -> Box:
    return Box(across.left_mm, top_mm, across.width_mm, label.height_mm)


def _highlighted(alt: str, entry: PeriodEntry | EventEntry) -> str:
    return phrase("{what}, highlighted", what=alt) if entry.highlighted else alt
