"""Several talks after one another, by several speakers: what an author may write."""

from typing import Annotated

from pydantic import Field, model_validator

from slidekit.storyboard.parts import Line, Name, Part, Positive, advised


class Item(Part):
    """A talk, or a pause between talks."""

    talk: Name | None = Field(
        default=None, description="The talk's name in this programme", examples=["urn"]
    )
    storyboard: Line | None = Field(
        default=None, description="Its storyboard, seen from this file", examples=["urn.yaml"]
    )
    pause: Line | None = Field(default=None, description="In place of a talk", examples=["Coffee"])
    minutes: Positive | None = Field(default=None, description="Of a pause", examples=[15])

    @model_validator(mode="after")
    def _talk_or_pause(self) -> "Item":
        if (self.talk is None) == (self.pause is None):
            raise advised(
                "is neither a talk nor a pause, or both",
                "Write {talk: urn, storyboard: urn.yaml} or {pause: Coffee, minutes: 15}",
            )
        wanted, other = ("storyboard", "minutes") if self.talk else ("minutes", "storyboard")
        if getattr(self, wanted) is None:
            example = "storyboard: urn.yaml" if self.talk else "minutes: 15"
            raise advised(f"has no `{wanted}`", f"Add {example}")
        if getattr(self, other) is not None:
            raise advised(f"has a field `{other}` that means nothing here", "Remove it")
        return self


class Programme(Part):
    """Talks in the order in which they are given; each has the slot of its own storyboard."""

    title: Line = Field(description="What the afternoon is called", examples=["Urns, unopened"])
    begins: Annotated[str, Field(pattern=r"^([01]?\d|2[0-3]):[0-5]\d$")] = Field(
        description="When it begins, on a clock of 24 hours, in quotes", examples=['"14:00"']
    )
    change_min: Annotated[float, Field(ge=0)] = Field(
        default=0.0, description="Minutes between two talks, for the speakers to change"
    )
    items: Annotated[tuple[Item, ...], Field(min_length=1)] = Field(
        description="Talks and pauses",
        examples=[[{"talk": "urn", "storyboard": "urn.yaml"}]],
    )


class ProgrammeFile(Part):
    """A programme stands in a file of its own."""

    programme: Programme = Field(description="Several talks after one another")
