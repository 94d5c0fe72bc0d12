"""Dates as authors write them, and as they are said."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.errors import DateError
from slidekit.evidence.dates import Date, Era, label_span, parse_date, say_date, say_span

YEARS = st.integers(-12_000, 12_000)
ERAS = st.sampled_from(["BCE/CE", "BC/AD"])


@st.composite
def dates(draw: st.DrawFn) -> Date:
    first = draw(YEARS)
    length = draw(st.sampled_from([1, 10, 50, 100, 500, 1000]) | st.integers(1, 300))
    return Date(first, first + length - 1, draw(st.booleans()), draw(st.booleans()))


@pytest.mark.parametrize(
    ("text", "date"),
    [
        ("1300 BCE", Date(-1299, -1299)),
        ("1300 BC", Date(-1299, -1299)),
        ("1300 b.c.e.", Date(-1299, -1299)),
        ("BC 1300", Date(-1299, -1299)),
        ("1 BCE", Date(0, 0)),
        ("1 CE", Date(1, 1)),
        ("79 CE", Date(79, 79)),
        ("AD 79", Date(79, 79)),
        ("A.D. 79", Date(79, 79)),
        ("79", Date(79, 79)),
        (1922, Date(1922, 1922)),
        ("10,001 BCE", Date(-10_000, -10_000)),
        ("10 001 BCE", Date(-10_000, -10_000)),
        ("c. 950 BCE", Date(-949, -949, approximate=True)),
        ("ca. 950 BCE", Date(-949, -949, approximate=True)),
        ("c.950 BCE", Date(-949, -949, approximate=True)),
        ("Circa 950 BCE", Date(-949, -949, approximate=True)),
        ("about AD 79", Date(79, 79, approximate=True)),
        ("950 BCE?", Date(-949, -949, uncertain=True)),
        ("950 BCE ?", Date(-949, -949, uncertain=True)),
        ("probably 950 BCE", Date(-949, -949, uncertain=True)),
        ("c. 950 BCE?", Date(-949, -949, approximate=True, uncertain=True)),
        ("13th century BCE", Date(-1299, -1200)),
        ("13th c. BCE", Date(-1299, -1200)),
        ("1st century", Date(1, 100)),
        ("2nd millennium BCE", Date(-1999, -1000)),
        ("1290s BCE", Date(-1298, -1289)),
        ("1920s", Date(1920, 1929)),
        ("second half of the 13th century BCE", Date(-1249, -1200)),
        ("1300 to 1250 BCE", Date(-1299, -1249)),
        ("between 1300 and 1250 BCE", Date(-1299, -1249)),
        ("1300–1250 BCE", Date(-1299, -1249)),
        ("30 BCE – 30 CE", Date(-29, 30)),
        ("AD 30 to 60", Date(30, 60)),
        ("c. 1300 to 1250 BCE?", Date(-1299, -1249, approximate=True, uncertain=True)),
        ("\N{MINUS SIGN}1299", Date(-1299, -1299)),
    ],
)
def test_what_people_write_is_read(text: object, date: Date) -> None:
    assert parse_date(text) == date


def test_a_date_stays_itself() -> None:
    date = Date(-5, 5)
    assert parse_date(date) is date


NOT_A_DATE = (
    ' is not a date that can be read. Write it as in "1300 BCE", "c. 950 BCE", "79 CE",'
    ' "13th century BCE", or as an EDTF year such as "-1299~".'
)
NO_YEAR_0 = " would be a year 0, and there is none. 1 BCE is followed by 1 CE: write either."
ONLY_YEARS = (
    " has a month or an open end; a timeline is drawn in whole years."
    ' Write the year, as in "1984", or a first and a last year, as in "1300 to 1250 BCE".'
)
BACKWARD = " ends before it starts. Write the earlier year first; years BCE count down."


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("soon", "'soon'" + NOT_A_DATE),
        (True, "True" + NOT_A_DATE),
        (1300.5, "1300.5" + NOT_A_DATE),
        ("AD 79 BCE", "'AD 79 BCE'" + NOT_A_DATE),
        ("first half of 1300 BCE", "'first half of 1300 BCE'" + NOT_A_DATE),
        ("0 BCE", "'0 BCE'" + NO_YEAR_0),
        ("c. 0", "'c. 0'" + NO_YEAR_0),
        ("-0", "'-0'" + NO_YEAR_0),
        (0, "0" + NO_YEAR_0),
        ("0th century", "'0th century'" + NO_YEAR_0),
        ("1984-05", "'1984-05'" + ONLY_YEARS),
        ("1984-05-04", "'1984-05-04'" + ONLY_YEARS),
        ("-0300/..", "'-0300/..'" + ONLY_YEARS),
        ("-0304/-0331", "'-0304/-0331'" + BACKWARD),
        ("800 to 1300 BCE", "'800 to 1300 BCE'" + BACKWARD),
        ("", 'There is no date. Write one as in "1300 BCE".'),
        ("-0000", "'-0000' has a minus sign before zero. 1 BCE is \"0000\" in EDTF."),
        (
            -1299,
            '-1299 could be the year 1299 BCE or an astronomical year. Write "1299 BCE", or in'
            ' quotes the EDTF year "-1299", which is 1300 BCE.',
        ),
        (
            "-300",
            "'-300' could be the year 300 BCE or an astronomical year. Write \"300 BCE\", or the"
            ' EDTF year "-0300", which is 301 BCE.',
        ),
        (
            "30 CE to 60",
            "'30 CE to 60' states the era of one end only. Write it after both.",
        ),
        (
            "1900s",
            "'1900s' could be ten years or a hundred."
            ' Write "1900 to 1909 CE" or "1900 to 1999 CE".',
        ),
        (
            "1300s BCE",
            "'1300s BCE' could be ten years or a hundred."
            ' Write "1309 to 1300 BCE" or "1399 to 1300 BCE".',
        ),
        ("1295s", "'1295s' is not a decade. Write \"1290s CE\"."),
        (
            "late 13th century BCE",
            "'late 13th century BCE' names years that people draw differently. Write \"first half"
            ' of the 13th century BCE", or the first and last year meant.',
        ),
        (
            "3000 cal BP",
            "'3000 cal BP' counts back from 1950 CE."
            " Write a calibrated age as a calendar year: 3000 cal BP is 1051 BCE.",
        ),
    ],
)
def test_what_is_no_date_is_refused_with_a_remedy(text: object, message: str) -> None:
    with pytest.raises(DateError, match=f"^{re.escape(message)}$"):
        parse_date(text)


def test_a_refusal_is_a_value_error_that_a_model_can_report() -> None:
    with pytest.raises(ValueError, match=r"^'soon' is not a date that can be read\. "):
        parse_date("soon")


@given(dates(), ERAS)
def test_what_is_said_reads_back_as_the_same_date(date: Date, era: Era) -> None:
    assert parse_date(say_date(date, era)) == date


@given(st.text(max_size=30) | st.text("0123456789 -XYcBCEAD?~.stth", max_size=12))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        date = parse_date(text)
    except DateError:
        return
    assert date.earliest <= date.latest


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
    ],
)
def test_dates_are_said_in_either_era(text: str, in_bce: str, in_bc: str) -> None:
    date = parse_date(text)
    assert say_date(date, "BCE/CE") == in_bce
    assert say_date(date, "BC/AD") == in_bc


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
    ],
)
def test_a_span_states_the_era_once_where_that_is_clear(
    start: str, end: str, era: Era, said: str, label: str
) -> None:
    assert say_span(parse_date(start), parse_date(end), era) == said
    assert label_span(parse_date(start), parse_date(end), era) == label
