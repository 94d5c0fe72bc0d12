"""Conclusions, and what they rest on."""

from typing import Annotated, Literal

from pydantic import Field

from slidekit.storyboard.parts import Line, Name, Part


class Finding(Part):
    """A conclusion and what it rests on."""

    statement: Line = Field(
        description="The conclusion, in one sentence",
        examples=["The mouth was closed with birch tar"],
    )
    certainty: Literal["observed", "almost certain", "probable", "possible", "cannot be shown"] = (
        Field(description="How far the evidence carries it")
    )
    evidence: Annotated[tuple[Name, ...], Field(min_length=1)] = Field(
        description="Names of regions, periods, events or counts that a slide shows",
        examples=[["coil", "plug"]],
    )
    against: str = Field(default="", description="What speaks against it, if anything")
