"""What the author has looked at again and wants as it is."""

from typing import Annotated

from pydantic import Field

from slidekit.storyboard.parts import Line, Name, Part


class Waiver(Part):
    """A rule of `check` that does not count: on a slide, for a name, or throughout the talk."""

    rule: Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]*$")] = Field(
        description="The rule, as `slidekit check` names it", examples=["still"]
    )
    slide: Name | None = Field(default=None, description="Only on the slide with this id")
    name: Name | None = Field(
        default=None, description="Only for this region, scan, finding or the like"
    )
    because: Line = Field(
        description="Why it may stay as it is", examples=["The picture moves by hand here"]
    )
