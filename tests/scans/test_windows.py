"""Windows: order, exactness, fractions; the standard's values are in tests/outside."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.scans.model import GreyWindow, LookupTable
from slidekit.scans.windows import apply_window, window_lut

decimals = st.decimals(-3000, 3000, places=2, allow_nan=False)
widths = st.decimals(1, 5000, places=2, allow_nan=False)


@settings(max_examples=60, deadline=None)
@given(center=decimals, width=widths)
def test_levels_are_exact_for_centers_and_widths_written_as_decimals(center, width):
    lut = window_lut(GreyWindow(float(center), float(width)))
    c, w, half = Fraction(center), Fraction(width), Fraction(1, 2)
    for value in (int(center) + k for k in range(-40, 41, 5)):
        if w == 1:
            level = 255 if value > c - half else 0
        else:
            y = ((value - (c - half)) / (w - 1) + half) * 255
            level = min(max(int((y + half) // 1), 0), 255)
        assert lut[value & 0xFFFF] == level


in_order = np.arange(-32_768, 32_768).astype(np.int16)
curves = st.sampled_from(["linear", "linear_exact", "sigmoid"])


@settings(max_examples=60, deadline=None)
@given(
    center=st.floats(-2000, 2000), width=st.floats(1, 4000), curve=curves, inverted=st.booleans()
)
def test_grey_levels_never_change_order(center, width, curve, inverted):
    lut = window_lut(GreyWindow(center, width, curve), inverted=inverted)
    steps = np.diff(lut[in_order.view(np.uint16)].astype(int))
    assert (steps <= 0).all() if inverted else (steps >= 0).all()


@settings(max_examples=40, deadline=None)
@given(center=st.floats(-500, 500), width=st.floats(0.01, 2000), curve=curves)
def test_fractional_levels_never_change_order(center, width, curve):
    if curve == "linear":
        width += 1
    values = np.linspace(-3000, 3000, 5000, dtype=np.float32)
    steps = np.diff(apply_window(values, GreyWindow(center, width, curve)).astype(int))
    assert (steps >= 0).all()


@settings(max_examples=40, deadline=None)
@given(center=decimals, width=st.decimals("0.01", 5000, places=2, allow_nan=False))
def test_linear_exact_is_exact_for_centers_and_widths_written_as_decimals(center, width):
    lut = window_lut(GreyWindow(float(center), float(width), "linear_exact"))
    c, w, half = Fraction(center), Fraction(width), Fraction(1, 2)
    for value in (int(center) + k for k in range(-40, 41, 5)):
        level = min(max(int((((value - c) / w + half) * 255 + half) // 1), 0), 255)
        assert lut[value & 0xFFFF] == level


@settings(max_examples=40, deadline=None)
@given(center=st.integers(-2000, 2000), width=st.integers(1, 4000))
def test_linear_exact_is_linear_half_a_unit_higher_and_a_unit_wider(center, width):
    # C.11.2.1.2.1 note 4 against C.11.2.1.3.2
    np.testing.assert_array_equal(
        window_lut(GreyWindow(center, width, "linear_exact")),
        window_lut(GreyWindow(center + 0.5, width + 1)),
    )


@settings(max_examples=40, deadline=None)
@given(center=st.integers(-2000, 2000), width=st.integers(1, 4000))
def test_a_sigmoid_has_its_middle_and_its_symmetry_where_linear_exact_has(center, width):
    sigmoid = window_lut(GreyWindow(center, width, "sigmoid"))
    exact = window_lut(GreyWindow(center, width, "linear_exact"))
    assert sigmoid[center & 0xFFFF] == exact[center & 0xFFFF] == 128  # 127.5 rounded half up
    away = np.arange(1, 3000)
    up, down = sigmoid[(center + away) & 0xFFFF], sigmoid[(center - away) & 0xFFFF]
    np.testing.assert_array_equal(up.astype(int) + down, 255)
    # its slope is greatest in the middle, and there that of LINEAR_EXACT
    inside = away[away <= width / 2]
    assert (up[: inside.size] <= exact[(center + inside) & 0xFFFF]).all()


@settings(max_examples=40, deadline=None)
@given(center=decimals, width=widths)
def test_a_sigmoid_is_the_formula_rounded_half_up(center, width):
    c, w = float(center), float(width)
    near = np.arange(int(c) - 3000, int(c) + 3000)
    y = 255 / (1 + np.exp(np.clip(-4 * (near - c) / w, -700, 700)))
    tie = np.abs((y % 1) - 0.5) < 1e-9
    levels = window_lut(GreyWindow(c, w, "sigmoid"))[near & 0xFFFF]
    np.testing.assert_array_equal(levels[~tie], np.floor(y + 0.5)[~tie])


@settings(max_examples=40, deadline=None)
@given(center=decimals, width=widths)
def test_fractions_get_the_level_of_the_formula_rounded_half_up(center, width):
    values = np.linspace(float(center) - 3000, float(center) + 3000, 997).astype(np.float32)
    levels = apply_window(values, GreyWindow(float(center), float(width)))
    if width == 1:
        expected = np.where(values > float(center) - 0.5, 255, 0)
        np.testing.assert_array_equal(levels, expected)
        return
    y = ((values.astype(float) - (float(center) - 0.5)) / (float(width) - 1) + 0.5) * 255
    tie = np.abs((y % 1) - 0.5) < 1e-9
    expected = np.clip(np.floor(y + 0.5), 0, 255)
    np.testing.assert_array_equal(levels[~tie], expected[~tie])


@pytest.mark.parametrize("kind", [np.int16, np.float32])
def test_whole_values_get_one_level_in_either_type(kind):
    values = np.arange(-500, 600, dtype=kind)
    np.testing.assert_array_equal(
        apply_window(values, GreyWindow(40, 401.5)),
        apply_window(values.astype(np.float32), GreyWindow(40, 401.5)),
    )


@pytest.mark.parametrize("values", [np.zeros(3, np.int16), np.zeros(3, np.float32)])
def test_windowing_leaves_the_values_as_they_are(values):
    apply_window(values, GreyWindow(0.5, 2), inverted=True)
    assert (values == 0).all()


@pytest.mark.parametrize("written", ["0.5", "0", "-3", "nan"])
@pytest.mark.parametrize("kind", [np.int16, np.float32])
def test_a_width_below_one_is_refused(kind, written):
    message = rf"^the window width is {written}; a LINEAR window needs at least 1$"
    with pytest.raises(ValueError, match=message):
        apply_window(np.zeros(3, kind), GreyWindow(40, float(written)))


@pytest.mark.parametrize(("center", "level"), [(1e15, 0), (-1e15, 255), (1e12, 0)])
def test_a_window_far_from_every_value_is_one_level(center, level):
    assert set(window_lut(GreyWindow(center, 400))) == {level}


def test_a_window_wide_beyond_measure_is_the_middle_grey():
    assert set(window_lut(GreyWindow(0, 1e14))) <= {127, 128}


@pytest.mark.parametrize("center", ["nan", "inf", "-inf"])
@pytest.mark.parametrize("kind", [np.int16, np.float32])
def test_a_center_that_is_no_number_is_refused(kind, center):
    with pytest.raises(ValueError, match=rf"^the window center is {center}; it must be a number$"):
        apply_window(np.zeros(3, kind), GreyWindow(float(center), 400))


@pytest.mark.parametrize("curve", ["linear_exact", "sigmoid"])
@pytest.mark.parametrize("kind", [np.int16, np.float32])
def test_the_other_curves_want_a_width_above_zero(kind, curve):
    narrow = GreyWindow(0.5, 0.25, curve)
    assert apply_window(np.array([-1, 0, 1, 2], kind), narrow).tolist()[::3] == [0, 255]
    name = curve.upper()
    message = rf"^the window width is 0; a {name} window needs more than 0$"
    with pytest.raises(ValueError, match=message):
        apply_window(np.zeros(3, kind), GreyWindow(40, 0, curve))


@settings(max_examples=40, deadline=None)
@given(
    entries=st.lists(st.integers(0, 255), min_size=1, max_size=40),
    first=st.integers(-1000, 1000),
    inverted=st.booleans(),
)
def test_a_table_of_8_bits_gives_its_own_entries(entries, first, inverted):
    table = LookupTable(first, tuple(entries), 8)
    lut = window_lut(table, inverted=inverted)
    for value in range(first - 3, first + len(entries) + 3):
        level = entries[min(max(value - first, 0), len(entries) - 1)]
        assert lut[value & 0xFFFF] == (255 - level if inverted else level)


def test_a_table_takes_fractions_as_the_nearest_whole_value():
    table = LookupTable(10, (0, 100, 200), 8)
    values = np.array([9.4, 10.49, 10.5, 11.2, 11.5, 99, -99], np.float32)
    assert apply_window(values, table).tolist() == [0, 0, 100, 100, 200, 200, 0]


def test_entries_beyond_the_bits_of_a_table_are_white():
    assert apply_window(np.array([0], np.int16), LookupTable(0, (4000,), 8)).tolist() == [255]
