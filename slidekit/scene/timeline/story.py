"""What a timeline tells, taken from a chronology, and the words it uses for it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from slidekit.evidence.dates.spoken import label_date, label_span, say_between, say_date, say_span
from slidekit.evidence.dates.words import Manner
from slidekit.evidence.dates.years import Date
from slidekit.scene.model import Paragraph
from slidekit.scene.style import Style
from slidekit.scene.timeline.labels import words_of
from slidekit.storyboard.chronology import CASE_NAME, Chronology, Event, Period

Dates: TypeAlias = Literal["all", "chosen", "events", "none"]
"""Which dates are written out: all, those of events and highlighted periods, of events, or none."""

Interval: TypeAlias = tuple[float, float]
"""First and last astronomical year, with fractions where days are known."""


@dataclass(frozen=True)
class Counted:
    """Cases of a series by period, and what is said of them."""

    cases: Mapping[str, int]  # by the name of the period
    words: str


@dataclass(frozen=True)
class Wish:
    """What a timeline slide asks for, beside the chronology."""

    highlight: Sequence[str] = ()
    zoom: Sequence[str] = ()
    counted: Counted | None = None
    manner: Manner = field(default_factory=Manner)


@dataclass(frozen=True)
class PeriodEntry:
    """A period of the chronology, and whether it is highlighted."""

    name: str
    label: str
    start: Date
    end: Date
    lane: int
    highlighted: bool

    def said(self, manner: Manner) -> str:
        return say_span(self.start, self.end, manner)

    @property
    def known(self) -> Interval:
        """The years from the first to the last that is known of it."""
        edges = [edge for date in (self.start, self.end) for edge in _edges(date)]
        return min(edges), max(edges)


@dataclass(frozen=True)
class EventEntry:
    """An event of the chronology, or the case of the talk, and whether it is highlighted."""

    label: str
    date: Date
    highlighted: bool
    limits: tuple[Date, Date] | None = None  # where it is known within two dates
    is_case: bool = False
    reference: str = ""  # laboratory code and calibration curve

    def said(self, manner: Manner) -> str:
        return say_between(*self.limits, manner) if self.limits else say_date(self.date, manner)

    def label_date(self, manner: Manner) -> str:
        return say_between(*self.limits, manner) if self.limits else label_date(self.date, manner)

    @property
    def known(self) -> Interval:
        """The years from the first to the last that is known of it."""
        edges = list(_edges(self.date))
        return min(edges), max(edges)

    @property
    def order(self) -> tuple[bool, bool, float, float]:
        """For drawing one over the other: moments over spans, the case of the talk over others;
        else by the first year, the longest first."""
        first, last = self.known
        return self.date.is_moment, self.is_case, first, -last


def _edges(date: Date) -> Iterator[float]:
    for edge in (date.first, date.last):
        if edge is not None:
            yield edge


@dataclass(frozen=True)
class Story:
    """What a timeline tells."""

    periods: tuple[PeriodEntry, ...]
    events: tuple[EventEntry, ...]  # the case of the talk comes last
    lanes: Mapping[int, str]
    zooms: tuple[Interval, ...]
    counted: Counted | None
    manner: Manner

    @property
    def years(self) -> Interval:
        """First and last year that is known."""
        known = [period.known for period in self.periods]
        known += [event.known for event in self.events]
        return min(first for first, _ in known), max(last for _, last in known)

    @property
    def opens(self) -> tuple[bool, bool]:
        """Whether something reaches beyond the years that are known, to the left and right."""
        dates = [(period.start, period.end) for period in self.periods]
        dates += [(event.date, event.date) for event in self.events]
        return (
            any(start.first is None for start, _ in dates),
            any(end.last is None for _, end in dates),
        )

    @property
    def in_days(self) -> bool:
        """Whether anything is known better than to the year."""
        dates = [date for period in self.periods for date in (period.start, period.end)]
        dates += [event.date for event in self.events]
        return any(date.first_day or date.last_day for date in dates)

    @property
    def least_rows(self) -> int:
        """Rows of bars that the periods need however small they are written."""
        lanes = {period.lane for period in self.periods}
        return sum(
            _depth([period.known for period in self.periods if period.lane == lane])
            for lane in lanes
        )


def _depth(spans: Sequence[Interval]) -> int:
    """The most periods that share one time; following each other is not sharing."""
    return max(sum(start <= year < end for start, end in spans) for year, _ in spans)


def story_of(chronology: Chronology, wish: Wish) -> Story:
    """The chronology as the slide wishes it."""
    periods = tuple(
        PeriodEntry(
            name, period.label, period.start, period.end, period.lane, name in wish.highlight
        )
        for name, period in chronology.periods.items()
    )
    named = list(chronology.events.items())
    if chronology.this_case is not None:
        named.append((CASE_NAME, chronology.this_case))
    events = tuple(
        EventEntry(
            event.label,
            event.date,
            name in wish.highlight or name == CASE_NAME,
            event.limits,
            name == CASE_NAME,
            event.calibrated.reference if event.calibrated else "",
        )
        for name, event in named
    )
    zooms = tuple(_known(chronology.find(name)) for name in wish.zoom)
    return Story(periods, events, chronology.lanes, zooms, wish.counted, wish.manner)


def _known(one: Period | Event | None) -> Interval:
    if one is None:
        raise ValueError("what is zoomed at is in the chronology; the names have been checked")
    start, end = one.lasting
    edges = [*_edges(start), *_edges(end)]
    return min(edges), max(edges)


def event_words(
    event: EventEntry, manner: Manner, dates: Dates, style: Style
) -> tuple[Paragraph, ...]:
    """What is written on an event's flag."""
    date = "" if dates == "none" else event.label_date(manner)
    color = None if event.is_case else style.colors.quiet
    return words_of(event.label, date, bold=event.highlighted, date_color=color)


def period_words(
    period: PeriodEntry, manner: Manner, dates: Dates, style: Style
) -> tuple[Paragraph, ...]:
    """What is written on a period's bar, or beside it."""
    written = dates == "all" or (dates == "chosen" and period.highlighted)
    date = label_span(period.start, period.end, manner) if written else ""
    color = None if period.highlighted else style.colors.quiet
    return words_of(period.label, date, bold=period.highlighted, date_color=color)
