"""Cutting a picture to a box given by two opposite corners in patient millimetres."""

from dataclasses import replace
from typing import TypeAlias

import numpy as np

from slidekit.errors import ScanError
from slidekit.scans.geometry import AXES, lps_from_pixel, normal, pixel_from_lps, to_vector
from slidekit.scans.model import PLANE_AXES, Grid, Plane, Vector

Corners: TypeAlias = tuple[tuple[float, float], tuple[float, float]]
Window: TypeAlias = tuple[slice, slice]

_SLACK = 1e-3  # of a pixel: a centre on the edge of the box is inside


def crop_axes(grid: Grid, plane: Plane) -> tuple[int, int]:
    """The two patient axes (0 to 2) of crop corners; for `acquired` those of the standard plane
    it is most like; for `picture` x and y of its own."""
    if plane == "picture":
        return 0, 1
    if plane == "acquired":
        across = int(np.argmax(np.abs(normal(grid))))
        plane = next(name for name, axis in AXES.items() if axis == across)
    first, second = ("xyz".index(letter) for letter in PLANE_AXES[plane])
    return first, second


def crop_window(grid: Grid, corners_mm: Corners, plane: Plane) -> Window:
    """Rows and columns whose centres lie in the box.

    Raises
    ------
    ScanError
        If fewer than two rows or columns are left, or a corner is no number.
    """
    if not np.isfinite(corners_mm).all():
        raise _sizeless(corners_mm)
    axes = list(crop_axes(grid, plane))
    across = ({0, 1, 2} - set(axes)).pop()
    axis_normal = normal(grid)
    points = np.zeros((2, 3))
    points[:, axes] = corners_mm
    # the remaining coordinate puts the corner onto the plane
    missing = (np.asarray(grid.origin_lps) - points) @ axis_normal
    points[:, across] = missing / axis_normal[across]
    places, _ = pixel_from_lps(grid, points)
    low = np.maximum(np.ceil(places.min(axis=0) - _SLACK), 0).astype(int)
    high = np.minimum(np.floor(places.max(axis=0) + _SLACK), (grid.columns - 1, grid.rows - 1))
    high = high.astype(int)
    if (high - low < 1).any():
        raise _too_small(grid, corners_mm, axes)
    return slice(int(low[1]), int(high[1]) + 1), slice(int(low[0]), int(high[0]) + 1)


def flat_window(grid: Grid, corners_mm: Corners, middle: Vector) -> Window:
    """As `crop_window`, for corners to the right and down from a place on the picture."""
    if not np.isfinite(corners_mm).all():
        raise _sizeless(corners_mm)
    middle_xy, _ = pixel_from_lps(grid, middle)
    steps = np.array([grid.column_mm, grid.row_mm])
    places = np.asarray(corners_mm) / steps + middle_xy
    low = np.maximum(np.ceil(places.min(axis=0) - _SLACK), 0).astype(int)
    high = np.minimum(np.floor(places.max(axis=0) + _SLACK), (grid.columns - 1, grid.rows - 1))
    high = high.astype(int)
    if (high - low < 1).any():
        least = -middle_xy * steps
        most = ((grid.columns - 1, grid.rows - 1) - middle_xy) * steps
        raise ScanError(
            f"The crop from {_corner(corners_mm[0])} to {_corner(corners_mm[1])} mm leaves nothing"
            " of the picture",
            f"Write corners within {least[0]:.1f} to {most[0]:.1f} mm to the right of the view's"
            f" middle and {least[1]:.1f} to {most[1]:.1f} mm down from it",
        )
    return slice(int(low[1]), int(high[1]) + 1), slice(int(low[0]), int(high[0]) + 1)


def _sizeless(corners_mm: Corners) -> ScanError:
    return ScanError(
        f"The crop from {_corner(corners_mm[0])} to {_corner(corners_mm[1])} mm has no size",
        "Write numbers",
    )


def _too_small(grid: Grid, corners_mm: Corners, axes: list[int]) -> ScanError:
    ends = [(0, 0), (grid.columns - 1, 0), (0, grid.rows - 1), (grid.columns - 1, grid.rows - 1)]
    reach = lps_from_pixel(grid, ends)[:, axes]
    low, high = reach.min(axis=0), reach.max(axis=0)
    first, second = ("xyz"[axis] for axis in axes)
    return ScanError(
        f"The crop from {_corner(corners_mm[0])} to {_corner(corners_mm[1])} mm leaves nothing of"
        " the picture",
        f"Write corners within {first} {low[0]:.1f} to {high[0]:.1f} and"
        f" {second} {low[1]:.1f} to {high[1]:.1f} mm",
    )


def _corner(corner: tuple[float, float]) -> str:
    return f"[{corner[0]:g}, {corner[1]:g}]"


def crop_grid(grid: Grid, window: Window) -> Grid:
    """The grid of ``values[window]``."""
    rows, columns = window
    return replace(
        grid,
        origin_lps=to_vector(lps_from_pixel(grid, (columns.start, rows.start))),
        rows=rows.stop - rows.start,
        columns=columns.stop - columns.start,
    )
