"""How strongly substances weaken X-rays, from what they are made of; and CT numbers of it.

The one module that knows xraydb (Elam, Ravel and Sieber 2002), which takes a second to load: what
was looked up is kept, so that only a new question waits for it. Energies are photon energies in
keV, mass attenuation is in cm²/g, linear attenuation in 1/cm.
"""

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from importlib import import_module
from importlib.metadata import PackageNotFoundError, version
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from slidekit.cache import content_key, read_entry, write_entry
from slidekit.errors import LibraryError

Array: TypeAlias = NDArray[np.float64]

LIBRARY = "xraydb"
_KIND = "attenuation"
_ELEMENT = re.compile(r"[A-Z][a-z]?")
_COUNT = re.compile(r"\d+(?:\.\d+)?")

_SYMBOLS = (
    "H He Li Be B C N O F Ne Na Mg Al Si P S Cl Ar K Ca Sc Ti V Cr Mn Fe Co Ni Cu Zn Ga Ge As Se"
    " Br Kr Rb Sr Y Zr Nb Mo Tc Ru Rh Pd Ag Cd In Sn Sb Te I Xe Cs Ba La Ce Pr Nd Pm Sm Eu Gd Tb"
    " Dy Ho Er Tm Yb Lu Hf Ta W Re Os Ir Pt Au Hg Tl Pb Bi Po At Rn Fr Ra Ac Th Pa U"
)
ELEMENTS = frozenset(_SYMBOLS.split())
"""Symbols of hydrogen to uranium."""


@dataclass(frozen=True)
class Composition:
    """Elements with their shares, by number of atoms or by mass; they need not add up to one."""

    shares: Mapping[str, float]
    by: Literal["atoms", "mass"]


WATER = Composition({"H": 2, "O": 1}, "atoms")
AIR = Composition({"C": 0.000124, "N": 0.755268, "O": 0.231781, "Ar": 0.012827}, "mass")
"""Dry air near sea level (NIST SRD 126, table 2)."""

WATER_G_CM3 = 1.0
AIR_G_CM3 = 0.001205


def parse_formula(text: str) -> Composition:
    """Atoms of a chemical formula: `Ca10(PO4)6(OH)2`, `CaSO4·2H2O`, `Cu0.9Sn0.1`.

    A raised dot (or `*`) joins parts, each of which may begin with its number.

    Raises
    ------
    ValueError
        With a clause that says what is wrong.
    """
    atoms: dict[str, float] = {}
    for part in re.split(r"[·*]", text.replace(" ", "")):
        number = _COUNT.match(part)
        times = float(number[0]) if number else 1.0
        rest = part[number.end() :] if number else part
        found, end = _atoms_in(rest, 0)
        if not found or end != len(rest):
            raise ValueError(f"`{text}` is no formula: `{rest[end:] or part}` cannot be read")
        _add(atoms, found, times)
    return Composition(atoms, "atoms")


def _atoms_in(text: str, at: int) -> tuple[dict[str, float], int]:
    """The atoms from `at` on, and where they end: before a closing bracket, or what is no atom."""
    atoms: dict[str, float] = {}
    while at < len(text):
        if text[at] == "(":
            inner, end = _atoms_in(text, at + 1)
            if text[end : end + 1] != ")":
                break
            at = end + 1
        elif (found := _ELEMENT.match(text, at)) and found[0] in ELEMENTS:
            inner, at = {found[0]: 1.0}, found.end()
        else:
            break
        count = _COUNT.match(text, at)
        times, at = (float(count[0]), count.end()) if count else (1.0, at)
        _add(atoms, inner, times)
    return atoms, at


def _add(atoms: dict[str, float], more: Mapping[str, float], times: float) -> None:
    for element, count in more.items():
        atoms[element] = atoms.get(element, 0.0) + times * count


@dataclass(frozen=True)
class Coefficients:
    """Of some elements at some energies."""

    energies_kev: tuple[float, ...]
    masses: Mapping[str, float]  # g/mol
    mass_attenuation: Mapping[str, tuple[float, ...]]  # cm²/g, one for each energy

    def of(self, composition: Composition) -> Array:
        """Mass attenuation of a mixture or compound in cm²/g: the mean of its elements' by mass
        (the mixture rule, NIST SRD 126)."""
        weights = dict(composition.shares)
        if composition.by == "atoms":
            weights = {element: n * self.masses[element] for element, n in weights.items()}
        whole = sum(weights.values())
        parts = (w / whole * np.array(self.mass_attenuation[e]) for e, w in weights.items())
        return np.asarray(sum(parts), np.float64)

    def ct_numbers(self, linear_per_cm: Array) -> Array:
        """HU of linear attenuations at each energy: 1000 (μ - μw) / μw, water at 1 g/cm³."""
        water = self.of(WATER) * WATER_G_CM3
        return 1000.0 * (linear_per_cm - water) / water


def coefficients(
    compositions: Iterable[Composition], energies_kev: Sequence[float]
) -> Coefficients:
    """What is needed for these compositions, for water and for air; kept once it was looked up.

    Raises
    ------
    LibraryError
        If xraydb is not installed.
    """
    elements = sorted({e for one in (*compositions, WATER, AIR) for e in one.shares})
    energies = tuple(map(float, energies_kev))
    key = content_key(LIBRARY, _version(), elements, energies)
    if (content := read_entry(_KIND, key)) is not None:
        with suppress(ValueError, KeyError):
            kept = json.loads(content)
            return Coefficients(energies, kept["masses"], kept["mass_attenuation"])
    found = _look_up(elements, energies)
    plain = {"masses": found.masses, "mass_attenuation": found.mass_attenuation}
    write_entry(_KIND, key, json.dumps(plain).encode())
    return found


def _version() -> str:
    try:
        return version(LIBRARY)
    except PackageNotFoundError:
        raise LibraryError(
            f"attenuation of materials is looked up in {LIBRARY}, which is not installed",
            "Install it with: pip install 'slidekit[materials]'; or leave `materials` out",
        ) from None


def _look_up(elements: Sequence[str], energies_kev: tuple[float, ...]) -> Coefficients:
    xraydb = import_module("xraydb")
    energies_ev = 1000.0 * np.array(energies_kev)
    return Coefficients(
        energies_kev,
        {element: float(xraydb.atomic_mass(element)) for element in elements},
        {
            element: tuple(map(float, xraydb.mu_elam(element, energies_ev, kind="total")))
            for element in elements
        },
    )
