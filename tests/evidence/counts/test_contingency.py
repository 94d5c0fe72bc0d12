from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.evidence.counts.contingency import cohen_kappa, fisher_p, odds_ratio

cell = st.integers(0, 12)


@pytest.mark.parametrize("cells", [((0, 4), (3, 3)), ((4, 0), (3, 3)), ((4, 1), (0, 3))])
def test_an_odds_ratio_with_an_empty_cell_is_not_estimable(cells):
    assert odds_ratio(cells) is None


@given(cell, cell, cell, cell)
def test_exchanging_groups_does_not_change_p(a, b, c, d):
    p = fisher_p(((a, b), (c, d)))
    assert 0 < p <= 1
    assert p == fisher_p(((c, d), (a, b))) == fisher_p(((a, c), (b, d)))


def test_equal_groups_do_not_differ():
    assert fisher_p(((5, 5), (5, 5))) == 1


def test_full_agreement_is_a_kappa_of_one():
    kappa = cohen_kappa([[8, 0], [0, 4]])
    assert (kappa.value, kappa.same, kappa.n) == (1, 12, 12)
    assert kappa.interval == (1.0, 1.0)


def test_readers_who_use_one_category_only_have_no_kappa():
    kappa = cohen_kappa([[12, 0], [0, 0]])
    assert (kappa.value, kappa.interval, kappa.same) == (None, None, 12)


def test_agreement_as_by_chance_is_a_kappa_of_zero():
    assert cohen_kappa([[9, 9], [9, 9]]).value == Fraction(0)
