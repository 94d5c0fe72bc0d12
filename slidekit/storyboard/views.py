"""Pictures of scans, each defined once, and how pages show them."""

from typing import Annotated, Literal, TypeAlias

from pydantic import Field, model_validator

from slidekit.storyboard.insets import Around, Inset
from slidekit.storyboard.measured import Column
from slidekit.storyboard.motion import Cine, Turntable
from slidekit.storyboard.parts import Corner, Name, Part, Pixels, advised
from slidekit.storyboard.planes import FreePlane
from slidekit.storyboard.windows import AnyWindow

PlaneName: TypeAlias = Literal[
    "acquired", "axial", "coronal", "sagittal", "oblique", "curved", "picture"
]


CROPS = ("crop_mm", "crop_px", "crop_around")


class View(FreePlane):
    """One picture of a scan, defined once and shown on any number of slides."""

    scan: Name = Field(description="A name from `scans`", examples=["urn"])
    plane: PlaneName = Field(
        description="A plane of the patient's body, the slices as they were acquired, a plane in "
        "any direction, a curved surface laid flat, or a picture without a place in a patient"
    )
    at_mm: float | None = Field(
        default=None,
        description="Patient z (axial), y (coronal), x (sagittal); along the normal",
        examples=[12.5],
    )
    slice: Annotated[int, Field(ge=1)] | None = Field(
        default=None,
        description="For `acquired`: 1 is the lowest slice along the normal; for `picture`: which "
        "of several",
        examples=[40],
    )
    slab_mm: Annotated[float, Field(ge=0)] = Field(
        default=0.0, description="Thickness over which slices are combined; 0 is one slice"
    )
    slab: Literal["mean", "max", "min"] = Field(
        default="mean", description="How the slices of a slab are combined"
    )
    window: AnyWindow | None = Field(
        default=None,
        description="A window name of the style, center and width, one stored in the files, "
        "percentiles, or two of them for the halves of the picture; photographs and pictures in "
        "colour have none",
        examples=["soft_tissue", {"center": 40, "width": 400}],
    )
    crop_mm: tuple[Corner, Corner] | None = Field(
        default=None,
        description="Two opposite corners on the axes of the plane: axial x, y; coronal x, z; "
        "sagittal y, z; oblique and curved: right and down from the middle",
        examples=[[[-60, -60], [60, 60]]],
    )
    overlays: bool = Field(
        default=False,
        description="Draw the graphics that some files carry beside an image, white, on acquired "
        "slices and pictures",
    )
    crop_px: tuple[Pixels, Pixels] | None = Field(
        default=None,
        description="Instead of `crop_mm`, on acquired slices and pictures: two opposite corners "
        "in pixels, [column, row]",
        examples=[[[40, 60], [420, 380]]],
    )
    crop_around: Around | None = Field(
        default=None,
        description="Instead of `crop_mm`: cut to a region and a rim around it",
        examples=[{"region": "coil", "margin_mm": 10}],
    )

    @model_validator(mode="after")
    def _one_crop(self) -> "View":
        given = [name for name in CROPS if getattr(self, name) is not None]
        if len(given) > 1:
            raise advised(f"has `{given[0]}` and `{given[1]}`", "Write one of the two")
        return self


class ShownView(Part):
    """A view on a slide or panel, with the regions marked on it."""

    view: Name = Field(description="A name from `views`", examples=["base"])
    regions: tuple[Name, ...] = Field(default=(), description="Names from `regions`")
    caption: str = Field(
        default="",
        description="Words below the picture; {NAME.mean} and its like stand for measured values",
    )
    table: tuple[Name, ...] = Field(
        default=(),
        description="Regions of this view whose values stand in a table beside the picture",
        examples=[["coil", "plug"]],
    )
    columns: Annotated[tuple[Column, ...], Field(min_length=1, max_length=6)] = Field(
        default=("mean_sd", "n", "area"), description="What the table tells of each region"
    )
    values: tuple[Name, ...] = Field(
        default=(),
        description="Regions of this view whose mean stands beside their letter",
        examples=[["coil"]],
    )
    profile: Name | None = Field(
        default=None,
        description="A line of this view along which the values are plotted",
        examples=["across"],
    )
    contrast: Name | None = Field(
        default=None,
        description="In place of `profile`, a contrast: how the values of its two regions are "
        "distributed",
        examples=["seal_and_mend"],
    )
    locator: Name | None = Field(
        default=None,
        description="A view across this one: shown small, with a line where this one cuts it",
        examples=["block_front"],
    )
    inset: Inset | None = Field(
        default=None,
        description="A part of the picture, shown larger",
        examples=[{"region": "weave", "times": 3}],
    )
    cine: Cine | None = Field(
        default=None,
        description="In the deck, the picture moves through the scan by itself",
        examples=[{"from_mm": -80, "to_mm": -40}],
    )
    turntable: Turntable | None = Field(
        default=None,
        description="In the deck, the picture turns by itself; the view is coronal with a thick "
        "slab of the maximum",
        examples=[{"frames": 36}],
    )

    @model_validator(mode="after")
    def _one_plot(self) -> "ShownView":
        if self.profile is not None and self.contrast is not None:
            raise advised("has `profile` and `contrast`", "Write one of the two")
        return self
