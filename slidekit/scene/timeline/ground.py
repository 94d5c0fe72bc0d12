"""What lies behind the bars of a timeline: compressed time, lanes, and the case of the talk."""

from collections.abc import Iterator
from math import ceil, floor

from slidekit.scene.color import mix
from slidekit.scene.model import Box, Group, Polyline, Rect, Shape, Stroke, Text
from slidekit.scene.style import Style
from slidekit.scene.timeline.heights import Heights
from slidekit.scene.timeline.labels import Label
from slidekit.scene.timeline.plan import LANE_GAP_MM, Plan
from slidekit.scene.timeline.story import Story
from slidekit.scene.timeline.stretches import Scale, breaks_mm

_RULE_PT = 0.75
_RULE_SHARE = 0.2  # of the text colour, in the lines between lanes
_CASE_SHARE = 0.24  # of the accent, in the band of the case of the talk
_HATCH_MM = 4.0  # between two lines of the hatching
_HATCH_PT = 0.6
_HATCH_SHARE = 0.16
_BREAK_MM = (2.2, 1.5)  # half height of a break's strokes; between the two
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


def break_sign(x_mm: float, y_mm: float, style: Style) -> list[Shape]:
    """Two slanting strokes across the axis, on a gap of it."""
    half, apart = _BREAK_MM
    gap = Box(x_mm - apart / 2 - 0.4, y_mm - half * 0.6, apart + 0.8, half * 1.2)
    stroke = Stroke(style.colors.quiet, 1.5)
    return [
        Rect(gap, fill=style.colors.ground),
        *(
            Polyline(((x - 0.8, y_mm + half), (x + 0.8, y_mm - half)), stroke=stroke)
            for x in (x_mm - apart / 2, x_mm + apart / 2)
        ),
    ]


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
    yield Group("Compressed time", _compressed_alt(plan), tuple(items))


def _compressed_alt(plan: Plan) -> str:
    return f"Hatched: years stand {closer(plan.scale)} closer than on the rest of the axis"


def closer(scale: Scale) -> str:
    """How many times closer years stand where time is compressed: "5 times", "3 to 40 times"."""
    factors = sorted(round(factor) if factor >= 3 else round(factor, 1) for factor in scale.factors)
    low, high = min(factors, default=1), max(factors, default=1)
    return f"{low:g} times" if low == high else f"{low:g} to {high:g} times"


def break_shapes(plan: Plan, heights: Heights, style: Style) -> list[Shape]:
    """A break wherever the scale changes."""
    return [shape for x in breaks_mm(plan.scale) for shape in break_sign(x, heights.axis_mm, style)]


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
        yield Group(f"Lane: {name}", f"Lane: {name}", tuple(items))


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
    """A band down from the marker of the case of the talk, through all lanes."""
    if not heights.bars_mm:
        return
    stroke = Stroke(style.colors.accent, 1.25, "dash")
    for event, span in zip(story.events, plan.flags.markers, strict=True):
        if not event.is_case:
            continue
        top, bottom = heights.axis_mm, sum(heights.bars_mm[-1]) + _RIM_MM
        box = Box(span.left_mm, top, span.width_mm, bottom - top)
        fill = mix(style.colors.ground, style.colors.accent, _CASE_SHARE)
        items: list[Shape | Text] = [Rect(box, fill=fill)]
        for x, known in zip(span, (event.date.first, event.date.last), strict=True):
            if known is not None:
                ends = ((x, heights.years_mm[1]), (x, bottom))  # clear of the years
                items.append(Polyline(ends, stroke=stroke))
        yield Group(f"When: {event.label}", f"Through all lanes: {event.label}", tuple(items))
