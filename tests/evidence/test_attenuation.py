from importlib.metadata import PackageNotFoundError

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import LibraryError
from slidekit.evidence import attenuation
from slidekit.evidence.attenuation import WATER, Composition, coefficients, parse_formula


@pytest.mark.parametrize(
    ("text", "atoms"),
    [
        ("H2O", {"H": 2, "O": 1}),
        ("CO", {"C": 1, "O": 1}),
        ("Co", {"Co": 1}),
        ("Ca10(PO4)6(OH)2", {"Ca": 10, "P": 6, "O": 26, "H": 2}),
        ("CaSO4·2H2O", {"Ca": 1, "S": 1, "O": 6, "H": 4}),
        ("CaSO4 * 2 H2O", {"Ca": 1, "S": 1, "O": 6, "H": 4}),
        ("Cu0.9Sn0.1", {"Cu": 0.9, "Sn": 0.1}),
        ("(C(H2)3)2", {"C": 2, "H": 12}),
    ],
)
def test_a_formula_is_read_as_its_atoms(text, atoms):
    assert parse_formula(text) == Composition(atoms, "atoms")


@pytest.mark.parametrize(
    ("text", "rest"),
    [
        ("Xx2", "Xx2"),
        ("H2O)", ")"),
        ("C(H", "(H"),
        ("", ""),
        ("2", "2"),
        ("()", "()"),
        ("h2o", "h2o"),
        ("H2O·", ""),
    ],
)
def test_what_is_no_formula_is_refused_with_what_cannot_be_read(text, rest):
    with pytest.raises(ValueError, match="is no formula") as refused:
        parse_formula(text)
    assert str(refused.value) == f"`{text}` is no formula: `{rest}` cannot be read"


def test_water_has_the_ct_number_0():
    table = coefficients([], [60, 70, 80])
    assert table.ct_numbers(table.of(WATER) * 1.0) == pytest.approx([0, 0, 0], abs=1e-9)


def test_the_mass_attenuation_of_a_mixture_is_the_mean_by_mass():
    mixed = Composition({"C": 3, "O": 1}, "mass")
    table = coefficients([mixed], [70])
    carbon, oxygen = (table.of(Composition({one: 1}, "mass"))[0] for one in "CO")
    assert table.of(mixed)[0] == pytest.approx(0.75 * carbon + 0.25 * oxygen)


def test_atoms_count_by_their_mass():
    by_atoms, by_mass = parse_formula("CO2"), Composition({"C": 12.011, "O": 31.998}, "mass")
    table = coefficients([by_atoms, by_mass], [70])
    assert table.of(by_atoms) == pytest.approx(table.of(by_mass), rel=1e-4)


@settings(max_examples=20, deadline=None)
@given(density=st.floats(0.01, 20))
def test_ct_numbers_rise_in_proportion_to_density(density):
    table = coefficients([], [70])
    assert table.ct_numbers(table.of(WATER) * density)[0] == pytest.approx(1000 * (density - 1))


def test_what_was_looked_up_is_not_looked_up_again(monkeypatch):
    lead = Composition({"Pb": 1}, "mass")
    first = coefficients([lead], [61.5])
    monkeypatch.setattr(attenuation, "import_module", None)  # whoever calls it fails
    again = coefficients([lead], [61.5])
    assert np.array_equal(again.of(lead), first.of(lead))
    with pytest.raises(TypeError):
        coefficients([lead], [62.5])


def test_a_missing_library_is_told_with_what_to_install(monkeypatch):
    def not_there(name: str) -> str:
        raise PackageNotFoundError(name)

    monkeypatch.setattr(attenuation, "version", not_there)
    told = (
        r"^attenuation of materials is looked up in xraydb, which is not installed\. Install it"
        r" with: pip install 'slidekit\[materials\]'; or leave `materials` out\.$"
    )
    with pytest.raises(LibraryError, match=told):
        coefficients([], [70.0])
