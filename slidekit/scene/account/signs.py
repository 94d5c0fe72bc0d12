"""A sign for each answer that a case can give: outline, filling and glyph all differ, so that
neither colour nor sharp eyes are needed to tell them apart.
"""

from math import hypot

from slidekit.scene.model import Box, Ellipse, Point, Polyline, Shape, Stroke, Text
from slidekit.scene.style import Style
from slidekit.scene.text import as_written
from slidekit.scene.type_units import MM_PER_PT, line_mm
from slidekit.storyboard.account import Showing

WIDEST = 1.25
"""Half the diagonals of the diamond over the radius: no sign reaches further."""

_LINE_SHARE = 0.24  # of the radius: width of a glyph's lines
_RING_SHARE = 0.2  # of the radius: width of a ring


def compose_sign(
    here: Showing, center: Point, radius_mm: float, style: Style
) -> tuple[Shape | Text, ...]:
    """A disc with a tick; a diamond that says "unequal"; a ring with a bar; a broken ring with a
    question mark."""
    colors = style.colors
    ring_mm = radius_mm * (1 - _RING_SHARE / 2)
    ring_pt = _RING_SHARE * radius_mm / MM_PER_PT
    match here:
        case "as described":
            disc = Ellipse(center, (radius_mm, radius_mm), fill=colors.accent)
            return disc, _tick(center, radius_mm, colors.ground)
        case "differs":
            corners = _placed(center, WIDEST * radius_mm, ((0, -1), (1, 0), (0, 1), (-1, 0)))
            diamond = Polyline(corners, closed=True, fill=colors.ink)
            return diamond, *_bars(center, radius_mm, _UNEQUAL, colors.ground)
        case "absent":
            ring = Ellipse(center, (ring_mm, ring_mm), stroke=Stroke(colors.ink, ring_pt))
            return ring, *_bars(center, radius_mm, _BAR, colors.ink)
        case "not assessable":
            broken = Stroke(colors.quiet, ring_pt, "dash")
            ring = Ellipse(center, (ring_mm, ring_mm), stroke=broken)
            return ring, _question_mark(center, radius_mm, style)


_TICK = ((-0.45, 0.02), (-0.12, 0.38), (0.48, -0.36))
_UNEQUAL = (
    ((-0.5, -0.2), (0.5, -0.2)),
    ((-0.5, 0.2), (0.5, 0.2)),
    ((0.3, -0.55), (-0.3, 0.55)),
)
_BAR = (((-0.45, 0.0), (0.45, 0.0)),)


def _placed(center: Point, radius_mm: float, points: tuple[Point, ...]) -> tuple[Point, ...]:
    return tuple((center[0] + x * radius_mm, center[1] + y * radius_mm) for x, y in points)


def _tick(center: Point, radius_mm: float, color: str) -> Polyline:
    stroke = Stroke(color, _LINE_SHARE * radius_mm / MM_PER_PT)
    return Polyline(_placed(center, radius_mm, _TICK), stroke=stroke)


def _bars(
    center: Point, radius_mm: float, paths: tuple[tuple[Point, Point], ...], color: str
) -> tuple[Polyline, ...]:
    """Straight strokes as filled shapes: some programs draw plain lines below all shapes."""
    return tuple(
        Polyline(_placed(center, radius_mm, _oblong(*path)), closed=True, fill=color)
        for path in paths
    )


def _oblong(start: Point, end: Point) -> tuple[Point, ...]:
    """The corners of a stroke of `_LINE_SHARE`."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    half = _LINE_SHARE / 2 / hypot(dx, dy)
    x, y = -dy * half, dx * half
    (x1, y1), (x2, y2) = start, end
    return (x1 + x, y1 + y), (x2 + x, y2 + y), (x2 - x, y2 - y), (x1 - x, y1 - y)


def _question_mark(center: Point, radius_mm: float, style: Style) -> Text:
    size_pt = round(1.15 * radius_mm / MM_PER_PT)
    height = line_mm(size_pt)
    box = Box(center[0] - radius_mm, center[1] - height / 2, 2 * radius_mm, height)
    mark = as_written("?", bold=True)
    return Text(box, mark, size_pt, style.colors.quiet, "label", align="center", anchor="middle")
