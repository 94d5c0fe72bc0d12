"""Curved surfaces laid flat, with the true length of their path.

The surface is swept by a straight line that moves along a path and keeps its direction. Distances
along the path are true everywhere on the flattened picture, and distances across it; others are
true only where the path does not bend.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from slidekit.errors import ScanError
from slidekit.scans.geometry import Array, normal, orientation_letters, to_vector, unit_vector
from slidekit.scans.model import CurvedSurface, Flattening, Grid, Vector
from slidekit.scans.planes.courses import (
    check_course,
    crosses_itself,
    lean_deg,
    shown,
    tangents_of,
)
from slidekit.scans.planes.poses import pose_across

_LEAST_MM = 0.1  # points closer than this are one
_PIECES = 200  # of each segment of a spline, to measure its length
_SAMPLES = 4096  # at most, along a path


def flatten(
    surface: CurvedSurface, pixel_mm: float, deeper_mm: float = 0.0
) -> tuple[Flattening, Grid]:
    """Lay a curved surface flat, with square pixels.

    Parameters
    ----------
    surface
        What is shown.
    pixel_mm
        Distance of the samples; larger for a path too long for so many.
    deeper_mm
        How far the whole surface is moved into its picture, as it is; paths keep their length.

    Returns
    -------
    flattening
        The path at the rows of the picture (where it runs down; else at the columns).
    grid
        The flat stand-in through the middle of the path.

    Raises
    ------
    ScanError
        If neighbouring points of the path are one place, or the path runs along the lines.
    """
    flattening, grid = _flattened(surface, pixel_mm)
    if not deeper_mm:
        return flattening, grid
    move = deeper_mm * normal(grid)
    path = np.array(flattening.path_lps) + move
    return (
        replace(flattening, path_lps=tuple(map(to_vector, path))),
        replace(grid, origin_lps=to_vector(grid.origin_lps + move)),
    )


@lru_cache(maxsize=16)
def _flattened(surface: CurvedSurface, pixel_mm: float) -> tuple[Flattening, Grid]:
    points: Array = np.array(surface.points_lps, dtype=float)
    place_at, length = _measured_path(points, smooth=surface.smooth)
    pixel_mm = max(pixel_mm, length / (_SAMPLES - 1))
    count = max(int(length / pixel_mm + 1e-9) + 1, 2)
    pixel_mm = min(pixel_mm, length / (count - 1))
    arcs = np.asarray(length / 2 + pixel_mm * (np.arange(count) - (count - 1) / 2), dtype=float)
    path = place_at(arcs)
    across = unit_vector(surface.across_lps)
    check_course(path, across)
    right, down, runs_down = _directions(path, across)
    along, sideways = (down, right) if runs_down else (right, down)
    if (path[-1] - path[0]) @ along < 0:
        path = path[::-1]
    lines = max(int(surface.width_mm / pixel_mm + 1e-9) + 1, 2)
    rows, columns = (count, lines) if runs_down else (lines, count)
    corner = -((columns - 1) * right + (rows - 1) * down) * pixel_mm / 2
    grid = Grid(
        origin_lps=to_vector(place_at(np.array([length / 2]))[0] + corner),
        right_lps=to_vector(right),
        down_lps=to_vector(down),
        column_mm=pixel_mm,
        row_mm=pixel_mm,
        rows=rows,
        columns=columns,
    )
    sign = 1.0 if across @ sideways > 0 else -1.0
    flattening = Flattening(
        tuple(map(to_vector, path)),
        pixel_mm,
        length,
        to_vector(sign * across + 0.0),
        runs_down,
        surface.smooth,
        lean_deg(path, across),
        crosses_itself(path, across),
    )
    return flattening, grid


def _measured_path(points: Array, *, smooth: bool) -> tuple[Callable[[Array], Array], float]:
    """The places of a path by arc length, and its whole length in mm."""
    chords = np.linalg.norm(np.diff(points, axis=0), axis=1)
    if chords.min() < _LEAST_MM:
        twice = points[int(np.argmin(chords))]
        raise ScanError(
            f"Two neighbouring points of path_mm are one place, {shown(twice)}",
            "Remove one of the two",
        )
    knots = np.concatenate(([0.0], np.cumsum(chords)))
    if not smooth or len(points) == 2:
        return (lambda arcs: _interpolated(arcs, knots, points)), float(knots[-1])
    fine = np.concatenate(
        [np.linspace(a, b, _PIECES, endpoint=False) for a, b in pairwise(knots)] + [knots[-1:]]
    )
    bends = _spline_bends(knots, points)
    drawn = _spline(fine, knots, points, bends)
    arc = np.concatenate(([0.0], np.cumsum(np.linalg.norm(np.diff(drawn, axis=0), axis=1))))

    def place_at(arcs: Array) -> Array:
        return _spline(np.interp(arcs, arc, fine), knots, points, bends)

    return place_at, float(arc[-1])


def _interpolated(places: Array, knots: Array, values: Array) -> Array:
    return np.stack([np.interp(places, knots, axis) for axis in values.T], axis=-1)


def _spline_bends(knots: Array, points: Array) -> Array:
    """Second derivatives at the knots of the natural cubic spline through `points`, (n, 3)."""
    steps = np.diff(knots)
    slopes = np.diff(points, axis=0) / steps[:, None]
    system = np.diag(2 * (steps[:-1] + steps[1:]))
    system += np.diag(steps[1:-1], 1) + np.diag(steps[1:-1], -1)
    bends = np.zeros_like(points)
    bends[1:-1] = np.linalg.solve(system, 6 * np.diff(slopes, axis=0))
    return bends


def _spline(places: Array, knots: Array, points: Array, bends: Array) -> Array:
    k = np.clip(np.searchsorted(knots, places, side="right") - 1, 0, len(knots) - 2)
    step = (knots[k + 1] - knots[k])[:, None]
    after = (places - knots[k])[:, None] / step
    before = 1 - after
    bent = (before**3 - before) * bends[k] + (after**3 - after) * bends[k + 1]
    return np.asarray(before * points[k] + after * points[k + 1] + bent * step**2 / 6)


def _directions(path: Array, across: Array) -> tuple[Array, Array, bool]:
    """Right, down, and whether the path runs down: as the nearest standard plane is seen."""
    course = path[-1] - path[0]
    course = course - (course @ across) * across
    if np.linalg.norm(course) < _LEAST_MM:  # a path that comes back: by how it begins
        course = path[1] - path[0]
        course = course - (course @ across) * across
    course /= np.linalg.norm(course)
    pose = pose_across(np.cross(course, across).tolist(), (0.0, 0.0, 0.0))
    into = np.cross(pose.right_lps, pose.down_lps)
    if abs(course @ pose.down_lps) >= abs(course @ pose.right_lps):
        down = course * np.sign(course @ pose.down_lps)
        return np.cross(down, into), down, True
    right = course * np.sign(course @ pose.right_lps)
    return right, np.cross(into, right), False


def surface_normals(flattening: Flattening) -> Array:
    """Unit vectors out of the surface, one for each place of the path."""
    out = np.cross(tangents_of(np.array(flattening.path_lps)), flattening.across_lps)
    return np.asarray(out / np.linalg.norm(out, axis=1, keepdims=True))


def lps_from_flat(flattening: Flattening, places_mm: ArrayLike) -> Array:
    """Patient coordinates of places on a flattened picture.

    Parameters
    ----------
    flattening
        Of the picture.
    places_mm : (..., 2)
        To the right and down from its middle, in mm. Beyond the ends of the path its ends count.

    Returns
    -------
    (..., 3)
        x, y, z in mm.
    """
    places = np.asarray(places_mm, dtype=float)
    across, down = np.moveaxis(places, -1, 0)
    along, sideways = (down, across) if flattening.runs_down else (across, down)
    path = _prolonged(np.array(flattening.path_lps))
    on_path = _interpolated(along.ravel(), _distances_along(flattening), path)
    return np.asarray(
        on_path.reshape(*along.shape, 3) + sideways[..., None] * np.array(flattening.across_lps)
    )


def flat_from_lps(flattening: Flattening, points_lps: ArrayLike) -> tuple[Array, Array]:
    """Where places in the patient appear on a flattened picture.

    Parameters
    ----------
    flattening
        Of the picture.
    points_lps : (n, 3)
        x, y, z in mm.

    Returns
    -------
    places_mm : (n, 2)
        To the right and down from its middle, of the nearest place of the surface.
    off_surface_mm : (n,)
        Distance from that place.
    """
    points, across = np.asarray(points_lps, dtype=float), np.array(flattening.across_lps)
    path = _prolonged(np.array(flattening.path_lps))
    seen_along = np.eye(3) - np.outer(across, across)  # in the direction of the lines
    starts = path[:-1] @ seen_along
    steps = np.diff(path @ seen_along, axis=0)
    offsets = points[:, None, :] @ seen_along - starts
    part = np.clip((offsets * steps).sum(axis=2) / (steps**2).sum(axis=1), 0, 1)
    distances = np.linalg.norm(offsets - part[..., None] * steps, axis=2)
    nearest = distances.argmin(axis=1)
    part = part[np.arange(len(points)), nearest]
    along = _distances_along(flattening)[nearest] + part * flattening.step_mm
    foot = path[nearest] + part[:, None] * np.diff(path, axis=0)[nearest]
    places = np.stack(((points - foot) @ across, along), axis=-1)
    return places if flattening.runs_down else places[:, ::-1], distances.min(axis=1)


def stand_in_lps(
    flattening: Flattening, grid: Grid, middle: Vector, points_lps: Sequence[Vector]
) -> tuple[Vector, ...]:
    """Places of the patient on the flat stand-in `grid` of a curved picture, so that what is drawn
    or counted on the flat picture finds them."""
    places, _ = flat_from_lps(flattening, points_lps)
    right, down = np.array(grid.right_lps), np.array(grid.down_lps)
    return tuple(map(to_vector, np.array(middle) + places[:, :1] * right + places[:, 1:] * down))


def _prolonged(path: Array) -> Array:
    """The path with one more place at either end: its samples stop short of its ends."""
    return np.concatenate(([2 * path[0] - path[1]], path, [2 * path[-1] - path[-2]]))


def _distances_along(flattening: Flattening) -> Array:
    """How far along the path the places of `_prolonged` are from its middle."""
    count = len(flattening.path_lps) + 2
    return np.asarray(flattening.step_mm * (np.arange(count) - (count - 1) / 2))


def flat_letters(flattening: Flattening) -> tuple[str, str, str, str]:
    """Letters for the left, top, right and bottom edge; "" where no letter is true throughout.

    Across the path one direction holds everywhere. Along it a letter stands where the path keeps
    to that direction, more than to any other, from end to end.
    """
    across = np.array(flattening.across_lps)
    before, after = orientation_letters(-across), orientation_letters(across)
    tangents = tangents_of(np.array(flattening.path_lps))
    starts, ends = ({orientation_letters(t)[0] for t in sign * tangents} for sign in (-1, 1))
    start, end = (names.pop() if len(names) == 1 else "" for names in (starts, ends))
    return (before, start, after, end) if flattening.runs_down else (start, before, end, after)
