"""What an author may ask of a picture: to be cut around a region, and to show a part larger."""

from typing import Annotated

from pydantic import Field, model_validator

from slidekit.storyboard.parts import Millimetres, Name, Part, Positive, advised

MOST_TIMES = 12


class Around(Part):
    """A region and a rim: what a picture is cut to."""

    region: Name = Field(description="A name from `regions`", examples=["coil"])
    margin_mm: Annotated[float, Field(ge=0)] = Field(
        default=10.0, description="Rim left around the region on all sides"
    )


class Inset(Part):
    """A part of a picture shown larger beside it: around a region, or a rectangle."""

    region: Name | None = Field(
        default=None, description="A name from `regions`", examples=["weave"]
    )
    margin_mm: Annotated[float, Field(ge=0)] | None = Field(
        default=None, description="Rim left around the region; 2 mm if left out"
    )
    center_mm: Millimetres | None = Field(
        default=None, description="Middle of the part, in patient millimetres"
    )
    size_mm: tuple[Positive, Positive] | None = Field(
        default=None, description="Width and height of the part", examples=[[12, 9]]
    )
    times: Annotated[float, Field(gt=1, le=MOST_TIMES)] = Field(
        default=3, description="How much larger than on the picture"
    )

    @model_validator(mode="after")
    def _one_part(self) -> "Inset":
        by_place = (self.center_mm is not None, self.size_mm is not None)
        if (self.region is not None, *by_place) not in {(True, False, False), (False, True, True)}:
            raise advised(
                "needs either `region`, or both `center_mm` and `size_mm`",
                "Write one of the two forms",
            )
        if self.region is None and self.margin_mm is not None:
            raise advised("has a `margin_mm` and no `region`", "Make `size_mm` larger instead")
        return self

    @property
    def what(self) -> str:
        """The part, in few words."""
        if self.region is not None:
            return f"{self.region} with {self.rim_mm:g} mm"
        center, size = self.center_mm or (), self.size_mm or ()
        at = ", ".join(f"{value:g}" for value in center)
        return f"{' by '.join(f'{value:g}' for value in size)} mm at {at}"

    @property
    def rim_mm(self) -> float:
        """Around the region."""
        return 2.0 if self.margin_mm is None else self.margin_mm
