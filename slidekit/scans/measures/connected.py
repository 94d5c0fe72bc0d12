"""The connected part of voxels that a place belongs to, from slices that come by one at a time.

Voxels hang together by their faces. What is kept of each slice are its runs, stretches of wanted
voxels along a row: as a line of whole numbers, so that overlaps are found by sorted search.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.geometry import Array
from slidekit.scans.measures.regions import Mask
from slidekit.scans.model import Values

MOST_RUNS = 8_000_000  # about 1 GiB with all that belongs to them; what is solid has far fewer

Numbers = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class _Runs:
    """Of one slice: `starts` up to `stops` (excluded), each row * width + column."""

    starts: Numbers
    stops: Numbers
    totals: Array  # sum of the values of each
    first: int  # number of its first run among all


class Connected:
    """Gathers the wanted voxels of a stack; `part` is what hangs together with one of them."""

    def __init__(self, rows: int, columns: int, widest_shift: int) -> None:
        self._shape = rows, columns
        self._width = columns + widest_shift + 1  # so that shifted runs never meet another row
        self._slices: list[_Runs] = []
        self._links: list[tuple[Numbers, Numbers]] = []
        self._count = 0

    def add(self, wanted: Mask, values: Values, shift: tuple[int, int]) -> None:
        """The next slice, (rows, columns). `shift`: rows and columns by which its pixels lie
        farther on than those of the slice before (a tilted gantry).

        Raises
        ------
        ScanError
            If the wanted voxels are too scattered to tell what hangs together.
        """
        padded = np.zeros((self._shape[0], self._width + 1), np.int8)
        padded[:, 1 : self._shape[1] + 1] = wanted
        rows, ends = np.nonzero(np.diff(padded, axis=1))
        keys = rows * self._width + ends
        starts, stops = keys[::2], keys[1::2]
        self._count += len(starts)
        if self._count > MOST_RUNS:
            raise ScanError(
                "what counts is scattered all over, and nothing in it is one part",
                "Narrow the range of values, or leave `seed_mm` out",
            )
        totals = _sums(values[wanted].astype(np.float64), stops - starts)
        here = _Runs(starts, stops, totals, self._count - len(starts))
        self._link(here, here, self._width)
        if self._slices:
            row, column = shift
            self._link(self._slices[-1], here, -(row * self._width + column))
        self._slices.append(here)

    def _link(self, one: _Runs, other: _Runs, move: int) -> None:
        """Runs of `one`, moved along the line, that overlap runs of `other`."""
        first = np.searchsorted(other.stops, one.starts + move, side="right")
        last = np.searchsorted(other.starts, one.stops + move, side="left")
        counts = np.maximum(last - first, 0)
        own = np.repeat(np.arange(len(counts)), counts)
        steps = np.arange(len(own)) - np.repeat(np.cumsum(counts) - counts, counts)
        self._links.append((own + one.first, first[own] + steps + other.first))

    def part(self, place: tuple[int, int, int]) -> Iterator[tuple[Mask, float]]:
        """The part that the voxel at (slice, row, column) belongs to: its mask in each slice, and
        the sum of its values there. The voxel must be a wanted one."""
        index, row, column = place
        key = row * self._width + column
        runs = self._slices[index]
        seed = int(np.searchsorted(runs.stops, key, side="right")) + runs.first
        reached = self._reached_from(seed)
        return (self._mask(runs, reached) for runs in self._slices)

    def _reached_from(self, seed: int) -> NDArray[np.bool_]:
        pairs = [np.concatenate([link[k] for link in self._links]) for k in (0, 1)]
        here, there = np.concatenate(pairs), np.concatenate(pairs[::-1])
        order = np.argsort(here, kind="stable")
        there = there[order]
        begins = np.searchsorted(here[order], np.arange(self._count + 1))
        reached = np.zeros(self._count, np.bool_)
        front = np.array([seed])
        while len(front):
            reached[front] = True
            counts = begins[front + 1] - begins[front]
            steps = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
            found = there[np.repeat(begins[front], counts) + steps]
            front = np.unique(found[~reached[found]])
        return reached

    def _mask(self, runs: _Runs, reached: NDArray[np.bool_]) -> tuple[Mask, float]:
        chosen = reached[runs.first : runs.first + len(runs.starts)]
        steps = np.zeros(self._shape[0] * self._width + 1, np.int8)
        np.add.at(steps, runs.starts[chosen], 1)
        np.add.at(steps, runs.stops[chosen], -1)
        line = np.cumsum(steps[:-1], dtype=np.int8) > 0
        mask = line.reshape(self._shape[0], self._width)[:, : self._shape[1]]
        return mask, float(runs.totals[chosen].sum())


def _sums(values: Array, lengths: Numbers) -> Array:
    """Of pieces of so many values each, one piece after the other."""
    if not len(lengths):
        return np.zeros(0)
    return np.asarray(np.add.reduceat(values, np.cumsum(lengths) - lengths))
