"""Layers of a slab against sums worked by hand and dense sampling."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.scans.planes.layers import Gaps, Layer, Reducer, layers_between, locate

NODES = np.array([0.0, 1.0, 3.0, 4.0])


def test_a_place_lies_between_two_nodes_by_its_part_of_the_way():
    lower, part = locate(NODES, np.array([0, 0.25, 1, 2.5, 4]))
    assert lower.tolist() == [0, 0, 1, 1, 3]
    assert part.tolist() == [0, 0.25, 0, 0.75, 0]


def test_places_outside_count_as_the_outermost_nodes():
    lower, part = locate(NODES, np.array([-7.0, 9.0]))
    assert (lower.tolist(), part.tolist()) == ([0, 3], [0, 0])


def test_a_plane_without_thickness_is_one_layer():
    assert layers_between(NODES, 2, 2) == [Layer(1, 0.5, 1.0)]
    assert layers_between(NODES, 3, 3) == [Layer(2, 0.0, 1.0)]


def test_a_slab_is_its_faces_and_the_nodes_between_weighted_as_a_trapezoid():
    # from 0.5 to 3.5: pieces 0.5, 2 and 0.5 long; each end of a piece gets half of it
    layers = layers_between(NODES, 0.5, 3.5)
    assert [(layer.lower, layer.part) for layer in layers] == [(0, 0.5), (1, 0), (2, 0), (2, 0.5)]
    expected = np.array([0.25, 0.25 + 1, 1 + 0.25, 0.25]) / 3
    assert [layer.weight for layer in layers] == pytest.approx(expected)


def test_a_slab_beyond_the_nodes_is_clipped_to_them():
    assert [layer.lower for layer in layers_between(NODES, -5, 1)] == [0, 1]


def test_nothing_is_taken_from_a_gap():
    assert layers_between(NODES, 2, 2, Gaps((1,))) == []
    layers = layers_between(NODES, 0, 4, Gaps((1,)))
    assert [layer.weight for layer in layers] == pytest.approx([0.25, 0.25, 0.25, 0.25])
    assert layers_between(NODES, 1.2, 2.8, Gaps((1,))) == []


@settings(max_examples=60, deadline=None)
@given(
    steps=st.lists(st.floats(0.1, 5), min_size=1, max_size=8),
    values=st.lists(st.floats(-1000, 1000), min_size=9, max_size=9),
    ends=st.tuples(st.floats(0, 1), st.floats(0, 1)).map(sorted),
)
def test_mean_and_extremes_are_those_of_the_line_between_the_samples(steps, values, ends):
    nodes = np.r_[0, np.cumsum(steps)]
    values = np.array(values[: len(nodes)])
    low, high = np.array(ends) * nodes[-1]
    layers = layers_between(nodes, low, high)
    sampled = np.array(
        [(1 - f) * values[k] + (f * values[k + 1] if f else 0) for k, f, _ in layers]
    )
    dense = np.interp(np.linspace(low, high, 4001), nodes, values)
    mean = (np.r_[dense[:1] / 2, dense[1:-1], dense[-1:] / 2]).sum() / 4000
    assert sampled @ [layer.weight for layer in layers] == pytest.approx(mean, abs=2)
    assert sampled.max() >= dense.max() - 0.05  # slabs of no thickness are one sample
    assert sampled.min() <= dense.min() + 0.05
    assert sampled.max() <= values.max() + 1e-9


PRESENT = np.array([False, False, False])


def folded(mode, *layers):
    reducer = Reducer(mode)
    for values, absent, weight in layers:
        reducer.fold(np.array(values, np.float32), absent, weight)
    return reducer.finish((3,))


@pytest.mark.parametrize(
    ("mode", "expected"), [("mean", [2, 5, 8]), ("max", [3, 9, 9]), ("min", [1, 1, 7])]
)
def test_layers_fold_into_mean_and_extremes(mode, expected):
    values, absent = folded(mode, ([1, 1, 9], None, 0.5), ([3, 9, 7], None, 0.5))
    assert values.tolist() == expected
    assert not absent.any()


@pytest.mark.parametrize("mode", ["mean", "max", "min"])
def test_absent_samples_take_no_part_and_are_absent_only_when_all_are(mode):
    padding = -2000
    values, absent = folded(
        mode,
        ([padding, padding, 5], np.array([True, True, False]), 0.25),
        ([7, padding, 5], np.array([False, True, False]), 0.75),
    )
    assert values[[0, 2]].tolist() == [7, 5]
    assert absent.tolist() == [False, True, False]


def test_no_layer_at_all_is_all_absent():
    values, absent = Reducer("mean").finish((2, 2))
    assert (values == 0).all()
    assert absent.all()
