"""Items drawn larger as a whole: lines, letters and gaps grow with the shapes."""

from dataclasses import replace
from typing import assert_never

from slidekit.scene.model import (
    Box,
    Ellipse,
    Group,
    Item,
    Paragraph,
    Picture,
    Point,
    Polyline,
    Rect,
    Shape,
    Stroke,
    Text,
)


def enlarged(item: Item, factor: float) -> Item:
    """`item` on a page whose every millimetre and point is `factor` times as long."""
    match item:
        case Picture():
            return replace(item, box=enlarged_box(item.box, factor))
        case Group():
            return replace(item, items=tuple(_member(member, factor) for member in item.items))
        case Text() | Polyline() | Ellipse() | Rect():
            return _member(item, factor)
        case _:
            assert_never(item)


def enlarged_box(box: Box, factor: float) -> Box:
    """The box with its distances from the page's top left corner `factor` times as long."""
    return Box(*(length * factor for length in box))


def _member(item: Shape | Text, factor: float) -> Shape | Text:
    if isinstance(item, Text):
        return replace(
            item,
            box=enlarged_box(item.box, factor),
            paragraphs=tuple(_paragraph(paragraph, factor) for paragraph in item.paragraphs),
            size_pt=item.size_pt * factor,
            inset_mm=_pair(item.inset_mm, factor),
            corner_mm=item.corner_mm * factor,
        )
    shape = _outline(item, factor)
    return replace(shape, stroke=_stroke(shape.stroke, factor))


def _outline(shape: Shape, factor: float) -> Shape:
    match shape:
        case Polyline(points_mm=points):
            return replace(shape, points_mm=tuple(_pair(point, factor) for point in points))
        case Ellipse(center_mm=center, radii_mm=radii):
            return replace(shape, center_mm=_pair(center, factor), radii_mm=_pair(radii, factor))
        case Rect(box=box, corner_mm=corner):
            return replace(shape, box=enlarged_box(box, factor), corner_mm=corner * factor)
        case _:
            assert_never(shape)


def _paragraph(paragraph: Paragraph, factor: float) -> Paragraph:
    return replace(paragraph, space_before_pt=paragraph.space_before_pt * factor)


def _stroke(stroke: Stroke | None, factor: float) -> Stroke | None:
    return stroke and replace(stroke, width_pt=stroke.width_pt * factor)


def _pair(point: Point, factor: float) -> Point:
    return point[0] * factor, point[1] * factor
