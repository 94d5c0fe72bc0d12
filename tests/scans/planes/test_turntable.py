"""Turning projections: which side is which, and values that are really there."""

import numpy as np
import pytest

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.geometry import lps_from_pixel
from slidekit.scans.model import PlaneRequest
from slidekit.scans.planes.read import planned_plane, read_planes
from slidekit.scans.planes.turntable import turn_images
from tests.scans.dicom_series import Placement, write_series

# x from -20 to 20 (patient's right to left), y from -15 to 15 (front to back), z from 0 to 9
PLACE = Placement(first_lps=(-20.0, -15.0, 0.0))
SHAPE = (10, 31, 41)  # slices, rows, columns
BLACK = 3000  # nothing is seen that could leave the picture
REQUEST = PlaneRequest("coronal", 0.0, slab_mm=30.0, slab="max")


def series_of(folder, volume):
    return choose_series(index_folder(write_series(folder, volume, PLACE)), None)


def marked(folder, x: int, y: int, z: int = 7):
    """One bright voxel on grey ground."""
    volume = np.full(SHAPE, 100, np.int16)
    volume[z, y + 15, x + 20] = 1000
    return series_of(folder, volume)


def column_mm(image) -> float:
    """Where the brightest value is, millimetres right of the middle."""
    _, column = np.unravel_index(np.argmax(image.values), image.values.shape)
    return float((column - (image.grid.columns - 1) / 2) * image.grid.column_mm)


def test_seen_from_the_front_the_patients_left_is_at_the_right(tmp_path):
    front = turn_images(marked(tmp_path, x=15, y=0), REQUEST, 8, 256)[0]
    assert column_mm(front) == pytest.approx(15)


def test_then_the_viewer_walks_towards_the_patients_left(tmp_path):
    # a marker on the patient's left comes towards the viewer: after a quarter turn it lies in
    # the middle, and what lies in front of the patient is at the left, as on a sagittal picture
    left = turn_images(marked(tmp_path / "left", x=15, y=0), REQUEST, 8, 256)
    front = turn_images(marked(tmp_path / "front", x=0, y=-12), REQUEST, 8, 256)
    assert column_mm(left[2]) == pytest.approx(0)
    assert column_mm(front[2]) == pytest.approx(-12)
    assert column_mm(left[4]) == pytest.approx(-15)
    assert column_mm(front[6]) == pytest.approx(12)


@pytest.mark.parametrize("k", range(8))
def test_a_marker_follows_the_turn(tmp_path, k):
    images = turn_images(marked(tmp_path, x=10, y=5), REQUEST, 8, 256)
    angle = 2 * np.pi * k / 8
    assert column_mm(images[k]) == pytest.approx(10 * np.cos(angle) + 5 * np.sin(angle), abs=0.8)


def test_the_head_stays_at_the_top(tmp_path):
    for image in turn_images(marked(tmp_path, x=3, y=4, z=8), REQUEST, 8, 256):
        row, _ = np.unravel_index(np.argmax(image.values), image.values.shape)
        assert row == 1  # z from 9 at the top down to 0


def test_the_first_projection_is_the_maximum_of_the_box(tmp_path):
    volume = np.random.default_rng(5).integers(0, 2000, SHAPE).astype(np.int16)
    series = series_of(tmp_path, volume)
    request = PlaneRequest("coronal", 0.0, slab_mm=20.0, slab="max", crop_mm=((-12, 1), (14, 8)))
    first = turn_images(series, request, 8, 256, BLACK)[0]
    expected = volume[1:9, 5:26, 8:35].max(axis=1)[::-1]  # z 1 to 8, y -10 to 10, x -12 to 14
    np.testing.assert_allclose(first.values, expected, rtol=1e-6)
    [whole] = read_planes(series, [request])
    assert first.grid == whole.grid


def test_half_a_turn_is_the_mirror_image_of_the_front(tmp_path):
    volume = np.random.default_rng(6).integers(0, 2000, SHAPE).astype(np.int16)
    images = turn_images(series_of(tmp_path, volume), REQUEST, 8, 256)
    np.testing.assert_allclose(images[4].values, images[0].values[:, ::-1], rtol=1e-5)


def test_no_projection_is_brighter_than_what_is_there(tmp_path):
    volume = np.random.default_rng(7).integers(0, 2000, SHAPE).astype(np.int16)
    for image in turn_images(series_of(tmp_path, volume), REQUEST, 16, 256):
        assert image.values.max() <= volume.max() + 1e-3
        assert image.values[~image.absent].min() >= 0


def test_what_lies_beside_the_box_is_black_and_no_value(tmp_path):
    # at a quarter turn 30 mm of depth fill a picture of 41 mm: nothing is at its sides
    image = turn_images(series_of(tmp_path, np.full(SHAPE, 100, np.int16)), REQUEST, 8, 256)[2]
    assert image.absent[:, [0, -1]].all()
    assert not image.absent[:, 10:31].any()


def test_a_fine_scan_is_reduced_and_small_bright_things_are_not_lost(tmp_path):
    images = turn_images(marked(tmp_path, x=15, y=0), REQUEST, 8, 21, 500)
    assert max(images[0].values.shape) <= 21
    assert images[0].values.max() > 400  # one voxel of 1000 in 8 of 100 has the mean 212
    assert column_mm(images[0]) == pytest.approx(15, abs=1.5)
    grid = images[0].grid
    assert grid.columns * grid.column_mm == pytest.approx(41)


@pytest.mark.parametrize("corner", [(20, 15), (-20, 15), (20, -15), (-20, -15)])
@pytest.mark.parametrize("longest_px", [256, 30])
def test_nothing_that_can_be_seen_leaves_the_picture(tmp_path, corner, longest_px):
    images = turn_images(marked(tmp_path, *corner), REQUEST, 16, longest_px, black=500)
    # one voxel of 1000 on 100, at worst half a sample away from a line of sight both ways
    assert min(image.values.max() for image in images) > 240
    own = planned_plane(marked(tmp_path, *corner), REQUEST).grid
    wide = images[0].grid
    assert wide.columns * wide.column_mm >= 2 * 25  # the corners lie 25 mm from the axis
    middles = [lps_from_pixel(g, ((g.columns - 1) / 2, 0))[0] for g in (own, wide)]
    assert middles[1] == pytest.approx(middles[0], abs=1e-6)


def test_what_cannot_be_seen_makes_no_picture_wider(tmp_path):
    series = marked(tmp_path, x=3, y=4)
    own = planned_plane(series, REQUEST).grid
    assert turn_images(series, REQUEST, 8, 256, black=500)[0].grid == own
    assert turn_images(series, REQUEST, 8, 256, black=50)[0].grid.columns > own.columns
