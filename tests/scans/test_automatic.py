"""Windows from values: whose values count, how they are rounded, and when there is none."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import ScanError
from slidekit.scans.automatic import find_window, outline_mask
from slidekit.scans.measures.regions import ellipse_mask
from slidekit.scans.model import AutomaticWindow, GreyWindow, Grid, Outline, PlaneImage
from slidekit.scans.windows import apply_window

GRID = Grid((10.0, 20.0, 5.0), (1, 0, 0), (0, 1, 0), 0.5, 0.8, 40, 50)


def image_of(values, absent=None) -> PlaneImage:
    values = np.asarray(values)
    return PlaneImage(
        values=values,
        absent=np.zeros(values.shape, bool) if absent is None else absent,
        grid=replace(GRID, rows=values.shape[0], columns=values.shape[1]),
        plane="axial",
        at_mm=5.0,
        slice_number=None,
        slab_mm=0.0,
        slab="mean",
        unit="HU",
        inverted=False,
        source_slices=(0,),
        native_mm=(0.5, 0.8),
    )


@settings(max_examples=80, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    reach=st.floats(0.01, 30_000),
    pair=st.tuples(st.floats(0, 40), st.floats(60, 100)),
    whole=st.booleans(),
)
def test_a_window_reaches_from_one_percentile_to_the_other(seed, reach, pair, whole):
    values = np.random.default_rng(seed).normal(0, reach, (40, 50))
    values = np.clip(values, -32_000, 32_000)
    several = reach > 10  # whole values on either side of the middle, so that percentiles differ
    values = values.astype(np.int16 if whole and several else np.float32)
    low, high = np.percentile(values, pair)
    window = find_window(replace(image_of(values), unit=""), AutomaticWindow(pair))
    more = 1 if window.curve == "linear" else 0
    black = window.center - more / 2 - (window.width - more) / 2
    white = window.center - more / 2 + (window.width - more) / 2
    # rounding moves centre and half the width by half a step each, a step being a 50th at most
    assert abs(black - low) <= (high - low) / 50
    assert abs(white - high) <= (high - low) / 50


def test_the_numbers_can_be_said():
    values = np.linspace(-987.3, 2613.8, 2000, dtype=np.float32).reshape(40, 50)
    assert find_window(image_of(values), AutomaticWindow((0, 100))) == GreyWindow(800, 3600)
    window = find_window(image_of(values / 10_000), AutomaticWindow((0, 100)))
    assert window == GreyWindow(0.08, 0.36, "linear_exact")


def test_an_author_may_choose_the_curve():
    values = np.arange(2000, dtype=np.int16).reshape(40, 50)
    wanted = AutomaticWindow((0, 100), "sigmoid")
    assert find_window(image_of(values), wanted) == GreyWindow(1000, 2000, "sigmoid")
    narrow = AutomaticWindow((0, 100), "linear")
    # a LINEAR window is a unit wider than what it shows
    assert find_window(image_of(values / np.float32(1999)), narrow) == GreyWindow(1, 2, "linear")


def test_the_ends_become_black_and_white():
    values = np.tile(np.array([100, 900], np.int16), (40, 25))
    for curve in ("linear", "linear_exact"):
        window = find_window(image_of(values), AutomaticWindow((0, 100), curve))
        assert set(np.unique(apply_window(values, window))) == {0, 255}


def test_absent_samples_do_not_count():
    values = np.arange(2000, dtype=np.int16).reshape(40, 50)
    spoiled, absent = values.copy(), np.zeros(values.shape, bool)
    spoiled[:, :10], absent[:, :10] = -2000, True
    window = find_window(image_of(spoiled, absent), AutomaticWindow((0, 100)))
    assert window == find_window(image_of(values[:, 10:]), AutomaticWindow((0, 100)))


def test_ct_numbers_below_air_do_not_count():
    # the corners of a round field of view, filled without a word in the header
    values = np.arange(2000, dtype=np.int16).reshape(40, 50) - np.int16(1000)
    spoiled = values.copy()
    spoiled[:, :10] = -2000
    window = find_window(image_of(spoiled), AutomaticWindow((0, 100)))
    assert window == find_window(image_of(values[:, 10:]), AutomaticWindow((0, 100)))
    counts = replace(image_of(spoiled), unit="counts")
    assert find_window(counts, AutomaticWindow((0, 100))).width > 2900


def test_only_values_inside_an_outline_count():
    values = np.zeros((40, 50), np.float32)
    values[10:30, 20:30] = np.linspace(300, 700, 200).reshape(20, 10)
    # from column 20 to 29 and row 10 to 29, as pixel edges in mm
    corners = [(19.75, 27.6), (24.75, 27.6), (24.75, 43.6), (19.75, 43.6)]
    inside = Outline("polygon", tuple((x, y, 5.0) for x, y in corners))
    window = find_window(image_of(values), AutomaticWindow((0, 100), "linear_exact", inside))
    assert window == GreyWindow(500, 400, "linear_exact")


def test_an_ellipse_holds_the_samples_that_its_axes_say():
    across, down, turn = 7.0, 4.0, np.radians(30)
    center = np.array([22.0, 35.0, 5.0])
    u = across * np.array([np.cos(turn), np.sin(turn), 0])
    v = down * np.array([-np.sin(turn), np.cos(turn), 0])
    outline = Outline("ellipse", tuple(map(tuple, (center, center + u, center + v))))
    np.testing.assert_array_equal(
        outline_mask(GRID, outline), ellipse_mask(GRID, tuple(center), (across, down), 30)
    )


def test_a_polygon_holds_the_samples_of_the_rectangle_it_is():
    corners = [(15.2, 30.2), (25.2, 30.2), (25.2, 40.2), (15.2, 40.2)]
    outline = Outline("polygon", tuple((x, y, 5.0) for x, y in corners))
    expected = np.zeros((40, 50), bool)
    expected[13:26, 11:31] = True  # 0.8 mm from row to row, 0.5 mm from column to column
    np.testing.assert_array_equal(outline_mask(GRID, outline), expected)


def test_one_value_everywhere_makes_no_window():
    message = (
        r"^the percentiles 1 and 99 of the values are both 7\. Choose percentiles farther apart,"
        r" or write center and width\.$"
    )
    with pytest.raises(ScanError, match=message):
        find_window(image_of(np.full((40, 50), 7, np.int16)), AutomaticWindow((1, 99)))


def test_a_region_of_a_few_samples_makes_no_window():
    tiny = Outline("polygon", ((12, 22, 5), (13, 22, 5), (13, 23, 5)))
    message = (
        r"^the region holds \d samples with values, too few for percentiles. Choose a region with"
        r" at least 16, or write center and width\.$"
    )
    values = np.arange(2000, dtype=np.int16).reshape(40, 50)
    with pytest.raises(ScanError, match=message):
        find_window(image_of(values), AutomaticWindow((1, 99), None, tiny))
