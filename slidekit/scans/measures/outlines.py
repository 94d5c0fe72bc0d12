"""The geometry of a closed outline in its plane: its samples, its size, how near samples lie to it.

Sizes come from the outline itself, never from counting samples.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil

import numpy as np

from slidekit.scans.geometry import Array, pixel_from_lps
from slidekit.scans.measures.regions import Mask, polygon_area_mm2, polygon_mask
from slidekit.scans.model import Grid, Outline, PlaneImage, Vector
from slidekit.scans.planes.curves import stand_in_lps

CURVE_PIXELS = 0.002  # how far an ellipse may bulge beyond the polygon that stands for it
_CHUNK = 100_000  # distances at a time: what a processor's cache holds


@dataclass(frozen=True)
class Contour(Outline):
    """An outline and its geometry; it is flat."""

    @cached_property
    def _spokes(self) -> Array:
        """The two conjugate half diameters of an ellipse, (2, 3)."""
        points = np.array(self.points_lps)
        return np.asarray(points[1:] - points[0], dtype=float)

    @cached_property
    def half_axes_mm(self) -> tuple[float, float]:
        """Long and short half axis of an ellipse."""
        long, short, *_ = np.linalg.svd(self._spokes, compute_uv=False)
        return float(long), float(short)

    @cached_property
    def area_mm2(self) -> float:
        """Shoelace formula; for an ellipse π a b."""
        if self.kind == "polygon":
            return polygon_area_mm2(self.points_lps)
        long, short = self.half_axes_mm
        return float(np.pi * long * short)

    @cached_property
    def perimeter_mm(self) -> float:
        """The sum of a polygon's sides; for an ellipse see `ellipse_perimeter_mm`."""
        if self.kind == "ellipse":
            return ellipse_perimeter_mm(*self.half_axes_mm)
        points = np.array(self.points_lps)
        return float(np.linalg.norm(np.roll(points, -1, axis=0) - points, axis=1).sum())

    @cached_property
    def feret_mm(self) -> tuple[float, float]:
        """Greatest and least distance of two parallel lines that hold the outline between them."""
        if self.kind == "ellipse":
            long, short = self.half_axes_mm
            return 2 * long, 2 * short
        return feret_diameters(_flattened(np.array(self.points_lps)))

    def corners_xy(self, grid: Grid) -> Array:
        """The outline as a polygon in (column, row) of a picture, (corners, 2)."""
        points, _ = pixel_from_lps(grid, np.array(self.points_lps))
        if self.kind == "polygon":
            return points
        u, v = points[1] - points[0], points[2] - points[0]
        # a circle of radius r bulges by r (1 - cos(pi / n)) beyond its n-gon
        radius = np.sqrt(np.vdot(u, u) + np.vdot(v, v))  # the long half axis is no longer
        count = max(16, ceil(np.pi * np.sqrt(radius / (2 * CURVE_PIXELS))))
        turns = np.linspace(0, 2 * np.pi, count, endpoint=False)[:, None]
        return np.asarray(points[0] + np.cos(turns) * u + np.sin(turns) * v)

    def holds(self, grid: Grid, places_xy: Array) -> Mask:
        """Which of the places (..., 2), (column, row), lie inside: edges half open."""
        if self.kind == "polygon":
            return _inside_polygon(self.corners_xy(grid), places_xy)
        points, _ = pixel_from_lps(grid, np.array(self.points_lps))
        to_circle = np.linalg.inv((points[1:] - points[0]).T)
        on_circle = (places_xy - points[0]) @ to_circle.T
        return np.asarray((on_circle**2).sum(axis=-1) < 1)


def outline_mask(grid: Grid, outline: Outline) -> Mask:
    """Samples of a picture whose centres lie within an outline in its plane, (rows, columns)."""
    if outline.kind == "polygon":
        return polygon_mask(grid, outline.points_lps)
    columns, rows = np.arange(grid.columns, dtype=float), np.arange(grid.rows, dtype=float)
    places = np.stack(np.meshgrid(columns, rows), axis=-1)
    return Contour(outline.kind, outline.points_lps).holds(grid, places)


def on_image(image: PlaneImage, points_lps: Sequence[Vector]) -> tuple[Vector, ...]:
    """Places of the patient as they lie on the grid of an image: a curved one is laid flat."""
    if image.flattening is None or image.middle_lps is None:
        return tuple(points_lps)
    return stand_in_lps(image.flattening, image.grid, image.middle_lps, points_lps)


def ellipse_perimeter_mm(long_mm: float, short_mm: float) -> float:
    """Perimeter of an ellipse with these half axes, to the last digits of a float.

    4 a E(k), the complete elliptic integral by Gauss's arithmetic-geometric mean (Abramowitz and
    Stegun, Handbook of Mathematical Functions, 17.6.3 and 17.6.4).
    """
    a, b = max(long_mm, short_mm), min(long_mm, short_mm)
    first, mean, power, loss = a, b, 0.5, 0.5 * (a * a - b * b)
    while abs(first - mean) > 1e-15 * a:
        first, mean, half_gap = (first + mean) / 2, float(np.sqrt(first * mean)), first - mean
        power *= 2
        loss += power * half_gap * half_gap / 4
    return float(2 * np.pi / first * (a * a - loss)) if b > 0 else 4 * a


def feret_diameters(points: Array) -> tuple[float, float]:
    """Greatest and least Feret diameter of corners (n, 2).

    The greatest joins two corners of the convex hull; the least is across a side of it (rotating
    calipers: M. I. Shamos, Computational Geometry, 1978; M. E. Houle and G. T. Toussaint,
    Computing the width of a set, 1988).
    """
    hull = convex_hull(points)
    apart = np.linalg.norm(hull[:, None] - hull[None], axis=-1)
    sides = np.roll(hull, -1, axis=0) - hull
    lengths = np.linalg.norm(sides, axis=1)
    sides, starts, lengths = sides[lengths > 0], hull[lengths > 0], lengths[lengths > 0]
    if not len(lengths):
        return 0.0, 0.0
    across = np.stack((-sides[:, 1], sides[:, 0]), axis=1) / lengths[:, None]
    widths = ((hull[None] - starts[:, None]) * across[:, None]).sum(axis=-1)
    return float(apart.max()), float(np.ptp(widths, axis=1).min())


def convex_hull(points: Array) -> Array:
    """The corners of the convex hull, in order (A. M. Andrew's monotone chain, 1979)."""
    ordered = sorted({(float(x), float(y)) for x, y in points})
    if len(ordered) < 3:
        return np.array(ordered)
    chains = [_chain(ordered), _chain(ordered[::-1])]
    return np.array([corner for chain in chains for corner in chain[:-1]])


def _chain(ordered: list[tuple[float, float]]) -> list[tuple[float, float]]:
    chain: list[tuple[float, float]] = []
    for x, y in ordered:
        while len(chain) > 1:
            (ax, ay), (bx, by) = chain[-2:]
            if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0:
                break
            chain.pop()
        chain.append((x, y))
    return chain


def _flattened(points_lps: Array) -> Array:
    """Corners of a flat polygon in coordinates of its own plane, (n, 2) in mm."""
    spokes = points_lps - points_lps.mean(axis=0)
    _, _, axes = np.linalg.svd(spokes, full_matrices=False)
    return np.asarray(spokes @ axes[:2].T)


def _inside_polygon(corners: Array, places: Array) -> Mask:
    """Even-odd rule, by counting the edges crossed to the right of each place."""
    x, y = places[..., 0, None], places[..., 1, None]
    (x0, y0), (x1, y1) = corners.T, np.roll(corners, -1, axis=0).T
    meets = (np.minimum(y0, y1) <= y) & (np.maximum(y0, y1) > y)
    slope = (x1 - x0) / np.where(y1 == y0, 1, y1 - y0)
    return np.asarray((meets & (x0 + (y - y0) * slope <= x)).sum(axis=-1) % 2 == 1)


def distances_to_outline(corners: Array, places: Array) -> Array:
    """How far places (n, 2) lie from the nearest point of a closed polygon, in their own unit."""
    (x0, y0), (x1, y1) = corners.T, np.roll(corners, -1, axis=0).T
    across, down = x1 - x0, y1 - y0
    squares = np.maximum(across**2 + down**2, 1e-300)
    nearest = np.empty(len(places))
    step = max(1, _CHUNK // len(corners))
    for first in range(0, len(places), step):
        x, y = places[first : first + step].T
        dx, dy = x[:, None] - x0, y[:, None] - y0
        parts = np.clip((dx * across + dy * down) / squares, 0, 1)
        dx -= parts * across
        dy -= parts * down
        nearest[first : first + step] = np.sqrt((dx * dx + dy * dy).min(axis=1))
    return nearest
