"""What an author may ask of measured CT numbers: what could this be, and do two places differ?"""

from typing import Annotated

from pydantic import Field

from slidekit.storyboard.parts import Line, Name, Part

QUESTION_PARTS: tuple[str, ...] = ("remain", "excluded", "share", "energy", "warning")
CONTRAST_PARTS: tuple[str, ...] = ("difference", "interval", "effect", "overlap", "warning")

Pair = Annotated[tuple[Name, ...], Field(min_length=2, max_length=2)]


class Question(Part):
    """Which of some candidates could give the CT numbers measured in a region."""

    called: Line = Field(
        description="What is asked, as in a heading", examples=["What the seal could be"]
    )
    region: Name = Field(
        description="A closed region of a CT scan, from `regions`", examples=["tar_spot"]
    )
    candidates: Annotated[tuple[Name, ...], Field(min_length=1)] | None = Field(
        default=None,
        description="Names of the candidates file; all of them if left out",
        examples=[["birch_tar", "beeswax"]],
    )
    file: Line | None = Field(
        default=None,
        description="A file of more candidates, relative to the storyboard",
        examples=["my-materials.yaml"],
    )
    energy_kev: Annotated[float, Field(ge=20, le=200)] | None = Field(
        default=None,
        description="Effective energy of the beam, taken as known to 5 keV; if left out, from the "
        "tube voltage in the header",
        examples=[70],
    )
    mix: Pair | None = Field(
        default=None,
        description="Two candidates: which share of the first by volume, in a mixture with the "
        "second, would fit",
        examples=[["beeswax", "pine_resin"]],
    )


class Contrast(Part):
    """Two regions of one scan, held against each other."""

    called: Line = Field(description="What is compared", examples=["The two stretches of the seal"])
    regions: Pair = Field(
        description="Two closed regions of one scan, from `regions`",
        examples=[["tar_spot", "wax_spot"]],
    )
