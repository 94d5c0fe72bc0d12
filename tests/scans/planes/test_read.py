"""Planes: what may be asked, which side is which, and what each way of sampling gives."""

import math
import re
import shutil
import tracemalloc

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from slidekit.errors import ScanError
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.geometry import lps_from_pixel, pixel_from_lps, position_range_mm
from slidekit.scans.model import GreyWindow, PlaneRequest
from slidekit.scans.pictures import make_picture
from slidekit.scans.planes import read as planes
from slidekit.scans.planes.read import check_request, read_planes
from tests.scans.dicom_series import AXIAL, Attributes, Placement, write_series

CORONAL = (1, 0, 0, 0, 0, -1)
SAGITTAL = (0, 1, 0, 0, 0, -1)
STANDARD = ("axial", "coronal", "sagittal")

in_folder = settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


PLAIN = Placement(), Attributes()


def series_of(folder, volume, placement=PLAIN[0], attributes=PLAIN[1], order=None):
    shutil.rmtree(folder / "series", ignore_errors=True)
    write_series(folder / "series", volume, placement, attributes, order=order)
    return choose_series(index_folder(folder / "series"), None)


# --- left and right: a marker at a known place of the patient --------------------------------

ALIGNED = [
    (*row, *column)
    for row in np.vstack((np.eye(3), -np.eye(3))).astype(int).tolist()
    for column in np.vstack((np.eye(3), -np.eye(3))).astype(int).tolist()
    if np.dot(row, column) == 0
]
"""All 24 ways to lay rows and columns along the axes of the patient."""


@in_folder
@given(
    orientation=st.sampled_from(ALIGNED),
    turned_deg=st.sampled_from([0, 0, 12]),
    tilt_mm=st.sampled_from([0, 0, 0.8]),
    order=st.permutations(range(12)),
    corner=st.tuples(*[st.booleans()] * 3),
)
def test_a_marked_corner_appears_where_the_patient_has_it(
    orientation, turned_deg, tilt_mm, order, corner, tmp_path
):
    turn = Rotation.from_euler("xyz", [turned_deg] * 3, degrees=True)
    row, column = turn.apply(orientation[:3]), turn.apply(orientation[3:])
    placement = Placement(
        orientation=(*row, *column),
        first_lps=(-20, 15, 30),
        step_lps=2.0 * np.cross(row, column) + tilt_mm * column,
        row_spacing_mm=1.5,
        column_spacing_mm=1.2,
    )
    volume = np.zeros((12, 14, 16), np.int16)
    low, high = (2, 3, 3), (8, 10, 11)
    index = [high[a] if corner[a] else low[a] for a in range(3)]
    volume[tuple(slice(i, i + 2) for i in index)] = 1000
    marker = placement.lps(np.add(index, 0.5)[None])[0]  # the middle of the 2 x 2 x 2 block
    middle = placement.lps(np.array([[5.5, 6.5, 7.5]]))[0]

    series = series_of(tmp_path, volume, placement, order=order)
    for plane, image in zip(STANDARD, planes_through(series, marker), strict=True):
        picture = make_picture(image, GreyWindow(500, 1000), target_px=48)
        brightest = np.argwhere(picture.pixels > 128)[:, ::-1].mean(axis=0)
        place = lps_from_pixel(picture.grid, brightest)
        assert place == pytest.approx(marker, abs=1.3), plane
        # the letters at the edges say the same as the numbers
        sides = {"L": (0, 1), "R": (0, -1), "P": (1, 1), "A": (1, -1), "H": (2, 1), "F": (2, -1)}
        shape = np.array([picture.grid.columns, picture.grid.rows])
        middle_xy, _ = pixel_from_lps(picture.grid, middle)
        for letter, axis, end in zip(picture.letters, (0, 1, 0, 1), (0, 0, 1, 1), strict=True):
            patient_axis, sign = sides[letter]
            towards = (marker - middle)[patient_axis] * sign
            if abs(towards) > 3:
                nearer = abs(brightest - shape * end)[axis] < abs(middle_xy - shape * end)[axis]
                assert nearer == (towards > 0), (plane, letter)


def planes_through(series, place):
    axes = {"axial": 2, "coronal": 1, "sagittal": 0}
    return read_planes(series, [PlaneRequest(p, at_mm=float(place[axes[p]])) for p in STANDARD])


USUAL = {  # left, top, right, bottom; common practice
    "axial": ("R", "A", "L", "P"),
    "coronal": ("R", "H", "L", "F"),
    "sagittal": ("A", "H", "P", "F"),
}


@pytest.mark.parametrize("orientation", ALIGNED)
def test_standard_planes_are_shown_from_the_usual_side(orientation, tmp_path):
    across = np.cross(orientation[:3], orientation[3:])
    series = series_of(
        tmp_path, np.zeros((4, 5, 6), np.int16), Placement(orientation, (0, 0, 0), across)
    )
    for plane, image in zip(STANDARD, planes_through(series, middle_of(series)), strict=True):
        assert make_picture(image, GreyWindow(0, 1), target_px=10).letters == USUAL[plane]


def middle_of(series):
    return [sum(position_range_mm(series, plane)) / 2 for plane in reversed(STANDARD)]


# --- values ----------------------------------------------------------------------------------

NUMBERED = np.fromfunction(lambda k, i, j: 100 * k + 7 * i + j, (4, 5, 7)).astype(np.int16)


def test_an_aligned_plane_takes_the_samples_untouched(tmp_path):
    # 100 per slice, 7 per row, 1 per column
    placement = Placement(step_lps=(0, 0, 2.0), row_spacing_mm=0.5, column_spacing_mm=0.8)
    series = series_of(tmp_path, NUMBERED, placement)
    axial, coronal, sagittal, acquired = read_planes(
        series,
        [
            PlaneRequest("axial", at_mm=2),
            PlaneRequest("coronal", at_mm=1.0),
            PlaneRequest("sagittal", at_mm=4.0),
            PlaneRequest("acquired", slice_number=3),
        ],
    )
    np.testing.assert_array_equal(axial.values, NUMBERED[1])
    np.testing.assert_array_equal(coronal.values, NUMBERED[::-1, 2, :])
    np.testing.assert_array_equal(sagittal.values, NUMBERED[::-1, :, 5])
    np.testing.assert_array_equal(acquired.values, NUMBERED[2])
    for image in (axial, coronal, sagittal, acquired):
        assert image.values.dtype == np.int16
        assert image.values.flags.c_contiguous
    assert (axial.source_slices, acquired.source_slices) == ((1,), (2,))
    assert coronal.source_slices == (0, 1, 2, 3)
    assert acquired.slice_number == 3
    assert axial.slice_number is None
    assert coronal.native_mm == pytest.approx((0.8, 2.0))
    assert sagittal.native_mm == pytest.approx((0.5, 2.0))


def test_a_plane_between_samples_is_interpolated_linearly(tmp_path):
    series = series_of(tmp_path, NUMBERED, Placement(step_lps=(0, 0, 2.0)))
    axial, coronal, sagittal = read_planes(
        series,
        [
            PlaneRequest("axial", at_mm=2.5),
            PlaneRequest("coronal", at_mm=1.75),
            PlaneRequest("sagittal", at_mm=3.5),
        ],
    )
    np.testing.assert_allclose(axial.values, NUMBERED[1] + 25)
    np.testing.assert_allclose(coronal.values, NUMBERED[::-1, 1, :] + 0.75 * 7)
    np.testing.assert_allclose(sagittal.values, NUMBERED[::-1, :, 3] + 0.5)
    assert axial.source_slices == (1, 2)


def test_a_place_within_a_twentieth_of_a_sample_is_the_sample(tmp_path):
    series = series_of(tmp_path, NUMBERED, Placement(step_lps=(0, 0, 2.0)))
    (image,) = read_planes(series, [PlaneRequest("axial", at_mm=2.04)])
    assert image.values.dtype == np.int16
    assert image.at_mm == 2.0


@pytest.mark.parametrize(
    ("slab", "expected"),
    [
        # from z = 1 to 5 in slices 2 mm apart: values 50, 100, 200, 250 at 1, 2, 4, 5
        ("mean", (50 / 2 + 100 / 2 + 2 * (100 + 200) / 2 + 200 / 2 + 250 / 2) / 4),
        ("max", 250),
        ("min", 50),
    ],
)
def test_a_slab_is_the_mean_or_extreme_of_its_thickness(slab, expected, tmp_path):
    series = series_of(tmp_path, NUMBERED, Placement(step_lps=(0, 0, 2.0)))
    request = PlaneRequest("axial", at_mm=3, slab_mm=4, slab=slab)
    acquired = PlaneRequest("acquired", at_mm=2, slab_mm=2, slab=slab)
    axial, stored = read_planes(series, [request, acquired])
    np.testing.assert_allclose(axial.values - NUMBERED[0], expected, rtol=1e-6)
    np.testing.assert_allclose(
        stored.values - NUMBERED[0], {"mean": 100, "max": 150, "min": 50}[slab], rtol=1e-6
    )


@pytest.mark.parametrize("plane", ["coronal", "sagittal"])
@pytest.mark.parametrize("slab", ["mean", "max", "min"])
def test_a_slab_across_the_slices_is_that_of_their_lines(plane, slab, tmp_path):
    series = series_of(tmp_path, NUMBERED, Placement(step_lps=(0, 0, 2.0)))
    (image,) = read_planes(series, [PlaneRequest(plane, at_mm=2, slab_mm=2, slab=slab)])
    step = 7 if plane == "coronal" else 1
    lines = NUMBERED[::-1, 2, :] if plane == "coronal" else NUMBERED[::-1, :, 2]
    np.testing.assert_allclose(image.values, lines + {"mean": 0, "max": step, "min": -step}[slab])


def test_an_acquired_slab_of_a_tilted_series_follows_the_normal(tmp_path):
    # the value is the patient's y: along the slanted normal it changes, along the shear it stays
    tilt = math.radians(20)
    column = (0, math.cos(tilt), -math.sin(tilt))
    placement = Placement((1, 0, 0, *column), step_lps=(0, 0, 2.0))
    volume = np.zeros((9, 20, 8), np.int16)
    volume[:] = np.round(1000 * np.arange(20) * column[1])[None, :, None]
    series = series_of(tmp_path, volume, placement)
    (image,) = read_planes(series, [PlaneRequest("acquired", slice_number=5, slab_mm=4.0)])
    np.testing.assert_allclose(image.values[4:-4], volume[4, 4:-4], atol=1)


def test_uneven_spacing_is_drawn_true_to_scale(tmp_path):
    positions = [(0, 0, z) for z in (0, 1, 2, 3, 5, 7, 9)]
    volume = np.repeat(np.array([0, 10, 20, 30, 50, 70, 90], np.int16), 20).reshape(7, 4, 5)
    series = series_of(tmp_path, volume, Placement(positions=positions))
    (image,) = read_planes(series, [PlaneRequest("coronal", at_mm=1)])
    assert image.grid.rows == 10
    np.testing.assert_allclose(image.values[:, 0], np.arange(90, -1, -10))


def test_nothing_is_invented_in_a_gap(tmp_path):
    positions = [(0, 0, z) for z in (0, 1, 2, 3, 4, 5, 12, 13, 14, 15, 16)]
    volume = np.full((11, 4, 5), 500, np.int16)
    series = series_of(tmp_path, volume, Placement(positions=positions))
    (image,) = read_planes(series, [PlaneRequest("coronal", at_mm=1)])
    assert image.grid.rows == 17
    np.testing.assert_array_equal(image.absent[:, 0], [0] * 5 + [1] * 6 + [0] * 6)
    assert make_picture(image, GreyWindow(0, 100), target_px=17).pixels[7, 2] == 0
    message = (
        r"^Nothing was scanned between slices 6 and 7, where the axial plane would lie\."
        r" Write at_mm: 5\.00 or 12\.00, or a place outside the gap\.$"
    )
    with pytest.raises(ScanError, match=message):
        check_request(series, PlaneRequest("axial", at_mm=8))


# --- padding ---------------------------------------------------------------------------------


@pytest.fixture
def padded(tmp_path):
    volume = np.full((5, 6, 8), 100, np.int16)
    volume[2, :, :3] = -2000  # padding where slice 3 has its first columns
    volume[:, 0, :] = -1990  # within the range limit
    volume[:, 5, :] = -1979  # outside it
    attributes = Attributes({"PixelPaddingValue": -2000, "PixelPaddingRangeLimit": -1980})
    return series_of(tmp_path, volume, attributes=attributes)


def test_padding_is_absent_and_both_ends_of_its_range_count(padded):
    (image,) = read_planes(padded, [PlaneRequest("acquired", slice_number=3)])
    expected = np.zeros((6, 8), bool)
    expected[:5, :3] = True
    expected[0] = True
    np.testing.assert_array_equal(image.absent, expected)
    assert (make_picture(image, GreyWindow(0, 4000), target_px=8).pixels[expected] == 0).all()


def test_padding_is_masked_before_interpolation(padded):
    axial, coronal, sagittal = read_planes(
        padded,
        [
            PlaneRequest("axial", at_mm=1.5),
            PlaneRequest("coronal", at_mm=2.5),
            PlaneRequest("sagittal", at_mm=2.5),
        ],
    )
    assert axial.absent[1:5, :3].all()
    assert not axial.absent[1:5, 3:].any()
    assert coronal.absent[2, :3].all()  # slice 3 counted from either end
    assert not coronal.absent[:, 3:].any()
    assert sagittal.absent[2, :5].all()  # column 2 is padding, column 3 is not
    for image in (axial, coronal, sagittal):
        present = image.values[~image.absent]
        assert set(np.unique(present)) <= {100, -1979}


@pytest.mark.parametrize("slab", ["mean", "max", "min"])
def test_padding_takes_no_part_in_a_slab(slab, padded):
    (image,) = read_planes(padded, [PlaneRequest("axial", at_mm=2, slab_mm=2, slab=slab)])
    np.testing.assert_array_equal(image.values[1:5], 100)
    assert not image.absent[1:5].any()
    assert image.absent[0].all()


def test_padding_of_a_slanted_plane_is_absent_with_its_neighbours(tmp_path):
    turn = Rotation.from_euler("xyz", [10, 20, 30], degrees=True).as_matrix()
    placement = Placement((*turn[:, 0], *turn[:, 1]), step_lps=turn[:, 2])
    volume = np.full((12, 12, 12), 100, np.int16)
    volume[:, :, :4] = -2000
    series = series_of(tmp_path, volume, placement, Attributes({"PixelPaddingValue": -2000}))
    for image in planes_through(series, placement.lps(np.array([[5.5, 5.5, 5.5]]))[0]):
        np.testing.assert_allclose(image.values[~image.absent], 100, rtol=1e-6)
        assert 0.1 < (~image.absent).mean() < 0.9


def test_a_plane_of_nothing_but_padding_is_an_error(padded):
    message = (
        r"^The coronal plane at 0 mm shows nothing: it only touches the edge of the scan, or lies"
        r" in a gap or on padding\. Move the plane, or widen its crop\.$"
    )
    with pytest.raises(ScanError, match=message):
        read_planes(padded, [PlaneRequest("coronal", at_mm=0)])


def test_inverted_pictures_keep_a_black_background(tmp_path):
    volume = np.array([[[0, 100, -2000]]] * 2, np.int16).repeat(3, axis=1)
    attributes = Attributes(
        {"PixelPaddingValue": -2000, "PhotometricInterpretation": "MONOCHROME1"}
    )
    series = series_of(tmp_path, volume, attributes=attributes)
    (image,) = read_planes(series, [PlaneRequest("acquired", slice_number=1)])
    assert image.inverted
    assert make_picture(image, GreyWindow(50, 100), target_px=3).pixels[0].tolist() == [255, 0, 0]


# --- crops -----------------------------------------------------------------------------------


@pytest.mark.parametrize("plane", STANDARD)
@pytest.mark.parametrize("orientation", [AXIAL, SAGITTAL, (0.96, 0.28, 0, -0.28, 0.96, 0)])
def test_a_crop_shows_the_same_values_at_the_same_places(plane, orientation, tmp_path):
    volume = np.random.default_rng(1).integers(0, 1000, (9, 12, 14)).astype(np.int16)
    across = np.cross(orientation[:3], orientation[3:])
    series = series_of(tmp_path, volume, Placement(orientation, (3, 4, 5), across))
    ranges = {p: position_range_mm(series, p) for p in STANDARD}
    axes = {"axial": "sc", "coronal": "sa", "sagittal": "ca"}[plane]
    named = {"s": "sagittal", "c": "coronal", "a": "axial"}
    corners = [
        tuple(low + part * (high - low) for low, high in (ranges[named[a]] for a in axes))
        for part in (0.7, 0.3)
    ]
    at_mm = sum(ranges[plane]) / 2
    whole, cropped = read_planes(
        series, [PlaneRequest(plane, at_mm), PlaneRequest(plane, at_mm, crop_mm=tuple(corners))]
    )
    assert cropped.values.size < 0.4 * whole.values.size
    (column, row), off_plane = pixel_from_lps(whole.grid, cropped.grid.origin_lps)
    assert (column, row, off_plane) == pytest.approx((round(column), round(row), 0), abs=1e-6)
    i, j = round(float(row)), round(float(column))
    window = np.s_[i : i + cropped.grid.rows, j : j + cropped.grid.columns]
    np.testing.assert_array_equal(cropped.values, whole.values[window])
    # what was asked for is what is shown, to within a sample
    ends = [(0, 0), (cropped.grid.columns - 1, cropped.grid.rows - 1)]
    reach = lps_from_pixel(cropped.grid, ends)
    for k, letter in enumerate(axes):
        low, high = sorted(corner[k] for corner in corners)
        shown = reach[:, "sca".index(letter)]
        assert low - 0.01 <= shown.min() < low + 1.01
        assert high - 1.01 < shown.max() <= high + 0.01


def test_an_acquired_slice_is_cropped_on_the_axes_it_is_most_like(tmp_path):
    series = series_of(tmp_path, NUMBERED, Placement(SAGITTAL, step_lps=(-2, 0, 0)))
    request = PlaneRequest("acquired", slice_number=2, crop_mm=((1, -3), (4, -1)))
    (image,) = read_planes(series, [request])
    np.testing.assert_array_equal(image.values % 100, NUMBERED[0, 1:4, 1:5])


def test_a_crop_that_leaves_nothing_says_what_there_is(tmp_path):
    series = series_of(tmp_path, NUMBERED, Placement(step_lps=(0, 0, 2.0)))
    message = (
        r"^The crop from \[20, 0\] to \[30, 4\] mm leaves nothing of the picture\."
        r" Write corners within x 0\.0 to 6\.0 and y 0\.0 to 4\.0 mm\.$"
    )
    with pytest.raises(ScanError, match=message):
        check_request(series, PlaneRequest("axial", at_mm=2, crop_mm=((20, 0), (30, 4))))


def test_a_crop_without_numbers_is_refused(tmp_path):
    series = series_of(tmp_path, NUMBERED)
    message = r"^The crop from \[nan, 0\] to \[3, 4\] mm has no size\. Write numbers\.$"
    with pytest.raises(ScanError, match=message):
        check_request(series, PlaneRequest("axial", at_mm=2, crop_mm=((math.nan, 0), (3, 4))))


# --- what may be asked -----------------------------------------------------------------------

ASKED = {
    PlaneRequest("axial"): "The axial plane needs a position. Write at_mm, from 0.5 to 6.5 mm.",
    PlaneRequest("axial", at_mm=7): (
        "at_mm: 7 lies outside the scan along z. Write at_mm, from 0.5 to 6.5 mm."
    ),
    PlaneRequest("coronal", at_mm=-1): (
        "at_mm: -1 lies outside the scan along y. Write at_mm, from 0.0 to 4.0 mm."
    ),
    PlaneRequest("sagittal", at_mm=99): (
        "at_mm: 99 lies outside the scan along x. Write at_mm, from 0.0 to 6.0 mm."
    ),
    PlaneRequest("coronal", slice_number=2): (
        "slice: 2 has no meaning for a standard plane."
        " Write at_mm, from 0.0 to 4.0 mm, or plane: acquired."
    ),
    PlaneRequest("acquired"): (
        "The acquired plane needs a slice. Write slice, from 1 to 4, or at_mm, from 0.5 to 6.5 mm."
    ),
    PlaneRequest("acquired", slice_number=5): (
        "slice: 5 does not exist in a series of 4. Write slice, from 1 to 4."
    ),
    PlaneRequest("acquired", slice_number=0): (
        "slice: 0 does not exist in a series of 4. Write slice, from 1 to 4."
    ),
    PlaneRequest("acquired", at_mm=9): (
        "at_mm: 9 lies outside the scan along the normal. Write at_mm, from 0.5 to 6.5 mm."
    ),
    PlaneRequest("acquired", at_mm=1, slice_number=1): (
        "Both slice: 1 and at_mm: 1 are given. Write one of them."
    ),
    PlaneRequest("axial", at_mm=1.5, slab_mm=9): (
        "A slab of 9 mm at 1.5 mm reaches out of the scan (0.5 to 6.5 mm)."
        " Write slab_mm, up to 4.0, or move the plane inwards."
    ),
    PlaneRequest("axial", at_mm=1.5, slab_mm=-1): ("slab_mm: -1 is no thickness. Write 0 or more."),
    PlaneRequest("axial", at_mm=math.nan): (
        "at_mm: nan lies outside the scan along z. Write at_mm, from 0.5 to 6.5 mm."
    ),
}


@pytest.mark.parametrize("request_", ASKED, ids=str)
def test_what_cannot_be_shown_is_refused_with_what_can(request_, tmp_path):
    placement = Placement(first_lps=(0, 0, 0.47), step_lps=(0, 0, 2.03))
    series = series_of(tmp_path, NUMBERED, placement)
    shutil.rmtree(tmp_path / "series")  # no pixel is read
    with pytest.raises(ScanError, match=f"^{re.escape(ASKED[request_])}$"):
        check_request(series, request_)


def test_both_printed_ends_of_a_range_can_be_written(tmp_path):
    placement = Placement(first_lps=(0, 0, 0.47), step_lps=(0, 0, 2.03))
    series = series_of(tmp_path, NUMBERED, placement)
    first, last = read_planes(
        series, [PlaneRequest("axial", at_mm=0.5), PlaneRequest("axial", at_mm=6.6)]
    )
    assert (first.at_mm, last.at_mm) == pytest.approx((0.47, 6.56))
    np.testing.assert_array_equal(last.values, NUMBERED[3])


def test_the_nearest_slice_is_acquired_and_its_true_place_given(tmp_path):
    series = series_of(tmp_path, NUMBERED, Placement(step_lps=(0, 0, 2.0)))
    (image,) = read_planes(series, [PlaneRequest("acquired", at_mm=3.1)])
    assert (image.at_mm, image.slice_number) == (4.0, 3)


def test_a_single_slice_is_shown_as_acquired_only(tmp_path):
    series = series_of(tmp_path, NUMBERED[:1])
    (image,) = read_planes(series, [PlaneRequest("acquired")])
    np.testing.assert_array_equal(image.values, NUMBERED[0])
    assert image.slice_number == 1
    message = r"^A single slice cannot be cut along another plane\. Write plane: acquired\.$"
    with pytest.raises(ScanError, match=message):
        check_request(series, PlaneRequest("axial", at_mm=0))
    with pytest.raises(ScanError, match=r"^A single slice has no slab\. Remove slab_mm\.$"):
        check_request(series, PlaneRequest("acquired", slab_mm=2))


def test_a_file_that_vanished_or_shrank_is_named(tmp_path):
    series = series_of(tmp_path, NUMBERED)
    path = series.slices[2].path
    path.write_bytes(path.read_bytes()[:-9])
    message = r"^.+S1I0002 is cut short: 61 of 70 bytes of its pixels are there\. Copy or export"
    with pytest.raises(ScanError, match=message):
        read_planes(series, [PlaneRequest("sagittal", at_mm=1)])
    path.unlink()
    message = r"^.+S1I0002 cannot be read any more: No such file or directory\. Leave the scan"
    with pytest.raises(ScanError, match=message):
        read_planes(series, [PlaneRequest("coronal", at_mm=1)])


# --- cost ------------------------------------------------------------------------------------


def test_each_slice_is_read_once_however_many_planes_want_it(tmp_path, monkeypatch):
    series = series_of(tmp_path, NUMBERED, Placement(step_lps=(0, 0, 2.0)))
    read = []
    original = planes.read_samples
    monkeypatch.setattr(
        planes, "read_samples", lambda s, k, rows: (read.append(k), original(s, k, rows))[1]
    )
    requests = [PlaneRequest(p, at_mm=at) for p in STANDARD for at in (1.0, 2.0, 3.0)]
    read_planes(series, requests)
    assert read == [0, 1, 2, 3]
    read.clear()
    read_planes(series, [PlaneRequest("axial", at_mm=2.0)])
    assert read == [1]


@pytest.mark.parametrize("tilt_mm", [0.0, 0.5])
def test_memory_does_not_grow_with_the_series(tilt_mm, tmp_path):
    def peak(count: int) -> int:
        placement = Placement(step_lps=(0, tilt_mm, 1.0))
        series = series_of(tmp_path, np.zeros((count, 256, 256), np.int16), placement)
        crop = ((0, 0), (255, 20))  # so that the picture itself does not grow either
        (plane, at_mm) = ("sagittal", 100.0)
        tracemalloc.start()
        read_planes(series, [PlaneRequest(plane, at_mm=at_mm, crop_mm=crop)])
        size = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return size

    short, long = peak(30), peak(120)
    assert long - short < 90 * 256 * 2 * 3  # lines of the picture, not slices
