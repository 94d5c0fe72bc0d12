"""Places on oblique and curved views: to the right and down from the view's middle.

On a curved view only distances along its path are true. What measures something else is refused
there, and what measures along it is shown nowhere else.
"""

from collections.abc import Sequence
from math import cos, pi, sin

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.geometry import pixel_from_lps
from slidekit.scans.model import Flattening, Grid, PlannedPlane, ScanPicture, Vector
from slidekit.scans.planes.curves import flat_from_lps, lps_from_flat
from slidekit.scene.model import Point

Array = NDArray[np.float64]

_RING = 72  # corners of the polygon that stands for an ellipse on a curved view
_LEAST_ASTRAY_MM = 1.0  # a line this straight, or to a fiftieth, runs along the path
_ASTRAY = 0.02


def lps_from_middle(
    places_mm: Sequence[Point], middle: Vector, grid: Grid, flattening: Flattening | None
) -> Array:
    """Patient coordinates of places to the right and down from the middle, (n, 3)."""
    places = np.array(places_mm, dtype=float)
    if flattening is not None:
        return lps_from_flat(flattening, places)
    across, down = np.array(grid.right_lps), np.array(grid.down_lps)
    return np.asarray(np.array(middle) + places[:, :1] * across + places[:, 1:] * down)


def project(
    picture: ScanPicture | PlannedPlane, points_lps: Sequence[Vector]
) -> tuple[Array, Array]:
    """(column, row) of places on a picture, (n, 2), and their distance from what it shows."""
    if picture.flattening is None or picture.middle_lps is None:
        return pixel_from_lps(picture.grid, np.array(points_lps))
    places, away = flat_from_lps(picture.flattening, points_lps)
    middle_xy, _ = pixel_from_lps(picture.grid, picture.middle_lps)
    return middle_xy + places / (picture.grid.column_mm, picture.grid.row_mm), away


def ring_of(spokes: Sequence[Point]) -> tuple[Point, ...]:
    """The corners, about (0, 0), of a polygon for the ellipse with two conjugate half diameters."""
    (ux, uy), (vx, vy) = spokes
    turns = [2 * pi * k / _RING for k in range(_RING)]
    return tuple((ux * cos(t) + vx * sin(t), uy * cos(t) + vy * sin(t)) for t in turns)


def line_along(flattening: Flattening, ends_lps: Sequence[Vector]) -> tuple[Array, float]:
    """Both ends of a line along the path, (2, 3), and its length along it in mm.

    Raises
    ------
    ScanError
        If the line runs across the path.
    """
    places, _ = flat_from_lps(flattening, ends_lps)
    along, across = (1, 0) if flattening.runs_down else (0, 1)
    length = float(abs(places[1, along] - places[0, along]))
    astray = float(abs(places[1, across] - places[0, across]))
    if astray > max(_LEAST_ASTRAY_MM, _ASTRAY * length):
        number = "first" if flattening.runs_down else "second"
        raise ScanError(
            f"on a curved view only distances along the path are true, and this line runs"
            f" {astray:.1f} mm across it",
            f"Give both ends the same {number} number, or measure on a flat view",
        )
    places[1, across] = places[0, across]
    return lps_from_flat(flattening, places), length
