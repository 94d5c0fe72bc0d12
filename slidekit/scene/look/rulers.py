"""Rulers along the edges of a scan picture: which number stands where.

A ruler tells a patient coordinate (LPS+ millimetres), millimetres from the middle of an oblique or
curved view, or a pixel number of the acquired slice. The
number of a pixel is its centre, as in a storyboard: the outer edge of the first pixel is -0.5.
"""

from dataclasses import dataclass
from itertools import count
from math import ceil, floor, log10

import numpy as np

from slidekit.scans.geometry import lps_from_pixel, pixel_from_lps
from slidekit.scans.model import Grid, ScanPicture, Series, Vector
from slidekit.scans.viewing import pixel_grid

_ALONG_AN_AXIS = 1 - 1e-6  # of a unit vector: within 0.08 degrees
_LEAST_STEP_MM = 15.0  # on the page, between two numbers
_LEAST_MINOR_MM = 1.5
AXES = "xyz"
GROWS_TOWARDS = {"x": "L", "y": "P", "z": "H"}
"""The letter of the side to which a patient coordinate grows (PS3.3 C.7.6.1.1.1)."""


@dataclass(frozen=True)
class Ruler:
    """A number that changes evenly along an edge, from its left or upper end to the other."""

    name: str  # "x", "y", "z", "right", "down", "column" or "row"
    first: float
    last: float

    @property
    def is_pixels(self) -> bool:
        return self.name in ("column", "row")

    @property
    def middle(self) -> float:
        return (self.first + self.last) / 2

    def at_share(self, value: float) -> float:
        """Where `value` stands: 0 at the first end, 1 at the last."""
        return (value - self.first) / (self.last - self.first)


@dataclass(frozen=True)
class Rulers:
    """The one or two rulers of each direction; the first is the one a storyboard is written in."""

    across: tuple[Ruler, ...]
    down: tuple[Ruler, ...]


def rulers_of(picture: ScanPicture, series: Series) -> Rulers:
    """Patient axes of a standard plane; pixels of an acquired slice, and the patient axes too where
    it lies along them; millimetres from the middle of an oblique or curved view."""
    grid = picture.grid
    if picture.middle_lps is not None:
        return _rulers_from(picture.middle_lps, grid)
    corner, right, bottom = _edges(grid)
    across = _patient_ruler(grid.right_lps, corner, right)
    down = _patient_ruler(grid.down_lps, corner, bottom)
    if not across or not down or grid.space != "patient":
        across = down = ()  # one coordinate alone does not make a place
    stored = pixel_grid(picture, series)
    if stored is None:
        return Rulers(across, down)
    pixels, _ = pixel_from_lps(stored, np.array([corner, right, bottom]))
    return Rulers(
        (Ruler("column", float(pixels[0, 0]), float(pixels[1, 0])), *across),
        (Ruler("row", float(pixels[0, 1]), float(pixels[2, 1])), *down),
    )


def _rulers_from(middle: Vector, grid: Grid) -> Rulers:
    (column, row), _ = pixel_from_lps(grid, middle)
    left, top = (-0.5 - float(column)) * grid.column_mm, (-0.5 - float(row)) * grid.row_mm
    across = Ruler("right", left, left + grid.columns * grid.column_mm)
    return Rulers((across,), (Ruler("down", top, top + grid.rows * grid.row_mm),))


def _edges(grid: Grid) -> tuple[Vector, Vector, Vector]:
    """The outer corners at the upper left, upper right and lower left."""
    right, bottom = grid.columns - 0.5, grid.rows - 0.5
    corners = lps_from_pixel(grid, np.array([(-0.5, -0.5), (right, -0.5), (-0.5, bottom)]))
    first, second, third = ((float(x), float(y), float(z)) for x, y, z in corners)
    return first, second, third


def _patient_ruler(direction: Vector, start: Vector, end: Vector) -> tuple[Ruler, ...]:
    axis = int(np.argmax(np.abs(direction)))
    if abs(direction[axis]) < _ALONG_AN_AXIS:
        return ()
    return (Ruler(AXES[axis], start[axis], end[axis]),)


@dataclass(frozen=True)
class Marks:
    """The values with a number, and those between that have a short line only."""

    major: tuple[float, ...]
    minor: tuple[float, ...]


def marks_on(ruler: Ruler, length_mm: float) -> Marks:
    """Round values along an edge that is `length_mm` long on the page."""
    per_mm = abs(ruler.last - ruler.first) / length_mm
    step = _round_step(per_mm * _LEAST_STEP_MM)
    if ruler.is_pixels:
        step = max(step, 1.0)
    parts = next((n for n in (10, 5, 2) if step / n >= per_mm * _LEAST_MINOR_MM), 1)
    if ruler.is_pixels and step / parts < 1:
        parts = 1
    major = _multiples(ruler, step)
    return Marks(major, tuple(v for v in _multiples(ruler, step / parts) if v not in major))


def _round_step(least: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that is not less."""
    power = floor(log10(least))
    steps = (step * 10.0**exponent for exponent in count(power) for step in (1, 2, 5))
    return next(step for step in steps if step >= least * (1 - 1e-9))


def _multiples(ruler: Ruler, step: float) -> tuple[float, ...]:
    low, high = sorted((ruler.first, ruler.last))
    whole = range(ceil(low / step - 1e-9), floor(high / step + 1e-9) + 1)
    return tuple(round(number * step, 6) + 0.0 for number in whole)
