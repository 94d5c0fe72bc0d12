import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from slidekit.scans.measures.distributions import BINS, distribution_of, independent_count

NOISE = np.random.default_rng(11)
INSIDE = np.ones((40, 50), bool)


def smoothed(noise, width: int):
    """Means over squares: samples up to `width` - 1 apart go together."""
    rows, columns = noise.shape
    shifted = [
        noise[i : rows - width + 1 + i, j : columns - width + 1 + j]
        for i in range(width)
        for j in range(width)
    ]
    return np.mean(shifted, axis=0)


@settings(max_examples=40, deadline=None)
@given(arrays(np.int16, (6, 7), elements=st.integers(-1024, 3071)))
def test_every_sample_is_counted_once_within_half_a_bin(values):
    found = distribution_of(values, np.ones(values.shape, bool))
    assert sum(found.counts) == values.size
    spread = np.repeat(found.values, found.counts)
    assert np.abs(np.sort(values.ravel()) - spread).max() <= found.step / 2 + 1e-9
    assert len(found.counts) <= BINS


def test_few_whole_values_keep_a_bin_each():
    values = np.array([[10, 10, 12], [13, 13, 13]], np.int16)
    found = distribution_of(values, np.ones((2, 3), bool))
    assert (found.values, found.counts) == ((10, 11, 12, 13), (2, 0, 1, 3))


def test_samples_outside_the_region_do_not_count():
    values = np.array([[1, 2], [900, 900]], np.int16)
    found = distribution_of(values, np.array([[True, True], [False, False]]))
    assert found.values == (1, 2)


def test_one_value_alone_is_one_bin():
    found = distribution_of(np.full((3, 3), 7.5), np.ones((3, 3), bool))
    assert (found.values, found.counts, found.independent) == ((7.5,), (9,), 9)


def test_no_sample_has_no_distribution():
    assert distribution_of(np.zeros((3, 3)), np.zeros((3, 3), bool)) is None


def test_white_noise_is_worth_about_all_its_samples():
    counts = [independent_count(NOISE.normal(size=(40, 50)), INSIDE) for _ in range(20)]
    assert 1600 < np.median(counts) <= 2000


@pytest.mark.parametrize("width", [2, 3, 4])
def test_smoothed_noise_knows_its_mean_as_well_as_its_independent_samples(width):
    fields = [
        smoothed(NOISE.normal(size=(40 + width - 1, 50 + width - 1)), width) for _ in range(300)
    ]
    spread_of_means = np.var([field.mean() for field in fields])
    variance = np.mean([field.var() for field in fields])
    counts = [independent_count(field, INSIDE) for field in fields]
    assert np.median(counts) == pytest.approx(variance / spread_of_means, rel=0.3)


def test_a_slope_across_the_region_leaves_few_independent_samples():
    slope = np.linspace(0, 100, 50)[None, :] + NOISE.normal(size=(40, 50))
    assert independent_count(slope, INSIDE) < 20


def test_independence_does_not_depend_on_what_lies_outside():
    field = NOISE.normal(size=(40, 50))
    inside = np.zeros((40, 50), bool)
    inside[10:30, 10:40] = True
    other = np.where(inside, field, 5000.0)
    assert independent_count(other, inside) == pytest.approx(independent_count(field, inside))
