"""What an author may have measured, and which of its numbers words can name."""

from typing import Literal, TypeAlias

from pydantic import Field, model_validator

from slidekit.storyboard.names.naming import with_article
from slidekit.storyboard.parts import Line, Name, Part, Positive, advised
from slidekit.storyboard.regions import AREA_SHAPES, Region

Column: TypeAlias = Literal[
    "mean_sd", "mean", "sd", "median", "range", "min", "max", "n", "area", "perimeter", "feret"
]
"""Columns of a table; `range` is from the 5th to the 95th percentile."""

VALUE_PARTS = ("mean", "sd", "median", "min", "max")
AREA_PARTS = (*VALUE_PARTS, "n", "area", "perimeter", "feret", "warning")
VOLUME_PARTS = ("volume", "n", "mean", "warning")

PARTS_OF: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(AREA_SHAPES, AREA_PARTS),
    "line": ("length",),
    "angle": ("angle",),
    "arrow": (),
    "point": (),
}
"""Shape: what can be said of it, as in {coil.mean}."""

MEASURED_PARTS = frozenset(part for parts in PARTS_OF.values() for part in parts)


def parts_of(region: Region) -> tuple[str, ...]:
    """What can be said of a region, besides its mark, letter and name."""
    return PARTS_OF[region.shape]


class Volume(Part):
    """How much of a range of values lies inside a box or an ellipsoid along the patient's axes."""

    scan: Name = Field(description="A name from `scans`", examples=["urn"])
    shape: Literal["box", "ellipsoid"] = Field(description="What bounds it")
    center_mm: tuple[float, float, float] = Field(
        description="Its middle: patient x, y, z", examples=[[12, -3, -62.5]]
    )
    size_mm: tuple[Positive, Positive, Positive] | None = Field(
        default=None, description="Of a box: its full size along x, y, z", examples=[[40, 30, 20]]
    )
    radii_mm: tuple[Positive, Positive, Positive] | None = Field(
        default=None,
        description="Of an ellipsoid: its half axes along x, y, z",
        examples=[[20, 15, 10]],
    )
    from_value: float | None = Field(
        default=None, description="Lowest value that counts (HU for CT)", examples=[2000]
    )
    to_value: float | None = Field(
        default=None, description="Highest value that counts (HU for CT)", examples=[3071]
    )
    seed_mm: tuple[float, float, float] | None = Field(
        default=None,
        description="A place inside what is meant, patient x, y, z: only the part counts that "
        "hangs together with it",
        examples=[[14, -13, -62]],
    )
    called: Line = Field(description="What it is called aloud", examples=["the metal"])

    @model_validator(mode="after")
    def _whole(self) -> "Volume":
        fields = {"box": "size_mm", "ellipsoid": "radii_mm"}
        given = [field for field in fields.values() if getattr(self, field) is not None]
        wanted = fields[self.shape]
        if given != [wanted]:
            raise advised(f"{with_article(self.shape)} needs `{wanted}` alone", f"Write `{wanted}`")
        if self.from_value is None and self.to_value is None:
            raise advised(
                "needs `from_value`, `to_value`, or both", "Write the values that shall count"
            )
        low, high = self.from_value, self.to_value
        if low is not None and high is not None and low > high:
            raise advised(
                "`from_value` is greater than `to_value`", "Exchange the two, or mend one of them"
            )
        return self

    @property
    def half_mm(self) -> tuple[float, float, float]:
        """Half its size along x, y, z."""
        x, y, z = self.radii_mm or self.size_mm or (0.0, 0.0, 0.0)
        return (x, y, z) if self.radii_mm else (x / 2, y / 2, z / 2)
