"""Which samples of a picture a region holds, and how large it is.

A sample belongs to a region when its centre lies inside (edges half open, so that regions side
by side never share a sample). Sizes come from the geometry, never from counting samples.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slidekit.scans.geometry import Array, pixel_from_lps
from slidekit.scans.model import Grid, Vector

Mask = NDArray[np.bool_]


def ellipse_mask(
    grid: Grid, center_lps: Vector, radii_mm: tuple[float, float], rotation_deg: float = 0.0
) -> Mask:
    """Samples whose centres lie within an ellipse.

    Parameters
    ----------
    grid
        Of the picture.
    center_lps
        Its foot on the picture's plane counts.
    radii_mm
        Half widths across and down the picture before rotation.
    rotation_deg
        Clockwise as seen on the picture.

    Returns
    -------
    (rows, columns)
    """
    across, down = _offsets_mm(grid, center_lps)
    cos, sin = np.cos(np.radians(rotation_deg)), np.sin(np.radians(rotation_deg))
    first = (across * cos + down * sin) / radii_mm[0]
    second = (down * cos - across * sin) / radii_mm[1]
    return np.asarray(first**2 + second**2 < 1)


def _offsets_mm(grid: Grid, center_lps: Vector) -> tuple[Array, Array]:
    """How far each column lies to the right of a place, and each row below it: open arrays."""
    center_xy, _ = pixel_from_lps(grid, center_lps)
    across = (np.arange(grid.columns) - center_xy[0]) * grid.column_mm
    down = (np.arange(grid.rows) - center_xy[1]) * grid.row_mm
    return across[None, :], down[:, None]


def polygon_mask(grid: Grid, points_lps: ArrayLike) -> Mask:
    """Samples whose centres lie within a closed polygon, by the even-odd rule.

    Parameters
    ----------
    grid
        Of the picture.
    points_lps : (n, 3), n at least 3
        Corners in order; their feet on the picture's plane count.

    Returns
    -------
    (rows, columns)
    """
    return _scanline(grid, pixel_from_lps(grid, points_lps)[0])


def _scanline(grid: Grid, points_xy: Array) -> Mask:
    """Fill between the crossings of each row's centre line with the polygon's edges.

    An edge meets row r when its lower end is <= r and its upper end > r; the columns from one
    crossing s to the next e are those with s <= column < e.
    """
    starts, ends = points_xy, np.roll(points_xy, -1, axis=0)
    low, high = np.minimum(starts[:, 1], ends[:, 1]), np.maximum(starts[:, 1], ends[:, 1])
    mask = np.zeros((grid.rows, grid.columns), np.bool_)
    first = max(0, int(np.ceil(low.min())))
    last = min(grid.rows - 1, int(np.ceil(high.max())) - 1)
    for row in range(first, last + 1):
        meets = (low <= row) & (high > row)
        (x0, y0), (x1, y1) = starts[meets].T, ends[meets].T
        crossings = np.sort(x0 + (row - y0) * (x1 - x0) / (y1 - y0))
        columns = np.clip(np.ceil(crossings), 0, grid.columns).astype(int)
        for begin, end in columns.reshape(-1, 2):
            mask[row, begin:end] = True
    return mask


def polygon_area_mm2(points_lps: ArrayLike) -> float:
    """Area of a flat closed polygon, (n, 3) corners in mm, however it lies in space."""
    points = np.asarray(points_lps, dtype=float)
    spokes = points - points[0]  # small numbers lose no digits
    return float(np.linalg.norm(np.cross(spokes[:-1], spokes[1:]).sum(axis=0)) / 2)


def distance_mm(from_lps: Vector, to_lps: Vector) -> float:
    """Distance of two places in the patient."""
    return float(np.linalg.norm(np.subtract(to_lps, from_lps)))
