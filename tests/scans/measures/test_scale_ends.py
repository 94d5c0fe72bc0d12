"""Values at the ends of the scale, and interpolated samples in which they hide."""

import numpy as np
import pytest

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.geometry import lps_from_pixel
from slidekit.scans.measures.on_planes import measure_area
from slidekit.scans.measures.scale_ends import scale_ends
from slidekit.scans.model import CurvedSurface, Outline, PlaneRequest
from slidekit.scans.planes import read as planes
from slidekit.scans.planes.poses import pose_across
from slidekit.scans.planes.read import read_planes
from tests.scans.dicom_series import Placement, write_series

NEAR = (12.3, 10.4, 8.2)  # beside the saturated voxel, which lies at 12, 10, 8
REQUESTS = {
    "slab": PlaneRequest("axial", 8.0, slab_mm=4),
    "between": PlaneRequest("axial", 8.4),
    "coronal": PlaneRequest("coronal", 10.3),
    "sagittal slab": PlaneRequest("sagittal", 12.0, slab_mm=3),
    "oblique": PlaneRequest("oblique", pose=pose_across((0.2, 1, 0.3), NEAR)),
    "cropped": PlaneRequest(
        "oblique", pose=pose_across((0.2, 1, 0.3), NEAR), crop_mm=((-4, -3), (4, 3))
    ),
    "curved": PlaneRequest(
        "curved",
        surface=CurvedSurface(((12, 9, 2), (12, 10, 8), (12, 9.5, 14)), (1, 0, 0), 12, smooth=True),
    ),
}


@pytest.fixture(scope="module")
def series(tmp_path_factory):
    volume = np.full((18, 22, 26), 1000, np.int16)
    volume[8, 10, 12] = 3071
    folder = write_series(tmp_path_factory.mktemp("ends"), volume, Placement())
    return choose_series(index_folder(folder), None)


def around(image) -> Outline:
    """A square of five samples about the brightest one."""
    row, column = np.unravel_index(np.argmax(image.values), image.values.shape)
    offsets = [(-2.5, -2.5), (2.5, -2.5), (2.5, 2.5), (-2.5, 2.5)]
    corners = lps_from_pixel(image.grid, np.add(offsets, (column, row)))
    return Outline("polygon", tuple(map(tuple, corners.tolist())))


@pytest.mark.parametrize("request_", REQUESTS.values(), ids=REQUESTS.keys())
def test_a_saturated_voxel_is_found_in_the_samples_it_has_gone_into(series, request_):
    (image,) = read_planes(series, [request_], find_ends=True)
    assert image.values.max() < 3071
    assert np.array_equal(image.at_end, image.values > 1000 + 0.01 * 2071)
    if image.flattening is None:
        measure = measure_area(image, around(image), scale_ends(series))
        assert measure.clipped == image.at_end.sum()
        assert "clipped" in {caution.kind for caution in measure.cautions}


@pytest.mark.parametrize(
    "request_",
    [
        PlaneRequest("axial", 8.0),
        PlaneRequest("axial", 8.0, slab_mm=4, slab="max"),
        PlaneRequest("axial", 8.0, slab_mm=4, slab="min"),
    ],
)
def test_values_that_are_no_means_tell_it_themselves(series, request_):
    (image,) = read_planes(series, [request_], find_ends=True)
    assert image.at_end is None
    outline = Outline("polygon", ((9, 7, 8), (15, 7, 8), (15, 13, 8), (9, 13, 8)))
    measure = measure_area(image, outline, scale_ends(series))
    assert measure.clipped == (0 if request_.slab == "min" else 1)


def test_slices_are_read_once_more_only_where_the_scale_ends(series, monkeypatch):
    read: list[int] = []
    own = planes.read_samples

    def counting(series, index, rows=None):
        read.append(index)
        return own(series, index, rows)

    monkeypatch.setattr(planes, "read_samples", counting)
    read_planes(series, [PlaneRequest("axial", 3.5), PlaneRequest("axial", 12.5)], find_ends=True)
    assert read == [3, 4, 12, 13]
    read.clear()
    read_planes(series, [PlaneRequest("axial", 3.5), PlaneRequest("axial", 8.5)], find_ends=True)
    assert read == [3, 4, 8, 9, 8, 9]
    read.clear()
    read_planes(series, [PlaneRequest("axial", 8.5)])
    assert read == [8, 9]
