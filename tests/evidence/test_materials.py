from itertools import pairwise
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.evidence.attenuation import parse_formula
from slidekit.evidence.materials import (
    Band,
    Candidate,
    Energy,
    bands_of,
    effective_energy,
    fits,
    fitting_shares,
    measured_range,
    stated_energy,
    widened,
)

WAX = Candidate("wax", "wax", parse_formula("C46H92O2"), (0.95, 0.97))
SAND = Candidate("sand", "sand", parse_formula("SiO2"), (2.65, 2.65), (0.4, 0.6))
AT_70 = Energy(70.0, (70.0, 70.0))


def band(low: float, high: float, name: str = "one") -> Band:
    candidate = Candidate(name, name, parse_formula("H2O"), (1, 1))
    return Band(candidate, (low,), (high,))


def test_120_kv_has_an_effective_energy_of_70_kev():
    assert effective_energy(120) == Energy(70.0, (57.0, 75.0))


def test_a_stated_energy_is_known_to_5_kev():
    assert stated_energy(64) == Energy(64, (59, 69))


def test_the_grid_of_an_energy_has_its_ends_and_steps_of_a_kev():
    grid = Energy(70, (64.5, 70.2)).grid_kev
    assert (grid[0], grid[-1]) == (64.5, 70.2)
    assert all(0 < b - a <= 1 for a, b in pairwise(grid))


def test_a_band_reaches_from_the_least_to_the_greatest_density():
    low, high = bands_of([WAX], AT_70)[0].calculated
    assert low == pytest.approx(1000 * (0.95 / 0.96 * (1 - 0.063) - 1), abs=1)  # -63 HU at 0.96
    assert high == pytest.approx(1000 * (0.97 / 0.96 * (1 - 0.063) - 1), abs=1)


def test_a_range_of_energies_widens_a_band():
    low, high = bands_of([WAX], AT_70)[0].calculated
    lower, higher = bands_of([WAX], effective_energy(120))[0].calculated
    assert lower < low < high < higher


def test_packed_solids_and_air_mix_by_volume():
    low, high = bands_of([SAND], AT_70)[0].calculated
    assert low == pytest.approx(0.4 * 1960 + 0.6 * -999, abs=2)
    assert high == pytest.approx(0.6 * 1960 + 0.4 * -999, abs=2)


def test_pores_may_be_full_of_water():
    wet = Candidate("wet", "wet", SAND.composition, (2.65, 2.65), (0.4, 0.6), "water")
    low, high = bands_of([wet], AT_70)[0].calculated
    assert (low, high) == (pytest.approx(0.4 * 1960, abs=2), pytest.approx(0.6 * 1960, abs=2))


def test_scanners_differ_by_10_hu_and_a_tenth():
    assert widened((-200.0, 500.0)) == (-230.0, 560.0)
    assert widened((0.0, 0.0)) == (-10.0, 10.0)


@given(st.floats(-1000, 3000), st.floats(0, 500), st.floats(-1000, 3000), st.floats(0, 500))
def test_a_band_fits_where_it_has_a_value_in_common_with_what_was_measured(a, b, c, d):
    one, other = (a, a + b), (c, c + d)
    assert fits(one, other) == (max(a, c) <= min(a + b, c + d))
    assert fits(one, other) == fits(other, one)


def test_what_was_measured_is_open_where_it_reaches_the_end_of_the_scale():
    assert measured_range(1900, 3071, top=True, bottom=False) == (1900, inf)
    assert measured_range(-1024, -900, top=False, bottom=True) == (-inf, -900)
    assert fits((30_000, 60_000), measured_range(1900, 3071, top=True, bottom=False))
    assert not fits((30_000, 60_000), measured_range(1900, 3071, top=False, bottom=False))


def test_shares_of_a_mixture_are_those_whose_band_fits():
    light, heavy = band(-100, -100), band(100, 100)
    # 0.8 of the way to 100 is 60; with 10 HU and a tenth, 44 to 76
    assert fitting_shares(light, heavy, (60, 60)) == (12, 27)
    assert fitting_shares(light, heavy, (-300, 300)) == (0, 100)
    assert fitting_shares(light, heavy, (400, 500)) is None


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 100), st.floats(-200, 200), st.floats(-200, 200))
def test_the_true_share_of_a_mixture_always_fits(percent, first, second):
    mixed = percent / 100 * first + (1 - percent / 100) * second
    least, most = fitting_shares(band(first, first), band(second, second), (mixed, mixed))
    assert least <= percent <= most


def test_energies_of_a_mixture_belong_together():
    # each part varies with energy, and their sum does not: only one energy at a time counts
    rising = Band(WAX, (0.0, 100.0), (0.0, 100.0))
    falling = Band(SAND, (100.0, 0.0), (100.0, 0.0))
    assert fitting_shares(rising, falling, (90, 90)) == (0, 100)
    assert fitting_shares(rising, falling, (130, 130)) is None
