"""Windows: order, exactness, fractions; the standard's values are in tests/outside."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.scans.model import GreyWindow
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


@settings(max_examples=40, deadline=None)
@given(center=st.floats(-2000, 2000), width=st.floats(1, 4000), inverted=st.booleans())
def test_grey_levels_never_change_order(center, width, inverted):
    lut = window_lut(GreyWindow(center, width), inverted=inverted)
    ordered = lut[np.arange(-32_768, 32_768).astype(np.int16).view(np.uint16)].astype(int)
    steps = np.diff(ordered)
    assert (steps <= 0).all() if inverted else (steps >= 0).all()


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
