"""When a work came out: as CSL-JSON, EDTF and people write it, and as a reference says it.

CSL-JSON counts years before the common era as people do: -43 is 43 BCE (CSL 1.0.2, "AD and BC").
EDTF counts them astronomically: "-0042" is 43 BCE.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from slidekit.errors import CitationError, DateError
from slidekit.evidence.dates.edtf import edtf_year
from slidekit.evidence.dates.parse import parse_date
from slidekit.evidence.dates.spoken import label_span, say_date, say_span
from slidekit.evidence.dates.words import Manner
from slidekit.evidence.dates.years import Date, Day, astronomical_year, days_in

_ERA_FROM = 1000  # years of fewer digits are told their era


@dataclass(frozen=True)
class Issued:
    """A date of publication, or words in its place: "forthcoming". Neither: undated."""

    date: Date | None = None
    words: str = ""

    @property
    def sort_key(self) -> tuple[float, float]:
        """Undated works come last."""
        if self.date is None:
            return (float("inf"), 0.0)
        first, last = self.date.first, self.date.last
        return (first if first is not None else last or 0.0, last or float("inf"))


def read_issued(value: object) -> Issued:
    """The date of a CSL-JSON date variable, of an EDTF date, or as people write dates.

    Raises
    ------
    CitationError
        If it is no date; words that are none are written {literal: forthcoming}.
    """
    if value is None:
        return Issued()
    try:
        if isinstance(value, Mapping):
            return _of_variable(value)
        if isinstance(value, str | int):
            return Issued(_of_text(value))
    except DateError as error:
        raise CitationError(error.wrong, error.instead) from error
    raise _no_date(value)


def _no_date(value: object) -> CitationError:
    instead = 'Write 2019, "2019-05", c. 1931, 43 BCE, or {literal: forthcoming}'
    return CitationError(f"{value!r} is no date", instead)


def _of_text(text: str | int) -> Date:
    if isinstance(text, str) and re.fullmatch(r"[^/]+/", text.strip()):
        text = f"{text.strip()}.."  # so biblatex writes what still appears
    return parse_date(text)


def _of_variable(value: Mapping[str, Any]) -> Issued:
    words = str(value.get("literal", ""))
    if parts := value.get("date-parts"):
        date = parse_date(_edtf(parts, value.get("season")))
    elif raw := value.get("raw"):
        date = _of_text(raw)
    elif words:
        return Issued(words=words)
    else:
        raise _no_date(dict(value))
    return Issued(replace(date, approximate=True) if value.get("circa") else date, words)


def _edtf(parts: Sequence[Sequence[int | str]], season: object) -> str:
    try:
        ends = [[int(part) for part in end] for end in parts]
        if any(end[0] == 0 for end in ends):
            raise ValueError
    except (TypeError, ValueError, IndexError):
        raise _no_date({"date-parts": parts}) from None
    written = [_edtf_end(*end) for end in ends]
    if str(season).isdecimal() and len(ends[0]) == 1:
        written[0] += f"-{20 + int(str(season))}"  # 21 is spring, 24 winter
    return "/".join(written)


def _edtf_end(year: int, *rest: int) -> str:
    astronomical = astronomical_year(abs(year), before=year < 0)
    return "-".join([edtf_year(astronomical), *(f"{part:02d}" for part in rest)])


def say_year(issued: Issued, manner: Manner, *, aloud: bool = False) -> str:
    """The year in a citation: "2019", "1845–1862", "43 BCE", "c. 1931", "2005–", "forthcoming".

    "" for an undated work. Years of four digits have no era: nobody writes 2019 CE in a reference.
    """
    if issued.date is None:
        return issued.words
    date = replace(issued.date, first_day=None, last_day=None, season=None)
    said = _said_years(date, manner, aloud=aloud)
    if (date.earliest or date.latest or 0) < _ERA_FROM:
        return said
    for eras in (manner.words.eras, manner.words.long_eras):
        for around in filter(None, eras[manner.era][1].split("{}")):
            said = said.replace(around, "")
    return said


def _said_years(date: Date, manner: Manner, *, aloud: bool) -> str:
    said = say_date(date, manner)
    if date.earliest is not None and date.latest is None:
        since = say_date(Date(date.earliest, date.earliest), manner)
        return manner.words.since.format(since) if aloud else f"{since}–"
    if manner.words.between.partition("{}")[0] not in said:
        return said
    first, last = (replace(date, earliest=y, latest=y) for y in (date.earliest, date.latest))
    return say_span(first, last, manner) if aloud else label_span(first, last, manner)


def say_day(issued: Issued, manner: Manner) -> str:
    """Day and month, month, or season: "17 April", "3 May–2 June"; "" where the year is all."""
    date, words = issued.date, manner.words
    first, last = (date.first_day, date.last_day) if date else (None, None)
    if date is None or first is None or last is None or first.year != last.year:
        return ""
    if season := words.seasons.get(date.season or 0):
        return season.format("").strip()
    if (first.day, last.day) == (1, days_in(last.year, last.month)):
        ends = [words.months[day.month - 1] for day in (first, last)]
    else:
        ends = [_say_day(day, manner) for day in (first, last)]
    return "–".join(dict.fromkeys(ends))


def _say_day(day: Day, manner: Manner) -> str:
    words = manner.words
    number = words.first if day.day == 1 else str(day.day)
    return words.day.format(day=number, month=words.months[day.month - 1], year="").strip()
