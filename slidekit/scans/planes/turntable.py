"""The maximum projection of a box of the scan, turning about the patient's axis from foot to head.

At 0 degrees it is seen from the front; then the viewer walks towards the patient's left, so that
at 90 degrees it is seen from the left.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.geometry import lps_from_pixel, to_vector
from slidekit.scans.model import Grid, PlaneImage, PlaneRequest, Pose, Series
from slidekit.scans.planes.planning import DISPLAY, Stack
from slidekit.scans.planes.read import planned_plane, read_planes

Array = NDArray[np.float32]
OUTSIDE = np.float32(-1e12)  # below any value: never a maximum, not even a ten millionth of it
NO_VALUE = np.float32(-1e5)  # what is lower is a mixture with OUTSIDE


@dataclass(frozen=True)
class _Box:
    """Values of the box, lying on its horizontal grid and on the rows of the picture."""

    values: Array  # (y, x, row)
    first_mm: tuple[float, float]  # patient x and y of values[0, 0]
    step_mm: tuple[float, float]  # along x and y


def turn_images(
    series: Series,
    request: PlaneRequest,
    count: int,
    longest_px: int,
    black: float = -np.inf,
) -> tuple[PlaneImage, ...]:
    """The projections at `count` even angles, before any window.

    Parameters
    ----------
    series
        From `choose_series`.
    request
        A coronal plane with a slab: its crop and its thickness are the box.
    count
        Of angles in one turn.
    longest_px
        Of the projections. A finer scan is first reduced by taking the maximum of neighbours.
    black
        Values up to it cannot be seen. What can, and turns beyond the sides of the box, makes all
        projections wider to both sides, so that nothing leaves them.

    Raises
    ------
    ScanError
        If the box cannot be read.
    """
    plan = planned_plane(series, request)
    grid = plan.grid
    box, used = _read_box(series, request, grid)
    axis_mm = float(lps_from_pixel(grid, ((grid.columns - 1) / 2, 0))[0]), plan.at_mm
    grid = _widened(grid, _reach_mm(box, axis_mm, black))
    box = _reduced(box, max(grid.rows, grid.columns), longest_px)
    width_mm = grid.columns * grid.column_mm
    columns = max(round(width_mm / box.step_mm[0]), 1)
    frame_grid = _divided(grid, box.values.shape[2], columns)
    across_mm = np.asarray((np.arange(columns) + 0.5) * frame_grid.column_mm - width_mm / 2)
    projections = [_project(box, axis_mm, across_mm, 2 * np.pi * k / count) for k in range(count)]
    return tuple(
        PlaneImage(
            values=np.where(values < NO_VALUE, np.float32(0), values),
            absent=values < NO_VALUE,
            grid=frame_grid,
            plane="coronal",
            at_mm=plan.at_mm,
            slice_number=None,
            slab_mm=request.slab_mm,
            slab="max",
            unit=series.unit,
            inverted=series.inverted,
            source_slices=used,
            native_mm=plan.native_mm,
        )
        for values in projections
    )


def _reach_mm(box: _Box, axis_mm: tuple[float, float], black: float) -> float:
    """How far from the axis of the turn anything lies that can be seen."""
    rows, columns = np.nonzero((box.values > max(black, float(NO_VALUE))).any(axis=2))
    x = box.first_mm[0] + columns * box.step_mm[0] - axis_mm[0]
    y = box.first_mm[1] + rows * box.step_mm[1] - axis_mm[1]
    return float(np.hypot(x, y).max(initial=0.0))


def _widened(grid: Grid, reach_mm: float) -> Grid:
    """The grid with as many columns more at either side as what reaches so far needs."""
    more = int(np.ceil(reach_mm / grid.column_mm - (grid.columns - 1) / 2 - 1e-6))
    if more <= 0:
        return grid
    origin = to_vector(lps_from_pixel(grid, (-more, 0)))
    return replace(grid, origin_lps=origin, columns=grid.columns + 2 * more)


def _divided(grid: Grid, rows: int, columns: int) -> Grid:
    """The same picture in fewer pixels."""
    first = (grid.columns / columns - 1) / 2, (grid.rows / rows - 1) / 2
    return replace(
        grid,
        origin_lps=to_vector(lps_from_pixel(grid, first)),
        column_mm=grid.columns * grid.column_mm / columns,
        row_mm=grid.rows * grid.row_mm / rows,
        rows=rows,
        columns=columns,
    )


def _read_box(series: Series, request: PlaneRequest, grid: Grid) -> tuple[_Box, tuple[int, ...]]:
    """Level cuts at the heights of the picture's rows."""
    images = read_planes(series, _level_cuts(series, request, grid))
    first = images[0].grid
    if any((one.grid.rows, one.grid.columns) != (first.rows, first.columns) for one in images):
        raise ScanError("the level cuts of the box are not of one size", "Crop the view")
    values = np.stack(
        [np.where(one.absent, OUTSIDE, one.values).astype(np.float32) for one in images], axis=2
    )
    used = tuple(sorted({k for image in images for k in image.source_slices}))
    x, y, _ = first.origin_lps
    return _Box(values, (x, y), (first.column_mm, first.row_mm)), used


def _level_cuts(series: Series, request: PlaneRequest, grid: Grid) -> list[PlaneRequest]:
    """Of one size. Slices that do not lie straight above each other are cut by planes in any
    direction, which have the size of the one in the middle."""
    ends = lps_from_pixel(grid, ((0, 0), (grid.columns - 1, grid.rows - 1)))
    (left, _, top), (right, _, bottom) = ends.tolist()
    at_mm = request.at_mm or 0.0
    front, back = at_mm - request.slab_mm / 2, at_mm + request.slab_mm / 2
    heights = np.linspace(top, bottom, grid.rows).tolist()
    if Stack(series).straight:
        crop = (left, front), (right, back)
        return [PlaneRequest("axial", z, crop_mm=crop) for z in heights]
    middle = (left + right) / 2, at_mm, (top + bottom) / 2
    pose = Pose(middle, *DISPLAY["axial"])
    half = (right - left) / 2, request.slab_mm / 2
    level = PlaneRequest("oblique", pose=pose, crop_mm=((-half[0], -half[1]), half))
    return [replace(level, deeper_mm=z - middle[2]) for z in heights]


def _reduced(box: _Box, longest: int, longest_px: int) -> _Box:
    """The maximum of every so many neighbours along all three axes; a box fine enough as it is."""
    many = -(-longest // longest_px)
    if many == 1:
        return box
    values = box.values
    for axis in range(3):
        starts = np.arange(0, values.shape[axis], many)
        values = np.maximum.reduceat(values, starts, axis=axis)
    (x, y), (step_x, step_y) = box.first_mm, box.step_mm
    half = (many - 1) / 2
    return _Box(values, (x + half * step_x, y + half * step_y), (step_x * many, step_y * many))


def _project(
    box: _Box, axis_mm: tuple[float, float], across_mm: NDArray[np.floating], angle: float
) -> Array:
    """(rows, columns): the largest value on each line of sight, (x, y) sampled linearly."""
    count_y, count_x, rows = box.values.shape
    flat = box.values.reshape(-1, rows)
    reach_mm = np.hypot(count_x * box.step_mm[0], count_y * box.step_mm[1])
    step_mm = min(box.step_mm) / 2  # a greatest value between two depths must not be missed
    deep = np.arange(-np.ceil(reach_mm / 2 / step_mm), np.ceil(reach_mm / 2 / step_mm) + 1)
    best = np.full((len(across_mm), rows), OUTSIDE, np.float32)
    cos, sin = np.cos(angle), np.sin(angle)
    for depth_mm in (deep * step_mm).tolist():
        x = axis_mm[0] + across_mm * cos - depth_mm * sin
        y = axis_mm[1] + across_mm * sin + depth_mm * cos
        # a place that is a sample but for the arithmetic is that sample
        column = np.round((x - box.first_mm[0]) / box.step_mm[0], 6)
        row = np.round((y - box.first_mm[1]) / box.step_mm[1], 6)
        # the outermost samples count as far as half a sample beyond their middles
        seen = (np.abs(column - (count_x - 1) / 2) <= count_x / 2) & (
            np.abs(row - (count_y - 1) / 2) <= count_y / 2
        )
        if seen.any():
            column, row = np.clip(column, 0, count_x - 1), np.clip(row, 0, count_y - 1)
            sampled = _sampled(flat, count_x, (column[seen], row[seen]))
            best[seen] = np.maximum(best[seen], sampled)
    return best.T


def _sampled(
    flat: Array, width: int, places: tuple[NDArray[np.floating], NDArray[np.floating]]
) -> Array:
    """Linear between the four neighbours of each place; rows of values lie side by side."""
    column, row = places
    height = len(flat) // width
    left = np.minimum(column.astype(int), width - 2)
    top = np.minimum(row.astype(int), height - 2)
    right_share = (column - left).astype(np.float32)[:, None]
    low_share = (row - top).astype(np.float32)[:, None]
    at = top * width + left
    upper = flat[at] * (1 - right_share) + flat[at + 1] * right_share
    lower = flat[at + width] * (1 - right_share) + flat[at + width + 1] * right_share
    return np.asarray(upper * (1 - low_share) + lower * low_share)


def angles_deg(count: int) -> Sequence[float]:
    """Of the projections, in their order."""
    return [360.0 * k / count for k in range(count)]
