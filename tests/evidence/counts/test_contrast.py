import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.evidence.counts.contrast import Contrast, Group


def normal(mean: float, sd: float, n: float = 200) -> Group:
    """A group whose values follow a normal curve, in bins of a tenth of its SD."""
    values = np.arange(-50, 51) / 10
    weights = np.exp(-(values**2) / 2)
    return Group(mean, sd, n, tuple((mean + sd * values).tolist()), tuple(weights.tolist()))


def test_the_difference_is_the_first_mean_minus_the_second():
    assert Contrast(normal(17, 10), normal(-63, 10)).difference == 80


def test_the_interval_lies_around_the_difference():
    low, high = Contrast(normal(17, 10), normal(-63, 10)).interval
    assert (low + high) / 2 == pytest.approx(80)
    assert high - low == pytest.approx(2 * 1.966 * 1, abs=0.01)  # t of 398 degrees of freedom


def test_fewer_independent_samples_make_the_interval_wider():
    widths = [
        high - low
        for n in (400, 100, 25)
        for low, high in [Contrast(normal(17, 10, n), normal(-63, 10, n)).interval]
    ]
    assert widths[1] > 2 * widths[0]
    assert widths[2] > 2 * widths[1]


def test_the_effect_is_in_sds_and_takes_no_side():
    assert Contrast(normal(60, 30, 1000), normal(0, 10, 5)).effect == pytest.approx(
        60 / np.sqrt(500)
    )


def test_values_without_spread_have_no_effect_in_sds():
    flat = [Group(mean, 0.0, 50.0, (mean,), (50,)) for mean in (5.0, 1.0)]
    assert Contrast(*flat).effect is None
    assert Contrast(*flat).interval == (4, 4)


def test_the_same_values_overlap_wholly():
    assert Contrast(normal(0, 10), normal(0, 10)).overlap == pytest.approx(1, abs=1e-3)


def test_values_far_apart_do_not_overlap():
    assert Contrast(normal(0, 10), normal(500, 10)).overlap == pytest.approx(0, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(st.floats(-100, 100), st.floats(1, 50), st.floats(1, 50))
def test_exchanging_the_groups_changes_signs_alone(mean, sd, other_sd):
    one, other = normal(mean, sd), normal(0, other_sd)
    there, back = Contrast(one, other), Contrast(other, one)
    assert there.difference == -back.difference
    assert there.effect == pytest.approx(-back.effect)
    assert there.overlap == pytest.approx(back.overlap)
    assert there.interval == pytest.approx(tuple(-end for end in reversed(back.interval)))


@settings(max_examples=20, deadline=None)
@given(st.lists(st.tuples(st.integers(-100, 100), st.integers(1, 50)), min_size=2, max_size=30))
def test_a_density_has_the_area_1(counted):
    values, weights = zip(*sorted(dict(counted).items()), strict=True)
    if len(values) < 2:
        return
    sd = float(np.std(np.repeat(values, weights), ddof=1))
    group = Group(0.0, sd, float(sum(weights)), values, weights)
    at = np.linspace(*group.reach, 2000)
    assert group.density(at).sum() * (at[1] - at[0]) == pytest.approx(1, abs=1e-3)
