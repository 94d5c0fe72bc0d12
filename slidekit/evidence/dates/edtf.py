"""Dates in EDTF: ISO 8601-2:2019 as the Library of Congress specifies it (2019-02-04).

Of its levels 0, 1 and 2 everything that has a place on an axis of years; the rest is refused by
name. A qualifier of a part of a date (`2004-06-~11`) counts for the whole of it.
"""

import re
from collections.abc import Iterator, Sequence

from slidekit.errors import DateError
from slidekit.evidence.dates.years import (
    MOST_DIGITS,
    SEASON_MONTHS,
    Date,
    Day,
    Years,
    date_among,
    date_between,
    date_of_days,
    date_of_season,
    days_in,
    too_far,
)

_PART = re.compile(
    r"""(?P<left>[?~%]?)
    (?:(?P<year>-?[\dX]{4})|(?P<long>Y-?[1-9]\d*)(?:E(?P<zeros>\d+))?)(?:S(?P<sure>\d+))?
    (?P<marks>[?~%]?
      (?:-[?~%]?(?P<month>[\dX]{2})[?~%]?(?:-[?~%]?(?P<day>[\dX]{2})[?~%]?)?)?)""",
    re.VERBOSE,
)
_OPEN, _UNKNOWN = "..", ""


def edtf_year(astronomical: int) -> str:
    """A year as EDTF writes it."""
    if abs(astronomical) > 9999:
        return f"Y{astronomical}"
    return f"{'-' if astronomical < 0 else ''}{abs(astronomical):04d}"


def parse_edtf(text: str) -> Date | None:
    """The date that `text` writes in EDTF; None if it is not in EDTF at all.

    Raises
    ------
    DateError
        For what EDTF forbids, and for what has no place on an axis of years.
    """
    if found := _PART.fullmatch(text):
        return _date(text, found)
    if text[:1] in {"[", "{"} and text[-1:] in {"]", "}"}:
        return _set(text)
    start, slash, end = text.partition("/")
    if slash and _is_end(start) and _is_end(end):
        return _interval(text, start, end)
    _refuse_nearly(text)
    return None


def _is_end(text: str) -> bool:
    return text in {_OPEN, _UNKNOWN} or _PART.fullmatch(text) is not None


def _date(text: str, found: re.Match[str]) -> Date:
    years = _years(text, found)
    marks = found["left"] + found["marks"]
    doubts = {
        "approximate": "~" in marks or "%" in marks or found["sure"] is not None,
        "uncertain": "?" in marks or "%" in marks,
    }
    month, day = found["month"], found["day"]
    if month is not None and month.isdigit() and int(month) in SEASON_MONTHS:
        return _season(text, years, found).qualified(**doubts)
    if month in {None, "XX"} and day in {None, "XX"}:
        return Date(*years).qualified(**doubts)
    first = _first_day(text, range(years.first, years.last + 1), found, -1)
    last = _first_day(text, range(years.last, years.first - 1, -1), found, 1)
    return date_of_days(first, last).qualified(**doubts)


def _years(text: str, found: re.Match[str]) -> Years:
    if found["long"]:
        digits, zeros = found["long"][1:], (found["zeros"] or "").lstrip("0")
        if len(zeros) > 2 or len(digits.lstrip("-")) + int(zeros or 0) > MOST_DIGITS:
            raise too_far(text)
        year = int(digits) * 10 ** int(zeros or 0)
        if abs(year) <= 9999:
            instead = f'Years of up to four digits have no Y: write "{edtf_year(year)}"'
            raise DateError(f"{text!r} has a Y before a year of four digits", instead)
        return _known_to(text, Years(year, year), found["sure"])
    year_text = found["year"]
    if year_text == "-0000":
        raise DateError(f"{text!r} has a minus sign before zero", '1 BCE is "0000" in EDTF')
    digits = year_text.removeprefix("-")
    if digits == "XXXX":
        raise DateError(f"{text!r} has no year", "A timeline needs one: write the year, or a range")
    if "X" in digits.rstrip("X"):
        instead = 'Write the years as a set, as in "[1132,1232]", or a first and a last year'
        raise DateError(f"{text!r} leaves out a digit inside the year", instead)
    low, high = int(digits.replace("X", "0")), int(digits.replace("X", "9"))
    years = Years(-high, -low) if year_text.startswith("-") else Years(low, high)
    return _known_to(text, years, found["sure"])


def _known_to(text: str, years: Years, sure: str | None) -> Years:
    """The years that share the first `sure` digits; all of them if there is no S."""
    if sure is None:
        return years
    if years.first != years.last:
        raise DateError(f"{text!r} leaves out digits in two ways", "Write either X or S, not both")
    size = abs(years.first)
    if not 0 < int(sure) <= len(str(size)):
        instead = "After S stands how many of its first digits are known: 1950S2 is 1900 to 1999"
        raise DateError(f"{text!r} does not have {int(sure)} digits that count", instead)
    step: int = 10 ** (len(str(size)) - int(sure))
    low = size // step * step
    return Years(low, low + step - 1) if years.first >= 0 else Years(-low - step + 1, -low)


def _season(text: str, years: Years, found: re.Match[str]) -> Date:
    season = int(found["month"])
    if found["day"] is not None or years.first != years.last:
        instead = f'Write a year and the season alone, as in "1931-{season}"'
        raise DateError(f"{text!r} says more than a season of one year", instead)
    return date_of_season(years.first, season)


def _first_day(text: str, years: Sequence[int], found: re.Match[str], step: int) -> Day:
    """The first day of all that the date may be, in the order of `years`; the last if `step` is 1.

    The 29th of February stands in one of any nine years.
    """
    months = _numbers(found["month"], 1, 12)
    days = _numbers(found["day"] or "XX", 1, 31)
    if not months:
        instead = 'Months are 01 to 12, seasons 21 to 41; a range of years is "1930/1945"'
        raise DateError(f"{text!r} has a month {found['month']}", instead)
    for year in years[:9]:
        for month in months[::-step]:
            for day in days[::-step]:
                if day <= days_in(year, month):
                    return Day(year, month, day)
    raise DateError(
        f"{text!r} is a day that the month does not have", "Mend the day, or leave it out"
    )


def _numbers(masked: str, least: int, most: int) -> list[int]:
    """The numbers from `least` to `most` that look like `masked`, X standing for any digit."""
    pattern = re.compile(masked.replace("X", r"\d"))
    return [n for n in range(least, most + 1) if pattern.fullmatch(f"{n:02d}")]


def _interval(text: str, start: str, end: str) -> Date:
    if {start, end} <= {_OPEN, _UNKNOWN}:
        raise DateError(f"{text!r} has no year", "Write at least one of its two ends")
    nothing = Date(None, None)
    first, last = (
        _date(one, found) if (found := _PART.fullmatch(one)) else nothing for one in (start, end)
    )
    return date_between(first, last)


def _set(text: str) -> Date:
    body = text[1:-1].replace(" ", "")
    if (text[0] == "[") != (text[-1] == "]"):
        instead = "Write [ and ] for one of several dates, { and } for all of them"
        raise DateError(f"{text!r} opens and closes with different brackets", instead)
    members = list(_members(text, body))
    if len(members) == 1:
        return members[0]
    return date_among(members, every=text[0] == "{")


def _members(text: str, body: str) -> Iterator[Date]:
    for member in body.split(","):
        start, dots, end = member.partition("..")
        if not dots and (found := _PART.fullmatch(member)):
            yield _date(member, found)
        elif dots and (start or end) and _is_end(start) and _is_end(end):
            yield _interval(member, start, end)
        else:
            instead = 'Write dates with commas, as in "[1667,1668,1670..1672]"'
            raise DateError(f"{text!r} has a part that is no EDTF date: {member!r}", instead)


_DRAFT = {"u": "X", "?~": "%", "unknown": "", "open": "..", "y": "Y"}
"""What the draft of 2012 wrote, and what the standard writes."""


def _refuse_nearly(text: str) -> None:
    """What looks like EDTF and is not."""
    if re.fullmatch(r"-?\d{4}-\d\d-\d\dT[\d:.]+.*", text):
        raise DateError(f"{text!r} has a time of day", "Write the day alone")
    if re.fullmatch(r"-\d{5,}[~?%]?", text):
        instead = f'Write it with a Y, as in "Y{text}", or with its era, as in "10,001 BCE"'
        raise DateError(f"{text!r} has more than four digits, which EDTF marks", instead)
    if text[:1] in {"[", "{"}:
        instead = 'Close it, as in "[1667,1668,1670..1672]"'
        raise DateError(f"{text!r} is a set that is not closed", instead)
    if draft := re.fullmatch(r"-?\d+(u+)|[\d-]+(\?~)|.*/(unknown|open)|(y)-?\d+", text):
        old = next(filter(None, draft.groups()))
        new = _DRAFT["u" if set(old) == {"u"} else old]
        instead = f'Write "{new}"' if new else "Leave the place after the stroke empty"
        raise DateError(f"{text!r} has {old}, as the draft of EDTF of 2012 had", instead)
