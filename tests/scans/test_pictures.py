"""Pictures: square pixels, true places, and no value that the window did not give."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import ScanError
from slidekit.scans.geometry import lps_from_pixel, pixel_from_lps
from slidekit.scans.model import AutomaticWindow, GreyWindow, Grid, PlaneImage
from slidekit.scans.pictures import make_picture, square_grid

GRID = Grid(
    origin_lps=(-20.0, 12.0, 7.0),
    right_lps=(0.8, 0.6, 0.0),
    down_lps=(0.0, 0.0, -1.0),
    column_mm=0.5,
    row_mm=0.5,
    rows=60,
    columns=80,
)


def image_of(values, grid=GRID, absent=None) -> PlaneImage:
    values = np.asarray(values)
    return PlaneImage(
        values=values.astype(np.int16) if values.dtype.kind == "i" else values.astype(np.float32),
        absent=np.zeros(values.shape, bool) if absent is None else absent,
        grid=replace(grid, rows=values.shape[0], columns=values.shape[1]),
        plane="coronal",
        at_mm=3.0,
        slice_number=None,
        slab_mm=0.0,
        slab="mean",
        unit="HU",
        inverted=False,
        source_slices=(1, 2),
        native_mm=(grid.column_mm, grid.row_mm),
    )


spacings = st.tuples(st.floats(0.3, 2.0), st.floats(0.3, 7.0))


@settings(max_examples=50, deadline=None)
@given(spacing=spacings, target=st.integers(20, 700), at=st.tuples(*[st.floats(0.3, 0.7)] * 2))
def test_a_marker_stays_at_its_place_through_scaling(spacing, target, at):
    # a smooth blob, whose centre of mass no symmetric filter moves
    grid = replace(GRID, column_mm=spacing[0], row_mm=spacing[1])
    row, column = 60 * at[1], 80 * at[0]
    i, j = np.mgrid[:60, :80]
    blob = 250 * np.exp(-((i - row) ** 2 + (j - column) ** 2) / (2 * 3.0**2))
    picture = make_picture(image_of(blob, grid), GreyWindow(128, 256), target_px=target)
    weight = picture.pixels.astype(float)
    rows, columns = np.mgrid[: picture.grid.rows, : picture.grid.columns]
    center = (weight * columns).sum() / weight.sum(), (weight * rows).sum() / weight.sum()
    place = lps_from_pixel(grid, (column, row))
    (x, y), off_plane = pixel_from_lps(picture.grid, place)
    pixel_mm = picture.grid.column_mm
    assert off_plane == pytest.approx(0, abs=1e-9)
    # rounding to 8 bits moves the centre of a blob by up to a hundredth of its coarsest sample
    allowed_mm = max(0.05, 0.01 * max(spacing))
    assert (x * pixel_mm, y * pixel_mm) == pytest.approx(
        (center[0] * pixel_mm, center[1] * pixel_mm), abs=allowed_mm
    )


@settings(max_examples=100, deadline=None)
@given(spacing=spacings, target=st.integers(1, 4000))
def test_pixels_are_square_and_the_outer_corner_stays(spacing, target):
    grid = replace(GRID, column_mm=spacing[0], row_mm=spacing[1])
    square = square_grid(grid, target)
    assert square.column_mm == square.row_mm
    finest = min(spacing)
    assert finest / square.column_mm == pytest.approx(round(finest / square.column_mm))
    assert 1 <= round(finest / square.column_mm) <= 3
    corner = lps_from_pixel(grid, (-0.5, -0.5))
    assert lps_from_pixel(square, (-0.5, -0.5)) == pytest.approx(corner)
    # less than a pixel is cut at right and bottom, and nothing is added
    for covered, whole in (
        (square.columns * square.column_mm, grid.columns * grid.column_mm),
        (square.rows * square.row_mm, grid.rows * grid.row_mm),
    ):
        assert whole - square.column_mm < covered + 1e-6 <= whole + 2e-6


@pytest.mark.parametrize(
    ("target", "columns"),
    [(1, 80), (80, 80), (119, 80), (121, 160), (200, 160), (240, 240), (9000, 240)],
)
def test_the_factor_is_the_nearest_whole_one_up_to_three(target, columns):
    assert square_grid(GRID, target).columns == columns


def test_tall_samples_are_stretched_to_their_true_height():
    # 10 rows of 7 mm and 140 columns of 0.5 mm: a square
    picture = make_picture(
        image_of(np.zeros((10, 140)), replace(GRID, row_mm=7.0)), GreyWindow(0, 1), target_px=100
    )
    assert picture.pixels.shape == (140, 140)
    assert picture.native_mm == (0.5, 7.0)


def test_a_picture_at_native_size_is_the_window_and_nothing_else():
    values = np.arange(4800).reshape(60, 80)
    picture = make_picture(image_of(values), GreyWindow(2400, 4800), target_px=80)
    np.testing.assert_array_equal(picture.pixels, np.floor(values / 4799 * 255 + 0.5))
    assert picture.grid == GRID


def test_scaling_follows_the_window_so_that_edges_invent_no_values():
    # far outside the window on both sides: overshoot would show inside it if scaled first
    values = np.where(np.arange(80) < 40, -1000, 3000) * np.ones((60, 1), int)
    picture = make_picture(image_of(values), GreyWindow(40, 80), target_px=240)
    assert set(np.unique(picture.pixels[:, :110])) == {0}
    assert set(np.unique(picture.pixels[:, 130:])) == {255}


def test_absent_samples_are_black_in_either_polarity():
    absent = np.zeros((6, 8), bool)
    absent[:, :4] = True
    for inverted in (False, True):
        image = replace(image_of(np.full((6, 8), 50), absent=absent), inverted=inverted)
        picture = make_picture(image, GreyWindow(50, 1), target_px=8)
        assert (picture.pixels[:, :4] == 0).all()
        assert (picture.pixels[:, 4:] == (0 if inverted else 255)).all()


def test_what_a_caption_needs_is_handed_on():
    picture = make_picture(image_of(np.zeros((60, 80), int)), GreyWindow(40, 400), target_px=160)
    assert (picture.scales, picture.unit) == ((GreyWindow(40, 400),), "HU")
    assert picture.seam_column is None
    assert (picture.plane, picture.at_mm, picture.source_slices) == ("coronal", 3.0, (1, 2))
    assert picture.letters == ("RA", "H", "LP", "F")


@settings(max_examples=25, deadline=None)
@given(
    columns=st.integers(1, 30),
    target=st.integers(1, 90),
    row_mm=st.floats(0.2, 1.5),
    inverted=st.booleans(),
)
def test_each_half_is_that_of_the_whole_picture(columns, target, row_mm, inverted):
    values = np.random.default_rng(columns).integers(-1000, 2000, (9, columns))
    image = image_of(values, replace(GRID, row_mm=row_mm), values < -900)
    image = replace(image, inverted=inverted)
    left, right = GreyWindow(40, 400), GreyWindow(300, 900, "sigmoid")
    halves = make_picture(image, left, right, target_px=target)
    seam = halves.seam_column
    assert seam == halves.grid.columns // 2
    assert halves.scales == (left, right)
    first, second = (make_picture(image, one, target_px=target).pixels for one in (left, right))
    np.testing.assert_array_equal(halves.pixels[:, :seam], first[:, :seam])
    np.testing.assert_array_equal(halves.pixels[:, seam:], second[:, seam:])


def test_an_automatic_half_is_found_from_the_whole_picture():
    values = np.where(np.arange(80) < 40, 0, 1000) + np.arange(60)[:, None]
    automatic = AutomaticWindow((0, 100))
    halves = make_picture(image_of(values), automatic, GreyWindow(0, 1), target_px=80)
    whole = make_picture(image_of(values), automatic, target_px=80)
    assert halves.scales == (*whole.scales, GreyWindow(0, 1))
    assert halves.scales[0].width == 1060


def test_wrong_sizes_and_windows_are_refused():
    with pytest.raises(ValueError, match=r"^3 scales are given; a picture has one, or one for"):
        make_picture(image_of(np.zeros((6, 8))), *[GreyWindow(0, 1)] * 3, target_px=8)
    with pytest.raises(ValueError, match=r"^target_px is 0; a picture needs at least 1 pixel$"):
        make_picture(image_of(np.zeros((6, 8))), GreyWindow(40, 400), target_px=0)
    with pytest.raises(ValueError, match=r"^the window width is 0; a LINEAR window needs at"):
        make_picture(image_of(np.zeros((6, 8))), GreyWindow(40, 0), target_px=8)


@pytest.mark.parametrize(
    ("column_mm", "row_mm", "size"), [(0.001, 5e4, "80 × 3000000000"), (5e4, 0.5, "8000000 × 60")]
)
def test_a_picture_of_absurd_length_is_refused_before_it_is_made(column_mm, row_mm, size):
    grid = replace(GRID, column_mm=column_mm, row_mm=row_mm)
    with pytest.raises(ScanError, match=rf"mm apart would be {size} pixels large\. Look whether"):
        make_picture(image_of(np.zeros((60, 80), int), grid), GreyWindow(40, 400), target_px=100)
