"""Places: between the pixels of a picture and the patient, and what its edges are called.

Patient space is LPS+ in millimetres. A pixel's centre lies at whole (column, row) numbers, so
the picture's outer edge runs half a pixel outside the first and last of them (PS3.3
C.7.6.2.1.1).
"""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slidekit.errors import ScanError
from slidekit.scans.model import Grid, Plane, Series, SliceFile, Vector

Array = NDArray[np.float64]

AXES: dict[Plane, int] = {"sagittal": 0, "coronal": 1, "axial": 2}
"""Which patient axis (x, y, z) is the position of a standard plane."""

_LETTERS = (("R", "L"), ("A", "P"), ("F", "H"))  # towards minus and plus of x, y and z
MET_MM = 1e-6  # planes this close to a place hold it
_LETTER_MIN = 0.1  # components below do not name a direction: 6 degrees


def lps_from_pixel(grid: Grid, points_xy: ArrayLike) -> Array:
    """Patient coordinates of places on a picture.

    Parameters
    ----------
    grid
        Of the picture.
    points_xy : (..., 2)
        (column, row), not necessarily whole; whole numbers are pixel centres.

    Returns
    -------
    (..., 3)
        x, y, z in mm (PS3.3 equation C.7.6.2.1-1).
    """
    points = np.asarray(points_xy, dtype=float)
    across = points[..., :1] * grid.column_mm * np.asarray(grid.right_lps)
    down = points[..., 1:] * grid.row_mm * np.asarray(grid.down_lps)
    return np.asarray(np.asarray(grid.origin_lps) + across + down)


def pixel_from_lps(grid: Grid, points_lps: ArrayLike) -> tuple[Array, Array]:
    """Where places in the patient appear on a picture.

    Parameters
    ----------
    grid
        Of the picture.
    points_lps : (..., 3)
        x, y, z in mm.

    Returns
    -------
    points_xy : (..., 2)
        (column, row) of the foot of the perpendicular.
    off_plane_mm : (...)
        Signed distance from the plane along `normal`.
    """
    offsets = np.asarray(points_lps, dtype=float) - np.asarray(grid.origin_lps)
    column = offsets @ np.asarray(grid.right_lps) / grid.column_mm
    row = offsets @ np.asarray(grid.down_lps) / grid.row_mm
    return np.stack((column, row), axis=-1), np.asarray(offsets @ normal(grid))


def normal(grid: Grid) -> Array:
    """Unit vector across the picture: right × down."""
    return np.asarray(np.cross(grid.right_lps, grid.down_lps), dtype=float)


def orientation_letters(vector: Sequence[float] | Array) -> str:
    """The patient directions that a vector points to, the strongest first (PS3.3 C.7.6.1.1.1).

    Components below a tenth of the length are left out: "L", or "LP" for an oblique.
    """
    lengths = np.abs(np.asarray(vector, dtype=float)) / np.linalg.norm(vector)
    named = [axis for axis in np.argsort(-lengths, kind="stable") if lengths[axis] >= _LETTER_MIN]
    return "".join(_LETTERS[axis][int(vector[axis] > 0)] for axis in named)


def edge_letters(grid: Grid) -> tuple[str, str, str, str]:
    """Letters for the left, top, right and bottom edge of a picture."""
    right, down = np.asarray(grid.right_lps), np.asarray(grid.down_lps)
    left, top, right_, bottom = map(orientation_letters, (-right, -down, right, down))
    return left, top, right_, bottom


def grid_of_slice(series: Series, index: int) -> Grid:
    """The grid of a stored slice, as acquired.

    Raises
    ------
    ScanError
        If the slice is a page, which has no place in the patient.
    """
    position = _position(series.slices[index])
    return Grid(
        origin_lps=position,
        right_lps=series.row_lps,
        down_lps=series.column_lps,
        column_mm=series.column_spacing_mm,
        row_mm=series.row_spacing_mm,
        rows=series.rows,
        columns=series.columns,
    )


def _position(one: SliceFile) -> Vector:
    if one.position_lps is None:
        raise ScanError(
            f"{one.path.name} is a page without a place in the patient", "Use a series of slices"
        )
    return one.position_lps


def slice_normal(series: Series) -> Array:
    """Unit normal of the acquired slices, along which `Series.slices` is sorted."""
    return np.cross(series.row_lps, series.column_lps)


def slice_positions(series: Series) -> Array:
    """Centres of the first pixels of all slices, (slices, 3) in mm.

    Raises ScanError for pages, which have no place in the patient.
    """
    return np.array([_position(one) for one in series.slices], dtype=float)


def slice_reach_mm(series: Series) -> float:
    """How far from its centre a slice beside a gap is shown: half its nominal thickness, 0 where
    that is unknown."""
    return (series.thickness_mm or 0.0) / 2


def corners(series: Series) -> Array:
    """The sample centres at the corners of all slices, (4 * slices, 3) in mm."""
    across = np.multiply(series.row_lps, series.column_spacing_mm * (series.columns - 1))
    down = np.multiply(series.column_lps, series.row_spacing_mm * (series.rows - 1))
    offsets = np.array([np.zeros(3), across, down, across + down])
    return np.asarray(slice_positions(series)[:, None, :] + offsets).reshape(-1, 3)


@lru_cache(maxsize=64)  # asked for at every view
def position_range_mm(series: Series, plane: Plane) -> tuple[float, float]:
    """The lowest and highest position at which a plane meets sample centres of the scan.

    Patient x, y or z for a standard plane, distance along the normal for `acquired`.
    """
    if plane == "acquired":
        along = slice_positions(series) @ slice_normal(series)
        return float(along.min()), float(along.max())
    return range_along_mm(series, np.eye(3)[AXES[plane]])


def range_along_mm(series: Series, direction: Array) -> tuple[float, float]:
    """How far the sample centres of the scan reach along a unit vector, from the patient's
    origin."""
    along = corners(series) @ direction
    return float(along.min()), float(along.max())


_BOX_EDGES = np.array(
    [(0, 1), (0, 2), (1, 3), (2, 3), (4, 5), (4, 6), (5, 7), (6, 7), (0, 4), (1, 5), (2, 6), (3, 7)]
)


def meeting_points(series: Series, place: Vector, direction: Array) -> Array:
    """The corners of the figures in which a plane cuts the scan, (n, 3); n is 0 when it passes.

    The scan is the solid between the outermost sample centres of each two neighbouring slices;
    the plane passes through `place` at right angles to the unit vector `direction`.
    """
    ends = corners(series).reshape(-1, 4, 3)
    boxes = np.concatenate((ends[:-1], ends[1:]), axis=1)  # (slices - 1, 8, 3)
    starts, stops = (boxes[:, _BOX_EDGES[:, k]].reshape(-1, 3) for k in (0, 1))
    before, after = ((side - np.asarray(place)) @ direction for side in (starts, stops))
    crossed = (np.minimum(before, after) <= MET_MM) & (np.maximum(before, after) >= -MET_MM)
    before, after, starts, stops = (a[crossed] for a in (before, after, starts, stops))
    lies_in = np.abs(before - after) <= MET_MM
    part = np.clip(before / np.where(lies_in, 1, before - after), 0, 1)
    found = starts + np.where(lies_in, 0, part)[:, None] * (stops - starts)
    return np.concatenate((found, stops[lies_in]))


def to_vector(array: ArrayLike) -> Vector:
    """A length-3 array as plain floats."""
    x, y, z = np.asarray(array, dtype=float).tolist()
    return x, y, z


def unit_vector(vector: ArrayLike) -> Array:
    """The vector of length 1 in this direction."""
    array = np.asarray(vector, dtype=float)
    return np.asarray(array / np.linalg.norm(array))


CROSSING_LEAST = 0.17  # sine of the angle between planes that still cross: 10 degrees


def crossing(cut: Grid, seen: Grid) -> Array | None:
    """Where one picture cuts another, for a line drawn on the second.

    Parameters
    ----------
    cut
        Of the picture that cuts; the line is as long as this picture reaches.
    seen
        Of the picture on which the line lies.

    Returns
    -------
    (2, 2) or None
        Its ends, each (column, row) of `seen`; None if it lies outside the picture.

    Raises
    ------
    ScanError
        If the planes are nearly parallel and have no such line.
    """
    along = np.cross(normal(cut), normal(seen))
    if np.linalg.norm(along) < CROSSING_LEAST:
        raise ScanError("it lies in nearly the same plane", "Name a view in another plane")
    along = along / np.linalg.norm(along)
    # the point of both planes that is nearest to the middle of the cutting picture
    middle = lps_from_pixel(cut, ((cut.columns - 1) / 2, (cut.rows - 1) / 2))
    planes = np.array([normal(cut), normal(seen), along])
    heights = [planes[0] @ middle, planes[1] @ np.asarray(seen.origin_lps), along @ middle]
    point = np.linalg.solve(planes, heights)
    outer = lps_from_pixel(cut, _outer_corners(cut))
    reach = (outer - point) @ along
    ends, _ = pixel_from_lps(seen, point + np.outer([reach.min(), reach.max()], along))
    return _clipped(ends, _outer_corners(seen))


def _outer_corners(grid: Grid) -> Array:
    x, y = grid.columns - 0.5, grid.rows - 0.5
    return np.array([(-0.5, -0.5), (x, -0.5), (-0.5, y), (x, y)])


def _clipped(ends: Array, corners_xy: Array) -> Array | None:
    """The part of a line within the upright rectangle around `corners_xy`."""
    low, high = corners_xy.min(axis=0), corners_xy.max(axis=0)
    first, step = ends[0], ends[1] - ends[0]
    shares = [0.0, 1.0]
    for axis in range(2):
        if abs(step[axis]) < 1e-9:
            if not low[axis] <= first[axis] <= high[axis]:
                return None
            continue
        limits = sorted((np.array([low[axis], high[axis]]) - first[axis]) / step[axis])
        shares = [max(shares[0], limits[0]), min(shares[1], limits[1])]
    return first + np.outer(shares, step) if shares[0] < shares[1] else None
