"""Curved surfaces: arc lengths, places there and back, and letters where they are true."""

import re
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import CubicSpline

from slidekit.errors import ScanError
from slidekit.scans.geometry import lps_from_pixel
from slidekit.scans.model import CurvedSurface
from slidekit.scans.planes.curves import (
    flat_from_lps,
    flat_letters,
    flatten,
    lps_from_flat,
    stand_in_lps,
)

BEND = ((0.0, 20.0, 10.0), (2.0, 26.0, 60.0), (-3.0, 18.0, 110.0), (0.0, 40.0, 160.0))


def surface(points=BEND, across=(1, 0, 0), width_mm=40.0, *, smooth=True):
    return CurvedSurface(tuple(points), across, width_mm, smooth)


def circle(radius, degrees, count):
    turns = np.radians(np.linspace(0, degrees, count))
    return [(0.0, radius * np.cos(t), radius * np.sin(t)) for t in turns.tolist()]


def test_a_smooth_path_is_the_natural_cubic_spline_by_chord_length():
    # scipy.interpolate.CubicSpline, bc_type="natural"; its length by scipy.integrate.quad
    points = np.array(BEND)
    knots = np.r_[0, np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))]
    spline = CubicSpline(knots, points, bc_type="natural")
    speed = spline.derivative()
    length = sum(quad(lambda t: np.linalg.norm(speed(t)), a, b)[0] for a, b in pairwise(knots))
    flattening, _ = flatten(surface(), 0.5)
    assert flattening.length_mm == pytest.approx(length, abs=1e-3)
    path = np.array(flattening.path_lps)[::-1]  # the head is at the top of the picture
    dense = spline(np.linspace(0, knots[-1], 20001))
    away = [np.linalg.norm(dense - place, axis=1).min() for place in path]
    assert max(away) < 0.01
    steps = np.linalg.norm(np.diff(path, axis=0), axis=1)
    assert steps == pytest.approx(flattening.step_mm, abs=2e-3)


@pytest.mark.parametrize("smooth", [True, False])
def test_the_length_of_a_quarter_circle_is_its_arc(smooth):
    count = 13 if smooth else 181
    flattening, _ = flatten(surface(circle(50, 90, count), smooth=smooth), 0.5)
    assert flattening.length_mm == pytest.approx(25 * np.pi, abs=0.01)


def test_a_straight_path_keeps_the_lengths_of_its_pieces():
    points = [(0, 0, 0), (0, 30, 40), (0, 30, 100)]
    flattening, grid = flatten(surface(points, smooth=False), 1.0)
    assert flattening.length_mm == pytest.approx(50 + 60)
    assert (grid.rows, grid.columns) == (111, 41)


@settings(max_examples=50, deadline=None)
@given(
    right=st.floats(-19, 19),
    down=st.floats(-70, 70),
    across=st.sampled_from([(1, 0, 0), (-1, 0.2, 0.1), (0.5, 0.1, -0.2)]),
    smooth=st.booleans(),
)
def test_places_on_the_flat_picture_lead_to_the_patient_and_back(right, down, across, smooth):
    flattening, _ = flatten(surface(across=across, smooth=smooth), 0.5)
    place = lps_from_flat(flattening, [(right, down)])
    back, away = flat_from_lps(flattening, place)
    assert back[0] == pytest.approx((right, down), abs=0.02)
    assert away == pytest.approx([0], abs=1e-6)
    moved = place + 3 * np.cross(flattening.across_lps, (0, 0.2, 1)) / np.hypot(1, 0.2)
    assert flat_from_lps(flattening, moved)[1] == pytest.approx([3], abs=0.5)


def test_distances_along_the_path_are_true_at_any_width():
    flattening, _ = flatten(surface(circle(60, 90, 19)), 0.5)
    for across in (-15.0, 0.0, 15.0):
        first, last = lps_from_flat(flattening, [(across, -20), (across, 30)])
        turn = np.arctan2(*first[[2, 1]]) - np.arctan2(*last[[2, 1]])
        assert abs(turn) * 60 == pytest.approx(50, abs=0.05)


def test_the_middle_of_the_flat_picture_is_that_of_the_path():
    flattening, grid = flatten(surface(), 0.5)
    middle = lps_from_pixel(grid, ((grid.columns - 1) / 2, (grid.rows - 1) / 2))
    np.testing.assert_allclose(lps_from_flat(flattening, [(0, 0)])[0], middle, atol=0.01)
    stand_in = stand_in_lps(flattening, grid, tuple(middle), [tuple(middle)])
    np.testing.assert_allclose(stand_in[0], middle, atol=0.01)


@pytest.mark.parametrize("order", [1, -1])
@pytest.mark.parametrize("sign", [1, -1])
def test_neither_the_order_of_the_places_nor_the_sign_of_across_mirrors_the_picture(order, sign):
    usual, _ = flatten(surface(), 0.5)
    other, _ = flatten(surface(BEND[::order], across=(sign, 0, 0)), 0.5)
    np.testing.assert_allclose(other.path_lps, usual.path_lps, atol=1e-6)
    assert other.across_lps == usual.across_lps == (1.0, 0.0, 0.0)
    assert flat_letters(usual) == ("R", "H", "L", "F")


def test_letters_stand_along_the_path_only_where_one_direction_leads_throughout():
    bent, _ = flatten(surface(circle(50, 120, 13)), 0.5)
    assert sorted(flat_letters(bent)) == ["", "", "L", "R"]
    unrolled = [(50 * np.sin(t), -50 * np.cos(t), 0) for t in np.radians([-40, -20, 0, 20, 40])]
    level, grid = flatten(surface(unrolled, across=(0, 0, 1)), 0.5)
    assert flat_letters(level) == ("R", "H", "L", "F")
    assert not level.runs_down
    assert grid.columns > grid.rows


def test_a_path_along_the_lines_across_it_is_refused():
    message = (
        r"^The path runs nearly along across: \[0, 0, 1\] at \[0, [\d.]+, [\d.]+\], so that no"
        r" surface is left to show\. Write a direction across the path, as in \[1, 0, 0\]\.$"
    )
    with pytest.raises(ScanError, match=message):
        flatten(surface([(0, 0, 0), (0, 10, 90)], across=(0, 0, 1)), 1.0)


def test_two_neighbouring_places_that_are_one_are_refused():
    message = "Two neighbouring points of path_mm are one place, [0, 0, 9]. Remove one of the two."
    with pytest.raises(ScanError, match=f"^{re.escape(message)}$"):
        flatten(surface([(0, 0, 0), (0, 0, 9), (0, 0, 9), (0, 0, 20)]), 1.0)


def test_a_surface_at_a_right_angle_to_its_path_does_not_lean():
    flattening, _ = flatten(surface(circle(50, 120, 25)), 0.5)
    assert flattening.lean_deg == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("lean", [8.0, 30.0, 55.0])
def test_the_lean_of_the_lines_across_is_told(lean):
    across = (np.cos(np.radians(lean)), 0.0, np.sin(np.radians(lean)))
    flattening, _ = flatten(surface([(0, 0, 0), (0, 0, 50)], across, smooth=False), 0.5)
    assert flattening.lean_deg == pytest.approx(lean, abs=1e-6)


LOOP = [(0, 0, 0), (0, 30, 30), (0, 0, 60), (0, -10, 30), (0, 30, 0)]
HELIX = [(0.6 * k, 20 * np.cos(k / 3), 20 * np.sin(k / 3)) for k in range(40)]


@pytest.mark.parametrize(
    ("points", "meets"),
    [
        (circle(50, 120, 25), False),
        (circle(50, 360, 73), False),  # a ring: laid open where it closes
        (circle(50, 420, 85), True),  # more than once around
        (LOOP, True),
        (HELIX, True),  # turns that lie on each other as the lines across see them
        (BEND, False),
        ([(0, 0, 0), (0, 0, 50)], False),
        ([(0, 0, 0), (0, 0, 50), (0, 30, 20), (0, -10, 20)], True),
    ],
)
@pytest.mark.parametrize("smooth", [True, False])
def test_a_surface_that_meets_itself_is_told(points, meets, smooth):
    flattening, _ = flatten(surface(points, smooth=smooth), 0.5)
    assert flattening.meets_itself is meets
