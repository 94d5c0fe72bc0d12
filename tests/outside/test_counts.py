"""Counts held against published tables and against scipy and statsmodels."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import fisher_exact
from statsmodels.stats.inter_rater import cohens_kappa
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from slidekit.evidence.counts.contingency import cohen_kappa, fisher_p, odds_ratio
from slidekit.evidence.counts.proportions import Proportion, difference_interval, wilson_interval
from slidekit.evidence.counts.quoted import Quoted, possible_denominators

# R. G. Newcombe, Statistics in Medicine 17 (1998), 857-872, Table I, method 3
NEWCOMBE = {
    (81, 263): (0.2553, 0.3662),
    (15, 148): (0.0624, 0.1605),
    (0, 20): (0.0000, 0.1611),
    (1, 29): (0.0061, 0.1718),
}


@pytest.mark.parametrize(("k", "n"), NEWCOMBE)
def test_intervals_are_those_of_newcombes_table(k, n):
    assert wilson_interval(k, n) == pytest.approx(NEWCOMBE[k, n], abs=5e-5)


def test_the_interval_of_a_difference_is_newcombes_example():
    # R. G. Newcombe, Statistics in Medicine 17 (1998), 873-890, method 10
    interval = difference_interval(Proportion(56, 70), Proportion(48, 80))
    assert interval == pytest.approx((0.0524, 0.3339), abs=5e-5)


counted = st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@settings(max_examples=60, deadline=None)
@given(counted)
def test_intervals_are_those_of_statsmodels(pair):
    k, n = pair
    assert wilson_interval(k, n) == pytest.approx(proportion_confint(k, n, method="wilson"))


@settings(max_examples=40, deadline=None)
@given(counted, counted)
def test_intervals_of_differences_are_those_of_statsmodels(first, second):
    own = difference_interval(Proportion(*first), Proportion(*second))
    theirs = confint_proportions_2indep(*first, *second, method="newcomb")
    assert own == pytest.approx(theirs, abs=1e-9)


FISHER = {
    # R. A. Fisher, The Design of Experiments (1935): the lady who tasted tea
    ((3, 1), (1, 3)): (Fraction(34, 70), 9),
    ((8, 2), (1, 5)): (Fraction(5, 143), 20),
}


@pytest.mark.parametrize("cells", FISHER)
def test_fishers_test_gives_the_known_fractions(cells):
    p, ratio = FISHER[cells]
    assert (fisher_p(cells), odds_ratio(cells)) == (p, ratio)


cell = st.integers(0, 40)


@settings(max_examples=80, deadline=None)
@given(cell, cell, cell, cell)
def test_fishers_test_is_that_of_scipy(a, b, c, d):
    theirs = fisher_exact([[a, b], [c, d]])
    assert float(fisher_p(((a, b), (c, d)))) == pytest.approx(theirs.pvalue, rel=1e-9)
    if ratio := odds_ratio(((a, b), (c, d))):
        assert float(ratio) == pytest.approx(theirs.statistic)


# cells, kappa; the first two from J. Cohen's definition worked by hand: po 0.70 and pe 0.50; the
# pair after it has one po of 0.60 with different margins
KAPPA = [
    ([[20, 5], [10, 15]], 0.4),
    ([[45, 15], [25, 15]], 0.130435),
    ([[25, 35], [5, 35]], 0.259259),
    ([[53, 5, 2], [11, 14, 5], [1, 6, 3]], 0.428571),
]


@pytest.mark.parametrize(("cells", "kappa"), KAPPA)
def test_kappa_is_that_of_worked_examples_and_of_statsmodels(cells, kappa):
    own, theirs = cohen_kappa(cells), cohens_kappa(cells)
    assert float(own.value) == pytest.approx(kappa, abs=5e-7)
    assert float(own.value) == pytest.approx(theirs.kappa)
    assert own.interval == pytest.approx((theirs.kappa_low, theirs.kappa_upp))


# N. J. L. Brown and J. A. J. Heathers, Soc. Psychol. Personal. Sci. 8 (2017), 363-369: 5.19 of 28
# is the paper's example (from memory); the others are worked with exact fractions
POSSIBLE = [
    ("5.19", 1, 28, []), ("5.27", 1, 43, []), ("3.48", 1, 20, []), ("3.45", 1, 20, [69]),
    ("34.2", 100, 76, [26]), ("33", 100, 20, []), ("35", 100, 20, [7]), ("27", 100, 34, []),
    ("26.5", 100, 34, [9]), ("45", 100, 13, []), ("46", 100, 13, [6]), ("59", 100, 12, []),
    ("58", 100, 12, [7]), ("41.7", 100, 12, [5]), ("88", 100, 15, []), ("87", 100, 15, [13]),
    ("54", 100, 17, []), ("53", 100, 17, [9]), ("66", 100, 3, []), ("67", 100, 3, [2]),
    ("66.7", 100, 3, [2]), ("66.6", 100, 3, []), ("8.3", 100, 137, []), ("8.8", 100, 137, [12]),
    ("12", 100, 8, [1]), ("13", 100, 8, [1]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "scale", "n", "counts"), POSSIBLE)
def test_a_quoted_number_is_possible_where_whole_counts_give_it(text, scale, n, counts):
    assert list(Quoted(text, scale).counts(n)) == counts


@pytest.mark.parametrize(
    ("text", "denominators"),
    [
        ("37", (8, 16, 19, 24, 27, 30, 32, 35, 38, 40)),
        ("62.5", (8, 16, 24, 32, 40)),
        ("29.4", (17, 34)),
    ],
)
def test_the_numbers_of_cases_that_a_percentage_can_come_from(text, denominators):
    assert possible_denominators([Quoted(text)], 40) == denominators
