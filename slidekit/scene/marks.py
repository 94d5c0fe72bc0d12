"""Regions drawn on a picture: dark halo, colour, dash and letter, so that a mark holds on any
grey, in greyscale print and for colour-blind viewers. Each region is one group.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, sin

from slidekit.scene.figures import FigureKind, ellipse_axes
from slidekit.scene.model import (
    Box,
    Ellipse,
    Group,
    Paragraph,
    Point,
    Polyline,
    Run,
    Shape,
    Stroke,
    Text,
)
from slidekit.scene.style import Mark, Style
from slidekit.scene.text import line_width_mm

PT_MM = 25.4 / 72
PILL_GAP_MM = 1.6  # between a figure and its letter
CROSS_MM = 3.2  # arm of the cross that marks a point
TICK_MM = 2.2  # half length of the end ticks of a line
ARROW_HEAD_MM = (6.0, 3.2)  # length, half width
ARROW_SHAFT_MM = 1.0  # half width


@dataclass(frozen=True)
class ShownMark:
    """A region ready to be drawn on one picture."""

    name: str
    letter: str
    called: str
    spoken: str  # "orange ellipse"
    mark: Mark
    kind: FigureKind
    points_mm: tuple[Point, ...]  # on the page
    note: str = ""  # written behind the letter: a length
    step: int = 0


def compose_marks(
    marks: Sequence[ShownMark], picture: Box, taken: Sequence[Box], style: Style
) -> tuple[Group, ...]:
    """One group per mark; letters keep clear of each other, of all figures and of `taken`."""
    extents = [extent_of(mark) for mark in marks]
    groups = []
    occupied = list(taken)
    for mark in marks:
        pill_size = _pill_size_mm(mark, style)
        spot = _free_spot(_anchor(mark), pill_size, picture, (occupied, extents))
        occupied.append(spot)
        items = (*_draw(mark, style), _pill(mark, spot, style))
        groups.append(
            Group(
                name=f"Mark {mark.letter}: {mark.called}",
                alt=f"Mark {mark.letter}, {mark.spoken}: {mark.called}"
                + (f", {mark.note}" if mark.note else ""),
                items=items,
                step=mark.step,
            )
        )
    return tuple(groups)


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
        case "point":
            paths = cross(mark.points_mm[0])
    halo, bright = _strokes(mark, style, dashed=mark.kind == "line")
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


def cross(at: Point, arm_mm: float = CROSS_MM) -> list[tuple[Point, ...]]:
    """Two strokes that meet in a point."""
    x, y = at
    return [((x - arm_mm, y), (x + arm_mm, y)), ((x, y - arm_mm), (x, y + arm_mm))]


def _pill(mark: ShownMark, box: Box, style: Style) -> Text:
    size = style.sizes["label"].pt
    return Text(
        box,
        (Paragraph((Run(_pill_text(mark), bold=True),)),),
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
    height = size * 1.2 * PT_MM + 0.6
    text_width = line_width_mm(_pill_text(mark), size, bold=True)
    return max(text_width * 1.02 + 2.4, height), height


def extent_of(mark: ShownMark) -> Box:
    """The box around a figure on the page."""
    if mark.kind == "ellipse":
        (x, y), *ends = mark.points_mm
        half_x = hypot(*(end[0] - x for end in ends))
        half_y = hypot(*(end[1] - y for end in ends))
        return Box(x - half_x, y - half_y, 2 * half_x, 2 * half_y)
    reach = {"point": CROSS_MM, "line": TICK_MM, "arrow": ARROW_HEAD_MM[1]}.get(mark.kind, 0.0)
    xs, ys = zip(*mark.points_mm, strict=True)
    left, top = min(xs) - reach, min(ys) - reach
    return Box(left, top, max(xs) + reach - left, max(ys) + reach - top)


def _anchor(mark: ShownMark) -> Box:
    """The part of the figure that its letter stands beside: the tail of an arrow, the middle of
    a line, else the whole."""
    if mark.kind == "arrow":
        (x, y), _ = mark.points_mm
        return Box(x - ARROW_SHAFT_MM, y - ARROW_SHAFT_MM, 2 * ARROW_SHAFT_MM, 2 * ARROW_SHAFT_MM)
    if mark.kind == "line":
        (x0, y0), (x1, y1) = mark.points_mm
        return Box((x0 + x1) / 2, (y0 + y1) / 2, 0.0, 0.0)
    return extent_of(mark)


def _free_spot(
    anchor: Box,
    size_mm: tuple[float, float],
    picture: Box,
    obstacles: tuple[Sequence[Box], Sequence[Box]],
) -> Box:
    """The place beside `anchor`, within the picture, that covers least of anything else.

    `obstacles`: boxes that must not be covered, and boxes that rather should not be.
    """
    width, height = size_mm
    cx, cy = anchor.center_mm
    left, right = anchor.left_mm - PILL_GAP_MM - width, anchor.right_mm + PILL_GAP_MM
    above, below = anchor.top_mm - PILL_GAP_MM - height, anchor.bottom_mm + PILL_GAP_MM
    middle_x, middle_y = cx - width / 2, cy - height / 2
    corners = [
        (right, above), (left, above), (right, below), (left, below),
        (middle_x, above), (right, middle_y), (left, middle_y), (middle_x, below),
    ]  # fmt: skip
    hard, soft = obstacles

    def cost(spot: Box) -> float:
        covered = sum(overlap_mm2(spot, box) for box in hard) * 10
        return covered + sum(overlap_mm2(spot, box) for box in soft)

    spots = [_pushed_inside(Box(x, y, width, height), picture) for x, y in corners]
    return min(spots, key=cost)


def _pushed_inside(box: Box, frame: Box) -> Box:
    left = min(max(box.left_mm, frame.left_mm), frame.right_mm - box.width_mm)
    top = min(max(box.top_mm, frame.top_mm), frame.bottom_mm - box.height_mm)
    return box._replace(left_mm=left, top_mm=top)


def overlap_mm2(a: Box, b: Box) -> float:
    """Area that two boxes share."""
    across = min(a.right_mm, b.right_mm) - max(a.left_mm, b.left_mm)
    down = min(a.bottom_mm, b.bottom_mm) - max(a.top_mm, b.top_mm)
    return max(across, 0.0) * max(down, 0.0)
