"""Counting years across 1 BCE. There is no year 0.

Years are kept astronomically (ISO 8601-1:2019: 1 BCE is 0000, 2 BCE is -0001), so that differences
are plain subtraction. Days are those of the proleptic Gregorian calendar, as in that standard.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from math import inf
from typing import NamedTuple

from slidekit.errors import DateError


class Day(NamedTuple):
    """A day of the proleptic Gregorian calendar; its year is astronomical."""

    year: int
    month: int
    day: int

    @property
    def position(self) -> float:
        """Its beginning, in years: the 1st of January of 1984 is 1984."""
        return self.year + _day_of_year(self) / (366 if is_leap(self.year) else 365)

    @property
    def number(self) -> int:
        """Days since the 1st of January of the year 1 BCE (0000)."""
        before = self.year - 1
        leap_days = before // 4 - before // 100 + before // 400 + 1  # 0000 is a leap year
        return 365 * self.year + leap_days + _day_of_year(self)


@dataclass(frozen=True)
class Date:
    """When something was: from `earliest` to `latest`, astronomical years, both included.

    They are equal for a plain year. None: nothing is known on that side ("before 300 BCE").
    """

    earliest: int | None
    latest: int | None
    approximate: bool = False  # "c.", EDTF ~
    uncertain: bool = False  # "?", EDTF ?
    first_day: Day | None = None  # where `earliest` is known better than to the year
    last_day: Day | None = None
    season: int | None = None  # EDTF 21 to 41: what the days from the first to the last are called
    choices: tuple["Date", ...] = ()  # of a set: what is in it
    every: bool = False  # of a set: all of it, EDTF {}, and not one of it, EDTF []
    lasting: bool = False  # of the end of a period: it goes on, EDTF ..
    percent: str = ""  # of a calibrated radiocarbon date: how probable the range is, as given

    @property
    def is_year(self) -> bool:
        """One year, and no part of it."""
        one = self.earliest is not None and self.earliest == self.latest
        return one and not (self.first_day or self.last_day or self.choices)

    @property
    def first(self) -> float | None:
        """Where it begins on an axis of years."""
        return self.first_day.position if self.first_day else self.earliest

    @property
    def last(self) -> float | None:
        """Where it ends on an axis of years."""
        return self.last_day.position if self.last_day else self.latest

    @property
    def is_moment(self) -> bool:
        """One year or one day; everything else is some time within a span."""
        return self.first is not None and self.first == self.last

    def qualified(self, *, approximate: bool, uncertain: bool) -> "Date":
        """The same with these doubts added to its own."""
        return replace(
            self,
            approximate=self.approximate or approximate,
            uncertain=self.uncertain or uncertain,
        )


class Years(NamedTuple):
    """Astronomical years from the first to the last, both included."""

    first: int
    last: int

    def parts(self, count: int) -> tuple["Years", ...]:
        """Halves, thirds or quarters; of a hundred years the second third has 34."""
        length = self.last - self.first + 1
        cuts = [self.first + (2 * i * length + count) // (2 * count) for i in range(count + 1)]
        return tuple(Years(cuts[i], cuts[i + 1] - 1) for i in range(count))


def is_leap(year: int) -> bool:
    """Whether an astronomical year has a 29th of February."""
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)


def days_in(year: int, month: int) -> int:
    """How many days a month has."""
    if month == 2:
        return 29 if is_leap(year) else 28
    return 30 if month in {4, 6, 9, 11} else 31


def _day_of_year(day: Day) -> int:
    """From 0."""
    return sum(days_in(day.year, month) for month in range(1, day.month)) + day.day - 1


def astronomical_year(number: int, *, before: bool) -> int:
    """The astronomical year of `number` BCE (`before`) or CE; `number` is 1 or more."""
    return 1 - number if before else number


def counted_year(astronomical: int) -> tuple[int, bool]:
    """The number of a year as people count it, and whether it is BCE."""
    before = astronomical <= 0
    return (1 - astronomical if before else astronomical), before


def nth_span(number: int, length: int, *, before: bool) -> Years:
    """The nth century (length 100) or millennium: the 5th century BCE is 500 to 401 BCE."""
    high, low = number * length, (number - 1) * length + 1
    return Years(1 - high, 1 - low) if before else Years(low, high)


def decade_span(number: int, *, before: bool) -> Years:
    """The years whose numbers begin alike: the 1290s BCE are 1299 to 1290 BCE."""
    return Years(1 - (number + 9), 1 - number) if before else Years(number, number + 9)


def date_of_days(first: Day, last: Day) -> Date:
    """The date of something known to have happened from `first` to `last`."""
    return Date(first.year, last.year, first_day=first, last_day=last)


MOST_DIGITS = 11
"""Of a year; the universe is younger."""


def too_far(text: object) -> DateError:
    """What is said of a year with more digits than that."""
    return DateError(
        f"{text!r} has a year with more than {MOST_DIGITS} digits, and the universe is younger",
        "Write a year with fewer digits",
    )


SEASON_MONTHS: Mapping[int, tuple[int, int]] = {
    **dict.fromkeys((21, 25, 31), (3, 5)),
    **dict.fromkeys((22, 26, 32), (6, 8)),
    **dict.fromkeys((23, 27, 29), (9, 11)),
    **dict.fromkeys((24, 28, 30), (12, 14)),  # to February of the next year
    **{33 + i: (1 + 3 * i, 3 + 3 * i) for i in range(4)},
    **{37 + i: (1 + 4 * i, 4 + 4 * i) for i in range(3)},
    **{40 + i: (1 + 6 * i, 6 + 6 * i) for i in range(2)},
}
"""First and last month of EDTF's seasons. 21 to 24 name no half of the earth and are taken as the
northern 25 to 28; 29 to 32 are southern; then come quarters, thirds and halves of a year. Seasons
are whole months (common practice of meteorology)."""


def date_of_season(year: int, season: int) -> Date:
    """The months of a season, under its name."""
    first, last = SEASON_MONTHS[season]
    later, month = divmod(last - 1, 12)
    end = Day(year + later, month + 1, days_in(year + later, month + 1))
    return replace(date_of_days(Day(year, first, 1), end), season=season)


def date_between(earliest: Date, latest: Date) -> Date:
    """The one date of something known to have happened from `earliest` to `latest`."""
    return Date(
        earliest.earliest,
        latest.latest,
        earliest.approximate or latest.approximate,
        earliest.uncertain or latest.uncertain,
        first_day=earliest.first_day,
        last_day=latest.last_day,
        percent=earliest.percent or latest.percent,
    )


def date_among(members: Iterable[Date], *, every: bool) -> Date:
    """A set: all of its members, or one of them without saying which."""
    choices = tuple(members)
    first = min(choices, key=lambda one: -inf if one.first is None else one.first)
    last = max(choices, key=lambda one: inf if one.last is None else one.last)
    return Date(
        first.earliest,
        last.latest,
        any(one.approximate for one in choices),
        any(one.uncertain for one in choices),
        first_day=first.first_day,
        last_day=last.last_day,
        choices=choices,
        every=every,
    )
