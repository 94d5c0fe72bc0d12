"""Dates as authors write them: in words, in EDTF, or as a calibrated radiocarbon range."""

import re
import unicodedata

from slidekit.errors import DateError
from slidekit.evidence.dates.edtf import edtf_year, parse_edtf
from slidekit.evidence.dates.radiocarbon import parse_radiocarbon
from slidekit.evidence.dates.written import no_date, no_year_0, parse_written
from slidekit.evidence.dates.years import MOST_DIGITS, Date, too_far

_DOTTED_ERA = re.compile(r"\b(?:(b)\. ?(c)\.(?: ?(e)\.)?|(c)\. ?(e)\.|(a)\. ?(d)\.)", re.IGNORECASE)
_FROM_TODAY = re.compile(r".*\b(?:years? ago|[km]ya|ka|ma)(?: bp)?", re.IGNORECASE)
_GOES_ON = ("..", "now", "present", "the present", "today")
_NOT_KNOWN = ("unknown", "not known", "?")


def parse_date(text: object) -> Date:
    """The date that an author wrote.

    Accepts "1300 BCE", "AD 79", "79", "c. 950 BC", "950 BCE?", "1290s BCE", "13th century BCE",
    "first half of the 3rd century BCE", "late 13th century BCE", "1300 to 1250 BCE",
    "before 300 BCE", "12 April 1931", "spring 1931", calibrated ranges (see `radiocarbon`), EDTF
    (see `edtf`), and whole numbers, which are years CE.

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
        raise no_date(text)
    clean = _tidied(text)
    _refuse_what_moves(text, clean)
    found = parse_edtf(clean) or parse_radiocarbon(clean) or parse_written(text, clean)
    if found.first is not None and found.last is not None and found.last < found.first:
        raise DateError(
            f"{text!r} ends before it starts",
            "Write the earlier year first; years BCE count down",
        )
    return found


def parse_end(text: object) -> Date:
    """The start or the end of a period: a date, ".." for what goes on, or "unknown"."""
    said = text.strip().lower() if isinstance(text, str) else text
    if said in _GOES_ON:
        return Date(None, None, lasting=True)
    if said in _NOT_KNOWN:
        return Date(None, None)
    return parse_date(text)


def _from_number(number: int) -> Date:
    if abs(number) >= 10**MOST_DIGITS:
        raise too_far(number)
    if number == 0:
        raise no_year_0(number)
    if number < 0:
        raise DateError(
            f"{number} could be the year {-number} BCE or an astronomical year",
            f'Write "{-number} BCE", or in quotes the EDTF year "{edtf_year(number)}", which is'
            f" {1 - number} BCE",
        )
    return Date(number, number)


def _tidied(text: str) -> str:
    """One kind of minus, one kind of space, eras without full stops."""
    plain = unicodedata.normalize("NFC", text).replace("\N{MINUS SIGN}", "-")
    plain = _DOTTED_ERA.sub(lambda found: "".join(filter(None, found.groups())), plain)
    return " ".join(plain.split())


def _refuse_what_moves(text: str, clean: str) -> None:
    """Texts that could mean two years, or another one next year."""
    if not clean:
        raise DateError("There is no date", 'Write one as in "1300 BCE"')
    if clean.lower() in _GOES_ON:
        raise DateError(f"{text!r} is no date of its own", "Write a year, or an interval")
    if re.fullmatch(r"-\d{1,3}", clean):
        number = int(clean[1:])
        if number == 0:
            raise no_year_0(text)
        raise DateError(
            f"{text!r} could be the year {number} BCE or an astronomical year",
            f'Write "{number} BCE", or the EDTF year "{edtf_year(-number)}", which is'
            f" {number + 1} BCE",
        )
    if _FROM_TODAY.fullmatch(clean):
        raise DateError(
            f"{text!r} counts back from today, which moves",
            'Write the year, as in "c. 10,000 BCE"',
        )
