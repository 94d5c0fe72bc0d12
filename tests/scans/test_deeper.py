"""Oblique and curved pictures moved into themselves: the frames of a way through the scan."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.errors import ScanError
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.geometry import lps_from_pixel, normal
from slidekit.scans.model import CurvedSurface, GreyWindow, PlaneRequest
from slidekit.scans.movies import plane_at, scroll
from slidekit.scans.planes.curves import flat_from_lps
from slidekit.scans.planes.poses import pose_across
from slidekit.scans.planes.read import planned_plane, read_planes
from tests.scans.dicom_series import Placement, write_series

SLOPES = np.array([7.0, -11.0, 13.0])  # of a value per millimetre along x, y and z
TILTED = Placement(first_lps=(-10, 4, 30), step_lps=(0, 0.35, 0.9), column_spacing_mm=0.8)
MIDDLE = tuple(TILTED.lps(np.array([[9.5, 14, 12]]))[0].tolist())

normals = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: np.linalg.norm(v) > 0.3)
REQUESTS = {
    "oblique": PlaneRequest("oblique", pose=pose_across((0.3, 1, 0.4), MIDDLE)),
    "slab": PlaneRequest("oblique", pose=pose_across((0.3, 1, 0.4), MIDDLE), slab_mm=2),
    "cropped": PlaneRequest(
        "oblique", pose=pose_across((0.3, 1, 0.4), MIDDLE), crop_mm=((-3, -4), (5, 2))
    ),
    "curved": PlaneRequest(
        "curved",
        surface=CurvedSurface(
            tuple(tuple(np.add(MIDDLE, p).tolist()) for p in ((0, -4, -6), (0, 1, 0), (0, -3, 7))),
            (1, 0.1, 0),
            12,
            smooth=True,
        ),
    ),
}


@pytest.fixture(scope="module")
def series(tmp_path_factory):
    places = TILTED.lps(np.stack(np.indices((20, 28, 26)), axis=-1).reshape(-1, 3))
    volume = np.round(places @ SLOPES).reshape(20, 28, 26).astype(np.int16)
    return choose_series(
        index_folder(write_series(tmp_path_factory.mktemp("deep"), volume, TILTED)), None
    )


@pytest.mark.parametrize("request_", REQUESTS.values(), ids=REQUESTS.keys())
@pytest.mark.parametrize("deeper_mm", [-2.5, 1.0, 3.0])
def test_a_picture_moved_into_itself_shows_what_lies_there(series, request_, deeper_mm):
    own, moved = read_planes(series, [request_, plane_at(request_, deeper_mm)])
    assert (moved.grid.rows, moved.grid.columns) == (own.grid.rows, own.grid.columns)
    into = normal(own.grid)
    assert np.subtract(moved.grid.origin_lps, own.grid.origin_lps) == pytest.approx(
        deeper_mm * into, abs=1e-9
    )
    rows, columns = np.nonzero(~moved.absent & ~own.absent)
    assert len(rows) > 30
    change = (moved.values - own.values)[rows, columns]
    close = np.abs(change - deeper_mm * into @ SLOPES) <= 1.6  # whole values are written
    thin = request_.slab_mm == 0
    assert close.all() if thin else close.mean() > 0.8  # layers of a slab end at the scan's faces
    if request_.surface is None and thin:
        expected = lps_from_pixel(moved.grid, np.stack((columns, rows), axis=1)) @ SLOPES
        assert moved.values[rows, columns] == pytest.approx(expected, abs=1.1)


@given(normal_=normals, deeper_mm=st.floats(-3, 3))
def test_into_a_picture_is_away_from_who_looks_at_it(series, normal_, deeper_mm):
    request = PlaneRequest("oblique", pose=pose_across(normal_, MIDDLE))
    own, moved = (planned_plane(series, one) for one in (request, plane_at(request, deeper_mm)))
    looks = np.cross(own.grid.right_lps, own.grid.down_lps)
    assert moved.at_mm - own.at_mm == pytest.approx(deeper_mm, abs=1e-9)
    assert np.subtract(moved.middle_lps, own.middle_lps) @ looks == pytest.approx(deeper_mm)


def test_a_moved_curve_keeps_its_length_and_finds_its_own_places(series):
    request = REQUESTS["curved"]
    own, moved = (planned_plane(series, one) for one in (request, plane_at(request, 2.0)))
    assert moved.flattening.length_mm == own.flattening.length_mm
    places, away = flat_from_lps(moved.flattening, [moved.middle_lps])
    assert places[0] == pytest.approx((0, 0), abs=1e-6)
    assert away[0] == pytest.approx(0, abs=1e-6)


def test_frames_far_outside_the_scan_are_refused(series):
    request = REQUESTS["oblique"]
    with pytest.raises(
        ScanError,
        match=r"^The oblique plane shows nothing: it only touches the edge of the scan, or lies in "
        r"a gap or on padding\. Move the plane, or widen its crop\.$",
    ):
        scroll(series, [request, plane_at(request, 80.0)], (GreyWindow(0, 400),))
