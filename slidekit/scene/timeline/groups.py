"""The parts of a timeline as groups that appear, move and are read aloud as one."""

from typing import Literal

from slidekit.evidence.dates import Date, say_date
from slidekit.scene.color import mix
from slidekit.scene.model import Box, Group, Polyline, Shape, Stroke, Text
from slidekit.scene.style import Style
from slidekit.scene.text import paragraphs_of
from slidekit.scene.timeline.heights import TICK_MM, Heights
from slidekit.scene.timeline.labels import Label
from slidekit.scene.timeline.places import LabelPlace, Span
from slidekit.scene.timeline.plan import Plan
from slidekit.scene.timeline.shapes import bar_colors, draw_bar, draw_marker
from slidekit.scene.timeline.story import Story

_ALIGN: dict[LabelPlace, Literal["left", "center", "right"]] = {
    "inside": "center",
    "right": "left",
    "left": "right",
}
_AXIS_PT = 2.0
_POLE_PT = 1.0
_GRID_PT = 0.75
_GRID_SHARE = 0.14  # of the text colour, in the lines that carry the years through the bars


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
    left, right = plan.scale.left_mm, plan.scale.left_mm + plan.scale.width_mm
    items.append(Polyline(((left, y), (right, y)), stroke=stroke))
    first, last = (say_date(Date(year, year), story.era) for year in story.years)
    alt = f"Time axis, to scale; the dates run from {first} to {last}"
    return Group("Time axis", alt, tuple(items))


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
        alt = f"Period: {period.label}, {period.said(story.era)}"
        groups.append(
            Group(f"Period: {period.label}", _highlighted(alt, period.highlighted), (*bar, text))
        )
    return groups


def event_groups(story: Story, plan: Plan, heights: Heights, style: Style) -> list[Group]:
    """One group per event: its pole, its marker on the axis, and its label."""
    groups = []
    # a dot within a span comes after it, and so shows on top of it
    for i in sorted(range(len(story.events)), key=lambda i: story.events[i].span):
        event, flag, label = story.events[i], plan.flags.flags[i], plan.flags.labels[i]
        marker_mm = heights.marker_mm(plan.flags.levels[i])
        bottom = heights.flag_bottoms_mm[flag.row]
        box = _label_box(label, flag.label, bottom - label.height_mm)
        color = style.colors.accent if event.highlighted else style.colors.quiet
        ends = ((flag.pole_mm, box.top_mm + 0.8), (flag.pole_mm, marker_mm))
        items = (
            Polyline(ends, stroke=Stroke(color, _POLE_PT)),
            draw_marker(
                event.date, plan.flags.markers[i], marker_mm, style, highlighted=event.highlighted
            ),
            Text(
                box,
                label.paragraphs,
                plan.size_pt,
                style.colors.ink,
                "label",
                align="left" if flag.side == "right" else "right",
                anchor="bottom",
            ),
        )
        alt = f"Event: {event.label}, {event.said(story.era)}"
        groups.append(Group(f"Event: {event.label}", _highlighted(alt, event.highlighted), items))
    return groups


def _label_box(label: Label, across: Span, top_mm: float) -> Box:
    return Box(across.left_mm, top_mm, across.width_mm, label.height_mm)


def _highlighted(alt: str, highlighted: bool) -> str:
    return f"{alt}, highlighted" if highlighted else alt
