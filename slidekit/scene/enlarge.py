"""Items drawn larger or smaller as a whole: lines, letters and gaps grow with the shapes."""

from dataclasses import dataclass, replace
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


def enlarged(item: Item, factor: float, to_mm: Point = (0.0, 0.0)) -> Item:
    """`item` on a page whose every millimetre and point is `factor` times as long, and whose top
    left corner lies at `to_mm`."""
    copy = _Copy(factor, *to_mm)
    match item:
        case Picture():
            return replace(item, box=copy.box(item.box))
        case Group():
            return replace(item, items=tuple(copy.member(member) for member in item.items))
        case Text() | Polyline() | Ellipse() | Rect():
            return copy.member(item)
        case _:
            assert_never(item)


def enlarged_box(box: Box, factor: float) -> Box:
    """The box with its distances from the page's top left corner `factor` times as long."""
    return _Copy(factor, 0.0, 0.0).box(box)


@dataclass(frozen=True)
class _Copy:
    """From one page to another: places move, lengths do not."""

    factor: float
    left_mm: float
    top_mm: float

    def box(self, box: Box) -> Box:
        left_mm, top_mm = self.point((box.left_mm, box.top_mm))
        return Box(left_mm, top_mm, box.width_mm * self.factor, box.height_mm * self.factor)

    def point(self, point: Point) -> Point:
        return self.left_mm + point[0] * self.factor, self.top_mm + point[1] * self.factor

    def lengths(self, pair: Point) -> Point:
        return pair[0] * self.factor, pair[1] * self.factor

    def member(self, item: Shape | Text) -> Shape | Text:
        if isinstance(item, Text):
            return replace(
                item,
                box=self.box(item.box),
                paragraphs=tuple(map(self.paragraph, item.paragraphs)),
                size_pt=item.size_pt * self.factor,
                inset_mm=self.lengths(item.inset_mm),
                corner_mm=item.corner_mm * self.factor,
            )
        shape = self.outline(item)
        return replace(shape, stroke=self.stroke(shape.stroke))

    def outline(self, shape: Shape) -> Shape:
        match shape:
            case Polyline(points_mm=points):
                return replace(shape, points_mm=tuple(map(self.point, points)))
            case Ellipse(center_mm=center, radii_mm=radii):
                return replace(shape, center_mm=self.point(center), radii_mm=self.lengths(radii))
            case Rect(box=box, corner_mm=corner):
                return replace(shape, box=self.box(box), corner_mm=corner * self.factor)
            case _:
                assert_never(shape)

    def paragraph(self, paragraph: Paragraph) -> Paragraph:
        return replace(paragraph, space_before_pt=paragraph.space_before_pt * self.factor)

    def stroke(self, stroke: Stroke | None) -> Stroke | None:
        return stroke and replace(stroke, width_pt=stroke.width_pt * self.factor)
