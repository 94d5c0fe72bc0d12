"""Counting years across 1 BCE."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.evidence.dates.years import (
    Date,
    Years,
    astronomical_year,
    counted_year,
    date_between,
    decade_span,
    nth_span,
)

YEARS = st.integers(-20_000, 20_000)


@given(YEARS)
def test_counting_and_astronomical_years_are_inverse(year: int) -> None:
    number, before = counted_year(year)
    assert number >= 1
    assert astronomical_year(number, before=before) == year


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
    assert Years(-299, -200).parts(2) == (Years(-299, -250), Years(-249, -200))


@given(YEARS, st.sampled_from([100, 1000]), st.sampled_from([2, 3, 4]))
def test_parts_follow_each_other_and_differ_by_a_year_at_most(
    first: int, length: int, count: int
) -> None:
    parts = Years(first, first + length - 1).parts(count)
    assert len(parts) == count
    assert (parts[0].first, parts[-1].last) == (first, first + length - 1)
    assert all(one.last + 1 == other.first for one, other in pairwise(parts))
    lengths = [part.last - part.first for part in parts]
    assert max(lengths) - min(lengths) <= 1


def test_something_known_within_two_dates_has_the_doubts_of_both() -> None:
    first, last = Date(-759, -759, approximate=True), Date(-699, -690, uncertain=True)
    assert date_between(first, last) == Date(-759, -690, approximate=True, uncertain=True)
