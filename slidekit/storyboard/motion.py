"""What an author may ask of a picture that moves by itself: to scroll through the scan, or to
turn."""

from typing import Annotated

from pydantic import Field, model_validator

from slidekit.storyboard.parts import Part, Positive, advised

Rate = Annotated[float, Field(ge=1, le=25)]
NotNegative = Annotated[float, Field(ge=0)]
LongestSide = Annotated[int, Field(ge=64, le=1024)]


class Cine(Part):
    """A way through the scan along which the picture moves, its own place first."""

    from_mm: float | None = Field(
        default=None, description="Where the way begins, on the axis of the view's `at_mm`"
    )
    to_mm: float | None = Field(default=None, description="Where it ends; then it begins again")
    from_slice: Annotated[int, Field(ge=1)] | None = Field(
        default=None, description="For an acquired view, instead of `from_mm`"
    )
    to_slice: Annotated[int, Field(ge=1)] | None = Field(
        default=None, description="For an acquired view, instead of `to_mm`"
    )
    before_mm: NotNegative | None = Field(
        default=None,
        description="For an oblique or curved view, instead of `from_mm`: how far before it the "
        "way begins, towards the viewer",
    )
    behind_mm: NotNegative | None = Field(
        default=None,
        description="For an oblique or curved view, instead of `to_mm`: how far behind it the way "
        "ends",
    )
    step_mm: Positive | None = Field(
        default=None, description="From one frame to the next; the scan's own step if left out"
    )
    fps: Rate = Field(default=8, description="Frames in a second")
    longest_px: LongestSide | None = Field(
        default=None, description="Longer side of the frames; the scan's own pixels if left out"
    )

    @model_validator(mode="after")
    def _one_way(self) -> "Cine":
        ways = (
            (self.from_mm, self.to_mm),
            (self.from_slice, self.to_slice),
            (self.before_mm, self.behind_mm),
        )
        given = [end is not None for way in ways for end in way]
        if sum(given) != 2 or not any(all(end is not None for end in way) for way in ways):
            raise advised(
                "needs both `from_mm` and `to_mm`, both `from_slice` and `to_slice`, or both "
                "`before_mm` and `behind_mm`",
                "Write one of the three forms",
            )
        if self.from_slice is not None and self.step_mm is not None:
            raise advised("counts slices and has a `step_mm`", "Remove `step_mm`")
        return self


class Turntable(Part):
    """The maximum projection of a thick coronal view, turning once about the axis from foot to
    head."""

    frames: Annotated[int, Field(ge=8, le=120)] = Field(
        default=36, description="Pictures in one turn"
    )
    fps: Rate = Field(default=8, description="Frames in a second")
    longest_px: LongestSide = Field(default=256, description="Longer side of the frames, at most")
