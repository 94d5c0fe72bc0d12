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


class Gaps(NamedTuple):
    """Where nothing lies between the nodes."""

    after: tuple[int, ...] = ()  # k: between nodes k and k + 1
    reach: float = 0.0  # how far into a gap the nodes beside it still count, mm


NO_GAPS = Gaps()


def layers_between(nodes: Array, low: float, high: float, gaps: Gaps = NO_GAPS) -> list[Layer]:
    """The layers of a slab from `low` to `high`, clipped to the nodes.

    Parameters
    ----------
    nodes : (n,), ascending
        Sample centres across the slab, in mm.
    low, high
        Faces of the slab in mm; equal for a plane without thickness.
    gaps
        In which only the nodes themselves count, as far as they reach.

    Returns
    -------
    list of Layer
        Empty when the whole slab lies in a gap.
    """
    low, high = max(low, nodes[0]), min(high, nodes[-1])
    if high - low <= WHOLE:
        lower, part = locate(nodes, np.array([(low + high) / 2]))
        if int(lower[0]) in gaps.after:
            step = nodes[lower[0] + 1] - nodes[lower[0]]
            return _beside_gap(int(lower[0]), float(part[0] * step), float(step), gaps.reach)
        return [Layer(int(lower[0]), float(part[0]), 1.0)]
    within = nodes[(nodes > low + WHOLE) & (nodes < high - WHOLE)]
    places = np.concatenate(([low], within, [high]))
    lower, part = locate(nodes, places)
    lengths = np.diff(places)
    # the piece between places i and i + 1 lies between the nodes that its middle lies between
    pieces, _ = locate(nodes, (places[:-1] + places[1:]) / 2)
    in_gap = np.isin(pieces, gaps.after)
    reached = [
        Layer(int(k) + end, 0.0, length)
        for k, a, b in zip(pieces[in_gap], places[:-1][in_gap], places[1:][in_gap], strict=True)
        for end, length in enumerate(_reached(nodes[k : k + 2], a, b, gaps.reach))
    ]
    lengths[in_gap] = 0
    weights = (np.append(lengths, 0) + np.insert(lengths, 0, 0)) / 2
    found = [
        Layer(int(k), float(f), float(w)) for k, f, w in zip(lower, part, weights, strict=True)
    ]
    total = sum(layer.weight for layer in (*found, *reached))
    layers = [layer for layer in (*found, *reached) if layer.weight > 0]
    layers.sort(key=lambda layer: layer.lower + layer.part)
    return [layer._replace(weight=layer.weight / total) for layer in layers]


def _beside_gap(lower: int, above: float, step: float, reach: float) -> list[Layer]:
    """The node beside a gap that reaches to a place `above` its lower end; none in its midst."""
    nearer_lower = above <= step - above
    if min(above, step - above) > reach + WHOLE * step:
        return []
    return [Layer(lower if nearer_lower else lower + 1, 0.0, 1.0)]


def _reached(ends: Array, low: float, high: float, reach: float) -> tuple[float, float]:
    """How much of the stretch from `low` to `high` of a gap its lower and its upper end reach."""
    reach = min(reach, float(ends[1] - ends[0]) / 2)
    from_lower = min(high, ends[0] + reach) - low
    from_upper = high - max(low, ends[1] - reach)
    return max(float(from_lower), 0.0), max(float(from_upper), 0.0)


COMBINE: dict[SlabMode, np.ufunc] = {"mean": np.add, "max": np.maximum, "min": np.minimum}


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
            COMBINE[self._mode](self._folded, term, out=self._folded)

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
