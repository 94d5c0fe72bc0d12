"""What lies behind the bars of a timeline: compressed time, lanes, and the case of the talk."""

from collections.abc import Iterator
from math import ceil, floor

from slidekit.scene.color import mix
from slidekit.scene.model import Box, Dash, Group, Polyline, Rect, Shape, Stroke, Text
from slidekit.scene.style import Style
from slidekit.scene.timeline.heights import Heights
from slidekit.scene.timeline.labels import Label
from slidekit.scene.timeline.places import Span
from slidekit.scene.timeline.plan import LANE_GAP_MM, Plan
from slidekit.scene.timeline.story import EventEntry, Story
from slidekit.scene.timeline.stretches import Scale
from slidekit.wording import figures, phrase

_RULE_PT = 0.75
_RULE_SHARE = 0.2  # of the text colour, in the lines between lanes
_CASE_SHARE = 0.24  # of the accent, in the band of the case of the talk
_HATCH_MM = 4.0  # between two lines of the hatching
_HATCH_PT = 0.6
_HATCH_SHARE = 0.16
_CASE_PT = 1.5
_RIM_MM = 2.0


def hatching(box: Box, style: Style) -> list[Shape]:
    """Slanting lines on the ground: years stand closer here than elsewhere."""
    stroke = Stroke(mix(style.colors.ground, style.colors.ink, _HATCH_SHARE), _HATCH_PT)
    lines: list[Shape] = []
    # each line follows x + y = k, so that neighbouring boxes have one pattern
    first = ceil((box.left_mm + box.top_mm) / _HATCH_MM)
    last = floor((box.right_mm + box.bottom_mm) / _HATCH_MM)
    for k in range(first, last + 1):
        total = k * _HATCH_MM
        left = max(box.left_mm, total - box.bottom_mm)
        right = min(box.right_mm, total - box.top_mm)
        if right - left > 0.1:
            lines.append(Polyline(((left, total - left), (right, total - right)), stroke=stroke))
    return lines


def compressed_groups(plan: Plan, heights: Heights, style: Style) -> Iterator[Group]:
    """One group of all that is compressed, if anything is."""
    if not plan.scale.compressed:
        return
    top, bottom = heights.axis_mm, heights.bottom_mm
    items: list[Shape | Text] = []
    for one in plan.scale.compressed:
        left = plan.scale.left_mm if one is plan.scale.stretches[0] else one.left_mm
        right = plan.scale.right_mm if one is plan.scale.stretches[-1] else one.right_mm
        box = Box(left, top, right - left, bottom - top)
        items.append(Rect(box, fill=style.colors.plate))
        items += hatching(box, style)
    yield Group("Compressed time", closer(plan.scale), tuple(items))


def closer(scale: Scale) -> str:
    """How many times closer years stand where time is compressed; "" where nothing is."""
    if not scale.compressed:
        return ""
    factors = sorted(round(factor) if factor >= 3 else round(factor, 1) for factor in scale.factors)
    low, high = (figures(f"{factor:g}") for factor in (factors[0], factors[-1]))
    if low == high:
        return phrase("compressed: years {times} times closer", times=low)
    return phrase("compressed: years {least} to {most} times closer", least=low, most=high)


def lane_groups(plan: Plan, heights: Heights, style: Style, left_mm: float) -> Iterator[Group]:
    """The name of each lane at its left, and a line above it."""
    stroke = Stroke(mix(style.colors.ground, style.colors.ink, _RULE_SHARE), _RULE_PT)
    for lane in plan.lanes:
        first, last = lane.rows
        top = heights.bars_mm[first][0]
        bottom = sum(heights.bars_mm[last])
        items: list[Shape | Text] = []
        if first > 0:
            y = (sum(heights.bars_mm[first - 1]) + top) / 2
            items.append(Polyline(((left_mm, y), (plan.scale.right_mm, y)), stroke=stroke))
        width = plan.scale.left_mm - LANE_GAP_MM - left_mm
        items.append(_lane_text(lane.label, Box(left_mm, top, width, bottom - top), plan, style))
        name = lane.label.paragraphs[0].plain
        yield Group(f"Lane: {name}", phrase("Lane: {name}", name=name), tuple(items))


def _lane_text(label: Label, box: Box, plan: Plan, style: Style) -> Text:
    top = box.top_mm + (box.height_mm - label.height_mm) / 2
    return Text(
        Box(box.left_mm, top, box.width_mm, label.height_mm),
        label.paragraphs,
        plan.size_pt,
        style.colors.quiet,
        "label",
        anchor="middle",
    )


def case_groups(story: Story, plan: Plan, heights: Heights, style: Style) -> Iterator[Group]:
    """A band down from the marker of the case of the talk through all lanes, with dashed edges
    where a limit is doubtful; a line for one year or day."""
    if not heights.bars_mm:
        return
    for event, span in zip(story.events, plan.flags.markers, strict=True):
        if event.is_case:
            items = tuple(_band(event, span, heights, style))
            alt = phrase("Through all lanes: {label}", label=event.label)
            yield Group(f"When: {event.label}", alt, items)


def _band(event: EventEntry, span: Span, heights: Heights, style: Style) -> Iterator[Shape]:
    top, bottom = heights.axis_mm, sum(heights.bars_mm[-1]) + _RIM_MM
    edges = tuple(zip(span, event.limits or (event.date, event.date), strict=True))
    if event.date.is_moment:
        edges = ((sum(span) / 2, event.date),)
    else:
        fill = mix(style.colors.ground, style.colors.accent, _CASE_SHARE)
        yield Rect(Box(span.left_mm, top, span.width_mm, bottom - top), fill=fill)
    for i, (x, date) in enumerate(edges):
        if (date.first, date.last)[i] is not None:
            dash: Dash = "dash" if date.approximate or date.uncertain else "solid"
            ends = ((x, heights.years_mm[1]), (x, bottom))  # clear of the years
            yield Polyline(ends, stroke=Stroke(style.colors.accent, _CASE_PT, dash))
