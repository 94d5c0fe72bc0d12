"""Regions drawn on a picture: dark halo, colour, dash and letter, so that a mark holds on any
grey, in greyscale print and for colour-blind viewers. Each region is one group.
"""

from collections.abc import Sequence
from math import atan2, cos, hypot, pi, sin

from slidekit.scene.model import (
    Box,
    Ellipse,
    Group,
    Point,
    Polyline,
    Shape,
    Stroke,
    Text,
)
from slidekit.scene.pictures.letters import (
    ARROW_HEAD_MM,
    ARROW_SHAFT_MM,
    CROSS_MM,
    TICK_MM,
    Crowd,
    ShownMark,
    letter_spot,
)
from slidekit.scene.sights.figures import ellipse_axes
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, line_width_mm
from slidekit.scene.type_units import line_mm
from slidekit.wording import phrase

ARC_MM = 9.0  # radius of the arc of an angle, at most
ARC_SHARE = 0.5  # of its shorter arm
ARC_STEPS = 24


def compose_marks(
    marks: Sequence[ShownMark], picture: Box, taken: Sequence[Box], style: Style
) -> tuple[Group, ...]:
    """One group per mark; letters keep clear of each other, of all figures and of `taken`."""
    groups = []
    occupied = list(taken)
    for mark in marks:
        crowd = Crowd(tuple(occupied), tuple(other for other in marks if other is not mark))
        spot = letter_spot(mark, _pill_size_mm(mark, style), picture, crowd)
        occupied.append(spot)
        items = (*_draw(mark, style), _pill(mark, spot, style))
        groups.append(
            Group(
                name=f"Mark {mark.letter}: {mark.called}",
                alt=_mark_in_words(mark),
                items=items,
                step=mark.step,
            )
        )
    return tuple(groups)


def _mark_in_words(mark: ShownMark) -> str:
    named = ", ".join(filter(None, (mark.called, mark.note)))
    return phrase(
        "Mark {letter}, {mark}: {called}", letter=mark.letter, mark=mark.spoken, called=named
    )


def _draw(mark: ShownMark, style: Style) -> tuple[Shape, ...]:
    match mark.kind:
        case "ellipse":
            center, radii, rotation = ellipse_axes(mark.points_mm)
            return tuple(
                Ellipse(center, radii, rotation, stroke=stroke) for stroke in _strokes(mark, style)
            )
        case "polygon":
            return tuple(
                Polyline(mark.points_mm, closed=True, stroke=stroke)
                for stroke in _strokes(mark, style)
            )
        case "arrow":
            edge = (style.mark_halo_pt - style.mark_line_pt) / 2
            return (
                Polyline(
                    arrow_outline(*mark.points_mm),
                    closed=True,
                    stroke=Stroke(style.colors.halo, edge),
                    fill=mark.mark.color,
                ),
            )
        case "line":
            paths = [mark.points_mm, *_end_ticks(*mark.points_mm)]
        case "angle":
            paths = [mark.points_mm, angle_arc(*mark.points_mm)]
        case "point":
            paths = cross(mark.points_mm[0])
    halo, bright = _strokes(mark, style, dashed=mark.kind in ("line", "angle"))
    return (
        *(Polyline(path, stroke=halo) for path in paths),
        *(
            Polyline(path, stroke=bright if i == 0 else Stroke(bright.color, bright.width_pt))
            for i, path in enumerate(paths)
        ),
    )


def _strokes(mark: ShownMark, style: Style, *, dashed: bool = True) -> tuple[Stroke, Stroke]:
    """Halo below, colour above. The halo stays solid under a dashed line."""
    return (
        Stroke(style.colors.halo, style.mark_halo_pt),
        Stroke(mark.mark.color, style.mark_line_pt, mark.mark.dash if dashed else "solid"),
    )


def arrow_outline(tail: Point, tip: Point) -> tuple[Point, ...]:
    """The seven corners of a block arrow: one filled shape looks the same everywhere, whereas
    arrowheads of lines grow with the halo."""
    length = hypot(tip[0] - tail[0], tip[1] - tail[1])
    angle = atan2(tip[1] - tail[1], tip[0] - tail[0])
    head_length, head_half = ARROW_HEAD_MM
    neck = max(length - head_length, 0.0)
    along = [
        (0.0, -ARROW_SHAFT_MM),
        (neck, -ARROW_SHAFT_MM),
        (neck, -head_half),
        (length, 0.0),
        (neck, head_half),
        (neck, ARROW_SHAFT_MM),
        (0.0, ARROW_SHAFT_MM),
    ]
    return tuple(
        (
            tail[0] + x * cos(angle) - y * sin(angle),
            tail[1] + x * sin(angle) + y * cos(angle),
        )
        for x, y in along
    )


def _end_ticks(start: Point, end: Point) -> list[tuple[Point, ...]]:
    angle = atan2(end[1] - start[1], end[0] - start[0])
    dx, dy = -sin(angle) * TICK_MM, cos(angle) * TICK_MM
    return [((x - dx, y - dy), (x + dx, y + dy)) for x, y in (start, end)]


def angle_arc(first: Point, vertex: Point, last: Point) -> tuple[Point, ...]:
    """The arc between the arms of an angle, close to its vertex."""
    x, y = vertex
    arms = [(px - x, py - y) for px, py in (first, last)]
    radius = min(ARC_MM, *(ARC_SHARE * hypot(*arm) for arm in arms))
    start = atan2(arms[0][1], arms[0][0])
    turn = (atan2(arms[1][1], arms[1][0]) - start + pi) % (2 * pi) - pi
    steps = [start + turn * k / ARC_STEPS for k in range(ARC_STEPS + 1)]
    return tuple((x + radius * cos(a), y + radius * sin(a)) for a in steps)


def cross(at: Point, arm_mm: float = CROSS_MM) -> list[tuple[Point, ...]]:
    """Two strokes that meet in a point."""
    x, y = at
    return [((x - arm_mm, y), (x + arm_mm, y)), ((x, y - arm_mm), (x, y + arm_mm))]


def _pill(mark: ShownMark, box: Box, style: Style) -> Text:
    size = style.sizes["label"].pt
    return Text(
        box,
        as_written(_pill_text(mark), bold=True),
        size,
        mark.mark.color,
        "label",
        align="center",
        anchor="middle",
        fill=style.colors.halo,
        corner_mm=box.height_mm / 4,
    )


def _pill_text(mark: ShownMark) -> str:
    return f"{mark.letter}  {mark.note}" if mark.note else mark.letter


def _pill_size_mm(mark: ShownMark, style: Style) -> tuple[float, float]:
    size = style.sizes["label"].pt
    height = line_mm(size) + 0.6
    text_width = line_width_mm(_pill_text(mark), size, bold=True)
    return max(text_width * 1.02 + 2.4, height), height
