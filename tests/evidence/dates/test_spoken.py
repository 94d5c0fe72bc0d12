"""Dates as they are said, in both era styles and three languages."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.evidence.dates.parse import parse_date, parse_end
from slidekit.evidence.dates.spoken import label_date, label_span, say_date, say_span
from slidekit.evidence.dates.words import Era, Manner
from slidekit.evidence.dates.years import Date, Day, date_of_days, days_in

YEARS = st.integers(-12_000, 12_000)
ERAS = st.sampled_from(["BCE/CE", "BC/AD"])


@st.composite
def spans(draw: st.DrawFn) -> Date:
    first = draw(YEARS)
    length = draw(st.sampled_from([1, 10, 50, 100, 500, 1000]) | st.integers(1, 300))
    return Date(first, first + length - 1, draw(st.booleans()), draw(st.booleans()))


@st.composite
def limits(draw: st.DrawFn) -> Date:
    year, doubts = draw(YEARS), (draw(st.booleans()), draw(st.booleans()))
    return Date(None, year, *doubts) if draw(st.booleans()) else Date(year, None, *doubts)


@st.composite
def days(draw: st.DrawFn) -> Date:
    year, month = draw(YEARS), draw(st.integers(1, 12))
    first, last = 1, days_in(year, month)
    if draw(st.booleans()):
        first = last = draw(st.integers(1, last))
    return date_of_days(Day(year, month, first), Day(year, month, last)).qualified(
        approximate=draw(st.booleans()), uncertain=draw(st.booleans())
    )


@given(spans() | limits() | days(), ERAS)
def test_what_is_said_reads_back_as_the_same_date(date: Date, era: Era) -> None:
    assert parse_date(say_date(date, Manner(era))) == date


@given(spans() | limits() | days(), ERAS, st.sampled_from(["de", "fr-CH", "nl"]))
def test_every_date_can_be_said_in_every_language(date: Date, era: Era, language: str) -> None:
    said = say_date(date, Manner(era, language))
    assert said == said.strip()
    assert not {"{", "}"} & set(said)


@pytest.mark.parametrize(
    ("text", "in_bce", "in_bc"),
    [
        ("c. 950 BCE", "c. 950 BCE", "c. 950 BC"),
        ("79 CE?", "79 CE?", "AD 79?"),
        ("c. 79 CE", "c. 79 CE", "c. AD 79"),
        ("-12XX", "13th century BCE", "13th century BC"),
        ("20th century", "20th century CE", "20th century AD"),
        ("1st millennium BCE", "1st millennium BCE", "1st millennium BC"),
        ("1290s BCE", "1290s BCE", "1290s BC"),
        ("second half of the 3rd century BCE",) * 2 + ("second half of the 3rd century BC",),
        ("19XX", "between 1900 and 1999 CE", "between AD 1900 and 1999"),
        ("30 BCE to 30 CE", "between 30 BCE and 30 CE", "between 30 BC and AD 30"),
        (
            "between c. 700 BCE and 650 CE",
            "roughly between 700 BCE and 650 CE",
            "roughly between 700 BC and AD 650",
        ),
        ("Y-10000", "10,001 BCE", "10,001 BC"),
        ("late 13th century BCE", "late 13th century BCE", "late 13th century BC"),
        (
            "third quarter of the 2nd century",
            "third quarter of the 2nd century CE",
            "third quarter of the 2nd century AD",
        ),
        ("before c. 300 BCE?", "before c. 300 BCE?", "before c. 300 BC?"),
        ("after AD 50", "after 50 CE", "after AD 50"),
        ("15 March 44 BCE", "15 March 44 BCE", "15 March 44 BC"),
        ("April 12, 1931", "12 April 1931", "12 April 1931"),
        ("1931-07", "July 1931", "July 1931"),
        ("before 1931-07-09", "before 9 July 1931", "before 9 July 1931"),
        ("1984/2004-06-11", "between 1984 and 11 June 2004", "between 1984 and 11 June 2004"),
        ("1931-33", "first quarter of 1931", "first quarter of 1931"),
        (
            "[1667,1668..1670]",
            "1667 CE or between 1668 and 1670 CE",
            "AD 1667 or between AD 1668 and 1670",
        ),
        ("{1960,1961-12}", "1960 CE and December 1961", "AD 1960 and December 1961"),
        (
            "2905-2780 cal BP (95.4 %)",
            "956 to 831 BCE, calibrated, with 95.4\xa0% probability",
            "956 to 831 BC, calibrated, with 95.4\xa0% probability",
        ),
    ],
)
def test_dates_are_said_in_either_era(text: str, in_bce: str, in_bc: str) -> None:
    date = parse_date(text)
    assert say_date(date, Manner("BCE/CE")) == in_bce
    assert say_date(date, Manner("BC/AD")) == in_bc


@pytest.mark.parametrize(
    ("start", "end", "era", "said", "label"),
    [
        ("1300 BCE", "800 BCE", "BCE/CE", "1300 to 800 BCE", "1300–800 BCE"),
        ("30 BCE", "30 CE", "BCE/CE", "30 BCE to 30 CE", "30 BCE – 30 CE"),
        ("30 BCE", "30 CE", "BC/AD", "30 BC to AD 30", "30 BC – AD 30"),
        ("30 CE", "60 CE", "BC/AD", "AD 30 to 60", "AD 30–60"),
        ("c. 1300 BCE", "800 BCE", "BCE/CE", "c. 1300 to 800 BCE", "c. 1300 – 800 BCE"),
        ("1300 BCE?", "800 BCE", "BCE/CE", "1300 BCE? to 800 BCE", "1300 BCE? – 800 BCE"),
        ("5th century BCE", "9 CE", "BC/AD", "5th century BC to AD 9", "5th century BC – AD 9"),
        ("1889", "..", "BCE/CE", "1889 CE onwards", "1889 CE onwards"),
        ("..", "800 BCE", "BCE/CE", "until 800 BCE", "until 800 BCE"),
        (
            "1300 BCE",
            "unknown",
            "BCE/CE",
            "from 1300 BCE, until an unknown time",
            "from 1300 BCE, until an unknown time",
        ),
        (
            "unknown",
            "800 BCE",
            "BCE/CE",
            "until 800 BCE, from an unknown time",
            "until 800 BCE, from an unknown time",
        ),
        (
            "1250-1190 cal BCE (95 %)",
            "800 BCE",
            "BCE/CE",
            "cal 1250–1190 BCE (95\xa0%) to 800 BCE",
            "cal 1250–1190 BCE (95\xa0%) – 800 BCE",
        ),
    ],
)
def test_a_span_states_the_era_once_where_that_is_clear(
    start: str, end: str, era: Era, said: str, label: str
) -> None:
    ends, manner = (parse_end(start), parse_end(end)), Manner(era)
    assert say_span(*ends, manner) == said
    assert label_span(*ends, manner) == label


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("2905-2780 cal BP (95.4 %)", "cal 956–831 BCE (95.4\xa0%)"),
        ("30 cal BCE to 60 cal CE (68.3 %)", "cal 30 BCE – 60 CE (68.3\xa0%)"),
        ("1300 to 1250 BCE", "between 1300 and 1250 BCE"),
    ],
)
def test_a_calibrated_range_is_short_on_a_label(text: str, label: str) -> None:
    assert label_date(parse_date(text), Manner()) == label


@pytest.mark.parametrize(
    ("text", "in_german", "in_french"),
    [
        ("c. 950 BCE", "um 950 v. Chr.", "vers 950 av. J.-C."),
        ("79 CE?", "79 n. Chr.?", "79 ap. J.-C.?"),
        ("13th century BCE", "13. Jahrhundert v. Chr.", "XIIIe siècle av. J.-C."),
        ("1st century", "1. Jahrhundert n. Chr.", "Ier siècle ap. J.-C."),
        (
            "first half of the 3rd century BCE",
            "erste Hälfte des 3. Jahrhunderts v. Chr.",
            "première moitié du IIIe siècle av. J.-C.",
        ),
        (
            "late 2nd millennium BCE",
            "spätes 2. Jahrtausend v. Chr.",
            "fin du IIe millénaire av. J.-C.",
        ),
        ("1290s BCE", "1290er Jahre v. Chr.", "années 1290 av. J.-C."),
        ("before c. 300 BCE", "vor etwa 300 v. Chr.", "avant environ 300 av. J.-C."),
        (
            "between 40 BCE and 10 CE",
            "zwischen 40 v. Chr. und 10 n. Chr.",
            "entre 40 av. J.-C. et 10 ap. J.-C.",
        ),
        ("1931-05-01", "1. Mai 1931", "1er mai 1931"),
        ("after 12 April 1931", "nach dem 12. April 1931", "après le 12 avril 1931"),
        ("10,001 BCE", "10.001 v. Chr.", "10\u202f001 av. J.-C."),
        (
            "2905-2780 cal BP (95.4 %)",
            "956 bis 831 v. Chr., kalibriert, mit 95,4\xa0% Wahrscheinlichkeit",
            "956 à 831 av. J.-C., calibré, avec une probabilité de 95,4\xa0%",
        ),
    ],
)
def test_dates_are_said_in_german_and_french(text: str, in_german: str, in_french: str) -> None:
    date = parse_date(text)
    assert say_date(date, Manner("BC/AD", "de-AT")) == in_german
    assert say_date(date, Manner("BC/AD", "fr")) == in_french
