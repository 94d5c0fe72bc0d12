"""Radiocarbon dates, as calibrated ranges only.

"cal BP" counts calibrated years back from 1950 CE, so that N cal BP is the astronomical year
1950 - N (reporting conventions: M. Stuiver and H. A. Polach, Radiocarbon 19 (1977), 355-363;
A. R. Millard, Radiocarbon 56 (2014), 555-559). A conventional age ("2700 ± 30 BP") is a measured
activity and no calendar year. Nothing is calibrated here: the range is taken as it is given.
"""

import re
from decimal import Decimal

from slidekit.errors import DateError
from slidekit.evidence.dates.years import (
    MOST_DIGITS,
    Date,
    astronomical_year,
    date_between,
    too_far,
)

DATUM = 1950

_NUMBER = r"\d{1,3}(?:[, ]\d{3})+|\d+"
_ERA = r"BP|BCE|BC|CE|AD"
_RANGE = re.compile(
    rf"""(?:(?P<leading>cal\.?\ (?:AD|BC))\ )?(?P<first>{_NUMBER})
    (?:\ cal\.?\ (?P<own>{_ERA}))?\ ?(?:to|[-–—])\ ?
    (?P<last>{_NUMBER})(?:\ cal\.?\ (?P<era>{_ERA}))?
    (?:,?\ \(?(?P<percent>\d+(?:\.\d+)?)\ ?%\)?)?""",
    re.VERBOSE | re.IGNORECASE,
)
_END = re.compile(rf"(?P<number>{_NUMBER}) cal\.? (?P<era>{_ERA})", re.IGNORECASE)
_MEASURED = re.compile(
    rf"(?:{_NUMBER}) ?(?:±|\+/?-) ?\d+.*|(?:{_NUMBER}) ?(?:14C )?bp", re.IGNORECASE
)
_EXAMPLE = '"2905-2780 cal BP (95.4 %)"'


def parse_radiocarbon(clean: str) -> Date | None:
    """The range in a text such as "2905-2780 cal BP (95.4 %)"; None if it speaks of something else.

    Raises
    ------
    DateError
        For ages before calibration, single years and ranges without their probability.
    """
    if _MEASURED.fullmatch(clean):
        raise DateError(
            f"{clean!r} is a radiocarbon age before calibration; it is no calendar year, and can be"
            " centuries off",
            f"Write the calibrated range with its probability, as in {_EXAMPLE}",
        )
    if not re.search(r"\bcal\b", clean, re.IGNORECASE):
        return None
    found = _RANGE.fullmatch(clean)
    era = found and (found["era"] or (found["leading"] or "").rpartition(" ")[2])
    if not found or not era or (found["leading"] and found["era"]):
        raise DateError(
            f"{clean!r} is no calibrated range that can be read",
            f"Write both ends and the probability, as in {_EXAMPLE}",
        )
    if found["percent"] is None:
        raise DateError(
            f"{clean!r} has no probability, and a calibrated range means nothing without it",
            f"Add it, as in {_EXAMPLE}",
        )
    first = _year(found["first"], found["own"] or era)
    return calibrated(first, _year(found["last"], era), found["percent"])


def parse_calibrated_year(text: object) -> int:
    """One end of a calibrated range, "2905 cal BP" or "956 cal BCE", as an astronomical year."""
    clean = " ".join(str(text).split())
    if found := _END.fullmatch(clean):
        return _year(found["number"], found["era"])
    raise DateError(
        f"{text!r} is no calibrated year", 'Write it as in "2905 cal BP" or "956 cal BCE"'
    )


def calibrated(first: int, last: int, percent: str) -> Date:
    """The range as a date; DateError if it is no range, or no probability."""
    if not 0 < Decimal(percent) < 100:
        raise DateError(f"{percent} % is no probability of a range", "Write it as in 95.4")
    if last < first:
        raise DateError(
            "the calibrated range ends before it starts", "Write the earlier year first"
        )
    if last == first:
        raise DateError(
            "the calibrated range is a single year, and no radiocarbon date is known so well",
            f"Write both ends, as in {_EXAMPLE}",
        )
    return date_between(Date(first, first, percent=percent), Date(last, last))


def _year(number: str, era: str) -> int:
    digits = re.sub("[, ]", "", number)
    if len(digits) > MOST_DIGITS:
        raise too_far(number)
    count = int(digits)
    if era.upper() == "BP":
        return DATUM - count
    if count == 0:
        raise DateError("there is no year 0", "1 BCE is followed by 1 CE: write either")
    return astronomical_year(count, before=era.upper() in {"BCE", "BC"})
