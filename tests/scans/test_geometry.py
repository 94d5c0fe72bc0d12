"""Ranges, corners and normals of series; the mapping itself is checked in tests/outside."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import ScanError
from slidekit.scans.catalogue import index_folder
from slidekit.scans.geometry import (
    crossing,
    grid_of_slice,
    lps_from_pixel,
    normal,
    orientation_letters,
    pixel_from_lps,
    position_range_mm,
    slice_normal,
)
from slidekit.scans.model import Grid
from tests.scans.dicom_series import Placement, image_dataset, write_series


def series_in(folder, placement=None):
    write_series(folder, np.zeros((4, 5, 7), np.int16), placement or Placement())
    return index_folder(folder).series[0]


def test_a_range_spans_the_sample_centres(tmp_path):
    placement = Placement(
        first_lps=(-3, 10, 20), step_lps=(0, 0, 2), row_spacing_mm=0.5, column_spacing_mm=0.8
    )
    series = series_in(tmp_path, placement)
    assert position_range_mm(series, "sagittal") == pytest.approx((-3, -3 + 6 * 0.8))
    assert position_range_mm(series, "coronal") == pytest.approx((10, 10 + 4 * 0.5))
    assert position_range_mm(series, "axial") == pytest.approx((20, 26))
    assert position_range_mm(series, "acquired") == pytest.approx((20, 26))


def test_a_tilted_range_reaches_from_the_lowest_to_the_highest_corner(tmp_path):
    cos, sin = math.cos(math.radians(15)), math.sin(math.radians(15))
    series = series_in(tmp_path, Placement((1, 0, 0, 0, cos, sin), step_lps=(0, 0, 3)))
    assert position_range_mm(series, "axial") == pytest.approx((0, 9 + 4 * sin))
    assert position_range_mm(series, "coronal") == pytest.approx((0, 4 * cos))
    assert position_range_mm(series, "acquired") == pytest.approx((0, 9 * cos))


def test_the_grid_of_a_slice_is_its_header(tmp_path):
    series = series_in(tmp_path, Placement(first_lps=(1, 2, 3), row_spacing_mm=0.5))
    grid = grid_of_slice(series, 2)
    assert grid.origin_lps == (1, 2, 5)
    assert (grid.rows, grid.columns, grid.row_mm, grid.column_mm) == (5, 7, 0.5, 1)
    assert normal(grid) == pytest.approx(slice_normal(series))


def test_a_page_has_no_grid(tmp_path):
    image_dataset(np.zeros((4, 5), np.int16)).save_as(tmp_path / "page", enforce_file_format=True)
    page = index_folder(tmp_path).series[0]
    message = r"^page is a page without a place in the patient\. Use a series of slices\.$"
    with pytest.raises(ScanError, match=message):
        grid_of_slice(page, 0)
    with pytest.raises(ScanError, match=message):
        position_range_mm(page, "axial")


def test_directions_a_few_degrees_off_an_axis_have_one_letter():
    assert orientation_letters((0.9986, 0.0523, 0)) == "L"  # 3 degrees
    assert orientation_letters((0.9848, 0.1736, 0)) == "LP"  # 10 degrees


angles = st.floats(-1.2, 1.2)


def turned_grid(middle, tilt: float, turn: float) -> Grid:
    """A picture of 101 by 81 pixels of 2 mm around `middle`, tilted out of the axial plane."""
    right = np.array([np.cos(turn), np.sin(turn), 0])
    down = np.array([-np.sin(turn) * np.cos(tilt), np.cos(turn) * np.cos(tilt), np.sin(tilt)])
    origin = np.asarray(middle) - 100 * right - 80 * down
    return Grid(tuple(origin), tuple(right), tuple(down), 2.0, 2.0, rows=81, columns=101)


def test_an_axial_and_a_coronal_plane_cross_where_both_say():
    # by hand: z = 10 on a coronal picture whose first row is at z = 90, 2 mm apart: row 40;
    # the axial picture reaches from x = -41 to 61 (outer edges): columns 29.5 to 80.5
    coronal = Grid((-100, 5, 90), (1, 0, 0), (0, 0, -1), 2.0, 2.0, rows=81, columns=101)
    axial = Grid((-40, -60, 10), (1, 0, 0), (0, 1, 0), 2.0, 2.0, rows=81, columns=51)
    ends = crossing(axial, coronal)
    assert sorted(map(tuple, ends.tolist())) == [(29.5, 40.0), (80.5, 40.0)]


@settings(max_examples=60, deadline=None)
@given(angles, angles, angles, angles, st.tuples(*[st.floats(-30, 30)] * 3))
def test_a_crossing_lies_in_both_planes_and_on_both_pictures_reach(t1, u1, t2, u2, shift):
    cut, seen = turned_grid((0, 0, 0), t1, u1), turned_grid(shift, t2, u2)
    try:
        ends = crossing(cut, seen)
    except ScanError:
        assert np.linalg.norm(np.cross(normal(cut), normal(seen))) < 0.18
        return
    if ends is None:
        return
    points = lps_from_pixel(seen, ends)
    assert np.allclose(pixel_from_lps(cut, points)[1], 0, atol=1e-8)
    assert np.allclose(pixel_from_lps(seen, points)[1], 0, atol=1e-8)
    assert (ends >= -0.5 - 1e-9).all()
    assert (ends <= np.array([100.5, 80.5]) + 1e-9).all()


def test_parallel_planes_do_not_cross():
    with pytest.raises(ScanError, match=r"^it lies in nearly the same plane\. Name a view in"):
        crossing(turned_grid((0, 0, 0), 0.0, 0.0), turned_grid((0, 0, 9), 0.05, 1.0))


def test_a_cut_beside_a_picture_does_not_cross_it():
    coronal = Grid((-100, 5, 90), (1, 0, 0), (0, 0, -1), 2.0, 2.0, rows=81, columns=101)
    assert crossing(turned_grid((0, 0, 300), 0.0, 0.0), coronal) is None
