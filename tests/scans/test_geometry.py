"""Ranges, corners and normals of series; the mapping itself is checked in tests/outside."""

import math

import numpy as np
import pytest

from slidekit.errors import ScanError
from slidekit.scans.catalogue import index_folder
from slidekit.scans.geometry import (
    grid_of_slice,
    normal,
    orientation_letters,
    position_range_mm,
    slice_normal,
)
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
