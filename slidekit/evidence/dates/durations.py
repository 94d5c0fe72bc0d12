"""How long something lasted, how much time passed, and how long two things went on together.

Years are counted as they pass: from 30 BCE to 30 CE are 59, for there is no year 0. What the dates
leave open stays open: "450 to 550 years".
"""

from dataclasses import dataclass
from math import inf, isinf
from typing import NamedTuple

from slidekit.evidence.dates.spoken import grouped
from slidekit.evidence.dates.words import Manner
from slidekit.evidence.dates.years import Date

_MOST_DAYS = 120  # longer times are told in years
_YEAR_DAYS = 365.2425  # of the Gregorian calendar


@dataclass(frozen=True)
class Duration:
    """The fewest and the most years (or days) that it can have been; None: no limit is known."""

    fewest: int
    most: int | None
    in_days: bool = False
    approximate: bool = False
    uncertain: bool = False

    @property
    def is_known(self) -> bool:
        """Whether there is anything to say."""
        return self.fewest > 0 or self.most is not None


class Lasting(NamedTuple):
    """From when to when something was."""

    start: Date
    end: Date


def elapsed(start: Date, end: Date) -> Duration:
    """The time that passed from `start` to `end`; none if `end` may have come first."""
    doubts = (start.approximate or end.approximate, start.uncertain or end.uncertain)
    if start.first_day and start.last_day and end.first_day and end.last_day:
        fewest = max(end.first_day.number - start.last_day.number, 0)
        most = max(end.last_day.number - start.first_day.number, 0)
        if most <= _MOST_DAYS:
            return Duration(fewest, most, True, *doubts)
        return Duration(int(fewest / _YEAR_DAYS), int(most / _YEAR_DAYS), False, *doubts)
    return _duration(_low(end) - _high(start), _high(end) - _low(start), doubts)


def overlap(one: Lasting, other: Lasting) -> Duration:
    """How long both went on at once; 0 at most if they never did."""
    starts, ends = (one.start, other.start), (one.end, other.end)
    fewest = min(map(_low_end, ends)) - max(map(_high_start, starts))
    most = min(map(_high, ends)) - max(map(_low, starts))
    dates = (*starts, *ends)
    doubts = (any(date.approximate for date in dates), any(date.uncertain for date in dates))
    return _duration(fewest, most, doubts)


def say_duration(duration: Duration, manner: Manner) -> str:
    """In words: "59 years", "about 450 to 550 years", "at least 300 years".

    What is only about so long is rounded, down and up where it is between two numbers.
    """
    words = manner.words
    fewest, most = _rounded(duration)
    if most is None:
        said = words.at_least.format(_count(fewest, duration, manner))
    elif fewest == most:
        said = _count(most, duration, manner)
    elif fewest == 0:
        said = words.at_most.format(_count(most, duration, manner))
    else:
        many = words.years_between.format(grouped(fewest, words), grouped(most, words))
        said = (words.days[1] if duration.in_days else words.years).format(many)
    if duration.approximate and most is not None and fewest > 0:
        said = words.years_about.format(said)
    return words.probably.format(said) if duration.uncertain else said


def _count(number: int, duration: Duration, manner: Manner) -> str:
    words = manner.words
    one, many = words.days if duration.in_days else (words.year, words.years)
    return one if number == 1 else many.format(grouped(number, words))


def _rounded(duration: Duration) -> tuple[int, int | None]:
    fewest, most = duration.fewest, duration.most
    if not duration.approximate or duration.in_days:
        return fewest, most
    size = most if most is not None else fewest
    if size < 20:
        return fewest, most
    step: int = 5 if size < 1000 else 10 ** (len(str(size)) - 3)
    if fewest == most:
        return (round(size / step) * step,) * 2
    return fewest // step * step, None if most is None else -(-most // step) * step


def _duration(fewest: float, most: float, doubts: tuple[bool, bool]) -> Duration:
    least = 0 if isinf(fewest) else max(int(fewest), 0)
    return Duration(
        least,
        None if isinf(most) else max(int(most), 0),
        approximate=doubts[0],
        uncertain=doubts[1],
    )


def _low(date: Date) -> float:
    return -inf if date.earliest is None else date.earliest


def _high(date: Date) -> float:
    return inf if date.latest is None else date.latest


def _low_end(date: Date) -> float:
    """The earliest that an end can have come; what goes on has not come to it."""
    return inf if date.lasting else _low(date)


def _high_start(date: Date) -> float:
    return -inf if date.lasting else _high(date)
