"""Where the letter of a mark stands: close to its figure, clear of everything else."""

import itertools
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import cos, hypot, pi, sin, sqrt

from slidekit.scene.model import Box, Point
from slidekit.scene.sights.figures import FigureKind
from slidekit.scene.style import Mark

GAPS_MM = (1.6, 5.0)  # between a figure and its letter: tried first, and when that is crowded
CROSS_MM = 3.2  # arm of the cross that marks a point
TICK_MM = 2.2  # half length of the end ticks of a line
ARROW_HEAD_MM = (6.0, 3.2)  # length, half width
ARROW_SHAFT_MM = 1.0  # half width

STEP_MM = 1.5  # between the points that stand for an outline
CLEARANCE_MM = 1.0  # kept between a letter and any outline
HALF = sqrt(0.5)
DIRECTIONS: tuple[Point, ...] = (
    (HALF, -HALF), (-HALF, -HALF), (HALF, HALF), (-HALF, HALF),
    (0, -1), (1, 0), (-1, 0), (0, 1),
)  # fmt: skip
"""Where a letter may stand as seen from its figure, the most usual place first."""

COVERED_WEIGHT = 100.0  # covering a letter or the scale bar, per mm2
OUTLINE_WEIGHT = 10.0  # covering a stretch of any outline, per point of it
INSIDE_WEIGHT = 1.0  # standing inside another figure, per mm2


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


@dataclass(frozen=True)
class Crowd:
    """What is on the picture besides a mark: boxes never to cover, and the other marks."""

    taken: tuple[Box, ...]
    others: tuple[ShownMark, ...]


def letter_spot(mark: ShownMark, size_mm: tuple[float, float], picture: Box, crowd: Crowd) -> Box:
    """The box of the letter: beside the figure, on the picture, covering least of anything."""
    outlines = [point for one in (mark, *crowd.others) for point in outline_of(one)]
    extents = [extent_of(other) for other in crowd.others]

    def cost(spot: Box) -> float:
        roomy = spot.inset(-CLEARANCE_MM, -CLEARANCE_MM)
        covered = sum(overlap_mm2(spot, box) for box in crowd.taken)
        crossed = _count_within(roomy, outlines)
        inside = sum(overlap_mm2(spot, extent) for extent in extents)
        return COVERED_WEIGHT * covered + OUTLINE_WEIGHT * crossed + INSIDE_WEIGHT * inside

    spots = (
        _pushed_inside(_beside(mark, direction, gap, size_mm), picture)
        for gap in GAPS_MM
        for direction in DIRECTIONS
    )
    return _cheapest(spots, cost)


def _cheapest(spots: Iterable[Box], cost: Callable[[Box], float]) -> Box:
    """The first of the spots that cost least; none is looked at after one that costs nothing,
    which is usually among the first."""
    costs: list[tuple[float, Box]] = []
    for spot in spots:
        costs.append((cost(spot), spot))
        if costs[-1][0] == 0:
            break
    return min(costs, key=lambda pair: pair[0])[1]


def clearest(spots: Sequence[Box], crowd: Crowd) -> Box:
    """The first of `spots` that is clear of the crowd; else the one that covers least of it."""
    outlines = [point for mark in crowd.others for point in outline_of(mark)]

    def cost(spot: Box) -> float:
        roomy = spot.inset(-CLEARANCE_MM, -CLEARANCE_MM)
        covered = sum(overlap_mm2(spot, box) for box in crowd.taken)
        crossed = _count_within(roomy, outlines)
        return COVERED_WEIGHT * covered + OUTLINE_WEIGHT * crossed

    return _cheapest(spots, cost)


def _beside(mark: ShownMark, direction: Point, gap_mm: float, size_mm: tuple[float, float]) -> Box:
    """The letter's box, `gap_mm` outside the figure's farthest point in `direction`."""
    dx, dy = direction
    x, y = max(_anchors(mark), key=lambda point: point[0] * dx + point[1] * dy)
    width, height = size_mm
    # the box touches the farthest point's neighbourhood with the corner or side that faces it
    left = x + dx * gap_mm + width * (_sign(dx) - 1) / 2
    top = y + dy * gap_mm + height * (_sign(dy) - 1) / 2
    return Box(left, top, width, height)


def _sign(value: float) -> int:
    return (value > 0) - (value < 0)


def _anchors(mark: ShownMark) -> Sequence[Point]:
    """The part of a figure that its letter stands beside: the tail of an arrow, the middle of a
    line, else the outline."""
    if mark.kind == "arrow":
        (x, y), _ = mark.points_mm
        return _corners(Box(x, y, 0, 0).inset(-ARROW_SHAFT_MM, -ARROW_SHAFT_MM))
    if mark.kind == "line":
        (x0, y0), (x1, y1) = mark.points_mm
        return [((x0 + x1) / 2, (y0 + y1) / 2)]
    return outline_of(mark)


def outline_of(mark: ShownMark) -> Sequence[Point]:
    """Points along what is drawn of a figure, no farther apart than `STEP_MM`."""
    if mark.kind == "point":
        return _corners(extent_of(mark))
    return _outline(mark.kind, mark.points_mm)


@lru_cache(maxsize=256)  # each is asked for some twenty times, from each place a letter may have
def _outline(kind: FigureKind, points: tuple[Point, ...]) -> Sequence[Point]:
    if kind == "ellipse":
        return _ellipse_points(points)
    corners = [*points, points[0]] if kind == "polygon" else points
    return [p for a, b in itertools.pairwise(corners) for p in _between(a, b)]


def _ellipse_points(points: Sequence[Point]) -> list[Point]:
    (x, y), (ux, uy), (vx, vy) = points
    u, v = (ux - x, uy - y), (vx - x, vy - y)
    count = max(12, round(2 * pi * max(hypot(*u), hypot(*v)) / STEP_MM))
    turns = [2 * pi * k / count for k in range(count)]
    return [(x + u[0] * cos(t) + v[0] * sin(t), y + u[1] * cos(t) + v[1] * sin(t)) for t in turns]


def _between(a: Point, b: Point) -> list[Point]:
    count = max(1, round(hypot(b[0] - a[0], b[1] - a[1]) / STEP_MM))
    shares = [k / count for k in range(count + 1)]
    return [(a[0] + (b[0] - a[0]) * s, a[1] + (b[1] - a[1]) * s) for s in shares]


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


def _corners(box: Box) -> list[Point]:
    return [(x, y) for x in (box.left_mm, box.right_mm) for y in (box.top_mm, box.bottom_mm)]


def _count_within(box: Box, points: Sequence[Point]) -> int:
    left, top, right, bottom = box.left_mm, box.top_mm, box.right_mm, box.bottom_mm
    return len([0 for x, y in points if left <= x <= right and top <= y <= bottom])


def _pushed_inside(box: Box, frame: Box) -> Box:
    # of a box that is too wide, the left edge: words stand at the right of pictures
    left = max(min(box.left_mm, frame.right_mm - box.width_mm), frame.left_mm)
    top = max(min(box.top_mm, frame.bottom_mm - box.height_mm), frame.top_mm)
    return box._replace(left_mm=left, top_mm=top)


def overlap_mm2(a: Box, b: Box) -> float:
    """Area that two boxes share."""
    left_a, top_a, width_a, height_a = a
    left_b, top_b, width_b, height_b = b
    across = min(left_a + width_a, left_b + width_b) - max(left_a, left_b)
    down = min(top_a + height_a, top_b + height_b) - max(top_a, top_b)
    return max(across, 0.0) * max(down, 0.0)
