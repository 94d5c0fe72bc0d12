"""The sampler for surfaces that are not parallel to the axes of the scan's samples.

For a place q between slices k and k + 1, q is looked up at the foot of its perpendicular in
either slice, bilinearly, and the two are blended by its distances along the normal. Positions
come from each slice's own header, so that one rule covers tilt, uneven spacing and a table that
did not move straight; no resampled volume is made, and two slices at a time are in memory.
A surface is made of straight lines: those of an oblique plane lie side by side, those of a curved
one follow its path.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from slidekit.scans.geometry import normal, slice_normal, slice_positions, slice_reach_mm
from slidekit.scans.model import Grid, Series, SlabMode
from slidekit.scans.pixels import Samples
from slidekit.scans.planes.layers import COMBINE, Array, Flags, Floats
from slidekit.scans.planes.samplers import Sampled

_EDGE = 1e-3  # of a sample: rounding in the header must not cut the outermost samples off

_MOST = 1 << 15  # samples at a time: more gain nothing, and memory stays small

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
        layers = [lines.starts_lps + offset * lines.normals_lps for offset in thickness.offsets_mm]
        origins = np.concatenate(layers) @ axes.T
        order = np.argsort(origins[:, 2], kind="stable")  # so that a pair of slices finds its own
        self._origins = origins[order]
        self._rows = order % len(lines.starts_lps)
        self._weights = thickness.weights.astype(np.float32)[order // len(lines.starts_lps)]
        self._mode, self._layered = thickness.mode, len(layers) > 1
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
        along = self._origins[:, 2]
        ends = self._across_step[2] * (self._shape[1] - 1)
        reach = [along.min() + min(ends, 0), along.max() + max(ends, 0)]
        slack = _EDGE * float(np.diff(self._along).min())
        first = np.searchsorted(self._along, np.min(reach) - slack, side="right") - 1
        last = np.searchsorted(self._along, np.max(reach) + slack, side="left")
        return range(max(int(first), 0), min(int(last), len(self._along) - 1) + 1)

    def take(self, index: int, samples: Samples) -> None:
        """Fill in what lies between the slice before and this one."""
        if self._previous is not None:
            for lines, columns in self._bands(index - 1):
                self._fold(index - 1, self._previous[1], samples, (lines, columns))
        self._previous = index, samples

    def _fold(
        self, lower: int, before: Samples, after: Samples, band: tuple[Indices, Indices]
    ) -> None:
        lines, columns = band
        x, y, along = (
            self._origins[lines, axis] + columns * self._across_step[axis] for axis in range(3)
        )
        part, shown = self._parts(along, lower)
        start, start_there = bilinear(
            before, x - self._starts[lower, 0], y - self._starts[lower, 1]
        )
        end, end_there = bilinear(
            after, x - self._starts[lower + 1, 0], y - self._starts[lower + 1, 1]
        )
        there = shown & (start_there | (part > 1 - _EDGE)) & (end_there | (part < _EDGE))
        part, weights = part[there], self._weights[lines[there]]
        values = start[there] * (1 - part) + end[there] * part
        self._gather((self._rows[lines] * self._shape[1] + columns)[there], values, weights)

    def _gather(self, places: Indices, values: Floats, weights: Floats) -> None:
        """Add values to pixels; with several layers a pixel may be named more than once."""
        if self._mode == "mean":
            values = values * weights
        combine = COMBINE[self._mode]
        if self._layered:
            combine.at(self._folded, places, values)
            np.add.at(self._weight, places, weights)
        else:
            self._folded[places] = combine(self._folded[places], values)
            self._weight[places] += weights

    def _parts(self, along: Array, lower: int) -> tuple[Floats, Flags]:
        """How far places are on the way from slice `lower` to the next, and which are shown.

        In a gap those are shown that lie within half a thickness of a slice, as it is.
        """
        below = along - self._along[lower]
        span = self._along[lower + 1] - self._along[lower]
        part = np.clip(below / span, 0, 1)
        if lower in self._gaps:
            reach = self._reach + _EDGE * span
            shown = (below <= reach) | (span - below <= reach)
            part = np.round(part)
        else:
            shown = np.ones(part.shape, np.bool_)
        return part.astype(np.float32), shown

    def _bands(self, lower: int) -> Iterator[tuple[Indices, Indices]]:
        """Lines and columns of the samples between slices `lower` and `lower` + 1, a moderate
        number at a time.

        The bands of all pairs of slices part the picture without overlap: each is bounded by
        the same function of a slice's place.
        """
        columns, step = self._shape[1], self._across_step[2]
        slack = _EDGE * (self._along[lower + 1] - self._along[lower])
        low, high = self._along[lower], self._along[lower + 1]
        if lower == 0:
            low -= slack
        if lower + 2 == len(self._along):
            high += slack
        ends = step * (columns - 1)
        begin = np.searchsorted(self._origins[:, 2], low - max(ends, 0) - slack)
        stop = np.searchsorted(self._origins[:, 2], high - min(ends, 0) + slack)
        at_first_column = self._origins[begin:stop, 2]
        if abs(step) * columns < 1e-9:  # parallel to the slices
            inside = (at_first_column >= low) & (at_first_column < high)
            first, last = np.zeros(len(inside), np.intp), np.where(inside, columns, 0)
        else:
            first, last = (
                np.clip(np.ceil((bound - at_first_column) / step), 0, columns).astype(np.intp)
                for bound in ((low, high) if step > 0 else (high, low))
            )
        ends_of = np.cumsum(np.maximum(last - first, 0))
        cuts = np.searchsorted(ends_of, np.arange(_MOST, ends_of[-1] if stop > begin else 0, _MOST))
        for one, next_one in pairwise([0, *cuts.tolist(), int(stop - begin)]):
            lines, across = _ragged(first[one:next_one], last[one:next_one])
            if lines.size:
                yield lines + (begin + one), across

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
