"""Volumes against the formulas of solid geometry, in even, uneven and tilted stacks."""

import numpy as np
import pytest

from slidekit.errors import ScanError
from slidekit.scans.catalogue import index_folder
from slidekit.scans.measures.volumes import Solid, measure_volume
from slidekit.scans.model import Series
from tests.scans.dicom_series import Attributes, Placement, write_series

CENTER = (2.2, -3.1, 30.4)
RADIUS = 12.0
SPHERE = 4 / 3 * np.pi * RADIUS**3
TILT = np.radians(15)
TILTED = (1.0, 0.0, 0.0, 0.0, float(np.cos(TILT)), float(np.sin(TILT)))


def sphere_series(folder, placement: Placement, count: int) -> Series:
    """A ball of 500 in a ground of 0: every voxel by its true place."""
    shape = (72, 80)
    row, column = np.array(placement.orientation[:3]), np.array(placement.orientation[3:])
    i, j = np.mgrid[: shape[0], : shape[1]]
    plane = (
        j[..., None] * placement.column_spacing_mm * row
        + i[..., None] * placement.row_spacing_mm * column
    )
    places = placement.positions_lps(count)[:, None, None] + plane
    volume = np.where(((places - CENTER) ** 2).sum(axis=-1) < RADIUS**2, 500, 0).astype(np.int16)
    return index_folder(write_series(folder, volume, placement)).series[0]


EVEN = Placement(first_lps=(-32, -30, 0), step_lps=(0, 0, 1.5), row_spacing_mm=0.7,
                 column_spacing_mm=0.8)  # fmt: skip
THIN_THEN_THICK = np.concatenate((np.arange(0, 30, 1.0), np.arange(30, 62, 2.0)))
UNEVEN = Placement(positions=[(-32, -30, z) for z in THIN_THEN_THICK], row_spacing_mm=0.8,
                   column_spacing_mm=0.8)  # fmt: skip
GANTRY = Placement(orientation=TILTED, first_lps=(-32, -30, -8), step_lps=(0, 0, 1.2),
                   row_spacing_mm=0.8, column_spacing_mm=0.8)  # fmt: skip


@pytest.mark.parametrize(
    ("placement", "count"),
    [(EVEN, 42), (UNEVEN, 46), (GANTRY, 50)],
    ids=["even", "uneven", "tilted"],
)
@pytest.mark.parametrize("kind", ["box", "ellipsoid"])
def test_a_sphere_has_the_volume_of_its_formula(tmp_path, placement, count, kind):
    series = sphere_series(tmp_path, placement, count)
    found = measure_volume(series, Solid(kind, CENTER, (13.0, 13.0, 13.0)), 400, 600)
    assert found.volume_mm3 == pytest.approx(SPHERE, rel=0.01)
    assert abs(found.volume_mm3 - SPHERE) < found.error_mm3 < 0.15 * SPHERE
    assert (found.mean, found.unit, found.cautions) == (500, "HU", ())


def test_a_tilted_voxel_is_lower_than_its_step_along_the_table(tmp_path):
    series = sphere_series(tmp_path, GANTRY, 50)
    found = measure_volume(series, Solid("box", CENTER, (13.0, 13.0, 13.0)), 400, 600)
    assert found.volume_mm3 / found.n == pytest.approx(0.8 * 0.8 * 1.2 * np.cos(TILT))


def test_an_ellipsoid_of_any_value_has_four_thirds_pi_abc(tmp_path):
    series = sphere_series(tmp_path, GANTRY, 50)
    found = measure_volume(series, Solid("ellipsoid", CENTER, (9.0, 11.0, 7.0)), -1e9, 1e9)
    assert found.volume_mm3 == pytest.approx(4 / 3 * np.pi * 9 * 11 * 7, rel=0.01)
    assert found.n == found.inside


def test_a_shell_is_the_difference_of_two_spheres(tmp_path):
    series = sphere_series(tmp_path, EVEN, 42)
    ground = measure_volume(series, Solid("ellipsoid", CENTER, (15.0, 15.0, 15.0)), -50, 50)
    assert ground.volume_mm3 == pytest.approx(4 / 3 * np.pi * 15**3 - SPHERE, rel=0.02)


def test_boxes_side_by_side_share_no_voxel(tmp_path):
    series = sphere_series(tmp_path, Placement(first_lps=(-40, -36, 0)), 20)
    halves = [Solid("box", (x, 0.0, 10.0), (5.0, 4.0, 3.0)) for x in (-5.0, 5.0)]
    assert [measure_volume(series, half, -9, 9).volume_mm3 for half in halves] == [480, 480]


def test_padding_is_left_out_and_said(tmp_path):
    volume = np.full((12, 20, 20), 100, np.int16)
    volume[5, 8:12, 8:12] = -2000
    folder = write_series(tmp_path, volume, Placement(), Attributes({"PixelPaddingValue": -2000}))
    [series] = index_folder(folder).series
    found = measure_volume(series, Solid("box", (9.5, 9.5, 5.5), (4.0, 4.0, 4.0)), -3000, 3000)
    assert (found.n, found.absent, found.inside) == (512 - 16, 16, 512)
    assert [c.text for c in found.cautions] == ["16 voxels inside it are padding and left out"]


@pytest.mark.parametrize(
    ("center", "message"),
    [
        ((0.0, 0.0, 5.0), "the box reaches 7.2 mm beyond the first or last slice of the scan"),
        ((25.0, 0.0, 30.0), "the box reaches 6.4 mm beyond the edge of the slices"),
    ],
)
def test_a_solid_that_leaves_the_scan_is_refused(tmp_path, center, message):
    series = sphere_series(tmp_path, EVEN, 42)
    with pytest.raises(ScanError, match=f"^{message}. Move it, or make it smaller.$"):
        measure_volume(series, Solid("box", center, (13.0, 13.0, 13.0)), 0, 1)
