from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from slidekit.evidence.counts.proportions import rounded
from slidekit.evidence.counts.quoted import Quoted, add_up, are_possible, possible_denominators

counted = st.integers(1, 500).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@given(counted, st.integers(0, 2))
def test_every_percentage_of_whole_counts_is_possible(pair, decimals):
    k, n = pair
    quoted = Quoted(rounded(Fraction(100 * k, n), decimals))
    assert k in quoted.counts(n)
    assert n in possible_denominators([quoted], n)


@given(st.lists(st.integers(0, 40), min_size=2, max_size=5).filter(any), st.integers(0, 1))
def test_every_breakdown_of_whole_counts_is_possible(counts, decimals):
    n = sum(counts)
    parts = [Quoted(rounded(Fraction(100 * k, n), decimals)) for k in counts]
    assert add_up(parts)
    assert are_possible(parts, n)


@given(st.integers(0, 100), st.integers(100, 120))
def test_with_as_many_cases_as_steps_everything_is_possible(percent, n):
    assert Quoted(str(percent)).telling_below == 100
    assert Quoted(str(percent)).counts(n)


def test_parts_that_miss_the_whole_by_more_than_rounding_do_not_add_up():
    assert add_up([Quoted("33"), Quoted("33"), Quoted("33")])
    assert not add_up([Quoted("33"), Quoted("33"), Quoted("32")])


def test_parts_that_are_possible_alone_may_be_impossible_together():
    parts = [Quoted("33"), Quoted("33"), Quoted("33")]  # 1/3 each
    assert not are_possible(parts, 4)
    assert are_possible(parts, 3)
    assert possible_denominators(parts, 9) == (3, 6, 9)


def test_the_counts_next_to_an_impossible_percentage():
    assert Quoted("27").nearest_counts(34) == (9, 10)
    assert Quoted("100.4").nearest_counts(5) == (5, 5)
