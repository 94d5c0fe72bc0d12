"""Dates in words, as people write them: "c. 950 BCE", "first half of the 13th century BCE"."""

import re
from collections.abc import Mapping
from typing import NamedTuple

from slidekit.errors import DateError
from slidekit.evidence.dates.edtf import parse_edtf
from slidekit.evidence.dates.years import (
    MOST_DIGITS,
    Date,
    Day,
    Years,
    astronomical_year,
    date_between,
    date_of_days,
    date_of_season,
    days_in,
    decade_span,
    nth_span,
    too_far,
)

_ABOUT = re.compile(
    r"(?:c\.|ca\.|circa\b|about\b|around\b|roughly\b|ca?(?=[ \d])|~) *", re.IGNORECASE
)
_PROBABLY = re.compile(r"probably ", re.IGNORECASE)
_DOUBT = re.compile(r" ?\?$")
_ERA = r"BCE|BC|CE|AD"
_NUMBER = r"\d{1,3}(?:[, ]\d{3})+|\d+"
_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
_SEASONS: Mapping[str, int] = {"spring": 21, "summer": 22, "autumn": 23, "fall": 23, "winter": 24}
_MONTH = "|".join(f"{name[:3]}(?:{name[3:]})?" for name in _MONTHS)
_WRITTEN = re.compile(
    rf"""(?:the\ )?
    (?:(?P<which>first|second|third|fourth|last)\ (?P<share>half|third|quarter)\ of\ (?:the\ )?
      |(?P<rough>early|mid|middle|late)[\ -](?:the\ )?)?
    (?:(?:(?P<day>\d{{1,2}})\ )?(?P<month>{_MONTH})\.?\ (?:(?P<us_day>\d{{1,2}}),\ )?)?
    (?:(?P<season>{"|".join(_SEASONS)})\ (?:of\ )?)?
    (?P<leading>(?:{_ERA})\ ?)?
    (?:(?P<ordinal>\d+)(?:st|nd|rd|th)\ (?P<length>century|c\.|millennium)
      |(?P<decade>{_NUMBER})s
      |(?P<number>{_NUMBER}))
    (?P<trailing>\ ?(?:{_ERA}))?""",
    re.VERBOSE | re.IGNORECASE,
)
_UP_TO = ("before", "until", "by", "not after", "no later than", "not later than")
_FROM_ON = ("after", "since", "not before", "no earlier than", "not earlier than")
_BOUND = re.compile(rf"(?:{'|'.join((*_UP_TO, *_FROM_ON))}) ", re.IGNORECASE)
_BETWEEN = re.compile(r"(?:between|from) ", re.IGNORECASE)
_ONWARDS = re.compile(r" (?:on|onwards?)$", re.IGNORECASE)
_JOINT = re.compile(r" (?:to|and|until) | ?[-–—] ?", re.IGNORECASE)
_SHARES: Mapping[str, int] = {"half": 2, "third": 3, "quarter": 4}
_WHICH: Mapping[str, int] = {"first": 0, "second": 1, "third": 2, "fourth": 3, "last": -1}
_ROUGHLY: Mapping[str, int] = {"early": 0, "mid": 1, "middle": 1, "late": 2}


class _Side(NamedTuple):
    """A date without its qualifiers: what is counted, and the era if one is written."""

    found: re.Match[str]
    era: str | None
    era_leads: bool
    approximate: bool
    uncertain: bool


def parse_written(text: str, clean: str) -> Date:
    """The date that `clean` says in words; `text` is what the author wrote, for messages.

    Raises
    ------
    DateError
        With what to write instead.
    """
    approximate, uncertain, body = _unqualified(clean)
    if bound := _BOUND.match(body):
        date = _bounded(bound[0].strip().lower(), _one(text, body[bound.end() :]))
    elif onwards := _ONWARDS.search(body):
        date = _bounded("since", _one(text, _BETWEEN.sub("", body[: onwards.start()], count=1)))
    elif (side := _side(body)) is not None:
        date = _dated(text, side)
    else:
        date = _between(text, body)
    return date.qualified(approximate=approximate, uncertain=uncertain)


def _one(text: str, body: str) -> Date:
    if edtf := parse_edtf(body):
        return edtf
    side = _side(body)
    if side is None:
        raise no_date(text)
    return _dated(text, side)


def _bounded(word: str, date: Date) -> Date:
    """Before, until, since or after the date; a single year is itself included."""
    if word in _UP_TO:
        # before a century is before its first year; until a century is within it at the latest
        year, day = date.earliest, date.first_day
        if word != "before":
            year, day = date.latest, date.last_day
        return Date(None, year, date.approximate, date.uncertain, last_day=day)
    year, day = date.earliest, date.first_day
    if word == "after":
        year, day = date.latest, date.last_day
    return Date(year, None, date.approximate, date.uncertain, first_day=day)


def no_date(text: object) -> DateError:
    """What is said of what cannot be read."""
    return DateError(
        f"{text!r} is not a date that can be read",
        'Write it as in "1300 BCE", "c. 950 BCE", "79 CE", "13th century BCE", or as an EDTF year'
        ' such as "-1299~"',
    )


def no_year_0(text: object) -> DateError:
    """What is said of a year 0."""
    return DateError(
        f"{text!r} would be a year 0, and there is none", "1 BCE is followed by 1 CE: write either"
    )


def _between(text: str, body: str) -> Date:
    pair = _JOINT.split(_BETWEEN.sub("", body, count=1), maxsplit=1)
    if len(pair) < 2:
        raise no_date(text)
    first, last = map(_side, pair)
    if first is None or last is None:
        raise no_date(text)
    # "1300 to 800 BCE" and "AD 30 to 60" state the era once
    if first.era is None and not last.era_leads:
        first = first._replace(era=last.era)
    if last.era is None and first.era_leads:
        last = last._replace(era=first.era)
    if (first.era is None) != (last.era is None):
        raise DateError(f"{text!r} states the era of one end only", "Write it after both")
    return date_between(_dated(text, first), _dated(text, last))


def _unqualified(clean: str) -> tuple[bool, bool, str]:
    """Whether the text is approximate and whether it is uncertain, and the text without that."""
    probably, body = _without(_PROBABLY, clean)
    about, body = _without(_ABOUT, body)
    doubt = _DOUBT.search(body)
    return about, probably or doubt is not None, body[: doubt.start()] if doubt else body


def _without(prefix: re.Pattern[str], text: str) -> tuple[bool, str]:
    found = prefix.match(text)
    return found is not None, text[found.end() :] if found else text


def _side(clean: str) -> _Side | None:
    approximate, uncertain, body = _unqualified(clean)
    found = _WRITTEN.fullmatch(body)
    if found is None or (found["leading"] and found["trailing"]):
        return None
    era = found["leading"] or found["trailing"]
    said = era.strip().upper() if era else None
    return _Side(found, said, bool(found["leading"]), approximate, uncertain)


def _dated(text: str, side: _Side) -> Date:
    found = side.found
    years = _years(text, found, before=side.era in {"BCE", "BC"})
    if found["month"] or found["season"]:
        date = _within_a_year(text, found, years)
    else:
        date = Date(*_part(text, found, years), approximate=found["rough"] is not None)
    return date.qualified(approximate=side.approximate, uncertain=side.uncertain)


def _part(text: str, found: re.Match[str], years: Years) -> Years:
    """The half, third or quarter that is asked for. What people call early, mid or late is about
    the first, second or last third."""
    if found["rough"]:
        count, which = 3, _ROUGHLY[found["rough"].lower()]
    elif found["share"]:
        count, which = _SHARES[found["share"].lower()], _WHICH[found["which"].lower()]
    else:
        return years
    if found["length"] is None or which >= count:
        raise no_date(text)
    return years.parts(count)[which]


def _within_a_year(text: str, found: re.Match[str], years: Years) -> Date:
    """A day, a month or a season of one year."""
    day, month, season = found["day"] or found["us_day"], found["month"], found["season"]
    if found["number"] is None or found["which"] or found["rough"] or bool(month) == bool(season):
        raise no_date(text)
    if found["day"] and found["us_day"]:
        raise no_date(text)
    year = years.first
    if season:
        return date_of_season(year, _SEASONS[season.lower()])
    at = next(i for i, name in enumerate(_MONTHS, start=1) if name.startswith(month.lower()[:3]))
    if day is None:
        return date_of_days(Day(year, at, 1), Day(year, at, days_in(year, at)))
    if not 1 <= int(day) <= days_in(year, at):
        raise DateError(f"{text!r} is a day that the month does not have", "Mend the day")
    return date_of_days(Day(year, at, int(day)), Day(year, at, int(day)))


def _years(text: str, found: re.Match[str], *, before: bool) -> Years:
    digits = re.sub("[, ]", "", found["ordinal"] or found["decade"] or found["number"])
    if len(digits) > MOST_DIGITS:
        raise too_far(text)
    number = int(digits)
    if number == 0:
        raise no_year_0(text)
    if found["ordinal"]:
        return nth_span(
            number, 1000 if found["length"].lower() == "millennium" else 100, before=before
        )
    if found["decade"]:
        _check_decade(text, number, before=before)
        return decade_span(number, before=before)
    return Years(*[astronomical_year(number, before=before)] * 2)


def _check_decade(text: str, number: int, *, before: bool) -> None:
    era = "BCE" if before else "CE"
    if number % 100 == 0:
        decade, century = ((number + 9, number), (number + 99, number))
        if not before:
            decade, century = decade[::-1], century[::-1]
        raise DateError(
            f"{text!r} could be ten years or a hundred",
            f'Write "{decade[0]} to {decade[1]} {era}" or "{century[0]} to {century[1]} {era}"',
        )
    if number % 10:
        raise DateError(f"{text!r} is not a decade", f'Write "{number // 10 * 10}s {era}"')
