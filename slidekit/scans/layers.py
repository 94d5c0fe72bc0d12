"""Sampling a slab between sample centres: which layers, how each is interpolated, what each weighs.

Between neighbouring samples values run straight, so a slab needs only its two faces and the
samples between them: their trapezoid sum is the exact mean, and the largest and smallest of them
are the exact extremes.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from slidekit.scans.model import SlabMode, Values

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
Flags = NDArray[np.bool_]

WHOLE = 1e-6  # of a step: a place this close to a sample is the sample


class Layer(NamedTuple):
    """(1 - part) of sample `lower`, and `part` of the next one."""

    lower: int
    part: float  # from 0, below 1
    weight: float  # in a mean; the weights of a slab add up to 1


def locate(nodes: Array, places: Array) -> tuple[NDArray[np.intp], Array]:
    """Between which nodes places lie: index of the lower one, and the part of the way to the next.

    Parameters
    ----------
    nodes : (n,), ascending
    places : (m,), within the nodes; places outside count as the first or last node
    """
    if len(nodes) == 1:
        return np.zeros(len(places), np.intp), np.zeros(len(places))
    lower = np.clip(np.searchsorted(nodes, places, side="right") - 1, 0, len(nodes) - 2)
    part = np.clip((places - nodes[lower]) / (nodes[lower + 1] - nodes[lower]), 0, 1)
    part[part < WHOLE] = 0
    last = part > 1 - WHOLE
    part[last] = 0
    lower[last] += 1
    return lower, part


def layers_between(
    nodes: Array, low: float, high: float, *, gaps: tuple[int, ...] = ()
) -> list[Layer]:
    """The layers of a slab from `low` to `high`, clipped to the nodes.

    Parameters
    ----------
    nodes : (n,), ascending
        Sample centres across the slab, in mm.
    low, high
        Faces of the slab in mm; equal for a plane without thickness.
    gaps
        Indices k between which and k + 1 nothing counts.

    Returns
    -------
    list of Layer
        Empty when the whole slab lies in a gap.
    """
    low, high = max(low, nodes[0]), min(high, nodes[-1])
    if high - low <= WHOLE:
        lower, part = locate(nodes, np.array([(low + high) / 2]))
        inside_gap = part[0] > 0 and int(lower[0]) in gaps
        return [] if inside_gap else [Layer(int(lower[0]), float(part[0]), 1.0)]
    within = nodes[(nodes > low + WHOLE) & (nodes < high - WHOLE)]
    places = np.concatenate(([low], within, [high]))
    lower, part = locate(nodes, places)
    lengths = np.diff(places)
    # the piece between places i and i + 1 lies between the nodes that its middle lies between
    pieces, _ = locate(nodes, (places[:-1] + places[1:]) / 2)
    lengths[np.isin(pieces, gaps)] = 0
    weights = (np.append(lengths, 0) + np.insert(lengths, 0, 0)) / 2
    total = weights.sum()
    return [
        Layer(int(k), float(f), float(w / total))
        for k, f, w in zip(lower, part, weights, strict=True)
        if w > 0
    ]


_COMBINE: dict[SlabMode, np.ufunc] = {"mean": np.add, "max": np.maximum, "min": np.minimum}


class Reducer:
    """Layers of one shape, folded one after the other into their mean or an extreme."""

    def __init__(self, mode: SlabMode) -> None:
        self._mode = mode
        self._folded: Floats | None = None
        self._weight: Floats | float = 0.0

    def fold(self, values: Values, absent: Flags | None, weight: float) -> None:
        """Add one layer; absent samples do not take part."""
        share: Floats | float = weight
        if self._mode == "mean":
            term = np.multiply(values, np.float32(weight), dtype=np.float32)
            neutral = 0.0
        else:
            term = values.astype(np.float32)
            neutral = -np.inf if self._mode == "max" else np.inf
        if absent is not None:
            term[absent] = neutral
            share = np.where(absent, 0, weight).astype(np.float32)
        self._weight = self._weight + share
        if self._folded is None:
            self._folded = term
        else:
            _COMBINE[self._mode](self._folded, term, out=self._folded)

    def finish(self, shape: tuple[int, ...]) -> tuple[Floats, Flags]:
        """Values, and where no layer had any; all absent when nothing was folded."""
        if self._folded is None:
            return np.zeros(shape, np.float32), np.ones(shape, np.bool_)
        weight = np.broadcast_to(np.asarray(self._weight, np.float32), self._folded.shape)
        absent = weight == 0
        values = np.where(absent, 0, self._folded).astype(np.float32)
        if self._mode == "mean":
            np.divide(values, weight, out=values, where=~absent)
        return values, absent
