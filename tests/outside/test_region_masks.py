"""Masks against scikit-image, and sizes against the formulas of plane geometry."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skimage import draw

from slidekit.scans.geometry import lps_from_pixel
from slidekit.scans.measures.regions import (
    ellipse_mask,
    polygon_area_mm2,
    polygon_mask,
)
from slidekit.scans.model import Grid

SHAPE = (60, 80)
PIXELS = Grid(  # 1 mm pixels, so that millimetres are pixels
    origin_lps=(0.0, 0.0, 0.0),
    right_lps=(1.0, 0.0, 0.0),
    down_lps=(0.0, 1.0, 0.0),
    column_mm=1.0,
    row_mm=1.0,
    rows=SHAPE[0],
    columns=SHAPE[1],
)
SLANTED = Grid(
    origin_lps=(-31.0, 12.5, 40.0),
    right_lps=(0.8, 0.6, 0.0),
    down_lps=(0.0, 0.0, -1.0),
    column_mm=0.45,
    row_mm=0.9,
    rows=SHAPE[0],
    columns=SHAPE[1],
)

places = st.tuples(st.floats(-5, 85), st.floats(-5, 65))


@settings(max_examples=200, deadline=None)
@given(center=places, radii=st.tuples(*[st.floats(0.6, 30)] * 2), turned=st.floats(-180, 180))
def test_an_ellipse_holds_the_pixels_of_skimage(center, radii, turned):
    ours = ellipse_mask(PIXELS, (*center, 0.0), radii, turned)
    theirs = np.zeros(SHAPE, bool)
    # skimage turns counter-clockwise from the rows: (row radius, column radius), radians
    rows, columns = draw.ellipse(
        center[1], center[0], radii[1], radii[0], shape=SHAPE, rotation=-np.radians(turned)
    )
    theirs[rows, columns] = True
    differing = ours != theirs
    if differing.any():  # only where a centre lies on the outline, to within rounding
        i, j = np.nonzero(differing)
        cos, sin = np.cos(np.radians(turned)), np.sin(np.radians(turned))
        x, y = j - center[0], i - center[1]
        r = ((x * cos + y * sin) / radii[0]) ** 2 + ((y * cos - x * sin) / radii[1]) ** 2
        np.testing.assert_allclose(r, 1, atol=1e-9)


@settings(max_examples=200, deadline=None)
@given(corners=st.lists(places, min_size=3, max_size=12))
def test_a_polygon_holds_the_pixels_of_skimage(corners):
    points = np.array(corners)
    ours = polygon_mask(PIXELS, np.column_stack((points, np.zeros(len(points)))))
    theirs = np.zeros(SHAPE, bool)
    rows, columns = draw.polygon(points[:, 1], points[:, 0], shape=SHAPE)
    theirs[rows, columns] = True
    differing = np.argwhere(ours != theirs)
    for i, j in differing:  # only where a centre lies on an edge: ours are half open
        assert distance_to_outline(points, (j, i)) < 1e-6


def distance_to_outline(points: np.ndarray, place) -> float:
    starts, ends = points, np.roll(points, -1, axis=0)
    edges, spokes = ends - starts, np.asarray(place) - starts
    lengths = np.maximum((edges**2).sum(axis=1), 1e-30)
    parts = np.clip((spokes * edges).sum(axis=1) / lengths, 0, 1)
    return float(np.linalg.norm(spokes - parts[:, None] * edges, axis=1).min())


def test_a_mask_on_a_slanted_grid_is_that_of_its_pixels():
    corners = np.array([(10.2, 8.7), (61.3, 14.1), (40.6, 50.9)])
    theirs = np.zeros(SHAPE, bool)
    theirs[draw.polygon(corners[:, 1], corners[:, 0], shape=SHAPE)] = True
    np.testing.assert_array_equal(polygon_mask(SLANTED, lps_from_pixel(SLANTED, corners)), theirs)


def test_an_ellipse_on_pixels_that_are_not_square_is_round_in_millimetres():
    center = tuple(lps_from_pixel(SLANTED, (40.3, 30.2)).tolist())
    mask = ellipse_mask(SLANTED, center, (9.0, 9.0))
    theirs = np.zeros(SHAPE, bool)
    theirs[draw.ellipse(30.2, 40.3, 9 / 0.9, 9 / 0.45, shape=SHAPE)] = True
    np.testing.assert_array_equal(mask, theirs)
    assert mask.sum() * 0.45 * 0.9 == pytest.approx(np.pi * 9**2, rel=0.01)


def rectangle(center_xy, size, turned=0):
    """Mask of a rectangle on PIXELS, turned clockwise by degrees."""
    cos, sin = np.cos(np.radians(turned)), np.sin(np.radians(turned))
    corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * np.asarray(size) / 2
    around = corners @ np.array([(cos, sin), (-sin, cos)])
    return polygon_mask(PIXELS, lps_from_pixel(PIXELS, center_xy + around))


def test_rectangles_side_by_side_share_no_pixel_and_leave_none_out():
    # corners on pixel centres: skimage, which counts both edges, gives 51 pixels to either side
    left = rectangle((20.0, 25.0), (20.0, 50.0))
    right = rectangle((40.0, 25.0), (20.0, 50.0))
    assert left.sum() == right.sum() == 20 * 50
    assert not (left & right).any()
    assert (left | right)[0:50, 10:50].all()


@pytest.mark.parametrize("turned", [0, 30, 90, -45])
def test_a_turned_rectangle_keeps_its_area(turned):
    mask = rectangle((40.3, 30.2), (40.0, 20.0), turned)
    assert mask.sum() == pytest.approx(800, rel=0.02)


def test_a_positive_rotation_turns_clockwise_on_the_picture():
    # a clockwise quarter turn less: the right end of a long shape moves down
    for mask in (
        rectangle((40.0, 30.0), (40.0, 6.0), 30),
        ellipse_mask(PIXELS, (40.0, 30.0, 0.0), (20.0, 3.0), 30),
    ):
        assert mask[30 + 7, 40 + 13]
        assert not mask[30 - 7, 40 + 13]


@settings(max_examples=50, deadline=None)
@given(radius=st.floats(2, 40), corners=st.integers(3, 60), turned=st.floats(0, 6))
def test_the_area_of_a_regular_polygon_is_the_formulas(radius, corners, turned):
    angles = turned + 2 * np.pi * np.arange(corners) / corners
    points = np.column_stack((radius * np.cos(angles), radius * np.sin(angles)))
    formula = corners / 2 * radius**2 * np.sin(2 * np.pi / corners)
    flat = lps_from_pixel(SLANTED, points / (0.45, 0.9))
    assert polygon_area_mm2(flat) == pytest.approx(formula)
