"""Oblique and curved planes of a series: sides, extent, crops, slabs, gaps, and what they cost."""

import math
import re
import tracemalloc

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydicom.sequence import Sequence
from scipy.spatial.transform import Rotation

from slidekit.errors import ScanError
from slidekit.scans.geometry import lps_from_pixel, pixel_from_lps
from slidekit.scans.measures.regions import ellipse_mask
from slidekit.scans.model import CurvedSurface, GreyWindow, PlaneRequest, Pose
from slidekit.scans.pictures import make_picture
from slidekit.scans.planes import read as planes
from slidekit.scans.planes.poses import pose_across
from slidekit.scans.planes.read import check_request, read_planes
from tests.scans.dicom.test_file_windows import table
from tests.scans.dicom_series import AXIAL, Attributes, Placement
from tests.scans.planes.test_read import ALIGNED, in_folder, series_of

SIDES = {"L": (0, 1), "R": (0, -1), "P": (1, 1), "A": (1, -1), "H": (2, 1), "F": (2, -1)}
normals = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: np.linalg.norm(v) > 0.3)


def oblique(pose: Pose, **more) -> PlaneRequest:
    return PlaneRequest("oblique", pose=pose, **more)


def curved(points, across, width_mm, *, smooth=True, **more) -> PlaneRequest:
    surface = CurvedSurface(tuple(points), across, width_mm, smooth)
    return PlaneRequest("curved", surface=surface, **more)


@in_folder
@given(
    stack=st.tuples(st.sampled_from(ALIGNED), st.sampled_from([0, 12]), st.sampled_from([0, 0.8])),
    order=st.permutations(range(12)),
    corner=st.tuples(*[st.booleans()] * 3),
    plane=st.tuples(normals, st.sampled_from([0.0, 0.0, 3.0])),
)
def test_a_marked_corner_appears_where_the_patient_has_it(stack, order, corner, plane, tmp_path):
    (orientation, turned_deg, tilt_mm), (normal, slab_mm) = stack, plane
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
    pose = pose_across(normal, marker.tolist())
    (image,) = read_planes(series, [oblique(pose, slab_mm=slab_mm)])
    picture = make_picture(image, GreyWindow(500, 1000), target_px=48)
    brightest = np.argwhere(picture.pixels > 128)[:, ::-1].mean(axis=0)
    assert lps_from_pixel(picture.grid, brightest) == pytest.approx(marker, abs=1.0)
    # the letters at the edges say the same as the numbers
    right, down = np.array(picture.grid.right_lps), np.array(picture.grid.down_lps)
    for letters, direction in zip(picture.letters, (-right, -down, right, down), strict=True):
        sizes = [direction[axis] * sign for axis, sign in (SIDES[one] for one in letters)]
        assert 1 <= len(letters) <= 3
        assert min(sizes) >= 0.1
        assert sizes == sorted(sizes, reverse=True)
    # a place farther along a direction is drawn farther along it
    middle_xy, _ = pixel_from_lps(picture.grid, middle)
    for axis, direction in enumerate((right, down)):
        towards = float((marker - middle) @ direction)
        if abs(towards) > 2:
            assert (brightest - middle_xy)[axis] * towards > 0


@in_folder
@given(normal=normals, turned=st.tuples(*[st.integers(-180, 180)] * 3))
def test_a_region_keeps_its_statistics_when_patient_and_plane_turn_together(
    normal, turned, tmp_path
):
    volume = np.random.default_rng(5).integers(-500, 1500, (10, 14, 12)).astype(np.int16)
    placement = Placement(AXIAL, (-6, -7, -9), (0, 0.5, 2.0), 1.1, 0.9)
    pose = pose_across(normal, (0.0, 0.0, 0.0))
    turn = Rotation.from_euler("xyz", turned, degrees=True)

    def turned_by(vector):
        return tuple(turn.apply(vector).tolist())

    elsewhere = Placement(
        (*turned_by(AXIAL[:3]), *turned_by(AXIAL[3:])),
        turned_by(placement.first_lps),
        turned_by(placement.step_lps),
        1.1,
        0.9,
    )
    moved = Pose(turned_by(pose.middle_lps), turned_by(pose.right_lps), turned_by(pose.down_lps))
    found = []
    for where, how in ((placement, pose), (elsewhere, moved)):
        (image,) = read_planes(series_of(tmp_path, volume, where), [oblique(how)])
        inside = ellipse_mask(image.grid, how.middle_lps, (3.0, 2.0), 20) & ~image.absent
        values = image.values[inside]
        found.append((inside.sum(), values.mean(), values.std(ddof=1), values.min()))
    assert found[1][0] == found[0][0] > 10
    assert found[1] == pytest.approx(found[0], abs=0.6)  # positions are written with 16 letters


# --- extent, crops, slabs --------------------------------------------------------------------

BLOCK = np.fromfunction(lambda k, i, j: 100 * k + 7 * i + j, (9, 12, 14)).astype(np.int16)


@pytest.fixture
def block(tmp_path):
    return series_of(tmp_path, BLOCK, Placement(step_lps=(0, 0, 2.0)))


def test_a_plane_along_the_axes_is_the_standard_plane(block):
    for plane, normal, place in (
        ("axial", (0, 0, 1), (6, 5, 4)),
        ("coronal", (0, 1, 0), (6, 5, 4)),
        ("sagittal", (1, 0, 0), (6, 5, 4)),
    ):
        at_mm = float(np.dot(place, normal))
        usual, free = read_planes(
            block, [PlaneRequest(plane, at_mm=at_mm), oblique(pose_across(normal, place))]
        )
        ends = [(0, 0), (usual.grid.columns - 1, usual.grid.rows - 1)]
        np.testing.assert_allclose(
            lps_from_pixel(free.grid, [(0, 0), (free.grid.columns - 1, free.grid.rows - 1)]),
            lps_from_pixel(usual.grid, ends),
            atol=1e-9,
        )
        step = 2 if plane != "axial" else 1  # rows of a reformatted plane lie 2 mm apart
        np.testing.assert_allclose(free.values[::step], usual.values, atol=1e-3)
        assert not free.absent.any()


def test_a_plane_reaches_as_far_as_the_scan(block):
    turn = math.sqrt(0.5)
    (image,) = read_planes(block, [oblique(pose_across((0, 1, 1), (6.5, 5.5, 8.0)))])
    # y from 0 to 11 and z from 0 to 16: the diagonal y + z = 13.5 runs from y = 0 to y = 11
    assert image.grid.columns == 13  # x from 0.5, as the middle lies on a pixel
    assert image.grid.rows == pytest.approx(11 / turn, abs=1)
    assert not image.absent[1:-1].any()


def test_the_middle_lies_on_a_pixel(block):
    (image,) = read_planes(block, [oblique(pose_across((0.3, 1, 0.6), (6.2, 5.1, 8.3)))])
    middle_xy, off_plane = pixel_from_lps(image.grid, image.middle_lps)
    np.testing.assert_allclose(middle_xy, np.round(middle_xy), atol=1e-6)
    assert off_plane == pytest.approx(0)
    assert image.at_mm == pytest.approx(
        np.dot(image.middle_lps, np.cross(image.grid.right_lps, image.grid.down_lps))
    )


FREE = {
    "oblique": oblique(pose_across((0.3, 1, 0.6), (6, 5, 8))),
    "curved": curved([(6, 5, 1), (7, 7, 8), (6, 4, 15)], (1, 0, 0), 10),
}


@pytest.mark.parametrize("name", FREE)
def test_a_crop_shows_the_same_values_at_the_same_places(name, block):
    request = FREE[name]
    crop = ((-3.0, 4.0), (2.0, -2.0))
    cut = PlaneRequest(name, crop_mm=crop, pose=request.pose, surface=request.surface)
    whole, cropped = read_planes(block, [request, cut])
    (column, row), _ = pixel_from_lps(whole.grid, cropped.grid.origin_lps)
    i, j = round(float(row)), round(float(column))
    window = np.s_[i : i + cropped.grid.rows, j : j + cropped.grid.columns]
    np.testing.assert_allclose(cropped.values, whole.values[window], atol=1e-3)
    assert cropped.middle_lps == whole.middle_lps
    assert (cropped.grid.columns, cropped.grid.rows) in {(6, 7), (6, 6), (5, 7), (5, 6)}


def test_a_crop_that_leaves_nothing_says_what_there_is(block):
    request = oblique(pose_across((0, 0, 1), (6, 5, 8)), crop_mm=((20, 0), (30, 4)))
    message = (
        "The crop from [20, 0] to [30, 4] mm leaves nothing of the picture. Write corners within"
        " -6.0 to 7.0 mm to the right of the view's middle and -5.0 to 6.0 mm down from it."
    )
    with pytest.raises(ScanError, match=f"^{re.escape(message)}$"):
        check_request(block, request)


@pytest.mark.parametrize(("slab", "step"), [("mean", 4 / 4), ("max", 4 / 8), ("min", 4 / 8)])
def test_the_layers_of_a_slab_lie_as_close_as_samples_or_twice_as_close(slab, step, block):
    pose = pose_across((0, 0.2, 1), (6, 5, 8))
    usual, free = read_planes(
        block,
        [
            PlaneRequest("axial", at_mm=8, slab_mm=4, slab=slab),
            oblique(pose, slab_mm=4, slab=slab),
        ],
    )
    assert (usual.slab_step_mm, free.slab_step_mm) == (0, step)


def test_the_mean_of_a_slab_counts_its_faces_by_half(tmp_path):
    # the value is z squared; along the normal the trapezoid of 5 layers 1 mm apart, by hand
    volume = np.repeat(np.arange(17) ** 2 * 10, 20).reshape(17, 4, 5).astype(np.int16)
    series = series_of(tmp_path, volume)
    request = oblique(pose_across((0, 0, 1), (2, 2, 8)), slab_mm=4)
    (image,) = read_planes(series, [request])
    expected = 10 * (6**2 / 2 + 7**2 + 8**2 + 9**2 + 10**2 / 2) / 4
    np.testing.assert_allclose(image.values, expected, rtol=1e-6)


def test_a_curved_slab_is_averaged_across_the_surface(block):
    # a flat surface: its normal is y, on which values change by 7 to the millimetre
    thin, thick = read_planes(
        block,
        [curved([(6, 5, 1), (6, 5, 15)], (1, 0, 0), 8, slab_mm=s, slab="max") for s in (0, 4)],
    )
    np.testing.assert_allclose(thick.values - thin.values, 14, atol=1e-3)


MISSED = {
    "beside": (
        oblique(pose_across((0, 0.1, 1), (0, 0, 90))),
        "The oblique plane does not pass through the scan. Write places within x 0.0 to 13.0,"
        " y 0.0 to 11.0 and z 0.0 to 16.0 mm.",
    ),
    "thick": (
        oblique(pose_across((0, 0, 1), (5, 5, 2)), slab_mm=9),
        "A slab of 9 mm at 2 mm reaches out of the scan (0.0 to 16.0 mm). Write slab_mm, up to"
        " 6.0, or move the plane inwards.",
    ),
}


@pytest.mark.parametrize("name", MISSED)
def test_what_cannot_be_shown_is_refused_with_what_can(name, block):
    request, message = MISSED[name]
    with pytest.raises(ScanError, match=f"^{re.escape(message)}$"):
        check_request(block, request)


def test_a_curve_beside_the_scan_shows_nothing(block):
    message = (
        "The curved view shows nothing: its path runs outside the scan, in a gap or on padding."
        " Move the points of path_mm."
    )
    with pytest.raises(ScanError, match=f"^{re.escape(message)}$"):
        read_planes(block, [curved([(90, 0, 0), (90, 0, 9)], (1, 0, 0), 8)])


@pytest.mark.parametrize("request_", FREE.values(), ids=FREE)
def test_a_single_slice_has_no_other_planes(request_, tmp_path):
    series = series_of(tmp_path, BLOCK[:1])
    message = r"^A single slice cannot be cut along another plane\. Write plane: acquired\.$"
    with pytest.raises(ScanError, match=message):
        check_request(series, request_)


# --- gaps wider than twice the thickness ------------------------------------------------------


@pytest.fixture
def sparse(tmp_path):
    """Slices 2 mm thick, 10 mm apart, each of one value."""
    volume = np.repeat(np.arange(1, 6) * 100, 12 * 14).reshape(5, 12, 14).astype(np.int16)
    attributes = Attributes({"SliceThickness": 2.0})
    return series_of(tmp_path, volume, Placement(step_lps=(0, 0, 10.0)), attributes)


def test_far_slices_are_drawn_as_thick_as_they_are(sparse):
    (image,) = read_planes(sparse, [PlaneRequest("coronal", at_mm=5)])
    heights = lps_from_pixel(image.grid, [(0, row) for row in range(image.grid.rows)])[:, 2]
    near = np.round(heights / 10) * 10
    shown = np.abs(heights - near) <= 1 + 1e-6
    np.testing.assert_array_equal(image.absent[:, 3], ~shown)
    np.testing.assert_array_equal(image.values[shown, 3], (near[shown] / 10 + 1) * 100)
    assert 0.5 < image.absent.mean() < 0.9


@pytest.mark.parametrize(
    "request_",
    [
        oblique(pose_across((0, 1, 0.1), (6, 5, 20))),
        curved([(6, 5, 0), (6, 7, 20), (6, 5, 40)], (1, 0, 0), 8),
    ],
    ids=["oblique", "curved"],
)
def test_nothing_is_interpolated_between_far_slices_on_any_plane(request_, sparse):
    (image,) = read_planes(sparse, [request_])
    assert set(np.round(image.values[~image.absent], 3)) == {100, 200, 300, 400, 500}
    assert 0.5 < image.absent.mean() < 0.9


def test_a_plane_between_far_slices_is_refused_and_one_within_a_slice_shows_it(sparse):
    (image,) = read_planes(sparse, [PlaneRequest("axial", at_mm=10.9)])
    np.testing.assert_array_equal(image.values, 200)
    message = (
        "Nothing was scanned between slices 2 and 3, where the axial plane would lie. Write at_mm:"
        " 10.00 or 20.00, or a place outside the gap."
    )
    with pytest.raises(ScanError, match=f"^{re.escape(message)}$"):
        check_request(sparse, PlaneRequest("axial", at_mm=14))


def test_a_slab_over_far_slices_counts_what_was_scanned(sparse):
    mean, most = read_planes(
        sparse,
        [PlaneRequest("axial", at_mm=20, slab_mm=21, slab=slab) for slab in ("mean", "max")],
    )
    # from 9.5 to 30.5 mm: 1.5 mm of the slices at 10 and 30 mm, 2 mm of that at 20 mm
    np.testing.assert_allclose(mean.values, (1.5 * 200 + 2 * 300 + 1.5 * 400) / 5)
    np.testing.assert_array_equal(most.values, 400)


# --- cost ------------------------------------------------------------------------------------


def test_only_the_rows_that_are_needed_are_read(block, monkeypatch):
    read = []
    original = planes.read_samples
    monkeypatch.setattr(
        planes, "read_samples", lambda s, k, rows: (read.append(rows), original(s, k, rows))[1]
    )
    (coronal,) = read_planes(block, [PlaneRequest("coronal", at_mm=5)])
    assert read == [range(5, 6)] * 9
    read.clear()
    near, far = read_planes(
        block, [PlaneRequest("coronal", at_mm=5), PlaneRequest("coronal", at_mm=8, slab_mm=2)]
    )
    assert read == [range(5, 10)] * 9
    np.testing.assert_array_equal(near.values, coronal.values)
    np.testing.assert_allclose(far.values[::-1], BLOCK[:, 8, :], atol=1e-3)
    read.clear()
    read_planes(block, [PlaneRequest("coronal", at_mm=5), PlaneRequest("sagittal", at_mm=5)])
    assert read == [None] * 9


def test_rows_alone_are_those_of_the_whole_slice_whatever_their_values_pass_through(tmp_path):
    tripled = table(0, list(range(0, 3000, 3)), ModalityLUTType="HU")
    ways = [
        {"RescaleSlope": 0.5, "RescaleIntercept": 3},
        {"PixelPaddingValue": 250},
        {
            "ModalityLUTSequence": Sequence([tripled]),
            "RescaleSlope": None,
            "RescaleIntercept": None,
        },
    ]
    for number, every in enumerate(ways):
        folder = tmp_path / str(number)
        series = series_of(folder, BLOCK.astype(np.uint16), attributes=Attributes(every))
        coronal = PlaneRequest("coronal", at_mm=7)
        (alone,) = read_planes(series, [coronal])
        with_others, _ = read_planes(series, [coronal, PlaneRequest("sagittal", at_mm=3)])
        np.testing.assert_array_equal(alone.values, with_others.values)
        np.testing.assert_array_equal(alone.absent, with_others.absent)
        assert alone.absent.any() == (number == 1)


@pytest.mark.parametrize("name", ["oblique", "curved"])
def test_memory_does_not_grow_with_the_series(name, tmp_path):
    def peak(count: int) -> int:
        series = series_of(tmp_path, np.zeros((count, 256, 256), np.int16))
        points = [(128.0, 100.0, 5.0), (128.0, 110.0, 15.0), (128.0, 100.0, count - 5.0)]
        request = {
            "oblique": oblique(
                pose_across((0.2, 1, 0.1), (128, 128, count / 2)), crop_mm=((-90, -9), (90, 9))
            ),
            "curved": curved(points, (1, 0, 0), 20),
        }[name]
        tracemalloc.start()
        read_planes(series, [request])
        size = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return size

    short, long = peak(30), peak(120)
    picture = 90 * 21 * 8 * 24  # of the longer curve, with all that goes with a pixel of it
    assert long - short < picture
