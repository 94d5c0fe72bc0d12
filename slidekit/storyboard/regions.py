"""What an author may point out on a scan."""

from typing import Annotated, Any, Literal, TypeAlias

from pydantic import Field, model_validator

from slidekit.evidence.certainty import Rung
from slidekit.storyboard.parts import (
    Angle,
    Line,
    Millimetres,
    Name,
    Part,
    Pixels,
    Positive,
    advised,
)


class RegionBase(Part):
    """What is pointed out on a scan, defined once and shown on any number of slides."""

    view: Name = Field(description="The view on which the coordinates were read", examples=["base"])
    color: Line | None = Field(
        default=None,
        description="A mark of the style; without it the next free one",
        examples=["orange"],
    )
    called: Line = Field(
        description="What the region is called aloud and in the key", examples=["the wire coil"]
    )
    certainty: Rung = Field(
        default="observed", description="How surely it is what it is called", examples=["probable"]
    )


def _one_system(part: Any, *pairs: tuple[str, str]) -> None:
    """Each pair of fields (mm, px) must be given in the same one of the two systems."""
    given = [(getattr(part, mm) is not None, getattr(part, px) is not None) for mm, px in pairs]
    if all(given_pair == (True, False) for given_pair in given):
        return
    if all(given_pair == (False, True) for given_pair in given):
        return
    in_mm = " and ".join(f"`{mm}`" for mm, _ in pairs)
    in_px = " and ".join(f"`{px}`" for _, px in pairs)
    raise advised(
        "the coordinates are incomplete, or mix millimetres and pixels",
        f"Write {in_mm} (patient millimetres), or {in_px} (pixels), and nothing of the other",
    )


class EllipseRegion(RegionBase):
    """An ellipse around something."""

    shape: Literal["ellipse"]
    center_mm: Millimetres | None = Field(default=None, description="Its middle, patient mm")
    radii_mm: tuple[Positive, Positive] | None = Field(
        default=None,
        description="Half widths across and down the picture before rotation",
        examples=[[14, 9]],
    )
    center_px: Pixels | None = Field(default=None, description="Its middle, [column, row]")
    radii_px: tuple[Positive, Positive] | None = Field(
        default=None, description="As `radii_mm`, in pixels", examples=[[20, 12]]
    )
    rotation_deg: Angle = Field(default=0, description="Clockwise as seen on the picture")

    @model_validator(mode="after")
    def _coordinates(self) -> "EllipseRegion":
        _one_system(self, ("center_mm", "center_px"), ("radii_mm", "radii_px"))
        return self


class RectangleRegion(RegionBase):
    """A rectangle around something."""

    shape: Literal["rectangle"]
    center_mm: Millimetres | None = Field(default=None, description="Its middle, patient mm")
    size_mm: tuple[Positive, Positive] | None = Field(
        default=None,
        description="Full width and height on the picture before rotation",
        examples=[[28, 18]],
    )
    center_px: Pixels | None = Field(default=None, description="Its middle, [column, row]")
    size_px: tuple[Positive, Positive] | None = Field(
        default=None, description="As `size_mm`, in pixels", examples=[[40, 24]]
    )
    rotation_deg: Angle = Field(default=0, description="Clockwise as seen on the picture")

    @model_validator(mode="after")
    def _coordinates(self) -> "RectangleRegion":
        _one_system(self, ("center_mm", "center_px"), ("size_mm", "size_px"))
        return self


class PolygonRegion(RegionBase):
    """An outline through any number of corners; it closes by itself."""

    shape: Literal["polygon"]
    points_mm: Annotated[tuple[Millimetres, ...], Field(min_length=3)] | None = Field(
        default=None, description="Its corners, patient mm", examples=[[[0, 0], [9, 0], [5, 9]]]
    )
    points_px: Annotated[tuple[Pixels, ...], Field(min_length=3)] | None = Field(
        default=None, description="Its corners, [column, row]", examples=[[[0, 0], [9, 0], [5, 9]]]
    )

    @model_validator(mode="after")
    def _coordinates(self) -> "PolygonRegion":
        _one_system(self, ("points_mm", "points_px"))
        return self


class ArrowRegion(RegionBase):
    """An arrow to a place."""

    shape: Literal["arrow"]
    tail_mm: Millimetres | None = Field(default=None, description="Its blunt end, patient mm")
    tip_mm: Millimetres | None = Field(default=None, description="The place pointed at")
    tail_px: Pixels | None = Field(default=None, description="Its blunt end, [column, row]")
    tip_px: Pixels | None = Field(default=None, description="The place pointed at, [column, row]")

    @model_validator(mode="after")
    def _coordinates(self) -> "ArrowRegion":
        _one_system(self, ("tail_mm", "tail_px"), ("tip_mm", "tip_px"))
        return self


class LineRegion(RegionBase):
    """A distance: drawn with its ends and its length."""

    shape: Literal["line"]
    from_mm: Millimetres | None = Field(default=None, description="One end, patient mm")
    to_mm: Millimetres | None = Field(default=None, description="The other end, patient mm")
    from_px: Pixels | None = Field(default=None, description="One end, [column, row]")
    to_px: Pixels | None = Field(default=None, description="The other end, [column, row]")

    @model_validator(mode="after")
    def _coordinates(self) -> "LineRegion":
        _one_system(self, ("from_mm", "from_px"), ("to_mm", "to_px"))
        return self


class PointRegion(RegionBase):
    """A small cross on a place."""

    shape: Literal["point"]
    at_mm: Millimetres | None = Field(default=None, description="The place, patient mm")
    at_px: Pixels | None = Field(default=None, description="The place, [column, row]")

    @model_validator(mode="after")
    def _coordinates(self) -> "PointRegion":
        _one_system(self, ("at_mm", "at_px"))
        return self


class AngleRegion(RegionBase):
    """An angle: drawn with its arms and its degrees, which are those of the body."""

    shape: Literal["angle"]
    vertex_mm: Millimetres | None = Field(default=None, description="Where the arms meet")
    arms_mm: tuple[Millimetres, Millimetres] | None = Field(
        default=None, description="The far ends of both arms", examples=[[[9, 0], [7, 5]]]
    )
    vertex_px: Pixels | None = Field(default=None, description="As `vertex_mm`, [column, row]")
    arms_px: tuple[Pixels, Pixels] | None = Field(
        default=None, description="As `arms_mm`, [column, row]", examples=[[[90, 40], [70, 90]]]
    )

    @model_validator(mode="after")
    def _coordinates(self) -> "AngleRegion":
        _one_system(self, ("vertex_mm", "vertex_px"), ("arms_mm", "arms_px"))
        for vertex, arms in ((self.vertex_mm, self.arms_mm), (self.vertex_px, self.arms_px)):
            if arms is not None and vertex in arms:
                raise advised(
                    "an arm of the angle ends where it begins", "Write the far end of the arm"
                )
        return self


Region: TypeAlias = Annotated[
    EllipseRegion
    | RectangleRegion
    | PolygonRegion
    | ArrowRegion
    | LineRegion
    | AngleRegion
    | PointRegion,
    Field(discriminator="shape"),
]

AREA_SHAPES = ("ellipse", "rectangle", "polygon")
"""Shapes that hold samples of the scan, whose values can be measured."""
