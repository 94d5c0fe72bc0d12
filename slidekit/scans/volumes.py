"""Volumes by threshold: voxels of a range of values inside a box or an ellipsoid.

Every voxel counts with its own size: its place comes from the header of its slice, its height
from the slices before and after it. A tilted gantry shears a stack and leaves the size of its
voxels alone; slices that are not evenly spaced have voxels of different heights.
"""

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

import numpy as np

from slidekit.errors import ScanError
from slidekit.scans.geometry import (
    Array,
    grid_of_slice,
    pixel_from_lps,
    slice_normal,
    slice_positions,
)
from slidekit.scans.measures import Caution
from slidekit.scans.model import Series, Vector
from slidekit.scans.pixels import read_samples
from slidekit.scans.regions import Mask

SolidKind: TypeAlias = Literal["box", "ellipsoid"]

FEW_VOXELS = 30


@dataclass(frozen=True)
class Solid:
    """A box or an ellipsoid along the patient's axes. `half_mm`: half its size along x, y, z."""

    kind: SolidKind
    center_lps: Vector
    half_mm: Vector

    def reach_mm(self, direction: Array) -> float:
        """How far it extends from its centre in the direction of a unit vector."""
        half = np.abs(direction) * self.half_mm
        return float(half.sum() if self.kind == "box" else np.linalg.norm(half))

    def holds(self, points_lps: Array) -> Mask:
        """Which points (..., 3) lie inside; opposite faces of a box do not both belong to it."""
        offsets = (points_lps - np.asarray(self.center_lps)) / self.half_mm
        if self.kind == "box":
            return np.asarray(((offsets >= -1) & (offsets < 1)).all(axis=-1))
        return np.asarray((offsets**2).sum(axis=-1) < 1)


@dataclass(frozen=True)
class VolumeMeasure:
    """How much of a range of values lies inside a solid."""

    volume_mm3: float
    error_mm3: float  # plus or minus: half a voxel all over the surface of what was counted
    n: int  # voxels
    inside: int  # voxels of any value inside the solid
    absent: int  # voxels inside the solid that are padding
    mean: float | None
    unit: str
    cautions: tuple[Caution, ...] = ()


def measure_volume(
    series: Series, solid: Solid, from_value: float | None, to_value: float | None
) -> VolumeMeasure:
    """Count the voxels whose centres lie in `solid` and whose values lie from `from_value` to
    `to_value`, both included (None: of any height); three slices at most are in memory.

    Raises
    ------
    ScanError
        If the series is no stack, or the solid reaches out of the scan or across a gap in it.
    """
    low = -np.inf if from_value is None else from_value
    high = np.inf if to_value is None else to_value
    heights = _slice_heights(series)
    chosen = _slices_through(series, solid, heights)
    pixel_mm2 = series.row_spacing_mm * series.column_spacing_mm
    tally = _Tally()
    for index in chosen:
        window = _window(series, solid, index)
        samples = read_samples(series, index)
        inside = solid.holds(_places(series, index, window))
        values = samples.values[window].astype(np.float64)
        absent = np.zeros_like(inside) if samples.absent is None else samples.absent[window]
        wanted = inside & ~absent & (values >= low) & (values <= high)
        tally.take(values, wanted, pixel_mm2 * heights[index])
        tally.inside += int(inside.sum())
        tally.absent += int((inside & absent).sum())
        full = np.zeros((series.rows, series.columns), np.bool_)
        full[window] = wanted
        tally.touch(full, pixel_mm2 * heights[index])
    return tally.finish(series.unit)


def _slice_heights(series: Series) -> Array:
    """Height of each slice's voxels along the normal: half way to either neighbour; the first
    and last are as high above as below."""
    if series.kind != "stack" or len(series.slices) < 2:
        raise ScanError(
            "a volume needs a stack of slices, and this scan is none",
            "Name a scan whose slices lie side by side",
        )
    gaps = np.diff(slice_positions(series) @ slice_normal(series))
    return (np.concatenate((gaps[:1], gaps)) + np.concatenate((gaps, gaps[-1:]))) / 2


def _slices_through(series: Series, solid: Solid, heights: Array) -> range:
    normal = slice_normal(series)
    along = slice_positions(series) @ normal
    middle, reach = float(np.dot(solid.center_lps, normal)), solid.reach_mm(normal)
    low, high = middle - reach, middle + reach
    bottom, top = along[0] - heights[0] / 2, along[-1] + heights[-1] / 2
    if low < bottom - 1e-6 or high > top + 1e-6:
        over = max(bottom - low, high - top)
        raise ScanError(
            f"the {solid.kind} reaches {over:.1f} mm beyond the first or last slice of the scan",
            "Move it, or make it smaller",
        )
    inside = np.flatnonzero((along >= low - 1e-9) & (along <= high + 1e-9))
    if not inside.size:
        raise ScanError(f"no slice passes through the {solid.kind}", "Make it larger")
    first, last = int(inside[0]), int(inside[-1])
    if crossed := [gap for gap in series.gaps if first - 1 <= gap <= last]:
        raise ScanError(
            f"the {solid.kind} lies across a gap: nothing was scanned between slices "
            f"{crossed[0] + 1} and {crossed[0] + 2}",
            "Place it on one side of the gap",
        )
    return range(first, last + 1)


def _window(series: Series, solid: Solid, index: int) -> tuple[slice, slice]:
    """Rows and columns of a slice that the solid can reach.

    Raises ScanError if it reaches beyond the outer edge of the pixels.
    """
    grid = grid_of_slice(series, index)
    normal = slice_normal(series)
    height = float(np.dot(np.subtract(grid.origin_lps, solid.center_lps), normal))
    bounds = []
    for direction, spacing, count, place in zip(
        (grid.down_lps, grid.right_lps),
        (grid.row_mm, grid.column_mm),
        (grid.rows, grid.columns),
        pixel_from_lps(grid, np.array(solid.center_lps))[0][::-1],
        strict=True,
    ):
        low, high = _cut(solid, np.asarray(direction), normal, height)
        first, last = place + low / spacing, place + high / spacing
        if first < -0.5 - 1e-6 or last > count - 0.5 + 1e-6:
            over = max(-0.5 - first, last - count + 0.5) * spacing
            raise ScanError(
                f"the {solid.kind} reaches {over:.1f} mm beyond the edge of the slices",
                "Move it, or make it smaller",
            )
        start = max(0, int(np.ceil(first - 1e-9)))
        bounds.append(slice(start, max(start, min(count, int(np.floor(last + 1e-9)) + 1))))
    return bounds[0], bounds[1]


def _cut(solid: Solid, direction: Array, normal: Array, height: float) -> tuple[float, float]:
    """How far the solid reaches in either sense of a direction within the plane at `height` mm
    above its centre: exactly for an ellipsoid, at most for a box."""
    if solid.kind == "box":
        reach = solid.reach_mm(direction)
        return -reach, reach
    squares = np.square(solid.half_mm)
    across = float((squares * normal * normal).sum())
    skew = float((squares * normal * direction).sum()) / across
    left = max(0.0, 1 - height * height / across)
    wide = float((squares * direction * direction).sum()) - skew * skew * across
    half = float(np.sqrt(max(0.0, wide) * left))
    return skew * height - half, skew * height + half


def _places(series: Series, index: int, window: tuple[slice, slice]) -> Array:
    """Patient coordinates of the voxel centres of a window, (rows, columns, 3)."""
    grid = grid_of_slice(series, index)
    rows, columns = (np.arange(part.start, part.stop) for part in window)
    down = rows[:, None, None] * grid.row_mm * np.asarray(grid.down_lps)
    across = columns[None, :, None] * grid.column_mm * np.asarray(grid.right_lps)
    return np.asarray(np.asarray(grid.origin_lps) + down + across)


@dataclass
class _Tally:
    """Counts while the slices pass by. The surface of a slice is known when the next has come."""

    volume: float = 0.0
    surface: float = 0.0
    total: float = 0.0
    n: int = 0
    inside: int = 0
    absent: int = 0
    _masks: list[Mask] = field(default_factory=list)  # the slice before, and the one that waits
    _voxel: float = 0.0  # of the slice that waits, mm3

    def take(self, values: Array, wanted: Mask, voxel_mm3: float) -> None:
        """Add the wanted voxels of one slice."""
        count = int(wanted.sum())
        self.n += count
        self.volume += count * voxel_mm3
        self.total += float(values[wanted].sum())

    def touch(self, mask: Mask, voxel_mm3: float) -> None:
        """Add the surface of the slice before this one."""
        if self._masks:
            before = self._masks[0] if len(self._masks) > 1 else np.zeros_like(mask)
            self._add_surface(before, self._masks[-1], mask)
        self._masks = [*self._masks[-1:], mask]
        self._voxel = voxel_mm3

    def _add_surface(self, before: Mask, here: Mask, after: Mask) -> None:
        around = np.pad(here, 1)
        within = around[:-2, 1:-1] & around[2:, 1:-1] & around[1:-1, :-2] & around[1:-1, 2:]
        self.surface += int((here & ~(within & before & after)).sum()) * self._voxel

    def finish(self, unit: str) -> VolumeMeasure:
        """The measure, once all slices have passed."""
        last = self._masks[-1]
        before = self._masks[0] if len(self._masks) > 1 else np.zeros_like(last)
        self._add_surface(before, last, np.zeros_like(last))
        cautions = []
        if self.n < FEW_VOXELS:
            voxels = "only one voxel was" if self.n == 1 else f"only {self.n} voxels were"
            cautions.append(Caution("few", f"{voxels} counted"))
        if self.absent:
            text = f"{self.absent} voxels inside it are padding and left out"
            cautions.append(Caution("padding", text))
        return VolumeMeasure(
            volume_mm3=float(self.volume),
            error_mm3=float(self.surface / 2),
            n=self.n,
            inside=self.inside,
            absent=self.absent,
            mean=self.total / self.n if self.n else None,
            unit=unit,
            cautions=tuple(cautions),
        )
