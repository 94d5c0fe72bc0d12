"""How long, how much time between, and how long together."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.evidence.dates.durations import Duration, Lasting, elapsed, overlap, say_duration
from slidekit.evidence.dates.parse import parse_date, parse_end
from slidekit.evidence.dates.words import Manner
from slidekit.evidence.dates.years import Date


@given(before=st.integers(1, 9999), after=st.integers(1, 9999))
def test_a_duration_across_1_bce_has_no_year_0(before: int, after: int) -> None:
    start, end = 1 - before, after
    passed = elapsed(Date(start, start), Date(end, end))
    assert (passed.fewest, passed.most) == (before + after - 1,) * 2


@given(*[st.integers(-500, 500)] * 4)
def test_both_limits_are_reached_by_some_years_within_the_dates(
    a: int, b: int, c: int, d: int
) -> None:
    (a, b), (c, d) = sorted((a, b)), sorted((c, d))
    passed = elapsed(Date(a, b), Date(c, d))
    # every pair of years, one from each: none lies outside, and the corners are met
    corners = [max(end - start, 0) for start in (a, b) for end in (c, d)]
    assert (passed.fewest, passed.most) == (min(corners), max(corners))


@pytest.mark.parametrize(
    ("start", "end", "said"),
    [
        ("30 BCE", "30 CE", "59 years"),
        ("1 BCE", "1 CE", "1 year"),
        ("332 BCE", "30 BCE", "302 years"),
        ("c. 1300 BCE", "c. 800 BCE", "about 500 years"),
        ("c. 1302 BCE", "800 BCE", "about 500 years"),
        ("13th century BCE", "800 BCE", "401 to 500 years"),
        ("c. 1299 to 1201 BCE", "c. 751 BCE", "about 450 to 550 years"),
        ("1st century BCE", "50 BCE to 50 CE", "at most 149 years"),
        ("before 300 BCE", "100 BCE", "at least 200 years"),
        ("300 BCE", "after 100 BCE", "at least 200 years"),
        ("after 300 BCE", "100 BCE", "at most 200 years"),
        ("800 BCE?", "400 BCE", "probably 400 years"),
        ("Y-40000", "Y-10000", "30,000 years"),
        ("12 March 2019", "3 April 2019", "22 days"),
        ("28 February 2020", "1 March 2020", "2 days"),
        ("31 December 2 BCE", "1 January 1 BCE", "1 day"),
        ("12 March 2019", "11 March 2021", "1 year"),
        ("12 March 2019", "12 March 2021", "2 years"),
        ("March 2019", "April 2019", "1 to 60 days"),
    ],
)
def test_time_that_passed_is_said_as_far_as_it_is_known(start: str, end: str, said: str) -> None:
    assert say_duration(elapsed(parse_date(start), parse_date(end)), Manner()) == said


@pytest.mark.parametrize(
    ("language", "said"), [("de", "etwa 500 Jahre"), ("fr", "environ 500 ans")]
)
def test_durations_are_said_in_other_languages(language: str, said: str) -> None:
    passed = Duration(500, 500, approximate=True)
    assert say_duration(passed, Manner("BC/AD", language)) == said


def test_nothing_is_known_between_two_open_limits() -> None:
    assert not elapsed(parse_date("after 300 BCE"), parse_date("after 100 BCE")).is_known


def _lasting(start: str, end: str) -> Lasting:
    return Lasting(parse_end(start), parse_end(end))


@pytest.mark.parametrize(
    ("one", "other", "said"),
    [
        (("c. 1050 BCE", "c. 850 BCE"), ("c. 1250 BCE", "c. 700 BCE"), "about 200 years"),
        (("1050 BCE", "850 BCE"), ("900 BCE", "700 BCE"), "50 years"),
        (("30 BCE", "100 CE"), ("50 BCE", "30 CE"), "59 years"),
        (("13th century BCE", "850 BCE"), ("1250 BCE", "700 BCE"), "351 to 400 years"),
        (("1050 BCE", ".."), ("..", "850 BCE"), "200 years"),
        (("1050 BCE", "unknown"), ("1250 BCE", "850 BCE"), "at most 200 years"),
        (("1050 BCE", "after 900 BCE"), ("1250 BCE", ".."), "at least 150 years"),
    ],
)
def test_overlaps_are_said_as_far_as_they_are_known(
    one: tuple[str, str], other: tuple[str, str], said: str
) -> None:
    for pair in ((one, other), (other, one)):
        together = overlap(*(_lasting(*ends) for ends in pair))
        assert say_duration(together, Manner()) == said


def test_what_follows_does_not_overlap() -> None:
    assert overlap(_lasting("1300 BCE", "800 BCE"), _lasting("800 BCE", "450 BCE")).most == 0
