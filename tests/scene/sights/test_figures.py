import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import ScanError
from slidekit.scans.model import Grid
from slidekit.scene.model import Box
from slidekit.scene.sights.figures import (
    Figure,
    PictureFrame,
    ellipse_axes,
    figure_of,
    page_points,
)
from slidekit.storyboard.regions import (
    ArrowRegion,
    EllipseRegion,
    LineRegion,
    PointRegion,
    PolygonRegion,
    RectangleRegion,
)
from tests.scene.builders import AXIAL, axial_picture

FRAME = PictureFrame("axial", 30.0, AXIAL, None)
SAGITTAL = PictureFrame(
    "sagittal", -12.0, Grid((-12, -50, 90), (0, 1, 0), (0, 0, -1), 1, 1, 100, 100), None
)
# 0.8 mm between columns, 0.5 mm between rows; set A of the image plane mapping examples
ACQUIRED_GRID = Grid((-100, -50, 30), (1, 0, 0), (0, 1, 0), 0.8, 0.5, 200, 200)
ACQUIRED = PictureFrame("acquired", 30.0, ACQUIRED_GRID, ACQUIRED_GRID)
NAMES = {"view": "v", "called": "it"}


def test_two_numbers_are_the_two_axes_of_the_plane():
    region = PointRegion(shape="point", at_mm=(10, 20), **NAMES)
    assert figure_of(region, FRAME).points_lps == ((10, 20, 30),)
    assert figure_of(region, SAGITTAL).points_lps == ((-12, 10, 20),)


def test_three_numbers_are_patient_coordinates():
    region = PointRegion(shape="point", at_mm=(1, 2, 3), **NAMES)
    assert figure_of(region, FRAME).points_lps == ((1, 2, 3),)


def test_pixels_of_an_acquired_slice_use_column_spacing_across_and_row_spacing_down():
    # PS3.3 eq. C.7.6.2.1-1 with spacing 0.5\0.8: column 10, row 20 lies at (-92, -40, 30)
    region = PointRegion(shape="point", at_px=(10, 20), **NAMES)
    assert figure_of(region, ACQUIRED).points_lps[0] == pytest.approx((-92, -40, 30))


def test_an_ellipse_in_pixels_is_stretched_by_the_spacing():
    region = EllipseRegion(shape="ellipse", center_px=(50, 50), radii_px=(10, 10), **NAMES)
    center, across, down = np.array(figure_of(region, ACQUIRED).points_lps)
    assert across - center == pytest.approx((8, 0, 0))
    assert down - center == pytest.approx((0, 5, 0))


def test_two_millimetres_on_an_acquired_slice_are_refused():
    region = PointRegion(shape="point", at_mm=(1, 2), **NAMES)
    with pytest.raises(ScanError, match=r"^\[1\.0, 2\.0\] has two numbers, .* or pixels\.$"):
        figure_of(region, ACQUIRED)


def test_pixels_on_a_reformatted_view_are_refused():
    region = PointRegion(shape="point", at_px=(1, 2), **NAMES)
    with pytest.raises(
        ScanError,
        match=r"^the coordinates are pixels, and a view with plane axial has none of the scan\.",
    ):
        figure_of(region, FRAME)


def test_a_rectangle_turns_clockwise_on_the_picture():
    region = RectangleRegion(
        shape="rectangle", center_mm=(0, 0), size_mm=(20, 10), rotation_deg=90, **NAMES
    )
    corners = np.array(figure_of(region, FRAME).points_lps)[:, :2]
    # the left end of the upper edge, (-10, -5), comes to lie at the upper end of the right edge
    assert corners[0] == pytest.approx((5, -10))


def test_a_line_knows_its_length():
    region = LineRegion(shape="line", from_px=(10, 20), to_px=(40, 60), **NAMES)
    # hypot(30 columns of 0.8 mm, 40 rows of 0.5 mm) = hypot(24, 20)
    assert figure_of(region, ACQUIRED).length_mm == pytest.approx(31.2410, abs=1e-4)


def test_tail_and_tip_stay_in_order():
    region = ArrowRegion(shape="arrow", tail_mm=(0, 0), tip_mm=(5, 0), **NAMES)
    assert figure_of(region, FRAME).points_lps == ((0, 0, 30), (5, 0, 30))


def test_a_figure_lands_on_the_page_where_its_pixels_are_drawn():
    box = Box(20, 10, 200, 160)  # 400 by 320 pixels: half a page millimetre each
    figure = Figure("point", ((-100, -80, 30),))  # the first pixel's centre
    assert page_points(figure, axial_picture(), box)[0] == pytest.approx((20.25, 10.25))


def test_a_figure_off_the_plane_says_how_far():
    figure = Figure("point", ((0, 0, 42),))
    with pytest.raises(ScanError, match=r"^it lies 12\.0 mm away from the plane of this view"):
        page_points(figure, axial_picture(), Box(0, 0, 100, 80))


def test_a_thick_slab_reaches_farther():
    figure = Figure("point", ((0, 0, 42),))
    picture = axial_picture(slab_mm=30.0)
    assert page_points(figure, picture, Box(0, 0, 100, 80))


def test_a_figure_beyond_the_edge_says_by_how_much():
    figure = Figure("point", ((103.75, 0, 30),))  # the last pixel ends at x = 99.75
    with pytest.raises(ScanError, match=r"^it reaches 4\.0 mm beyond the edge of the picture\."):
        page_points(figure, axial_picture(), Box(0, 0, 100, 80))


def test_the_rim_of_an_ellipse_counts_not_its_given_points():
    rim = (95.0, 0.0, 30.0), (99.0, 4.0, 30.0), (91.0, 4.0, 30.0)  # circle of radius 4 sqrt 2
    with pytest.raises(ScanError, match=r"^it reaches 0\.9 mm beyond"):
        page_points(Figure("ellipse", rim), axial_picture(), Box(0, 0, 100, 80))


@settings(max_examples=60)
@given(st.floats(1, 50), st.floats(0.2, 1), st.floats(-89, 89), st.floats(0.1, 6.2))
def test_axes_are_found_from_any_pair_of_conjugate_half_diameters(long, ratio, rotation, phase):
    turn = np.radians(rotation)
    major = long * np.array([np.cos(turn), np.sin(turn)])
    minor = long * ratio * np.array([-np.sin(turn), np.cos(turn)])
    ends = [major * np.cos(t) + minor * np.sin(t) for t in (phase, phase + np.pi / 2)]
    center, radii, found = ellipse_axes([(3.0, 4.0), *(p + np.array([3, 4]) for p in ends)])
    assert center == (3, 4)
    assert radii == pytest.approx((long, long * ratio))
    if ratio < 0.99:
        assert np.cos(np.radians(2 * (found - rotation))) == pytest.approx(1, abs=1e-6)


def test_a_polygon_keeps_its_corners():
    region = PolygonRegion(shape="polygon", points_mm=((0, 0), (5, 0), (5, 5)), **NAMES)
    assert figure_of(region, FRAME).points_lps == ((0, 0, 30), (5, 0, 30), (5, 5, 30))
