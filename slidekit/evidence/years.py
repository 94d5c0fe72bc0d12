"""Counting years across 1 BCE. There is no year 0.

Years are kept astronomically (ISO 8601-1:2019: 1 BCE is 0000, 2 BCE is -0001), so that differences
are plain subtraction.
"""

from dataclasses import dataclass
from typing import NamedTuple


@dataclass(frozen=True)
class Date:
    """A year, or a range of years when only a decade or century is known.

    `earliest` and `latest` are astronomical years; equal for a plain year.
    """

    earliest: int
    latest: int
    approximate: bool = False  # "c.", EDTF ~
    uncertain: bool = False  # "?", EDTF ?


class Years(NamedTuple):
    """Astronomical years from the first to the last, both included."""

    first: int
    last: int

    @property
    def halves(self) -> tuple["Years", "Years"]:
        """The two halves of an even number of years."""
        middle = self.first + (self.last - self.first + 1) // 2
        return Years(self.first, middle - 1), Years(middle, self.last)


class Duration(NamedTuple):
    """Elapsed years; both numbers are the same between two plain years."""

    fewest: int
    most: int


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


def duration_years(start: Date, end: Date) -> Duration:
    """The fewest and the most years that passed from `start` to `end`: 30 BCE to 30 CE is 59."""
    return Duration(max(end.earliest - start.latest, 0), end.latest - start.earliest)


def date_between(earliest: Date, latest: Date) -> Date:
    """The one date of something known to have happened from `earliest` to `latest`."""
    return Date(
        earliest.earliest,
        latest.latest,
        earliest.approximate or latest.approximate,
        earliest.uncertain or latest.uncertain,
    )
