"""Periods and events of a timeline, dated as people write dates."""

from collections.abc import Mapping
from functools import cached_property
from typing import Annotated, Literal, TypeAlias

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from slidekit.errors import DateError
from slidekit.evidence.dates.durations import Duration, Lasting, elapsed, overlap
from slidekit.evidence.dates.parse import parse_date, parse_end
from slidekit.evidence.dates.radiocarbon import calibrated, parse_calibrated_year
from slidekit.evidence.dates.years import Date, date_between
from slidekit.storyboard.parts import Line, Name, Part, advised
from slidekit.storyboard.tables import ColumnName, Digits

_DATE_SCHEMA = {
    "type": ["string", "integer"],  # what an editor sees: -1299 alone is an integer there
    "examples": ["1300 BCE", "c. 79 CE", "-1299~"],
}
AuthorDate: TypeAlias = Annotated[Date, BeforeValidator(parse_date), WithJsonSchema(_DATE_SCHEMA)]
AuthorEnd: TypeAlias = Annotated[Date, BeforeValidator(parse_end), WithJsonSchema(_DATE_SCHEMA)]
CalibratedYear: TypeAlias = Annotated[
    int,
    BeforeValidator(parse_calibrated_year),
    WithJsonSchema({"type": "string", "examples": ["2905 cal BP", "956 cal BCE"]}),
]


class Period(Part):
    """A span of years, drawn as a bar."""

    label: Line = Field(description="Its name on the timeline", examples=["Late Bronze Age"])
    start: AuthorEnd = Field(
        description='As in "1300 BCE", "c. 950 BCE", EDTF "-1299~"; ".." for no beginning, or'
        ' "unknown"'
    )
    end: AuthorEnd = Field(description='The last of it, as `start`; ".." for what goes on')
    lane: Annotated[int, Field(ge=1)] = Field(default=1, description="Row of the timeline")

    @model_validator(mode="after")
    def _forwards(self) -> "Period":
        first, last = self.start.first, self.end.last
        if first is None and self.start.last is None and self.end.first is None and last is None:
            raise advised("has no date at all", "Write its `start` or its `end`")
        if first is not None and last is not None and first > last:
            raise advised("ends before it starts", "Exchange `start` and `end`, or mend one")
        return self

    @property
    def lasting(self) -> Lasting:
        """From when to when."""
        return Lasting(self.start, self.end)


class Calibrated(Part):
    """A radiocarbon date as the range to which a laboratory or a program calibrated it."""

    from_: CalibratedYear = Field(alias="from", description="The earlier end of the range")
    to: CalibratedYear = Field(description="The later end, as in 2780 cal BP or 831 cal BCE")
    percent: Digits = Field(description="How probable the range is", examples=["95.4"])
    lab: str = Field(default="", description="The laboratory's code of the sample")
    curve: str = Field(default="", description="The calibration curve")

    @model_validator(mode="after")
    def _is_range(self) -> "Calibrated":
        try:
            calibrated(self.from_, self.to, self.percent)
        except DateError as error:
            raise advised(error.wrong, error.instead) from error
        return self

    @property
    def date(self) -> Date:
        return calibrated(self.from_, self.to, self.percent)

    @property
    def reference(self) -> str:
        """Laboratory code and curve, as far as they are given."""
        return ", ".join(filter(None, (self.lab, self.curve)))


class Event(Part):
    """A moment, or a moment known only as a span of years, drawn as a marker."""

    label: Line = Field(description="Its name on the timeline", examples=["The urn is buried"])
    at: AuthorDate | None = Field(default=None, description="When it was, if that is known")
    earliest: AuthorDate | None = Field(default=None, description="It was not before this")
    latest: AuthorDate | None = Field(default=None, description="It was not after this")
    calibrated: Calibrated | None = Field(default=None, description="A radiocarbon date")

    @model_validator(mode="after")
    def _one_way(self) -> "Event":
        span = (self.earliest is not None, self.latest is not None)
        given = (self.at is not None, *span, self.calibrated is not None)
        if given not in {(1, 0, 0, 0), (0, 1, 1, 0), (0, 0, 0, 1)}:
            raise advised(
                "needs `at`, or both `earliest` and `latest`, or `calibrated`",
                "Write one of the three forms",
            )
        first, last = self.date.first, self.date.last
        if first is not None and last is not None and first > last:
            raise advised(
                "`earliest` is later than `latest`", "Exchange the two, or mend one of them"
            )
        return self

    @cached_property
    def date(self) -> Date:
        """The moment, in whichever way it is written."""
        if self.limits is not None:
            return date_between(*self.limits)
        return self.calibrated.date if self.calibrated else self.at or Date(None, None)

    @property
    def limits(self) -> tuple[Date, Date] | None:
        """The two dates between which it was, if it is written so."""
        if self.earliest is None or self.latest is None:
            return None
        return self.earliest, self.latest

    @property
    def lasting(self) -> Lasting:
        """The moment as a span, for the time before and after it."""
        return Lasting(self.date, self.date)


Dated: TypeAlias = Period | Event
CASE_NAME = "this_case"
"""The name under which words speak of the case of the talk."""


class Chronology(Part):
    """What the timeline shows."""

    era: Literal["BCE/CE", "BC/AD"] = Field(default="BCE/CE", description="How years are written")
    periods: dict[Name, Period] = Field(default={}, description="Name: a span of years")
    events: dict[Name, Event] = Field(default={}, description="Name: a moment")
    this_case: Event | None = Field(
        default=None, description="The case that the talk is about, drawn through all lanes"
    )
    lanes: dict[Annotated[int, Field(ge=1)], Line] = Field(
        default={}, description="Number of a lane: what stands in it", examples=[{2: "Pots"}]
    )

    @model_validator(mode="after")
    def _lanes_are_there(self) -> "Chronology":
        there = {period.lane for period in self.periods.values()}
        for lane in self.lanes:
            if self.periods and lane not in there:
                raise advised(
                    f"`lanes` names lane {lane}, and no period stands in it",
                    f"Give a period `lane: {lane}`, or remove the name",
                )
        return self

    def find(self, name: str) -> Dated | None:
        """The period or event of that name, or the case of the talk."""
        if name == CASE_NAME:
            return self.this_case
        return self.periods.get(name) or self.events.get(name)


class PeriodTally(Part):
    """How many cases of a series belong to each period."""

    table: Name = Field(description="A name from `tables`", examples=["urns"])
    column: ColumnName = Field(
        description="A column whose `values` are names or labels of periods", examples=["period"]
    )


def time_between(one: Dated, other: Dated) -> Duration:
    """The time that passed from the end of the one to the beginning of the other."""
    return elapsed(one.lasting.end, other.lasting.start)


def time_together(one: Period, other: Period) -> Duration:
    """How long both went on at once."""
    return overlap(one.lasting, other.lasting)


def period_called(value: str, periods: Mapping[str, Period]) -> str | None:
    """The name of the period that a cell of a table means by its name or by its label."""
    if value in periods:
        return value
    means = (name for name, one in periods.items() if one.label.casefold() == value.casefold())
    return next(means, None)
