"""Who speaks, where, and for how long."""

from typing import Annotated, TypeAlias

from pydantic import Field, model_validator

from slidekit.storyboard.glossary import Audience
from slidekit.storyboard.parts import Line, Part, Positive, advised
from slidekit.storyboard.translations import find_language


class Room(Part):
    """Where the talk is given, as far as the back row is concerned."""

    depth_m: Positive = Field(
        description="From the screen to the farthest seat, metres", examples=[12]
    )
    screen_height_m: Positive = Field(
        description="Height of the picture on the screen, metres", examples=[2.0]
    )


Language: TypeAlias = Annotated[str, Field(pattern=r"^[A-Za-z]{2,3}(-[A-Za-z0-9]{1,8})*$")]
"""A BCP 47 tag."""


class Talk(Part):
    """Who speaks, where, and for how long."""

    title: Line = Field(description="Title of the talk", examples=["What the urn holds"])
    subtitle: str = Field(default="", description="Line below the title")
    speaker: str = Field(default="", description="Who speaks, as on the opening slide")
    occasion: str = Field(default="", description="Where and when the talk is given")
    slot_min: Positive = Field(description="Time given to the talk, minutes", examples=[20])
    questions_min: Annotated[float, Field(ge=0)] = Field(
        default=0.0, description="Minutes of the slot that are kept for questions"
    )
    words_per_min: Annotated[float, Field(ge=60, le=240)] = Field(
        default=120, description="Pace of the speaker; lecturers with slides: 100 to 150"
    )
    room: Room | None = Field(
        default=None, description="For the check that the back row can read the slides"
    )
    audience: Audience = Field(default="general", description="Whom the words are for")
    language: Language = Field(
        default="en", description="BCP 47 tag of the words", examples=["en", "en-GB", "de"]
    )
    languages: tuple[Language, ...] = Field(
        default=(),
        description="The languages that texts are given in, as {en: The coil, de: Die Spirale}",
        examples=[["en", "de"]],
    )
    programme: str | None = Field(
        default=None,
        description="The file of the programme that this talk is part of, seen from the storyboard",
        examples=["evening.yaml"],
    )
    style: str = Field(default="lecture-dark", description="Name or path of a style file")

    @model_validator(mode="after")
    def _own_language_is_listed(self) -> "Talk":
        if self.languages and find_language(self.language, self.languages) is None:
            raise advised(
                f"is in `{self.language}`, which is not among its `languages`",
                "Add it there, or write one of them as `language`",
            )
        if len(set(self.languages)) < len(self.languages):
            raise advised("lists one language twice", "Remove one of the two")
        return self
