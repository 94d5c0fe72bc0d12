"""Measures against SimpleITK, scikit-image, scipy, real images and published worked numbers."""

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import SimpleITK as sitk  # noqa: N813 - its own usage
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from pydicom.data import get_testdata_file
from scipy.special import ellipe
from skimage import draw
from skimage import measure as skimage_measure

from slidekit.scans.catalogue import index_folder
from slidekit.scans.geometry import lps_from_pixel
from slidekit.scans.measures.on_planes import (
    measure_angle,
    measure_area,
    measure_line,
    sample_profile,
)
from slidekit.scans.measures.outlines import ellipse_perimeter_mm, feret_diameters, outline_mask
from slidekit.scans.measures.scale_ends import scale_ends
from slidekit.scans.model import Grid, PlaneRequest
from slidekit.scans.planes.read import read_planes
from tests.scans.plane_images import ellipse_on, image_of, polygon_on

SET_A = Grid(
    (-100, -50, 30), (1, 0, 0), (0, 1, 0), column_mm=0.8, row_mm=0.5, rows=128, columns=256
)
"""Set A of the worked numbers: PixelSpacing 0.5\\0.8 (row spacing first, PS3.3 10.7.1.3)."""

NOISE = np.random.default_rng(5)


@settings(max_examples=30, deadline=None)
@given(
    center=st.tuples(st.floats(20, 40), st.floats(20, 40)),
    radii=st.tuples(st.floats(2, 15), st.floats(2, 15)),
    turned=st.floats(-90, 90),
)
def test_statistics_are_those_of_simpleitk_on_the_mask_of_skimage(center, radii, turned):
    values = NOISE.normal(40, 25, (64, 64)).astype(np.float32)
    grid = image_of(values).grid
    ours = measure_area(image_of(values), ellipse_on(grid, center, radii, turned)).statistics
    mask = np.zeros(values.shape, np.uint8)
    rows, columns = draw.ellipse(
        center[1], center[0], radii[1], radii[0], shape=mask.shape, rotation=-np.radians(turned)
    )
    mask[rows, columns] = 1
    cos, sin = np.cos(np.radians(turned)), np.sin(np.radians(turned))
    y, x = (axis - middle for axis, middle in zip(np.mgrid[:64, :64], center[::-1], strict=True))
    r = ((x * cos + y * sin) / radii[0]) ** 2 + ((y * cos - x * sin) / radii[1]) ** 2
    assume((abs(r - 1) > 1e-9).all())  # a centre on the outline may fall either way
    theirs = sitk.LabelStatisticsImageFilter()
    theirs.Execute(sitk.GetImageFromArray(values), sitk.GetImageFromArray(mask))
    assert ours.n == theirs.GetCount(1)
    assert ours.mean == pytest.approx(theirs.GetMean(1), rel=1e-9)
    assert ours.sd == pytest.approx(theirs.GetSigma(1), rel=1e-9)  # n - 1 there too
    assert (ours.least, ours.greatest) == (theirs.GetMinimum(1), theirs.GetMaximum(1))
    # its median comes from a histogram; numpy's is exact
    assert ours.median == pytest.approx(np.median(values[mask == 1].astype(float)))
    assert ours.p5 == pytest.approx(np.percentile(values[mask == 1].astype(float), 5))


@pytest.fixture(scope="module")
def ct_small(tmp_path_factory):
    """pydicom's CT_small.dcm, alone in a folder."""
    folder = tmp_path_factory.mktemp("ct")
    source = Path(get_testdata_file("CT_small.dcm", download=False))
    (folder / "ct.dcm").write_bytes(source.read_bytes())
    series = index_folder(folder).series[0]
    return series, read_planes(series, [PlaneRequest("acquired")])[0]


def test_the_whole_of_ct_small_has_its_known_values(ct_small):
    # statistics of the file as pydicom 3.0.2 reads it, rescaled: -896 to 1167, mean -119.0739
    series, image = ct_small
    corners = [(-0.5, -0.5), (127.5, -0.5), (127.5, 127.5), (-0.5, 127.5)]
    whole = measure_area(image, polygon_on(image.grid, corners), scale_ends(series))
    assert (whole.statistics.n, whole.unit) == (128 * 128, "HU")
    assert (whole.statistics.least, whole.statistics.greatest) == (-896, 1167)
    assert whole.statistics.mean == pytest.approx(-119.0739, abs=5e-5)
    assert whole.area_mm2 == pytest.approx((128 * 0.661468) ** 2)
    assert whole.cautions == ()


@pytest.mark.parametrize(("place", "value"), [((0, 0), -849), ((64, 64), 904)])
def test_single_samples_of_ct_small_are_read_at_their_place(ct_small, place, value):
    _, image = ct_small
    x, y = place
    one = measure_area(image, ellipse_on(image.grid, place, (0.4, 0.4)))
    assert (one.statistics.n, one.statistics.mean) == (1, value)
    ends = [tuple(p) for p in lps_from_pixel(image.grid, [place, (x + 1, y)]).tolist()]
    assert sample_profile(image, ends).values[0] == value


def test_a_length_of_set_a_is_the_hypotenuse_of_its_millimetres():
    # (10, 20) to (40, 60): hypot(30 x 0.8, 40 x 0.5)
    ends = [tuple(p) for p in lps_from_pixel(SET_A, [(10, 20), (40, 60)]).tolist()]
    line = measure_line(ends, SET_A, (0.8, 0.5))
    assert line.length_mm == pytest.approx(31.2410, abs=5e-5)
    assert line.error_mm == pytest.approx(np.hypot(0.8 * 24, 0.5 * 20) / 31.2410, abs=1e-4)


def test_a_square_of_ten_pixels_of_set_a_measures_40_mm2():
    square = polygon_on(SET_A, [(10, 10), (20, 10), (20, 20), (10, 20)])
    assert square.area_mm2 == pytest.approx(40)
    assert square.perimeter_mm == pytest.approx(2 * (8 + 5))


def test_a_diagonal_of_set_a_is_no_45_degrees():
    points = [tuple(p) for p in lps_from_pixel(SET_A, [(20, 10), (10, 10), (20, 20)]).tolist()]
    angle = measure_angle(points, SET_A, (0.8, 0.5))
    assert angle.angle_deg == pytest.approx(32.0054, abs=5e-5)  # atan(0.5 / 0.8)


@given(st.floats(0.1, 500), st.floats(0.01, 1))
def test_the_perimeter_of_an_ellipse_is_scipys_elliptic_integral(long, share):
    exact = 4 * long * ellipe(1 - share**2)
    assert ellipse_perimeter_mm(long, long * share) == pytest.approx(exact, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.integers(2, 60), st.integers(2, 60)), min_size=3, max_size=9))
def test_feret_diameters_are_those_of_a_search_over_directions(corners):
    points = np.array(corners, float)
    if np.linalg.matrix_rank(points - points[0]) < 2:
        return
    greatest, least = feret_diameters(points)
    turns = np.linspace(0, np.pi, 3601)
    directions = np.stack((np.cos(turns), np.sin(turns)))
    widths = np.ptp(points @ directions, axis=0)
    assert greatest == pytest.approx(widths.max(), rel=1e-6)
    # between two directions a width changes by at most the diameter times their angle
    assert least <= widths.min() + 1e-9
    assert least == pytest.approx(widths.min(), abs=greatest * np.pi / 3600)


def test_the_greatest_feret_diameter_is_near_that_of_skimage():
    # skimage measures the outline of the pixels, half a pixel outside their centres at most
    corners = np.array([(8.2, 5.1), (50.7, 14.2), (44.4, 47.9), (20.3, 40.6)])
    grid = image_of(np.zeros((64, 64))).grid
    outline = polygon_on(grid, corners)
    theirs = skimage_measure.regionprops(outline_mask(grid, outline).astype(int))[
        0
    ].feret_diameter_max
    assert outline.feret_mm[0] == pytest.approx(theirs, abs=np.sqrt(2))


# a square of side a has least and greatest Feret diameter a and a root 2; a regular hexagon of
# side s, s root 3 and 2 s; a triangle of side s, s root 3 / 2 and s (plane geometry)
@pytest.mark.parametrize(
    ("count", "greatest", "least"),
    [(4, 2, np.sqrt(2)), (6, 2, np.sqrt(3)), (3, np.sqrt(3), 1.5)],
)
def test_regular_polygons_have_the_ferets_of_plane_geometry(count, greatest, least):
    turns = 0.3 + 2 * np.pi * np.arange(count) / count
    found = feret_diameters(np.stack((np.cos(turns), np.sin(turns)), axis=1))
    assert found == (pytest.approx(greatest), pytest.approx(least))


def centres_on_edges(corners) -> int:
    """How many centres of samples lie within a millionth of a sample of an edge."""
    centres = np.stack(np.meshgrid(np.arange(64.0), np.arange(64.0)), axis=-1).reshape(-1, 2)
    near = np.zeros(len(centres), bool)
    for start, end in pairwise([*corners, corners[0]]):
        along = np.subtract(end, start)
        offset = centres - start
        share = np.clip(offset @ along / max(along @ along, 1e-12), 0, 1)
        near |= np.linalg.norm(offset - share[:, np.newaxis] * along, axis=1) < 1e-6
    return int(near.sum())


@settings(max_examples=30, deadline=None)
@example(turn=0.0, tip=0.0, scale=1.505919093138222, corners=[(3.0, 3.0), (3.0, 6.0), (5.0, 3.0)])
@given(
    turn=st.floats(0, 360),
    tip=st.floats(0, 360),
    scale=st.floats(0.2, 5),
    corners=st.lists(st.tuples(st.floats(3, 60), st.floats(3, 60)), min_size=3, max_size=7),
)
def test_a_region_turned_with_its_plane_keeps_its_numbers_and_units_scale(
    turn, tip, scale, corners
):
    values = NOISE.integers(-100, 2000, (64, 64)).astype(np.int16)
    a, b = np.radians(turn), np.radians(tip)
    right = (np.cos(a), np.sin(a), 0.0)
    down = (-np.sin(a) * np.cos(b), np.cos(a) * np.cos(b), np.sin(b))
    flat = image_of(values)
    turned = image_of(values, Grid((7, -9, 40), right, down, scale, scale, 64, 64))
    first = measure_area(flat, polygon_on(flat.grid, corners))
    second = measure_area(turned, polygon_on(turned.grid, corners))
    if first.statistics is None or second.statistics is None:
        return
    # a centre on an edge may fall either way after rounding
    assert abs(second.statistics.n - first.statistics.n) <= centres_on_edges(corners)
    if second.statistics.n == first.statistics.n:
        assert second.statistics.mean == pytest.approx(first.statistics.mean)
    assert second.area_mm2 == pytest.approx(first.area_mm2 * scale**2, abs=1e-6)
    assert second.perimeter_mm == pytest.approx(first.perimeter_mm * scale)
    assert second.feret_mm == pytest.approx(tuple(f * scale for f in first.feret_mm), abs=1e-6)


def test_a_profile_is_that_of_skimage():
    values = NOISE.normal(0, 100, (64, 64))
    image = image_of(values)
    # 36 across and 27 up: 45 steps of one pixel, which is how skimage divides it too
    theirs = skimage_measure.profile_line(values, (50, 8), (23, 44), order=1, mode="constant")
    found = sample_profile(image, [(8.0, 50.0, 0.0), (44.0, 23.0, 0.0)])
    np.testing.assert_allclose(found.values, theirs, atol=1e-9)
