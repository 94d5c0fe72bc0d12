"""What an author may ask of a picture: to be cut around a region, and to show a part larger."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from slidekit.storyboard.parts import Millimetres, Name, Part, Pixels, Positive, advised

MOST_TIMES = 12


class Rim(Part):
    """How much is left around a region, in millimetres, or in pixels of a picture without scale."""

    margin_mm: Annotated[float, Field(ge=0)] | None = Field(
        default=None, description="Rim left around the region on all sides"
    )
    margin_px: Annotated[float, Field(ge=0)] | None = Field(
        default=None, description="The same in pixels, for a picture without a scale"
    )

    @model_validator(mode="after")
    def _one_margin(self) -> Self:
        if self.margin_mm is not None and self.margin_px is not None:
            raise advised("has `margin_mm` and `margin_px`", "Write one of the two")
        return self


class Around(Rim):
    """A region and a rim: what a picture is cut to. The rim is 10 mm if left out."""

    region: Name = Field(description="A name from `regions`", examples=["coil"])

    @property
    def rim_mm(self) -> float:
        """Around the region, unless it is in pixels."""
        return 10.0 if self.margin_mm is None else self.margin_mm


class Inset(Rim):
    """A part of a picture shown larger beside it: around a region (with a rim of 2 mm if left
    out), or a rectangle."""

    region: Name | None = Field(
        default=None, description="A name from `regions`", examples=["weave"]
    )
    center_mm: Millimetres | None = Field(
        default=None, description="Middle of the part, in patient millimetres"
    )
    size_mm: tuple[Positive, Positive] | None = Field(
        default=None, description="Width and height of the part", examples=[[12, 9]]
    )
    center_px: Pixels | None = Field(
        default=None, description="Middle of the part in pixels, on acquired slices and pictures"
    )
    size_px: tuple[Positive, Positive] | None = Field(
        default=None, description="Width and height of the part in pixels", examples=[[90, 60]]
    )
    times: Annotated[float, Field(gt=1, le=MOST_TIMES)] = Field(
        default=3, description="How much larger than on the picture"
    )

    @model_validator(mode="after")
    def _one_part(self) -> Self:
        given = [name for name in _PART_FIELDS if getattr(self, name) is not None]
        if given not in _PARTS:
            raise advised(
                "needs either `region`, or both `center_mm` and `size_mm`, or both `center_px` and "
                "`size_px`",
                "Write one of the three forms",
            )
        if self.region is None and (self.margin_mm is not None or self.margin_px is not None):
            raise advised("has a margin and no `region`", "Make the size larger instead")
        return self

    @property
    def what(self) -> str:
        """The part, in few words."""
        if self.region is not None:
            rim = f"{self.rim_mm:g} mm" if self.margin_px is None else f"{self.margin_px:g} px"
            return f"{self.region} with {rim}"
        unit = "mm" if self.size_px is None else "px"
        size, at = self.size_mm or self.size_px or (), self.center_mm or self.center_px or ()
        middle = ", ".join(f"{value:g}" for value in at)
        return f"{' by '.join(f'{value:g}' for value in size)} {unit} at {middle}"

    @property
    def rim_mm(self) -> float:
        """Around the region, unless it is in pixels."""
        return 2.0 if self.margin_mm is None else self.margin_mm


_PARTS = (["region"], ["center_mm", "size_mm"], ["center_px", "size_px"])
_PART_FIELDS = [name for fields in _PARTS for name in fields]
