"""Ways to gather one plane from slices that come along one at a time, in order.

Each sampler says which slices it needs, takes them as they are read, and keeps only what its
plane shows of them: memory does not grow with the length of the series.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from slidekit.scans.model import SlabMode, Values
from slidekit.scans.pixels import Samples, either
from slidekit.scans.planes.layers import WHOLE, Array, Flags, Gaps, Layer, Reducer, locate

Sampled = tuple[Values, Flags]


class Sampler(Protocol):
    """Gathers one plane."""

    @property
    def needs(self) -> Sequence[int]:
        """Indices of the slices to read, ascending."""

    @property
    def rows(self) -> range | None:
        """The rows of every slice that are looked at; None for all."""

    def take(self, index: int, samples: Samples) -> None:
        """Look at slice `index`; called once for each needed slice, in order."""

    def finish(self) -> Sampled:
        """The plane's values and which of them are absent, (rows, columns)."""


class FaceSampler:
    """A plane parallel to the slices: one slice, or a blend of neighbours, pixel by pixel."""

    rows: range | None = None

    def __init__(self, layers: Sequence[Layer], mode: SlabMode, shape: tuple[int, int]) -> None:
        self._layers = layers
        self._shape = shape
        self._reducer = Reducer(mode)
        self._open: dict[int, tuple[Values, Flags | None]] = {}  # layers that wait for their end
        self._whole: Samples | None = None
        used = {layer.lower for layer in layers}
        used |= {layer.lower + 1 for layer in layers if layer.part}
        self.needs: Sequence[int] = sorted(used)

    def take(self, index: int, samples: Samples) -> None:
        """Fold the slice into the layers it belongs to."""
        if self._is_one_slice:
            self._whole = samples
            return
        for number, layer in enumerate(self._layers):
            if layer.part == 0 and layer.lower == index:
                self._reducer.fold(samples.values, samples.absent, layer.weight)
            elif layer.part and layer.lower == index:
                start = np.multiply(samples.values, np.float32(1 - layer.part), dtype=np.float32)
                self._open[number] = start, samples.absent
            elif layer.part and layer.lower + 1 == index:
                start, absent = self._open.pop(number)
                end = np.multiply(samples.values, np.float32(layer.part), dtype=np.float32)
                absent = either(absent, samples.absent)
                self._reducer.fold(start + end, absent, layer.weight)

    @property
    def _is_one_slice(self) -> bool:
        return len(self._layers) == 1 and self._layers[0].part == 0

    def finish(self) -> Sampled:
        """The plane as the slices lie."""
        if self._whole is None:
            return self._reducer.finish(self._shape)
        absent = self._whole.absent
        return self._whole.values, np.zeros(self._shape, np.bool_) if absent is None else absent


@dataclass(frozen=True)
class Spread:
    """Even places on which lines from unevenly spaced slices are interpolated."""

    nodes: Array  # (slices,) where the slices lie, mm
    places: Array  # (rows,)
    gaps: Gaps

    def apply(self, lines: Values, absent: Flags) -> Sampled:
        """Interpolate between the lines; in a gap only the lines beside it are shown."""
        lower, part = locate(self.nodes, self.places)
        upper = np.minimum(lower + 1, len(self.nodes) - 1)
        in_gap = (part > 0) & np.isin(lower, self.gaps.after)
        step = self.nodes[upper] - self.nodes[lower]
        nothing = in_gap & (np.minimum(part, 1 - part) * step > self.gaps.reach + WHOLE * step)
        part[in_gap] = np.round(part[in_gap])
        share = part.astype(np.float32)[:, None]
        values = lines[lower] * (1 - share) + lines[upper] * share
        before, after = (part < 1)[:, None], (part > 0)[:, None]
        hidden = (absent[lower] & before) | (absent[upper] & after) | nothing[:, None]
        return values, hidden


class LineSampler:
    """A plane across the slices along their rows or columns: one line from each slice."""

    def __init__(
        self,
        layers: Sequence[Layer],
        mode: SlabMode,
        shape: tuple[int, int],
        *,
        along_rows: bool,
        spread: Spread | None = None,
    ) -> None:
        """`shape` is (slices, samples of a line); `spread` when the spacing is uneven."""
        self._layers = layers
        self._mode = mode
        self._along_rows = along_rows
        self._spread = spread
        self._lines: list[Values] = []
        self._absent = np.zeros(shape, np.bool_)
        self.needs: Sequence[int] = range(shape[0])
        self.rows: range | None = None
        if along_rows:
            last = max(layer.lower + (layer.part > 0) for layer in layers)
            self.rows = range(min(layer.lower for layer in layers), last + 1)

    def take(self, index: int, samples: Samples) -> None:
        """Keep one line of the slice."""
        values, hidden, first = samples.values, samples.absent, samples.first_row
        if not self._along_rows:
            values, hidden = values.T, None if hidden is None else hidden.T
        only = self._layers[0]
        if len(self._layers) == 1 and only.part == 0:
            self._lines.append(values[only.lower - first].copy())
            if hidden is not None:
                self._absent[index] = hidden[only.lower - first]
            return
        reducer = Reducer(self._mode)
        for layer in self._layers:
            reducer.fold(
                *_line(values, hidden, layer._replace(lower=layer.lower - first)), layer.weight
            )
        line, self._absent[index] = reducer.finish(values.shape[1:])
        self._lines.append(line)

    def finish(self) -> Sampled:
        """The lines in the order of the slices, evenly spaced."""
        lines: Values = np.array(self._lines)
        if self._spread is None:
            return lines, self._absent
        return self._spread.apply(lines, self._absent)


def _line(values: Values, hidden: Flags | None, layer: Layer) -> tuple[Values, Flags | None]:
    """One layer of a slice, between two of its lines."""
    line, gone = values[layer.lower], None if hidden is None else hidden[layer.lower]
    if layer.part:
        share = np.float32(layer.part)
        line = line * (1 - share) + values[layer.lower + 1] * share
        gone = None if gone is None or hidden is None else gone | hidden[layer.lower + 1]
    return line, gone
