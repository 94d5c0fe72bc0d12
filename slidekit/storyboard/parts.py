"""What the models of the storyboard are made of.

Coordinates come in two kinds. `..._mm` are patient millimetres (DICOM LPS+: x to the left, y to
the back, z to the head): two numbers on the axes of the region's view (axial x, y; coronal x, z;
sagittal y, z; oblique and curved views to the right and down from their middle) or all three.
`..._px` are pixels of an acquired slice, [column, row]; (0, 0) is the centre of the first pixel.
"""

from typing import Annotated, TypeAlias

from pydantic import BaseModel, ConfigDict, Field
from pydantic_core import PydanticCustomError

Name: TypeAlias = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
"""Names of scans, views, regions, periods and slides: lower case, digits, underscore."""

Line: TypeAlias = Annotated[str, Field(min_length=1)]
"""Words that may not be left out."""

Millimetres: TypeAlias = Annotated[
    tuple[float, ...], Field(min_length=2, max_length=3, examples=[[12.5, -40]])
]
Pixels: TypeAlias = Annotated[tuple[float, float], Field(examples=[[256, 256]])]
Corner: TypeAlias = Annotated[tuple[float, float], Field(examples=[[-60, -60]])]
Positive: TypeAlias = Annotated[float, Field(gt=0)]
Angle: TypeAlias = Annotated[float, Field(ge=-360, le=360)]


class Part(BaseModel):
    """Any part of a storyboard."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",  # a misspelt field is an error
        str_strip_whitespace=True,
        coerce_numbers_to_str=True,  # `title: 1300` is a title
        allow_inf_nan=False,
    )


def advised(wrong: str, instead: str) -> PydanticCustomError:
    """What a validator raises: what is wrong, and what to write instead; no full stops."""
    return PydanticCustomError("advised", "{wrong}", {"wrong": wrong, "instead": instead})
