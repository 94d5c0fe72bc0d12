"""Rulers drawn around a picture, and the grid they carry across it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, TypeAlias

from slidekit.scene.look.rulers import Marks, Ruler, Rulers, marks_on
from slidekit.scene.model import Box, Group, Point, Polyline, Shape, Stroke, Text
from slidekit.scene.style import Style
from slidekit.scene.text import line_width_mm, paragraphs_of
from slidekit.scene.type_units import line_mm

Side: TypeAlias = Literal["top", "right", "bottom", "left"]

_ALIGN: dict[Side, Literal["left", "center", "right"]] = {
    "top": "center",
    "right": "left",
    "bottom": "center",
    "left": "right",
}
_MAJOR_MM, _MINOR_MM = 2.8, 1.4
_TICK_PT = 0.75
_LINE_PT = 0.5
_NUMBER_GAP_MM = 0.8


@dataclass(frozen=True)
class Edge:
    """A ruler at one side of the picture."""

    side: Side
    ruler: Ruler
    marks: Marks
    is_first: bool  # the grid is drawn from it

    @property
    def title(self) -> str:
        return self.ruler.name if self.ruler.is_pixels else f"{self.ruler.name} mm"

    @property
    def runs_across(self) -> bool:
        return self.side in ("top", "bottom")

    def depth_mm(self, style: Style) -> float:
        """How far the ruler reaches out from the picture."""
        if self.runs_across:
            return _MAJOR_MM + _NUMBER_GAP_MM + 2 * _line_mm(style)
        words = [self.title, *(self.number(value) for value in self.marks.major)]
        return _MAJOR_MM + 2 * _NUMBER_GAP_MM + max(_width_mm(word, style) for word in words)

    def number(self, value: float) -> str:
        """As it is typed in a storyboard, but with a true minus sign."""
        return f"{value:g}".replace("-", "−")

    def at_mm(self, value: float, picture: Box) -> float:
        """Where a value stands on the page, along the edge."""
        share = self.ruler.at_share(value)
        if self.runs_across:
            return picture.left_mm + share * picture.width_mm
        return picture.top_mm + share * picture.height_mm


def edges_of(rulers: Rulers, picture_mm: tuple[float, float]) -> tuple[Edge, ...]:
    """Lone rulers at the bottom and the left; pixels, if there are any, at the top and the left."""
    across: Sequence[Side] = ("top", "bottom") if _has_pixels(rulers.across) else ("bottom",)
    down: Sequence[Side] = ("left", "right")
    width, height = picture_mm
    return (
        *_edges(rulers.across, across, width),
        *_edges(rulers.down, down, height),
    )


def _has_pixels(rulers: Sequence[Ruler]) -> bool:
    return any(ruler.is_pixels for ruler in rulers)


def _edges(rulers: Sequence[Ruler], sides: Sequence[Side], length_mm: float) -> Iterator[Edge]:
    for number, (ruler, side) in enumerate(zip(rulers, sides, strict=False)):
        yield Edge(side, ruler, marks_on(ruler, length_mm), number == 0)


def compose_lines(edges: Sequence[Edge], picture: Box, style: Style) -> Group:
    """The grid: a line through the picture at every numbered value."""
    stroke = Stroke(style.colors.accent, _LINE_PT)
    lines = tuple(
        Polyline(_through(edge, value, picture), stroke=stroke)
        for edge in edges
        if edge.is_first
        for value in edge.marks.major
    )
    return Group("Grid", "Grid of coordinates", lines)


def _through(edge: Edge, value: float, picture: Box) -> tuple[Point, Point]:
    at = edge.at_mm(value, picture)
    if edge.runs_across:
        return (at, picture.top_mm), (at, picture.bottom_mm)
    return (picture.left_mm, at), (picture.right_mm, at)


def compose_edge(edge: Edge, picture: Box, style: Style) -> Group:
    """The ruler: ticks, numbers, and what they count."""
    ticks: list[Shape] = [
        Polyline(_tick(edge, value, length, picture), stroke=Stroke(style.colors.quiet, _TICK_PT))
        for values, length in ((edge.marks.minor, _MINOR_MM), (edge.marks.major, _MAJOR_MM))
        for value in values
    ]
    numbers = [
        _word(edge, edge.number(value), edge.at_mm(value, picture), 0, (picture, style))
        for value in edge.marks.major
    ]
    low, high = sorted((edge.ruler.first, edge.ruler.last))
    unit = "pixels" if edge.ruler.is_pixels else "millimetres"
    alt = f"Ruler at the {edge.side}: {edge.ruler.name} from {round(low)} to {round(high)} {unit}"
    return Group(f"Ruler {edge.side}", alt, (*ticks, *numbers, _title(edge, picture, style)))


def _tick(edge: Edge, value: float, length_mm: float, picture: Box) -> tuple[Point, Point]:
    at = edge.at_mm(value, picture)
    match edge.side:
        case "top":
            return (at, picture.top_mm), (at, picture.top_mm - length_mm)
        case "bottom":
            return (at, picture.bottom_mm), (at, picture.bottom_mm + length_mm)
        case "left":
            return (picture.left_mm, at), (picture.left_mm - length_mm, at)
        case "right":
            return (picture.right_mm, at), (picture.right_mm + length_mm, at)


def _title(edge: Edge, picture: Box, style: Style) -> Text:
    """Outside the numbers, or for an upright ruler in the widest gap between two of them."""
    if edge.runs_across:
        return _word(edge, edge.title, picture.center_mm[0], 1, (picture, style))
    stops = sorted(edge.at_mm(value, picture) for value in edge.marks.major)
    gaps = list(pairwise([picture.top_mm, *stops, picture.bottom_mm]))
    top, bottom = max(gaps, key=lambda gap: gap[1] - gap[0])
    return _word(edge, edge.title, (top + bottom) / 2, 0, (picture, style))


def _word(edge: Edge, word: str, at_mm: float, line: int, place: tuple[Box, Style]) -> Text:
    """A word centred at `at_mm` along the edge, in the first or second line outside the ticks."""
    picture, style = place
    width, height = _width_mm(word, style), _line_mm(style)
    away = _MAJOR_MM + _NUMBER_GAP_MM
    left, top = at_mm - width / 2, at_mm - height / 2
    match edge.side:
        case "top":
            top = picture.top_mm - away - (line + 1) * height
        case "bottom":
            top = picture.bottom_mm + away + line * height
        case "left":
            left = picture.left_mm - away - width
        case "right":
            left = picture.right_mm + away
    return Text(
        Box(left, top, width, height),
        paragraphs_of(word),
        style.sizes["data"].pt,
        style.colors.quiet if line else style.colors.ink,
        "data",
        align=_ALIGN[edge.side],
        anchor="middle",
    )


def _width_mm(word: str, style: Style) -> float:
    return line_width_mm(word, style.sizes["data"].pt) * 1.02 + 0.3


def _line_mm(style: Style) -> float:
    return line_mm(style.sizes["data"].pt)
