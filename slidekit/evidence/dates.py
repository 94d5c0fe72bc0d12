"""Dates as people write them and as EDTF does, read and said.

EDTF is ISO 8601-2:2019 as the Library of Congress specifies it (2019-02-04): of its levels 0 and 1
the years, with their qualifiers, unspecified digits and intervals.
"""

import re
import unicodedata
from collections.abc import Mapping
from typing import Literal, NamedTuple, TypeAlias

from slidekit.errors import DateError
from slidekit.evidence.years import (
    Date,
    Duration,
    Years,
    astronomical_year,
    counted_year,
    date_between,
    decade_span,
    duration_years,
    nth_span,
)

__all__ = [
    "Date",
    "Duration",
    "Era",
    "date_between",
    "duration_years",
    "label_span",
    "parse_date",
    "say_date",
    "say_span",
]

Era: TypeAlias = Literal["BCE/CE", "BC/AD"]

_LENGTHS: Mapping[str, int] = {"century": 100, "millennium": 1000}

_EDTF_YEAR = re.compile(
    r"(?P<year>-?\d{4}|-?\dXXX|-?\d\dXX|-?\d{3}X|Y-?[1-9]\d{4,})(?P<mark>[~?%]?)"
)
_MONTH_OR_OPEN = re.compile(r"-?\d{4}-\d\d(-\d\d)?[~?%]?|(.*/)?(\.\.)?|(\.\.)?(/.*)?")

_ABOUT = re.compile(
    r"(?:c\.|ca\.|circa\b|about\b|around\b|roughly\b|ca?(?=[ \d])|~) *", re.IGNORECASE
)
_PROBABLY = re.compile(r"probably ", re.IGNORECASE)
_PART_OF_CENTURY = re.compile(r"(early|mid|middle|late)[ -]", re.IGNORECASE)
_DOUBT = re.compile(r" ?\?$")
_ERA = r"BCE|BC|CE|AD"
_NUMBER = r"\d{1,3}(?:[, ]\d{3})+|\d+"
_WRITTEN = re.compile(
    rf"""(?:(?P<half>first|second)\ half\ of\ (?:the\ )?)?
    (?P<leading>(?:{_ERA})\ ?)?
    (?:(?P<ordinal>\d+)(?:st|nd|rd|th)\ (?P<length>century|c\.|millennium)
      |(?P<decade>{_NUMBER})s
      |(?P<number>{_NUMBER}))
    (?P<trailing>\ ?(?:{_ERA}))?""",
    re.VERBOSE | re.IGNORECASE,
)
_BETWEEN = re.compile(r"(?:between|from) ", re.IGNORECASE)
_JOINT = re.compile(r" (?:to|and) | ?[-–—] ?", re.IGNORECASE)
_DOTTED_ERA = re.compile(r"\b(?:(b)\. ?(c)\.(?: ?(e)\.)?|(c)\. ?(e)\.|(a)\. ?(d)\.)", re.IGNORECASE)


def parse_date(text: object) -> Date:
    """The date that an author wrote.

    Accepts "1300 BCE", "AD 79", "79", "c. 950 BC", "950 BCE?", "1290s BCE", "13th century BCE",
    "first half of the 3rd century BCE", "1300 to 1250 BCE", the EDTF years and intervals "-1299",
    "1984?", "-1299~", "-12XX", "Y-10000", "-1299/-1249", and whole numbers, which are years CE.

    Raises
    ------
    DateError
        A ValueError with what to write instead.
    """
    if isinstance(text, Date):
        return text
    if isinstance(text, int) and not isinstance(text, bool):
        return _from_number(text)
    if not isinstance(text, str):
        raise _no_date(text)
    clean = _tidied(text)
    found = _edtf(clean) or _edtf_interval(clean)
    if found is None:
        _refuse_beyond_years(text, clean)
        found = _written(text, clean)
    if found.latest < found.earliest:
        raise DateError(
            f"{text!r} ends before it starts",
            "Write the earlier year first; years BCE count down",
        )
    return found


def _no_date(text: object) -> DateError:
    return DateError(
        f"{text!r} is not a date that can be read",
        'Write it as in "1300 BCE", "c. 950 BCE", "79 CE", "13th century BCE", or as an EDTF year'
        ' such as "-1299~"',
    )


def _no_year_0(text: object) -> DateError:
    return DateError(
        f"{text!r} would be a year 0, and there is none", "1 BCE is followed by 1 CE: write either"
    )


def _from_number(number: int) -> Date:
    if number == 0:
        raise _no_year_0(number)
    if number < 0:
        raise DateError(
            f"{number} could be the year {-number} BCE or an astronomical year",
            f'Write "{-number} BCE", or in quotes the EDTF year "{_edtf_form(number)}", which is'
            f" {1 - number} BCE",
        )
    return Date(number, number)


def _edtf_form(astronomical: int) -> str:
    if abs(astronomical) > 9999:
        return f"Y{astronomical}"
    return f"{'-' if astronomical < 0 else ''}{abs(astronomical):04d}"


def _tidied(text: str) -> str:
    """One kind of minus, one kind of space, eras without full stops."""
    plain = unicodedata.normalize("NFC", text).replace("\N{MINUS SIGN}", "-")
    plain = _DOTTED_ERA.sub(lambda found: "".join(filter(None, found.groups())), plain)
    return " ".join(plain.split())


def _edtf(clean: str) -> Date | None:
    found = _EDTF_YEAR.fullmatch(clean)
    if found is None:
        return None
    year, mark = found["year"].removeprefix("Y"), found["mark"]
    if year == "-0000":
        raise DateError(f"{clean!r} has a minus sign before zero", '1 BCE is "0000" in EDTF')
    digits = year.removeprefix("-")
    low, high = int(digits.replace("X", "0")), int(digits.replace("X", "9"))
    years = (-high, -low) if year.startswith("-") else (low, high)
    return Date(*years, approximate=mark in {"~", "%"}, uncertain=mark in {"?", "%"})


def _edtf_interval(clean: str) -> Date | None:
    start, slash, end = clean.partition("/")
    first, last = _edtf(start), _edtf(end) if slash else None
    return date_between(first, last) if first and last else None


def _refuse_beyond_years(text: str, clean: str) -> None:
    if not clean:
        raise DateError("There is no date", 'Write one as in "1300 BCE"')
    if _MONTH_OR_OPEN.fullmatch(clean):
        raise DateError(
            f"{text!r} has a month or an open end; a timeline is drawn in whole years",
            'Write the year, as in "1984", or a first and a last year, as in "1300 to 1250 BCE"',
        )
    if re.fullmatch(r"-\d+", clean):
        number = int(clean[1:])
        raise (
            DateError(
                f"{text!r} could be the year {number} BCE or an astronomical year",
                f'Write "{number} BCE", or the EDTF year "{_edtf_form(-number)}", which is'
                f" {number + 1} BCE",
            )
            if number
            else _no_year_0(text)
        )
    if _PART_OF_CENTURY.match(clean):
        raise DateError(
            f"{text!r} names years that people draw differently",
            'Write "first half of the 13th century BCE", or the first and last year meant',
        )
    if re.search(r"\bBP\b", clean, re.IGNORECASE):
        raise DateError(
            f"{text!r} counts back from 1950 CE",
            "Write a calibrated age as a calendar year: 3000 cal BP is 1051 BCE",
        )


class _Side(NamedTuple):
    """A date without its qualifiers: what is counted, and the era if one is written."""

    found: re.Match[str]
    era: str | None
    era_leads: bool
    approximate: bool
    uncertain: bool


def _written(text: str, clean: str) -> Date:
    one = _side(clean)
    if one is not None:
        return _dated(text, one)
    approximate, uncertain, body = _unqualified(clean)
    pair = _JOINT.split(_BETWEEN.sub("", body, count=1), maxsplit=1)
    if len(pair) < 2:
        raise _no_date(text)
    first, last = map(_side, pair)
    if first is None or last is None:
        raise _no_date(text)
    # "1300 to 800 BCE" and "AD 30 to 60" state the era once
    if first.era is None and not last.era_leads:
        first = first._replace(era=last.era)
    if last.era is None and first.era_leads:
        last = last._replace(era=first.era)
    if (first.era is None) != (last.era is None):
        raise DateError(f"{text!r} states the era of one end only", "Write it after both")
    ends = date_between(_dated(text, first), _dated(text, last))
    return Date(
        ends.earliest,
        ends.latest,
        ends.approximate or approximate,
        ends.uncertain or uncertain,
    )


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
    years = _years(text, side.found, before=side.era in {"BCE", "BC"})
    if half := side.found["half"]:
        if side.found["length"] is None:
            raise _no_date(text)
        years = years.halves[half.lower() == "second"]
    return Date(*years, side.approximate, side.uncertain)


def _years(text: str, found: re.Match[str], *, before: bool) -> Years:
    number = int(re.sub("[, ]", "", found["ordinal"] or found["decade"] or found["number"]))
    if number == 0:
        raise _no_year_0(text)
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


def say_date(date: Date, era: Era) -> str:
    """The date in words: "c. 950 BCE", "AD 79", "13th century BCE?", "between 40 BC and AD 10"."""
    return _qualified(date, _say_years(Years(date.earliest, date.latest), era))


def say_span(start: Date, end: Date, era: Era) -> str:
    """The time from `start` to `end` in words: "1300 to 800 BCE", "30 BCE to c. 30 CE"."""
    first, last, _ = _say_ends(start, end, era)
    return f"{first} to {last}"


def label_span(start: Date, end: Date, era: Era) -> str:
    """The time from `start` to `end` for a label: "1300–800 BCE", "30 BCE – c. 30 CE"."""
    first, last, short = _say_ends(start, end, era)
    return f"{first}–{last}" if short else f"{first} – {last}"


def _qualified(date: Date, said: str) -> str:
    about = "roughly " if said.startswith("between") else "c. "
    return f"{about if date.approximate else ''}{said}{'?' if date.uncertain else ''}"


def _with_era(said: str, *, before: bool, era: Era) -> str:
    if era == "BCE/CE":
        return f"{said} {'BCE' if before else 'CE'}"
    if before:
        return f"{said} BC"
    # "AD 79", but "1st century AD"
    return f"{said} AD" if said.endswith(("century", "millennium")) else f"AD {said}"


def _say_number(number: int) -> str:
    return f"{number:,}" if number > 9999 else str(number)


def _say_years(years: Years, era: Era) -> str:
    first, before = counted_year(years.first)
    if years.first == years.last:
        return _with_era(_say_number(first), before=before, era=era)
    if name := _name_of(years):
        return _with_era(name, before=before, era=era)
    start, end, _ = _say_ends(Date(years.first, years.first), Date(years.last, years.last), era)
    return f"between {start} and {end}"


def _name_of(years: Years) -> str | None:
    """What a decade, a century, a millennium or half of one is called; None for other years."""
    first, before = counted_year(years.first)
    last, _ = counted_year(years.last)
    low = min(first, last)
    if low % 10 == 0 and low % 100 and decade_span(low, before=before) == years:
        return f"{low}s"
    for length_name, length in _LENGTHS.items():
        number = (max(first, last) - 1) // length + 1
        whole = nth_span(number, length, before=before)
        name = f"{_ordinal(number)} {length_name}"
        if years == whole:
            return name
        for half, half_name in zip(whole.halves, ("first", "second"), strict=True):
            if years == half:
                return f"{half_name} half of the {name}"
    return None


def _ordinal(number: int) -> str:
    if number % 100 in {11, 12, 13}:
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"


def _say_ends(start: Date, end: Date, era: Era) -> tuple[str, str, bool]:
    """Both ends, with the era once where that is clear, and whether both are bare numbers."""
    first, last = say_date(start, era), say_date(end, era)
    plain = start.earliest == start.latest and end.earliest == end.latest
    (number, before), (other, other_before) = map(counted_year, (start.earliest, end.earliest))
    if not plain or before != other_before or (start.uncertain and (before or era == "BCE/CE")):
        return first, last, False
    if era == "BC/AD" and not before:
        last = _qualified(end, _say_number(other))
    else:
        first = _qualified(start, _say_number(number))
    return first, last, not (start.approximate or end.approximate or start.uncertain)
