"""Oblique planes: from what an author writes to a plane and the way round its picture is seen."""

import re

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from slidekit.errors import ScanError
from slidekit.scans.geometry import orientation_letters
from slidekit.scans.planes.poses import (
    LOOKS_ALONG,
    nearest_plane,
    pose_across,
    pose_along,
    pose_of_points,
)

numbers = st.floats(-1, 1)
directions = st.tuples(numbers, numbers, numbers).filter(lambda v: np.linalg.norm(v) > 0.1)
places = st.tuples(*[st.floats(-200, 200)] * 3)
HERE = (12.0, -40.0, 80.0)


def into(pose):
    return np.cross(pose.right_lps, pose.down_lps)


@given(normal=directions, place=places)
def test_right_down_and_normal_are_at_right_angles(normal, place):
    pose = pose_across(normal, place)
    axes = np.array([pose.right_lps, pose.down_lps, into(pose)])
    np.testing.assert_allclose(axes @ axes.T, np.eye(3), atol=1e-9)
    assert abs(into(pose) @ normal) == pytest.approx(np.linalg.norm(normal))
    assert pose.middle_lps == place


@given(normal=directions)
def test_the_sign_of_the_normal_does_not_turn_the_picture(normal):
    there, back = pose_across(normal, HERE), pose_across([-v for v in normal], HERE)
    np.testing.assert_allclose(there.right_lps, back.right_lps, atol=1e-12)
    np.testing.assert_allclose(there.down_lps, back.down_lps, atol=1e-12)


@given(normal=directions)
def test_a_picture_is_seen_as_the_nearest_standard_plane_is(normal):
    plane, degrees = nearest_plane(normal)
    pose = pose_across(normal, HERE)
    assert into(pose) @ LOOKS_ALONG[plane] == pytest.approx(np.cos(np.radians(degrees)))
    assert degrees <= 54.74  # of the normal with three equal components
    right = {"axial": "L", "coronal": "L", "sagittal": "P"}[plane]
    if degrees < 40:  # farther off, another direction may lead
        assert right in orientation_letters(pose.right_lps)
        up = {"axial": "A"}.get(plane, "H")
        assert orientation_letters(-np.array(pose.down_lps))[0] == up


@pytest.mark.parametrize(
    ("normal", "right", "down"),
    [
        ((0, 0, 1), (1, 0, 0), (0, 1, 0)),
        ((0, -3, 0), (1, 0, 0), (0, 0, -1)),
        ((0.1, 0, 0), (0, 1, 0), (0, 0, -1)),
    ],
)
def test_along_an_axis_a_pose_is_the_standard_plane(normal, right, down):
    pose = pose_across(normal, HERE)
    np.testing.assert_allclose(pose.right_lps, right, atol=1e-12)
    np.testing.assert_allclose(pose.down_lps, down, atol=1e-12)


def test_up_turns_the_picture_and_not_its_side():
    usual, turned = pose_across((0, 1, 0.2), HERE), pose_across((0, 1, 0.2), HERE, (1, 0, 0))
    np.testing.assert_allclose(into(turned), into(usual))
    np.testing.assert_allclose(turned.down_lps, (-1, 0, 0), atol=1e-12)


@given(points=st.tuples(places, places, places), up=directions)
def test_a_plane_through_three_points_holds_them(points, up):
    spokes = np.diff(points, axis=0)
    assume(np.linalg.norm(np.cross(*spokes)) > 1)
    try:
        pose = pose_of_points(points, up)
    except ScanError as error:
        assume("up:" not in error.wrong and "one line" not in error.wrong)
        raise
    np.testing.assert_allclose((np.array(points) - pose.middle_lps) @ into(pose), 0, atol=1e-6)
    np.testing.assert_allclose(pose.middle_lps, np.mean(points, axis=0))


@given(start=places, end=places, facing=st.sampled_from(["axial", "coronal", "sagittal"]))
def test_a_plane_along_a_line_holds_it_level_or_upright(start, end, facing):
    line = np.subtract(end, start)
    assume(np.linalg.norm(line) > 1)
    line /= np.linalg.norm(line)
    usual = np.array(LOOKS_ALONG[facing])
    assume(abs(line @ usual) < 0.7)
    pose = pose_along(start, end, facing)
    on_picture = sorted([abs(line @ pose.right_lps), abs(line @ pose.down_lps)])
    assert on_picture == pytest.approx([0, 1], abs=1e-6)
    np.testing.assert_allclose(pose.middle_lps, np.mean([start, end], axis=0), atol=1e-9)
    # no plane that holds the line comes nearer: it holds the line and the normal's shadow beside it
    nearest = np.sqrt(1 - (line @ usual) ** 2)
    assert into(pose) @ usual == pytest.approx(nearest)
    assert nearest_plane(into(pose))[0] == facing or nearest < 0.72


@pytest.mark.parametrize(
    ("end", "facing", "runs"),
    [
        ((60, 10, 0), "axial", "right"),
        ((60, 10, 0), "coronal", "right"),
        ((10, 60, 20), "axial", "down"),
        ((5, 0, 90), "coronal", "down"),
        ((-60, 10, 0), "axial", "right"),
    ],
)
def test_the_line_runs_the_way_that_turns_the_picture_less(end, facing, runs):
    pose = pose_along((0, 0, 0), end, facing)
    along = np.array(end) / np.linalg.norm(end)
    assert abs(along @ getattr(pose, f"{runs}_lps")) == pytest.approx(1)
    usual = pose_across(LOOKS_ALONG[facing], HERE)
    assert np.dot(pose.right_lps, usual.right_lps) > 0.7
    assert np.dot(pose.down_lps, usual.down_lps) > 0.7


REFUSED = [
    (
        lambda: pose_across((0, 0, 0), HERE),
        "normal: [0, 0, 0] has no direction. Write patient x, y, z, as in [0, 1, 1].",
    ),
    (
        lambda: pose_across((0, 0, 1), HERE, (0, 0.05, 1)),
        "up: [0, 0.05, 1] points out of the picture, not up on it. Write a direction that lies"
        " along the plane, or remove `up`.",
    ),
    (
        lambda: pose_of_points([(0, 0, 0), (10, 10, 10), (20, 20, 20.1)]),
        "The three points of through_mm lie on one line, and many planes pass through it. Move one"
        " of them aside, or write along_mm and facing.",
    ),
    (
        lambda: pose_along((1, 2, 3), (1, 2, 3), "axial"),
        "The two points of along_mm are one place, [1, 2, 3]. Write two places.",
    ),
    (
        lambda: pose_along((0, 0, 0), (5, 0, 50), "axial"),
        "The line of along_mm crosses axial planes steeply: no plane along it is near one. Write"
        " facing: coronal or sagittal.",
    ),
]


@pytest.mark.parametrize(("make", "message"), REFUSED, ids=[m[:20] for _, m in REFUSED])
def test_what_fixes_no_plane_is_refused_with_what_would(make, message):
    with pytest.raises(ScanError, match=f"^{re.escape(message)}$"):
        make()
