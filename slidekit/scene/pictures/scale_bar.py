"""The scale bar of a picture; that of a curved one lies along its path."""

from collections.abc import Sequence
from math import floor, log10

from slidekit.scans.model import ScanPicture
from slidekit.scene.model import Box, Point, Polyline, Stroke, Text
from slidekit.scene.pictures.letters import overlap_mm2
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, line_width_mm
from slidekit.scene.type_units import line_mm
from slidekit.wording import figures, phrase

EDGE_MM = 2.0  # between the picture's edge and what is written on it
SCALE_BAR_SHARE = 0.3  # of the picture's width, at most
BAR_TICK_MM = 1.2  # ends of the scale bar
BAR_FOOT_MM = BAR_TICK_MM + 1.8  # of a level bar, below its label
WHITE = "#FFFFFF"


def scale_bar(
    length_mm: float, on: tuple[ScanPicture, Box], taken: Sequence[Box], style: Style
) -> tuple[Polyline | Text, ...]:
    """Halo, bar with end ticks, and its length in patient millimetres, in the lower corner that
    `taken` leaves freer: the right one if both are free."""
    picture, box = on
    label, grid = bar_in_words(picture, length_mm), picture.grid
    if picture.flattening is not None and picture.flattening.runs_down:
        on_page = length_mm / (grid.rows * grid.row_mm) * box.height_mm
        return _upright(on_page, label, (box, taken), style)
    on_page = length_mm / (grid.columns * grid.column_mm) * box.width_mm
    return _level(on_page, label, (box, taken), style)


def bar_in_words(picture: ScanPicture, length_mm: float) -> str:
    """What is written at the bar."""
    length = f"{figures(f'{length_mm:g}')} mm"
    return length if picture.flattening is None else phrase("{mm} along the curve", mm=length)


def bar_length_mm(picture: ScanPicture) -> float:
    """The longest of 1, 2, 5 times a power of ten that takes at most its share of the side along
    which the bar lies."""
    grid, path = picture.grid, picture.flattening
    runs_down = path is not None and path.runs_down
    side = grid.rows * grid.row_mm if runs_down else grid.columns * grid.column_mm
    power = 10.0 ** floor(log10(side * SCALE_BAR_SHARE))
    return next(step * power for step in (5, 2, 1) if step * power <= side * SCALE_BAR_SHARE)


def extent_of_bar(bar: Sequence[Polyline | Text]) -> Box:
    """The box around a scale bar and its label."""
    corners = [point for item in bar if isinstance(item, Polyline) for point in item.points_mm]
    for item in bar:
        if isinstance(item, Text):
            corners += [
                (item.box.left_mm, item.box.top_mm),
                (item.box.right_mm, item.box.bottom_mm),
            ]
    xs, ys = zip(*corners, strict=True)
    return Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


_Place = tuple[Box, Sequence[Box]]


def _level(on_page: float, label: str, place: _Place, style: Style) -> tuple[Polyline | Text, ...]:
    box, taken = place
    width, height = _plate_size(label, style)
    across = max(on_page + 2, width)
    tall = height + BAR_FOOT_MM
    corner = _freer_corner(box, (across, tall), taken)
    middle, bottom = corner.center_mm[0], corner.bottom_mm - 1.2
    left, right = middle - on_page / 2, middle + on_page / 2
    top = bottom - BAR_TICK_MM
    path = ((left, top), (left, bottom), (right, bottom), (right, top))
    label_box = Box(middle - width / 2, top - 0.6 - height, width, height)
    return (*_bar(path, style), plate(label, label_box, style.sizes["data"].pt, style))


def _upright(
    on_page: float, label: str, place: _Place, style: Style
) -> tuple[Polyline | Text, ...]:
    """The bar stands at the edge, its label beneath it."""
    box, taken = place
    width, height = _plate_size(label, style)
    corner = _freer_corner(box, (max(width, BAR_TICK_MM + 2), on_page + height + 2.4), taken)
    at_right = corner.center_mm[0] > box.center_mm[0]
    edge = corner.right_mm - 1.2 if at_right else corner.left_mm + 1.2
    inner = edge - BAR_TICK_MM if at_right else edge + BAR_TICK_MM
    top = corner.top_mm + 1.2
    path = ((inner, top), (edge, top), (edge, top + on_page), (inner, top + on_page))
    left = corner.right_mm - width if at_right else corner.left_mm
    label_box = Box(left, corner.bottom_mm - height, width, height)
    return (*_bar(path, style), plate(label, label_box, style.sizes["data"].pt, style))


def _plate_size(label: str, style: Style) -> tuple[float, float]:
    size = style.sizes["data"].pt
    return line_width_mm(label, size, bold=True) * 1.02 + 1.6, line_mm(size) + 0.4


def _freer_corner(box: Box, size_mm: tuple[float, float], taken: Sequence[Box]) -> Box:
    width, height = size_mm
    corners = [
        Box(left, box.bottom_mm - EDGE_MM - height, width, height)
        for left in (box.right_mm - EDGE_MM - width, box.left_mm + EDGE_MM)
    ]
    return min(corners, key=lambda c: sum(overlap_mm2(c, extent) for extent in taken))


def _bar(path: tuple[Point, ...], style: Style) -> tuple[Polyline, ...]:
    return (
        Polyline(path, stroke=Stroke(style.colors.halo, 4.5)),
        Polyline(path, stroke=Stroke(WHITE, 1.75)),
    )


def plate(text: str, box: Box, size_pt: float, style: Style) -> Text:
    """A few letters on a dark plate, so that they are read on any grey."""
    return Text(
        box,
        as_written(text, bold=True),
        size_pt,
        WHITE,
        "data",
        align="center",
        anchor="middle",
        fill=style.colors.halo,
        corner_mm=0.8,
    )
