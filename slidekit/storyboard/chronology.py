"""Periods and events of a timeline, dated as people write dates."""

from typing import Annotated, Literal, TypeAlias

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from slidekit.evidence.dates import Date, parse_date
from slidekit.storyboard.parts import Line, Name, Part, advised

AuthorDate: TypeAlias = Annotated[
    Date,
    BeforeValidator(parse_date),
    # what an editor sees: -1299 alone is an integer there
    WithJsonSchema({"type": ["string", "integer"], "examples": ["1300 BCE", "c. 79 CE", "-1299~"]}),
]


class Period(Part):
    """A span of years, drawn as a bar."""

    label: Line = Field(description="Its name on the timeline", examples=["Late Bronze Age"])
    start: AuthorDate = Field(description='As in "1300 BCE", "c. 950 BCE", "79 CE", EDTF "-1299~"')
    end: AuthorDate = Field(description="The last of it, written as `start` is")
    lane: Annotated[int, Field(ge=1)] = Field(default=1, description="Row of the timeline")

    @model_validator(mode="after")
    def _forwards(self) -> "Period":
        if self.start.earliest > self.end.latest:
            raise advised("ends before it starts", "Exchange `start` and `end`, or mend one")
        return self


class Event(Part):
    """A moment, or a moment known only as a span of years, drawn as a marker."""

    label: Line = Field(description="Its name on the timeline", examples=["The urn is buried"])
    at: AuthorDate | None = Field(default=None, description="When it was, if that is known")
    earliest: AuthorDate | None = Field(default=None, description="It was not before this")
    latest: AuthorDate | None = Field(default=None, description="It was not after this")

    @model_validator(mode="after")
    def _one_way(self) -> "Event":
        span = (self.earliest is not None, self.latest is not None)
        if (self.at is not None, *span) not in {(True, False, False), (False, True, True)}:
            raise advised(
                "needs either `at`, or both `earliest` and `latest`", "Write one of the two forms"
            )
        if self.earliest and self.latest and self.earliest.earliest > self.latest.latest:
            raise advised(
                "`earliest` is later than `latest`", "Exchange the two, or mend one of them"
            )
        return self


class Chronology(Part):
    """What the timeline shows."""

    era: Literal["BCE/CE", "BC/AD"] = Field(default="BCE/CE", description="How years are written")
    periods: dict[Name, Period] = Field(default={}, description="Name: a span of years")
    events: dict[Name, Event] = Field(default={}, description="Name: a moment")
