"""Counting years across 1 BCE."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

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

YEARS = st.integers(-20_000, 20_000)


@given(YEARS)
def test_counting_and_astronomical_years_are_inverse(year: int) -> None:
    number, before = counted_year(year)
    assert number >= 1
    assert astronomical_year(number, before=before) == year


@given(before=st.integers(1, 9999), after=st.integers(1, 9999))
def test_a_duration_across_1_bce_has_no_year_0(before: int, after: int) -> None:
    start, end = 1 - before, after
    assert duration_years(Date(start, start), Date(end, end)).most == before + after - 1


def test_plain_years_have_one_duration() -> None:
    assert duration_years(Date(-331, -331), Date(-29, -29)) == Duration(302, 302)


def test_a_century_as_start_gives_a_range_of_durations() -> None:
    assert duration_years(Date(-1299, -1200), Date(-799, -799)) == Duration(401, 500)


def test_overlapping_ranges_may_have_no_duration_at_all() -> None:
    assert duration_years(Date(-99, 0), Date(-50, 50)) == Duration(0, 149)


@given(st.integers(1, 40), st.booleans())
def test_centuries_follow_each_other_without_gap(number: int, before: bool) -> None:
    here, later = (nth_span(n, 100, before=before) for n in (number, number + 1))
    assert (later.last + 1 == here.first) if before else (here.last + 1 == later.first)


def test_the_first_century_bce_touches_the_first_century_ce() -> None:
    assert nth_span(1, 100, before=True).last + 1 == nth_span(1, 100, before=False).first


@pytest.mark.parametrize(
    ("before", "years"), [(True, Years(-1298, -1289)), (False, Years(1290, 1299))]
)
def test_a_decade_holds_the_ten_years_whose_numbers_begin_alike(before: bool, years: Years) -> None:
    assert decade_span(1290, before=before) == years


def test_halves_are_equally_long() -> None:
    assert Years(-299, -200).halves == (Years(-299, -250), Years(-249, -200))


def test_something_known_within_two_dates_has_the_doubts_of_both() -> None:
    first, last = Date(-759, -759, approximate=True), Date(-699, -690, uncertain=True)
    assert date_between(first, last) == Date(-759, -690, approximate=True, uncertain=True)
