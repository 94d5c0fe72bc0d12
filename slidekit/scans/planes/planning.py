"""From what is asked to how it is sampled: the grid of the picture and the sampler that fills it.

Three ways, from cheap to general: planes parallel to the slices, planes along their rows or
columns, and all other surfaces.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from slidekit.errors import ScanError
from slidekit.scans.geometry import (
    AXES,
    Array,
    corners,
    grid_of_slice,
    lps_from_pixel,
    meeting_points,
    normal,
    slice_normal,
    slice_positions,
    slice_reach_mm,
    to_vector,
)
from slidekit.scans.model import (
    CurvedSurface,
    Flattening,
    Grid,
    Plane,
    PlaneRequest,
    Pose,
    Series,
    Vector,
)
from slidekit.scans.planes.cropping import Window, crop_grid, crop_window, flat_window
from slidekit.scans.planes.curves import flatten, surface_normals
from slidekit.scans.planes.layers import NO_GAPS, Gaps, Layer, layers_between
from slidekit.scans.planes.samplers import FaceSampler, LineSampler, Sampler, Spread
from slidekit.scans.planes.slanted import Lines, SlantedSampler, Thickness, lines_of
from slidekit.scans.planes.turning import Turn, turn_to
from slidekit.scans.stacking import EVEN_MM, typical_step

ALIGNED = 1e-4  # of a cosine: 0.05 mm across 500 mm
STRAIGHT_MM = 0.02  # sideways offsets of slices that count as none
SNAP_MM = 0.05  # and a twentieth of a step: a place this close to a sample means the sample
LARGEST_SIDE = 2048  # pixels of a slanted plane

DISPLAY: dict[Plane, tuple[Vector, Vector]] = {
    "axial": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),  # from the feet: right at left, front at top
    "coronal": ((1.0, 0.0, 0.0), (0.0, 0.0, -1.0)),  # from the front: right at left, head at top
    "sagittal": ((0.0, 1.0, 0.0), (0.0, 0.0, -1.0)),  # from the left: front at left, head at top
}
"""Directions of a standard plane's picture, to the right and down; common practice."""

_AS_STORED = Turn(transposed=False, rows_reversed=False, columns_reversed=False)


@dataclass(frozen=True)
class Layout:
    """How a plane is sampled, before it is turned and cropped."""

    sampler: Sampler
    grid: Grid
    at_mm: float
    turn: Turn = _AS_STORED
    slab_step_mm: float = 0.0  # between the layers of a slab that no sample need lie on
    middle_lps: Vector | None = None
    flattening: Flattening | None = None


class Stack:
    """A series as arrays: where its samples lie."""

    def __init__(self, series: Series) -> None:
        self.series = series
        self.positions = slice_positions(series)
        self.normal = slice_normal(series)
        self.nodes = self.positions @ self.normal
        self.step = typical_step(self.nodes)
        self.axes = np.array([series.row_lps, series.column_lps, self.normal])
        self.spacings = np.array([series.column_spacing_mm, series.row_spacing_mm, self.step])
        offsets = (self.positions - self.positions[0]) @ self.axes[:2].T
        self.straight = bool(np.abs(offsets).max() <= STRAIGHT_MM)
        self.gaps = Gaps(series.gaps, slice_reach_mm(series))

    def axis_along(self, patient_axis: int) -> int | None:
        """Which of row, column and slice direction (0, 1, 2) runs along a patient axis; None
        when none does and a plane across that axis is slanted."""
        shares = np.abs(self.axes[:, patient_axis])
        nearest = int(np.argmax(shares))
        return nearest if np.delete(shares, nearest).max() <= ALIGNED else None

    def sample_distance(self, direction: Sequence[float] | Array) -> float:
        """How far apart the scan's samples lie in a direction, mm."""
        shares = self.axes @ np.asarray(direction)
        known = self.spacings > 0
        return float(1 / np.linalg.norm(shares[known] / self.spacings[known]))


def lay_out(stack: Stack, request: PlaneRequest, at_mm: float) -> Layout:
    """Choose the sampler for a request whose position is known to lie within the scan.

    Raises
    ------
    ScanError
        If the position lies in a gap of the scan.
    """
    if request.pose is not None:
        return _lay_out_oblique(stack, request, request.pose)
    if request.surface is not None:
        return _lay_out_curved(stack, request, request.surface)
    if request.plane == "acquired":
        return _lay_out_acquired(stack, request, at_mm)
    axis = AXES[request.plane]
    across = stack.axis_along(axis)
    aligned = all(stack.axis_along(other) is not None for other in range(3))
    if aligned and across == 2:
        place = _place(stack.nodes, at_mm, stack.positions[0, axis], stack.normal[axis])
        if stack.straight or (request.slab_mm == 0 and place in stack.nodes):
            return _lay_out_face(stack, request, place)
    elif aligned and stack.straight and across is not None:
        return _lay_out_lines(stack, request, at_mm, along_rows=across == 1)
    return _lay_out_slanted(stack, request, _standard_grid(stack, request.plane, at_mm), at_mm)


def _place(nodes: Array, at_mm: float, first_mm: float, share: float) -> float:
    """Where a patient position lies on the scan's own axis; the sample itself when near one.

    `first_mm` is the patient position of the first node, `share` the axis' patient component.
    """
    place = nodes[0] + (at_mm - first_mm) / share
    nearest = nodes[np.argmin(np.abs(nodes - place))]
    step = typical_step(nodes)
    return float(nearest if abs(nearest - place) <= min(SNAP_MM, step / 20) else place)


def _lay_out_acquired(stack: Stack, request: PlaneRequest, at_mm: float) -> Layout:
    index = int(np.argmin(np.abs(stack.nodes - at_mm)))
    grid = grid_of_slice(stack.series, index)
    place = float(stack.nodes[index])
    shape = grid.rows, grid.columns
    if request.slab_mm == 0:
        return Layout(FaceSampler([Layer(index, 0.0, 1.0)], "mean", shape), grid, place)
    if not stack.straight:
        return _lay_out_slanted(stack, request, grid, place)
    layers = _layers(stack.nodes, place, request.slab_mm, stack.gaps)
    return Layout(FaceSampler(layers, request.slab, shape), grid, place)


def _layers(nodes: Array, place: float, slab_mm: float, gaps: Gaps = NO_GAPS) -> list[Layer]:
    return layers_between(nodes, place - slab_mm / 2, place + slab_mm / 2, gaps)


def _lay_out_face(stack: Stack, request: PlaneRequest, place: float) -> Layout:
    """A plane parallel to the slices, at `place` along their normal."""
    layers = _layers(stack.nodes, place, request.slab_mm, stack.gaps)
    if not layers:
        raise _in_gap(stack, request.plane, place)
    nearest = int(np.argmin(np.abs(stack.nodes - place)))
    grid = grid_of_slice(stack.series, nearest)
    origin = np.asarray(grid.origin_lps) + (place - stack.nodes[nearest]) * stack.normal
    grid = replace(grid, origin_lps=to_vector(origin))
    sampler = FaceSampler(layers, request.slab, (grid.rows, grid.columns))
    at_mm = float(origin[AXES[request.plane]])
    return Layout(sampler, grid, at_mm, turn_to(grid, *DISPLAY[request.plane]))


def _in_gap(stack: Stack, plane: Plane, place: float) -> ScanError:
    above = int(np.searchsorted(stack.nodes, place))
    axis = AXES[plane]
    below_mm, above_mm = stack.positions[above - 1 : above + 1, axis]
    return ScanError(
        f"Nothing was scanned between slices {above} and {above + 1}, where the {plane} plane"
        " would lie",
        f"Write at_mm: {below_mm:.2f} or {above_mm:.2f}, or a place outside the gap",
    )


def _lay_out_lines(
    stack: Stack, request: PlaneRequest, at_mm: float, *, along_rows: bool
) -> Layout:
    """A plane that takes one row (or column) of every slice."""
    series, axis = stack.series, AXES[request.plane]
    along, across = (0, 1) if along_rows else (1, 0)
    lengths = series.columns, series.rows
    nodes = np.arange(lengths[across]) * stack.spacings[across]
    place = _place(nodes, at_mm, stack.positions[0, axis], stack.axes[across, axis])
    spread = _spread(stack)
    origin = stack.positions[0] + place * stack.axes[across]
    grid = Grid(
        origin_lps=to_vector(origin),
        right_lps=to_vector(stack.axes[along]),
        down_lps=to_vector(stack.normal),
        column_mm=float(stack.spacings[along]),
        row_mm=float(np.diff(stack.nodes).mean() if spread is None else np.diff(spread.places)[0]),
        rows=len(stack.nodes if spread is None else spread.places),
        columns=lengths[along],
    )
    sampler = LineSampler(
        _layers(nodes, place, request.slab_mm),
        request.slab,
        (len(stack.nodes), lengths[along]),
        along_rows=along_rows,
        spread=spread,
    )
    return Layout(sampler, grid, float(origin[axis]), turn_to(grid, *DISPLAY[request.plane]))


def _spread(stack: Stack) -> Spread | None:
    """Even places for the lines of a series of uneven spacing or with gaps; None without."""
    nodes = stack.nodes
    even = np.linspace(nodes[0], nodes[-1], len(nodes))
    if np.abs(nodes - even).max() <= EVEN_MM and not stack.series.gaps:
        return None
    closest = float(np.diff(nodes).min())
    if stack.series.gaps and stack.gaps.reach:
        closest = min(closest, 2 * stack.gaps.reach)
    finest = max(closest, float(stack.spacings[:2].min()))
    length = nodes[-1] - nodes[0]
    count = int(np.ceil(length / min(finest, stack.step) - SNAP_MM))
    return Spread(nodes, np.linspace(nodes[0], nodes[-1], count + 1), stack.gaps)


def _standard_grid(stack: Stack, plane: Plane, at_mm: float) -> Grid:
    """A grid on a standard plane that holds all of the scan, square and as fine as its samples."""
    right, down = (np.asarray(direction) for direction in DISPLAY[plane])
    reach = corners(stack.series)
    across, along = reach @ right, reach @ down
    sides = np.array([np.ptp(across), np.ptp(along)])
    pixel_mm = max(float(stack.spacings.min()), float(sides.max()) / (LARGEST_SIDE - 1))
    axis = np.zeros(3)
    axis[AXES[plane]] = at_mm
    columns, rows = (np.floor(sides / pixel_mm) + 1).astype(int).tolist()
    return Grid(
        origin_lps=to_vector(across.min() * right + along.min() * down + axis),
        right_lps=to_vector(right),
        down_lps=to_vector(down),
        column_mm=pixel_mm,
        row_mm=pixel_mm,
        rows=rows,
        columns=columns,
    )


def _lay_out_slanted(stack: Stack, request: PlaneRequest, grid: Grid, at_mm: float) -> Layout:
    """A plane that no sample need lie on."""
    if request.crop_mm is not None:
        middle = None if request.pose is None else request.pose.middle_lps
        grid = crop_grid(grid, window_of(grid, request, middle))
    thickness = _thickness(stack, request)
    sampler = SlantedSampler(stack.series, lines_of(grid), thickness)
    return Layout(sampler, grid, at_mm, slab_step_mm=thickness.step_mm)


def _thickness(stack: Stack, request: PlaneRequest) -> Thickness:
    """A slab of layers close enough together, its faces counted by half in a mean.

    The mean wants layers as close as the samples, extremes twice as close.
    """
    fineness = float(stack.spacings.min()) / (1 if request.slab == "mean" else 2)
    count = int(np.ceil(request.slab_mm / fineness))
    offsets = np.linspace(-request.slab_mm / 2, request.slab_mm / 2, count + 1)
    weights = np.full(count + 1, 1.0)
    if count:
        weights[[0, -1]] = 0.5
    step = request.slab_mm / count if count else 0.0
    return Thickness(offsets, weights / weights.sum(), request.slab, step)


def _lay_out_oblique(stack: Stack, request: PlaneRequest, pose: Pose) -> Layout:
    grid = _oblique_grid(stack, request, pose)
    move = request.deeper_mm * normal(grid)
    middle = pose.middle_lps + move
    grid = replace(grid, origin_lps=to_vector(grid.origin_lps + move))
    at_mm = float(np.dot(middle, normal(grid)))
    return replace(_lay_out_slanted(stack, request, grid, at_mm), middle_lps=to_vector(middle))


def _oblique_grid(stack: Stack, request: PlaneRequest, pose: Pose) -> Grid:
    """All that the scan covers of an oblique plane, square pixels as fine as its samples; the
    middle is the centre of a pixel."""
    right, down = np.array(pose.right_lps), np.array(pose.down_lps)
    into = np.cross(right, down)
    found = [
        meeting_points(stack.series, to_vector(pose.middle_lps + offset * into), into)
        for offset in {0.0, request.slab_mm / 2, -request.slab_mm / 2}
    ]
    if not len(found[0]):
        raise _passes_by(stack, request.plane)
    reach = np.concatenate(found) - pose.middle_lps
    across, along = reach @ right, reach @ down
    longest = float(max(np.ptp(across), np.ptp(along)))
    pixel_mm = max(float(stack.spacings.min()), longest / (LARGEST_SIDE - 1))
    low, high = (
        np.array([round_(side(axis) / pixel_mm) for axis in (across, along)], dtype=int)
        for round_, side in ((_ceil, np.min), (_floor, np.max))
    )
    columns, rows = (high - low + 1).tolist()
    if min(columns, rows) < 2:
        raise _passes_by(stack, request.plane)
    origin = pose.middle_lps + pixel_mm * (low[0] * right + low[1] * down)
    return Grid(to_vector(origin), pose.right_lps, pose.down_lps, pixel_mm, pixel_mm, rows, columns)


def _ceil(value: float) -> int:
    return math.ceil(value - SNAP_MM / 50)


def _floor(value: float) -> int:
    return math.floor(value + SNAP_MM / 50)


def _passes_by(stack: Stack, plane: Plane) -> ScanError:
    ends = corners(stack.series)
    ranges = [
        f"{axis} {low:.1f} to {high:.1f}"
        for axis, low, high in zip("xyz", ends.min(axis=0), ends.max(axis=0), strict=True)
    ]
    return ScanError(
        f"The {plane} plane does not pass through the scan",
        f"Write places within {ranges[0]}, {ranges[1]} and {ranges[2]} mm",
    )


def _lay_out_curved(stack: Stack, request: PlaneRequest, surface: CurvedSurface) -> Layout:
    """Lines across the path at even arc lengths; they are the rows of what is sampled."""
    flattening, grid = flatten(surface, float(stack.spacings.min()), request.deeper_mm)
    pixel_mm = grid.column_mm
    across = np.array(flattening.across_lps)
    count = grid.columns if flattening.runs_down else grid.rows
    starts = np.array(flattening.path_lps) - across * pixel_mm * (count - 1) / 2
    lines = Lines(starts, across * pixel_mm, count, surface_normals(flattening))
    thickness = _thickness(stack, request)
    turn = replace(_AS_STORED, transposed=not flattening.runs_down)
    middle = lps_from_pixel(grid, ((grid.columns - 1) / 2, (grid.rows - 1) / 2))
    return Layout(
        SlantedSampler(stack.series, lines, thickness),
        turn.grid(grid),  # as sampled: turning it gives `grid` again
        float(middle @ normal(grid)),
        turn,
        thickness.step_mm,
        to_vector(middle),
        flattening,
    )


def window_of(grid: Grid, request: PlaneRequest, middle: Vector | None) -> Window:
    """The part of a picture that the crop of a request leaves; all of it without one."""
    if request.crop_mm is None:
        return slice(0, grid.rows), slice(0, grid.columns)
    if middle is not None:
        return flat_window(grid, request.crop_mm, middle)
    return crop_window(grid, request.crop_mm, request.plane)
