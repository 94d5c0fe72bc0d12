"""The sampler for surfaces that are not parallel to the axes of the scan's samples.

For a place q between slices k and k + 1, q is looked up at the foot of its perpendicular in
either slice, bilinearly, and the two are blended by its distances along the normal. Positions
come from each slice's own header, so that one rule covers tilt, uneven spacing and a table that
did not move straight; no resampled volume is made, and two slices at a time are in memory.
A surface is made of straight lines: those of an oblique plane lie side by side, those of a curved
one follow its path.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slidekit.scans.geometry import normal, slice_normal, slice_positions, slice_reach_mm
from slidekit.scans.layers import Array, Flags, Floats
from slidekit.scans.model import Grid, Series, SlabMode
from slidekit.scans.pixels import Samples
from slidekit.scans.samplers import Sampled

_EDGE = 1e-3  # of a sample: rounding in the header must not cut the outermost samples off

Indices = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Lines:
    """Straight lines through the patient along which samples are wanted, one line for each row."""

    starts_lps: Array  # (rows, 3)
    step_lps: Array  # (3,), mm from sample to sample
    columns: int
    normals_lps: Array  # (rows, 3), unit vectors along which the layers of a slab lie


def lines_of(grid: Grid) -> Lines:
    """The rows of a flat picture."""
    rows = np.arange(grid.rows)[:, None]
    return Lines(
        np.asarray(grid.origin_lps) + rows * np.multiply(grid.down_lps, grid.row_mm),
        np.multiply(grid.right_lps, grid.column_mm),
        grid.columns,
        np.broadcast_to(normal(grid), (grid.rows, 3)),
    )


@dataclass(frozen=True, eq=False)
class Thickness:
    """The layers of a slab: where they lie along the normals, and what each weighs in a mean."""

    offsets_mm: Array
    weights: Array
    mode: SlabMode
    step_mm: float  # between two layers; 0 when there is one


class SlantedSampler:
    """A surface, or layers parallel to it, in any direction through a stack."""

    rows: range | None = None

    def __init__(self, series: Series, lines: Lines, thickness: Thickness) -> None:
        positions = slice_positions(series)
        axes = np.array(
            [
                np.divide(series.row_lps, series.column_spacing_mm),
                np.divide(series.column_lps, series.row_spacing_mm),
                slice_normal(series),
            ]
        )  # patient mm to (column, row) of a slice, and distance along the normal
        self._starts = positions @ axes.T
        self._along = self._starts[:, 2]
        self._across_step = axes @ lines.step_lps
        self._origins = [
            (lines.starts_lps + offset * lines.normals_lps) @ axes.T
            for offset in thickness.offsets_mm
        ]
        self._weights, self._mode = thickness.weights, thickness.mode
        self._shape = len(lines.starts_lps), lines.columns
        self._gaps = frozenset(series.gaps)
        self._reach = slice_reach_mm(series)
        neutral = {"mean": 0.0, "max": -np.inf, "min": np.inf}[thickness.mode]
        self._folded = np.full(self._shape[0] * self._shape[1], neutral, np.float32)
        self._weight = np.zeros(self._folded.shape, np.float32)
        self._previous: tuple[int, Samples] | None = None
        self.needs: Sequence[int] = self._find_needs()

    def _find_needs(self) -> Sequence[int]:
        """Slices between which the layers pass; one more where they touch a slice."""
        along = np.array([origin[:, 2] for origin in self._origins])
        ends = self._across_step[2] * (self._shape[1] - 1)
        reach = [along.min() + min(ends, 0), along.max() + max(ends, 0)]
        slack = _EDGE * float(np.diff(self._along).min())
        first = np.searchsorted(self._along, np.min(reach) - slack, side="right") - 1
        last = np.searchsorted(self._along, np.max(reach) + slack, side="left")
        return range(max(int(first), 0), min(int(last), len(self._along) - 1) + 1)

    def take(self, index: int, samples: Samples) -> None:
        """Fill in what lies between the slice before and this one."""
        in_gap = index - 1 in self._gaps
        if self._previous is not None and not (in_gap and self._reach == 0):
            for origins, weight in zip(self._origins, self._weights, strict=True):
                self._fold(index - 1, self._previous[1], samples, (origins, weight))
        self._previous = index, samples

    def _fold(
        self, lower: int, before: Samples, after: Samples, layer: tuple[Array, float]
    ) -> None:
        origins, weight = layer
        i, j = self._band(origins[:, 2], lower)
        if not i.size:
            return
        x, y, along = (origins[i, axis] + j * self._across_step[axis] for axis in range(3))
        part, shown = self._parts(along, lower)
        start, start_there = bilinear(
            before, x - self._starts[lower, 0], y - self._starts[lower, 1]
        )
        end, end_there = bilinear(
            after, x - self._starts[lower + 1, 0], y - self._starts[lower + 1, 1]
        )
        there = shown & (start_there | (part > 1 - _EDGE)) & (end_there | (part < _EDGE))
        places = (i * self._shape[1] + j)[there]
        part = part[there]
        values = start[there] * (1 - part) + end[there] * part
        self._weight[places] += np.float32(weight)
        if self._mode == "mean":
            self._folded[places] += values * np.float32(weight)
        elif self._mode == "max":
            self._folded[places] = np.maximum(self._folded[places], values)
        else:
            self._folded[places] = np.minimum(self._folded[places], values)

    def _parts(self, along: Array, lower: int) -> tuple[Floats, Flags]:
        """How far places are on the way from slice `lower` to the next, and which are shown.

        In a gap those are shown that lie within half a thickness of a slice, as it is.
        """
        below = along - self._along[lower]
        span = self._along[lower + 1] - self._along[lower]
        part = np.clip(below / span, 0, 1)
        if lower in self._gaps:
            shown = (below <= self._reach) | (span - below <= self._reach)
            part = np.round(part)
        else:
            shown = np.ones(part.shape, np.bool_)
        return part.astype(np.float32), shown

    def _band(self, at_first_column: Array, lower: int) -> tuple[Indices, Indices]:
        """Rows and columns of the pixels between slices `lower` and `lower` + 1.

        The bands of all pairs of slices part the picture without overlap: each is bounded by
        the same function of a slice's place.
        """
        rows, columns = self._shape
        slack = _EDGE * (self._along[lower + 1] - self._along[lower])
        low, high = self._along[lower], self._along[lower + 1]
        if lower == 0:
            low -= slack
        if lower + 2 == len(self._along):
            high += slack
        step = self._across_step[2]
        if abs(step) * columns < 1e-9:  # parallel to the slices along its rows
            inside = (at_first_column >= low) & (at_first_column < high)
            first = np.zeros(rows, np.intp)
            last = np.where(inside, columns, 0)
        else:
            bounds = [
                np.clip(np.ceil((bound - at_first_column) / step), 0, columns).astype(np.intp)
                for bound in ((low, high) if step > 0 else (high, low))
            ]
            first, last = bounds
        return _ragged(first, last)

    def finish(self) -> Sampled:
        """The plane; absent where no layer had a value."""
        absent = self._weight == 0
        self._folded[absent] = 0
        if self._mode == "mean":
            np.divide(self._folded, self._weight, out=self._folded, where=~absent)
        return self._folded.reshape(self._shape), absent.reshape(self._shape)


def _ragged(first: Indices, last: Indices) -> tuple[Indices, Indices]:
    """Row and column indices of the columns `first` to `last` (excluded) of every row."""
    lengths = np.maximum(last - first, 0)
    i = np.repeat(np.arange(len(lengths)), lengths)
    starts = np.cumsum(lengths) - lengths
    j = np.arange(lengths.sum()) - np.repeat(starts - first, lengths)
    return i, j


def bilinear(samples: Samples, x: Array, y: Array) -> tuple[Floats, Flags]:
    """Values at (column, row) places of a slice.

    Returns
    -------
    values : same shape as `x`
        Meaningless where not there.
    there
        Whether the place lies within the samples and none of its four neighbours is absent.
    """
    rows, columns = samples.values.shape
    there = (x >= -_EDGE) & (x <= columns - 1 + _EDGE) & (y >= -_EDGE) & (y <= rows - 1 + _EDGE)
    x, y = np.clip(x, 0, columns - 1), np.clip(y, 0, rows - 1)
    column = np.minimum(x.astype(np.intp), columns - 2)
    row = np.minimum(y.astype(np.intp), rows - 2)
    right, down = (x - column).astype(np.float32), (y - row).astype(np.float32)
    corner = row * columns + column
    flat = samples.values.ravel()
    top = flat[corner] * (1 - right) + flat[corner + 1] * right
    corner += columns
    bottom = flat[corner] * (1 - right) + flat[corner + 1] * right
    if samples.absent is not None:
        hidden = samples.absent.ravel()
        corner -= columns
        for step in (0, 1, columns, columns + 1):
            there &= ~hidden[corner + step]
    return top * (1 - down) + bottom * down, there
