"""Dates as authors write them, and as they are said."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.errors import DateError
from slidekit.evidence.dates.parse import parse_date, parse_end
from slidekit.evidence.dates.spoken import label_date
from slidekit.evidence.dates.words import Manner
from slidekit.evidence.dates.years import Date, Day, date_of_days


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


def _days(first: tuple[int, int, int], last: tuple[int, int, int]) -> Date:
    return date_of_days(Day(*first), Day(*last))


@pytest.mark.parametrize(
    ("text", "date"),
    [
        ("before 300 BCE", Date(None, -299)),
        ("until c. 15 BCE", Date(None, -14, approximate=True)),
        ("before the 13th century BCE", Date(None, -1299)),
        ("until the 13th century BCE", Date(None, -1200)),
        ("not after 79 CE", Date(None, 79)),
        ("after 50 CE", Date(50, None)),
        ("since AD 50", Date(50, None)),
        ("from 50 CE onwards", Date(50, None)),
        ("after the 13th century BCE", Date(-1200, None)),
        ("not before the 13th century BCE", Date(-1299, None)),
        ("probably before 300 BCE", Date(None, -299, uncertain=True)),
        ("first third of the 13th century BCE", Date(-1299, -1267)),
        ("second third of the 13th century BCE", Date(-1266, -1233)),
        ("last third of the 13th century BCE", Date(-1232, -1200)),
        ("third quarter of the 2nd century", Date(151, 175)),
        ("last quarter of the 2nd millennium BCE", Date(-1249, -1000)),
        ("early 13th century BCE", Date(-1299, -1267, approximate=True)),
        ("mid-13th century BCE", Date(-1266, -1233, approximate=True)),
        ("late 2nd millennium BCE", Date(-1332, -1000, approximate=True)),
        ("12 April 1931", _days((1931, 4, 12), (1931, 4, 12))),
        ("12 Apr. 1931", _days((1931, 4, 12), (1931, 4, 12))),
        ("April 12, 1931", _days((1931, 4, 12), (1931, 4, 12))),
        ("15 March 44 BCE", _days((-43, 3, 15), (-43, 3, 15))),
        ("February 1932", _days((1932, 2, 1), (1932, 2, 29))),
        ("April 1931 to June 1931", _days((1931, 4, 1), (1931, 6, 30))),
    ],
)
def test_limits_parts_and_days_are_read(text: str, date: Date) -> None:
    assert parse_date(text) == date


@pytest.mark.parametrize(
    ("text", "end"),
    [
        ("..", Date(None, None, lasting=True)),
        ("Today", Date(None, None, lasting=True)),
        ("unknown", Date(None, None)),
        ("800 BCE", Date(-799, -799)),
    ],
)
def test_a_period_may_go_on_or_have_an_end_that_nobody_knows(text: str, end: Date) -> None:
    assert parse_end(text) == end


def test_a_date_stays_itself() -> None:
    date = Date(-5, 5)
    assert parse_date(date) is date


NOT_A_DATE = (
    ' is not a date that can be read. Write it as in "1300 BCE", "c. 950 BCE", "79 CE",'
    ' "13th century BCE", or as an EDTF year such as "-1299~".'
)
NO_YEAR_0 = " would be a year 0, and there is none. 1 BCE is followed by 1 CE: write either."
NO_PROBABILITY = (
    " has no probability, and a calibrated range means nothing without it."
    ' Add it, as in "2905-2780 cal BP (95.4 %)".'
)
NO_RANGE = (
    " is no calibrated range that can be read. Write both ends and the probability, as in"
    ' "2905-2780 cal BP (95.4 %)".'
)
UNCALIBRATED = (
    " is a radiocarbon age before calibration; it is no calendar year, and can be centuries off."
    ' Write the calibrated range with its probability, as in "2905-2780 cal BP (95.4 %)".'
)
FROM_TODAY = ' counts back from today, which moves. Write the year, as in "c. 10,000 BCE".'
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
        ("early 1300 BCE", "'early 1300 BCE'" + NOT_A_DATE),
        ("third half of the 13th century", "'third half of the 13th century'" + NOT_A_DATE),
        ("spring of the 13th century", "'spring of the 13th century'" + NOT_A_DATE),
        ("12 spring 1931", "'12 spring 1931'" + NOT_A_DATE),
        ("before soon", "'before soon'" + NOT_A_DATE),
        ("31 June 1931", "'31 June 1931' is a day that the month does not have. Mend the day."),
        (
            "29 February 1 CE",
            "'29 February 1 CE' is a day that the month does not have. Mend the day.",
        ),
        (
            "9" * 5000,
            f"{'9' * 5000!r} has a year with more than 11 digits, and the universe is younger."
            " Write a year with fewer digits.",
        ),
        ("today", "'today' is no date of its own. Write a year, or an interval."),
        ("12 ka", "'12 ka'" + FROM_TODAY),
        ("5000 years ago", "'5000 years ago'" + FROM_TODAY),
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
        ("2700 ± 30 BP", "'2700 ± 30 BP'" + UNCALIBRATED),
        ("2700 +/- 30 bp", "'2700 +/- 30 bp'" + UNCALIBRATED),
        ("2700 BP", "'2700 BP'" + UNCALIBRATED),
        ("2905-2780 cal BP", "'2905-2780 cal BP'" + NO_PROBABILITY),
        ("3000 cal BP", "'3000 cal BP'" + NO_RANGE),
        (
            "2905-2905 cal BP (95.4 %)",
            "the calibrated range is a single year, and no radiocarbon date is known so well. Write"
            ' both ends, as in "2905-2780 cal BP (95.4 %)".',
        ),
        (
            "2780-2905 cal BP (95.4 %)",
            "the calibrated range ends before it starts. Write the earlier year first.",
        ),
        (
            "2905-2780 cal BP (100 %)",
            "100 % is no probability of a range. Write it as in 95.4.",
        ),
    ],
)
def test_what_is_no_date_is_refused_with_a_remedy(text: object, message: str) -> None:
    with pytest.raises(DateError, match=f"^{re.escape(message)}$"):
        parse_date(text)


def test_a_refusal_is_a_value_error_that_a_model_can_report() -> None:
    with pytest.raises(ValueError, match=r"^'soon' is not a date that can be read\. "):
        parse_date("soon")


PIECES = st.sampled_from(
    [
        "1300",
        "0",
        "-0299",
        "-300",
        "12XX",
        "1984-05",
        "04",
        "31",
        "Y-17E7",
        "S2",
        "?",
        "~",
        "%",
        "/",
        "..",
        "[",
        "]",
        "{",
        "}",
        ",",
        "-",
        "c.",
        "before",
        "after",
        "until",
        "between",
        "to",
        "and",
        "first",
        "half",
        "third",
        "of",
        "the",
        "early",
        "late",
        "century",
        "13th",
        "2nd",
        "millennium",
        "BCE",
        "CE",
        "AD",
        "BC",
        "cal",
        "BP",
        "(",
        "95.4",
        ")",
        "±",
        "30",
        "12",
        "April",
        "1931",
        "spring",
        "1290s",
    ]
)


@given(
    st.text(max_size=30)
    | st.text("0123456789 -XYcBCEAD?~.stth[]{}/,%S", max_size=12)
    | st.lists(PIECES, max_size=7).map(" ".join)
    | st.lists(PIECES, max_size=5).map("".join)
)
def test_any_text_is_read_and_can_be_said_or_is_refused(text: str) -> None:
    try:
        date = parse_date(text)
    except DateError:
        return
    if date.first is not None and date.last is not None:
        assert date.first <= date.last
    assert date.first is not None or date.last is not None
    for language in ("en", "de", "fr"):
        assert label_date(date, Manner("BC/AD", language))
