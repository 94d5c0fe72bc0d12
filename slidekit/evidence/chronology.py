"""What the dates of a chronology must hold to, whoever states them."""

from slidekit.errors import DateError
from slidekit.evidence.dates import Date, Era, say_date


def check_order(start: Date, end: Date, era: Era) -> None:
    """Raise DateError if `start` cannot lie before `end`, or in the same year."""
    if start.earliest > end.latest:
        raise DateError(
            f"the start, {say_date(start, era)}, is later than the end, {say_date(end, era)}",
            "Exchange the two, or mend the era; years before the era count down",
        )


def date_between(earliest: Date, latest: Date) -> Date:
    """The one date of something known to have happened from `earliest` to `latest`."""
    return Date(
        earliest.earliest,
        latest.latest,
        earliest.approximate or latest.approximate,
        earliest.uncertain or latest.uncertain,
    )
