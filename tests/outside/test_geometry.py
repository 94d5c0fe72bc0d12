"""Places and directions against the standard's mapping and two other libraries."""

import math

import numpy as np
import pytest
import SimpleITK as sitk  # noqa: N813 - the name its manual uses
from highdicom.spatial import PixelToReferenceTransformer, ReferenceToPixelTransformer
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.geometry import (
    edge_letters,
    grid_of_slice,
    lps_from_pixel,
    normal,
    orientation_letters,
    pixel_from_lps,
)
from slidekit.scans.measures.regions import distance_mm, polygon_area_mm2
from slidekit.scans.model import Grid
from tests.scans.dicom_series import AXIAL, Placement, write_series

TURNED = Rotation.from_euler("zyx", [20, -15, 30], degrees=True).as_matrix()
SET_A = ((-100, -50, 30), AXIAL, (0.5, 0.8))
SET_B = (
    (10, 20, 30),
    (1, 0, 0, 0, math.cos(math.pi / 6), -math.sin(math.pi / 6)),
    (0.5, 0.8),
)
SET_C = ((-12.5, 40.25, -7.75), (*TURNED[:, 0], *TURNED[:, 1]), (0.6, 0.4))


def grid_of(position, orientation, spacing, size=(512, 512)) -> Grid:
    return Grid(
        origin_lps=position,
        right_lps=tuple(orientation[:3]),
        down_lps=tuple(orientation[3:]),
        column_mm=spacing[1],  # PixelSpacing is between rows first, PS3.3 10.7.1.3
        row_mm=spacing[0],
        rows=size[0],
        columns=size[1],
    )


# PS3.3 equation C.7.6.2.1-1; computed with highdicom 0.28.2 and SimpleITK 2.5.7
MAPPED = [
    (SET_A, (0, 0), (-100, -50, 30)),
    (SET_A, (1, 0), (-99.2, -50, 30)),
    (SET_A, (0, 1), (-100, -49.5, 30)),
    (SET_A, (10, 20), (-92, -40, 30)),
    (SET_A, (255, 127), (104, 13.5, 30)),
    (SET_B, (10, 20), (18, 28.660254, 25)),
    (SET_B, (255, 127), (214, 74.992613, -1.75)),
    (SET_C, (10, 20), (-12.833700, 51.245072, -1.505239)),
    (SET_C, (511, 511), (71.738194, 339.017489, 190.806878)),
]


@pytest.mark.parametrize(("image", "pixel", "place"), MAPPED)
def test_pixels_map_as_in_the_worked_examples(image, pixel, place):
    grid = grid_of(*image)
    assert lps_from_pixel(grid, pixel) == pytest.approx(place, abs=1e-6)
    points, off_plane = pixel_from_lps(grid, place)
    assert points == pytest.approx(pixel, abs=3e-6)
    assert off_plane == pytest.approx(0, abs=1e-6)


def test_a_place_off_the_plane_keeps_its_foot_and_its_distance():
    grid = grid_of(*SET_B)
    across = normal(grid)
    assert across == pytest.approx((0, 0.5, 0.8660254), abs=1e-7)
    points, off_plane = pixel_from_lps(grid, np.array((18, 28.660254, 25)) + 2 * across)
    assert points == pytest.approx((10, 20), abs=1e-5)
    assert off_plane == pytest.approx(2, abs=1e-6)


@settings(max_examples=50, deadline=None)
@given(
    angles=st.tuples(*[st.floats(-180, 180)] * 3),
    spacing=st.tuples(*[st.floats(0.1, 5)] * 2),
    pixel=st.tuples(*[st.integers(0, 511)] * 2),
)
def test_mapping_and_its_inverse_are_highdicoms(angles, spacing, pixel):
    turned = Rotation.from_euler("zyx", angles, degrees=True).as_matrix()
    image = ((-12.5, 40.25, -7.75), (*turned[:, 0].tolist(), *turned[:, 1].tolist()), spacing)
    theirs = PixelToReferenceTransformer(*image)
    place = lps_from_pixel(grid_of(*image), pixel)
    np.testing.assert_allclose(place, theirs(np.array([pixel]))[0], atol=1e-9)
    back = ReferenceToPixelTransformer(*image, spacing_between_slices=1.0, round_output=False)
    points, _ = pixel_from_lps(grid_of(*image), place + 3 * normal(grid_of(*image)))
    np.testing.assert_allclose(points, back(place[None] + 0)[0, :2], atol=1e-6)


# PS3.3 C.7.6.1.1.1; the order of several letters, by size, is common practice
LETTERS = [
    ((1, 0, 0), "L", "R"),
    ((0, 1, 0), "P", "A"),
    ((0, 0, -1), "F", "H"),
    ((0.8660, 0.5, 0), "LP", "RA"),
    ((0, 0.8660, -0.5), "PF", "AH"),
    ((0.907673, 0.174593, 0.381636), "LHP", "RFA"),
    ((-0.330366, 0.858058, 0.393185), "PHR", "AFL"),
]


@pytest.mark.parametrize(("vector", "letters", "opposite"), LETTERS)
def test_directions_have_the_standards_letters(vector, letters, opposite):
    assert orientation_letters(vector) == letters
    assert orientation_letters([-v for v in vector]) == opposite


# left, top, right, bottom of the three usual pictures; PS3.3 C.7.6.1.1.1
EDGES = [
    ((1, 0, 0, 0, 1, 0), ("R", "A", "L", "P")),
    ((1, 0, 0, 0, 0, -1), ("R", "H", "L", "F")),
    ((0, 1, 0, 0, 0, -1), ("A", "H", "P", "F")),
    ((-1, 0, 0, 0, 1, 0), ("L", "A", "R", "P")),
]


@pytest.mark.parametrize(("orientation", "letters"), EDGES)
def test_edges_are_lettered_by_where_they_lie(orientation, letters):
    assert edge_letters(grid_of((0, 0, 0), orientation, (1, 1))) == letters


def test_a_distance_is_measured_in_millimetres_of_either_spacing():
    # hypot((40 - 10) * 0.8, (60 - 20) * 0.5) = hypot(24, 20)
    ends = lps_from_pixel(grid_of(*SET_A), [(10, 20), (40, 60)])
    assert distance_mm(*ends) == pytest.approx(31.2410, abs=1e-4)


@pytest.mark.parametrize("image", [SET_A, SET_B])
def test_an_area_is_the_shoelace_times_both_spacings(image):
    # a square of 10 x 10 pixels: 100 * 0.5 * 0.8
    square = lps_from_pixel(grid_of(*image), [(10, 10), (20, 10), (20, 20), (10, 20)])
    assert polygon_area_mm2(square) == pytest.approx(40)


def test_positions_of_a_written_series_are_simpleitks(tmp_path):
    placement = Placement(
        orientation=SET_C[1],
        first_lps=SET_C[0],
        step_lps=2.5 * TURNED[:, 2],
        row_spacing_mm=0.6,
        column_spacing_mm=0.4,
    )
    folder = write_series(tmp_path / "turned", np.zeros((5, 7, 9), np.int16), placement)
    series = choose_series(index_folder(folder), None)
    names = sitk.ImageSeriesReader.GetGDCMSeriesFileNames(str(folder))
    image = sitk.ReadImage(names)
    for index in range(5):
        ours = lps_from_pixel(grid_of_slice(series, index), (3, 2))
        theirs = image.TransformIndexToPhysicalPoint((3, 2, index))
        assert ours == pytest.approx(theirs, abs=1e-4)
