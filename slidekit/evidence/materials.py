"""Which materials could give the CT numbers that were measured, and which could not.

A candidate has a composition and ranges of density and packing, and so a range of CT numbers: its
band. It is excluded when its band, widened by what scanners differ, stays clear of the measured
range. What is not excluded is possible and no more: many substances share a CT number.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import Literal, TypeAlias

import numpy as np

from slidekit.evidence.attenuation import (
    AIR,
    AIR_G_CM3,
    WATER,
    WATER_G_CM3,
    Array,
    Composition,
    coefficients,
)

Range: TypeAlias = tuple[float, float]
"""Lowest and highest value."""

TUBE_KV: Range = (70.0, 150.0)
"""Tube voltages for which `effective_energy` holds: those of clinical scanners."""

STATED_KEV = 5.0
"""How far an effective energy that somebody states may be off: 120 kV is compared with 65 to 75
keV (see `effective_energy`)."""

SCANNER_HU = 10.0
SCANNER_SHARE = 0.1
"""What scanners differ from calculation by, in HU and as a share of the CT number: so much that
the published ranges of all eight inserts of a usual phantom (CTP404: air to PTFE) lie within."""

_STEP_KEV = 1.0


@dataclass(frozen=True)
class Energy:
    """The one photon energy that stands for the beam, and the range in which it may lie."""

    kev: float
    range_kev: Range

    @property
    def grid_kev(self) -> tuple[float, ...]:
        """Its range in steps of about 1 keV, ends included."""
        low, high = self.range_kev
        return tuple(np.linspace(low, high, int(np.ceil((high - low) / _STEP_KEV)) + 1).tolist())


def effective_energy(tube_kv: float) -> Energy:
    """The effective energy of a CT beam, by a straight line: 25 keV + 0.375 keV for each kV.

    At 80, 100, 120 and 140 kV this is within 1 keV of the energy at which water attenuates as a
    computed beam does behind 20 cm of it (tungsten anode, 6 mm aluminium); 120 kV give 70 keV,
    with which they are usually compared. A thin object hardens the beam less: the range begins at
    the beam's energy without any water, 24 keV + 0.275 keV for each kV, and ends 5 keV higher.
    """
    kev = 25.0 + 0.375 * tube_kv
    return Energy(kev, (24.0 + 0.275 * tube_kv, kev + STATED_KEV))


def stated_energy(kev: float) -> Energy:
    """An effective energy that the author states."""
    return Energy(kev, (kev - STATED_KEV, kev + STATED_KEV))


@dataclass(frozen=True)
class Candidate:
    """A material as it may be met."""

    name: str
    called: str
    composition: Composition
    density_g_cm3: Range  # of the solid
    packing: Range = (1.0, 1.0)  # volume of the solid in that of the whole
    pores: Literal["air", "water"] = "air"  # what fills the rest


@dataclass(frozen=True)
class Band:
    """The CT numbers of a candidate at the energies of a beam, before scanners differ."""

    candidate: Candidate
    lowest_hu: tuple[float, ...]  # at each energy
    highest_hu: tuple[float, ...]

    @property
    def calculated(self) -> Range:
        """From density, packing and energy."""
        return min(self.lowest_hu), max(self.highest_hu)

    @property
    def whole(self) -> Range:
        """Calculated, and widened by what scanners differ."""
        return widened(self.calculated)


def widened(band: Range) -> Range:
    """A band with what scanners differ by at either end."""
    low, high = band
    return (
        low - SCANNER_HU - SCANNER_SHARE * abs(low),
        high + SCANNER_HU + SCANNER_SHARE * abs(high),
    )


def bands_of(candidates: Sequence[Candidate], energy: Energy) -> tuple[Band, ...]:
    """The band of each candidate over the range of an energy."""
    table = coefficients((one.composition for one in candidates), energy.grid_kev)
    pores = {"air": table.of(AIR) * AIR_G_CM3, "water": table.of(WATER) * WATER_G_CM3}
    bands = []
    for one in candidates:
        solid, rest = table.of(one.composition), pores[one.pores]
        corners: list[Array] = [
            table.ct_numbers(share * density * solid + (1 - share) * rest)
            for density in one.density_g_cm3
            for share in one.packing
        ]
        lowest, highest = np.min(corners, axis=0), np.max(corners, axis=0)
        bands.append(Band(one, tuple(lowest.tolist()), tuple(highest.tolist())))
    return tuple(bands)


def fits(band: Range, measured: Range) -> bool:
    """Whether a widened band and the measured range have a value in common."""
    return band[0] <= measured[1] and band[1] >= measured[0]


def measured_range(p5: float, p95: float, *, top: bool, bottom: bool) -> Range:
    """What was measured, for comparison: the middle 90 % of the samples, and open at an end where
    they reach the end of the scale (`top`, `bottom`), beyond which nothing is known."""
    return -inf if bottom else p5, inf if top else p95


def fitting_shares(first: Band, second: Band, measured: Range) -> tuple[int, int] | None:
    """The least and greatest percentage by volume of `first` in a mixture with `second` whose CT
    number fits; None if none does.

    CT numbers of a mixture without reaction are the means of its parts' by volume, at one energy.
    """
    low_1, high_1, low_2, high_2 = (
        np.array(ends)
        for ends in (first.lowest_hu, first.highest_hu, second.lowest_hu, second.highest_hu)
    )
    fitting = []
    for percent in range(101):
        share = percent / 100
        low = share * low_1 + (1 - share) * low_2
        high = share * high_1 + (1 - share) * high_2
        if fits(widened((float(low.min()), float(high.max()))), measured):
            fitting.append(percent)
    return (fitting[0], fitting[-1]) if fitting else None
