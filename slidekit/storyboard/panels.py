"""Printed exhibit panels."""

from typing import Annotated

from pydantic import Field

from slidekit.storyboard.glossary import Audience
from slidekit.storyboard.parts import Line, Name, Part
from slidekit.storyboard.views import ShownView


class Panel(Part):
    """A printed exhibit panel."""

    size_mm: tuple[
        Annotated[float, Field(ge=100, le=1400)], Annotated[float, Field(ge=100, le=1400)]
    ] = Field(description="Width and height of the trimmed panel", examples=[[420, 594]])
    headline: Line = Field(description="Read from afar", examples=["What the urn holds"])
    body: Annotated[tuple[Line, ...], Field(min_length=1)] = Field(description="Paragraphs")
    views: Annotated[tuple[ShownView, ...], Field(min_length=1, max_length=4)] = Field(
        description="One to four views"
    )
    counts: Annotated[tuple[Name, ...], Field(max_length=6)] = Field(
        default=(),
        description="Names from `counts`, drawn with the text: a dot with its interval each",
        examples=[["side_hole"]],
    )
    stages: Annotated[tuple[Name, ...], Field(max_length=8)] = Field(
        default=(),
        description="Stages of the account, listed with the text and what this case shows of each",
        examples=[["pyre", "gift"]],
    )
    audience: Audience = Field(
        default="general", description="Whom terms are explained for: who passes by, if left out"
    )
    png_dpi: Annotated[float, Field(ge=30, le=600)] = Field(
        default=150, description="Pixels to the inch of the PNG; the PDF is sharp at any size"
    )
