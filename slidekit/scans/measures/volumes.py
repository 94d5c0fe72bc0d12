"""Volumes by threshold: voxels of a range of values inside a box or an ellipsoid.

Every voxel counts with its own size: its place comes from the header of its slice, its height
from the slices before and after it. A tilted gantry shears a stack and leaves the size of its
voxels alone; slices that are not evenly spaced have voxels of different heights.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.geometry import (
    Array,
    grid_of_slice,
    pixel_from_lps,
    slice_normal,
    slice_positions,
)
from slidekit.scans.measures.connected import Connected
from slidekit.scans.measures.on_planes import Caution, caution
from slidekit.scans.measures.regions import Mask
from slidekit.scans.model import Series, Values, Vector
from slidekit.scans.pixels import read_samples
from slidekit.wording import phrase_key

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
    series: Series,
    solid: Solid,
    from_value: float | None,
    to_value: float | None,
    seed_lps: Vector | None = None,
) -> VolumeMeasure:
    """Count the voxels whose centres lie in `solid` and whose values lie from `from_value` to
    `to_value`, both included (None: of any height); with a seed only those of them that hang
    together with the voxel at this place. Three slices at most are in memory.

    Raises
    ------
    ScanError
        If the series is no stack, the solid reaches out of the scan or across a gap in it, or the
        voxel at the seed does not count itself.
    """
    heights = _slice_heights(series)
    chosen = _slices_through(series, solid, heights)
    voxels = series.row_spacing_mm * series.column_spacing_mm * heights
    tally = _Tally()
    counting = _Counting(series, solid, _limits(from_value, to_value), tally)
    pieces = counting.all(chosen) if seed_lps is None else _part_at(seed_lps, chosen, counting)
    for index, (mask, total) in zip(chosen, pieces, strict=True):
        tally.take(mask, total, voxels[index])
    return tally.finish(series.unit)


def _limits(from_value: float | None, to_value: float | None) -> tuple[float, float]:
    low = -np.inf if from_value is None else from_value
    return low, np.inf if to_value is None else to_value


@dataclass(frozen=True)
class _Counting:
    """What is counted: voxels of a range of values inside a solid."""

    series: Series
    solid: Solid
    limits: tuple[float, float]
    tally: "_Tally"

    def all(self, chosen: range) -> Iterator[tuple[Mask, float]]:
        """Which voxels count, and the sum of their values, slice by slice."""
        for mask, values in self.slices(chosen):
            yield mask, float(values[mask].sum(dtype=np.float64))

    def slices(self, chosen: range) -> Iterator[tuple[Mask, Values]]:
        """Which voxels count, and the values of all, (rows, columns), slice by slice."""
        low, high = self.limits
        for index in chosen:
            window = _window(self.series, self.solid, index)
            samples = read_samples(self.series, index)
            inside = self.solid.holds(_places(self.series, index, window))
            values = samples.values[window].astype(np.float64)
            absent = np.zeros_like(inside) if samples.absent is None else samples.absent[window]
            full = np.zeros(samples.values.shape, np.bool_)
            full[window] = inside & ~absent & (values >= low) & (values <= high)
            self.tally.inside += int(inside.sum())
            self.tally.absent += int((inside & absent).sum())
            yield full, samples.values


def _part_at(seed_lps: Vector, chosen: range, counting: _Counting) -> Iterator[tuple[Mask, float]]:
    """What hangs together with the voxel at a place: its mask in each slice, and the sum of its
    values there."""
    series = counting.series
    seed = _voxel_at(series, seed_lps)
    shifts = _shifts(series)
    gathered = Connected(series.rows, series.columns, int(np.abs(shifts).max(initial=0)))
    counts = False
    for index, (mask, values) in zip(chosen, counting.slices(chosen), strict=True):
        gathered.add(mask, values, (int(shifts[index, 0]), int(shifts[index, 1])))
        if index == seed[0]:
            counts = bool(mask[seed[1:]])
    if not counts:
        place = ", ".join(f"{value:g}" for value in seed_lps)
        raise ScanError(
            f"seed_mm: the voxel at [{place}] does not count: it lies outside the"
            f" {counting.solid.kind}, or its value outside the range",
            "Write a place inside what is meant, or widen the range",
        )
    return gathered.part((seed[0] - chosen.start, seed[1], seed[2]))


def _voxel_at(series: Series, place: Vector) -> tuple[int, int, int]:
    """Slice, row and column of the voxel that holds a place; ScanError if none does."""
    along = slice_positions(series) @ slice_normal(series)
    index = int(np.argmin(np.abs(along - np.dot(place, slice_normal(series)))))
    xy, _ = pixel_from_lps(grid_of_slice(series, index), place)
    column, row = (round(float(value)) for value in xy)
    if not (0 <= row < series.rows and 0 <= column < series.columns):
        raise ScanError("seed_mm lies outside the scan", "Write a place inside what is meant")
    return index, row, column


def _shifts(series: Series) -> NDArray[np.int64]:
    """By how many whole (rows, columns) the pixels of each slice lie farther on in the patient than
    those of the slice before; the first by none."""
    steps = np.diff(slice_positions(series), axis=0, prepend=slice_positions(series)[:1])
    rows = steps @ np.asarray(series.column_lps) / series.row_spacing_mm
    columns = steps @ np.asarray(series.row_lps) / series.column_spacing_mm
    shifts: NDArray[np.int64] = np.rint(np.stack((rows, columns), axis=1)).astype(np.int64)
    return shifts


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

    def take(self, mask: Mask, total: float, voxel_mm3: float) -> None:
        """Add the wanted voxels of the next slice, whose values sum up to `total`."""
        count = int(mask.sum())
        self.n += count
        self.volume += count * voxel_mm3
        self.total += total
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
        return VolumeMeasure(
            volume_mm3=float(self.volume),
            error_mm3=float(self.surface / 2),
            n=self.n,
            inside=self.inside,
            absent=self.absent,
            mean=self.total / self.n if self.n else None,
            unit=unit,
            cautions=tuple(self._cautions()),
        )

    def _cautions(self) -> Iterator[Caution]:
        if self.n == 1:
            yield caution("few", phrase_key("only one voxel was counted"))
        elif self.n < FEW_VOXELS:
            yield caution("few", phrase_key("only {n} voxels were counted"), n=self.n)
        if self.absent == 1:
            yield caution("padding", phrase_key("one voxel inside it is padding and left out"))
        elif self.absent:
            clause = phrase_key("{n} voxels inside it are padding and left out")
            yield caution("padding", clause, n=self.absent)
