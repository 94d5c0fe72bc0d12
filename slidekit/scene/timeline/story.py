"""What a timeline tells, taken from a chronology, and the words it uses for it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from slidekit.evidence.dates import Date, Era, date_between, label_span, say_date, say_span
from slidekit.scene.model import Paragraph
from slidekit.scene.style import Style
from slidekit.scene.timeline.labels import words_of
from slidekit.storyboard.chronology import Chronology, Event

Dates: TypeAlias = Literal["all", "chosen", "none"]
"""Which dates are written out: all, those of events and highlighted periods, or none."""


@dataclass(frozen=True)
class PeriodEntry:
    """A period of the chronology, and whether it is highlighted."""

    label: str
    start: Date
    end: Date
    lane: int
    highlighted: bool

    def said(self, era: Era) -> str:
        return say_span(self.start, self.end, era)


@dataclass(frozen=True)
class EventEntry:
    """An event of the chronology, and whether it is highlighted."""

    label: str
    date: Date
    highlighted: bool

    def said(self, era: Era) -> str:
        return say_date(self.date, era)

    @property
    def span(self) -> tuple[int, int]:
        """For sorting: by the first year, the longest first."""
        return self.date.earliest, -self.date.latest


@dataclass(frozen=True)
class Story:
    """What a timeline tells."""

    periods: tuple[PeriodEntry, ...]
    events: tuple[EventEntry, ...]
    era: Era

    @property
    def years(self) -> tuple[int, int]:
        """First and last astronomical year."""
        dates = [date for period in self.periods for date in (period.start, period.end)]
        dates += [event.date for event in self.events]
        return min(date.earliest for date in dates), max(date.latest for date in dates)

    @property
    def least_rows(self) -> int:
        """Rows of bars that the periods need however small they are written."""
        lanes = {period.lane for period in self.periods}
        return sum(
            _depth([period for period in self.periods if period.lane == lane]) for lane in lanes
        )


def _depth(periods: Sequence[PeriodEntry]) -> int:
    """The most periods that share one time; following each other is not sharing."""
    starts = [period.start.earliest for period in periods]
    return max(
        sum(period.start.earliest <= year < period.end.latest for period in periods)
        for year in starts
    )


def story_of(chronology: Chronology, highlight: Sequence[str]) -> Story:
    """The chronology with the named periods (and events) highlighted."""
    periods = tuple(
        PeriodEntry(period.label, period.start, period.end, period.lane, name in highlight)
        for name, period in chronology.periods.items()
    )
    events = tuple(
        EventEntry(event.label, _date_of(event), name in highlight)
        for name, event in chronology.events.items()
    )
    return Story(periods, events, chronology.era)


def _date_of(event: Event) -> Date:
    if event.at is not None:
        return event.at
    if event.earliest is None or event.latest is None:
        raise ValueError("an event has `at`, or `earliest` and `latest`; its model sees to that")
    return date_between(event.earliest, event.latest)


def event_words(event: EventEntry, era: Era, dates: Dates, style: Style) -> tuple[Paragraph, ...]:
    """What is written on an event's flag."""
    date = "" if dates == "none" else event.said(era)
    return words_of(event.label, date, bold=event.highlighted, date_color=style.colors.quiet)


def period_words(
    period: PeriodEntry, era: Era, dates: Dates, style: Style
) -> tuple[Paragraph, ...]:
    """What is written on a period's bar, or beside it."""
    written = dates == "all" or (dates == "chosen" and period.highlighted)
    date = label_span(period.start, period.end, era) if written else ""
    color = None if period.highlighted else style.colors.quiet
    return words_of(period.label, date, bold=period.highlighted, date_color=color)
