"""Oblique and curved planes against SimpleITK, scipy and highdicom, and against known fields.

SimpleITK resamples on even grids; a gantry tilt is given to it as a sheared direction matrix.
Fields, spheres and circles are known in the patient, whatever the scan's geometry.
"""

from pathlib import Path

import numpy as np
import pytest
import SimpleITK as sitk  # noqa: N813 - the name its manual uses
from highdicom.spatial import PixelToReferenceTransformer
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.ndimage import binary_erosion, map_coordinates
from scipy.spatial.transform import Rotation

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.geometry import corners, lps_from_pixel, normal, pixel_from_lps
from slidekit.scans.model import (
    CurvedSurface,
    GreyWindow,
    PlaneImage,
    PlaneRequest,
    Pose,
    Series,
)
from slidekit.scans.pictures import make_picture
from slidekit.scans.planes.curves import flat_from_lps, lps_from_flat
from slidekit.scans.planes.poses import pose_across
from slidekit.scans.planes.read import read_planes
from tests.outside.test_planes_simpleitk import (
    CORONAL,
    FEET_FIRST,
    GEOMETRIES,
    GRADIENT,
    OBLIQUE,
    SAGITTAL,
    SLOPE,
    TILT_15,
    field_error,
    resampled,
    shifted,
    write_field,
    write_noise,
)
from tests.scans.dicom_series import AXIAL, Attributes, Placement, write_series

NORMALS = [(0.3, 1, 0.4), (-0.2, 0.1, 1), (1, -0.6, 0.3), (0.5, 0.5, 0.7)]
RANGE = 2000.0  # of the values


def middle_of(series: Series) -> tuple[float, float, float]:
    x, y, z = corners(series).mean(axis=0).tolist()
    return x, y, z


def oblique(series: Series, direction, **more) -> PlaneRequest:
    return PlaneRequest("oblique", pose=pose_across(direction, middle_of(series)), **more)


# --- SimpleITK -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "orientation",
    [AXIAL, CORONAL, SAGITTAL, FEET_FIRST, OBLIQUE],
    ids=["axial", "coronal", "sagittal", "feet-first", "oblique"],
)
def test_oblique_planes_are_simpleitks(orientation, tmp_path):
    series, volume = write_noise(tmp_path / "noise", orientation)
    requests = [oblique(series, direction) for direction in NORMALS]
    for image in read_planes(series, requests):
        theirs = resampled(volume, image.grid)
        both = ~image.absent & ~np.isnan(theirs)
        np.testing.assert_allclose(image.values[both], theirs[both], atol=0.5)  # of 2500
        # the whole of the plane is there: all that lies inside by SimpleITK's own reckoning, which
        # counts half a sample beyond the outermost centres as inside
        within = binary_erosion(~np.isnan(theirs), np.ones((9, 9)))
        assert (within & image.absent).sum() == 0
        assert both.sum() > 100


@pytest.mark.parametrize("slab", ["mean", "max", "min"])
def test_oblique_slabs_are_simpleitks_planes_combined(slab, tmp_path):
    series, volume = write_noise(tmp_path / "noise", OBLIQUE, smooth=True)
    (image,) = read_planes(series, [oblique(series, (0.2, 1, 0.4), slab_mm=4.2, slab=slab)])
    layers = np.stack(
        [resampled(volume, shifted(image.grid, offset)) for offset in np.linspace(-2.1, 2.1, 211)]
    )
    inside = ~np.isnan(layers).any(axis=0) & binary_erosion(~image.absent, np.ones((11, 11)))
    assert inside.sum() > 100
    difference = image.values[inside] - getattr(np, slab)(layers[:, inside], axis=0)
    assert np.abs(difference).max() < 10  # of a range of 2,000, as for slanted standard planes
    assert np.sqrt(np.mean(difference**2)) < 2


def waves(places: np.ndarray) -> np.ndarray:
    """A field that bends so little that any linear interpolation meets it to a thousandth."""
    phases = places @ np.array([[1, 0.3, -0.2], [0.1, 1, 0.4], [-0.3, 0.2, 1]]).T * 2 * np.pi / 240
    return RANGE / 6 * np.sin(phases).sum(axis=-1)


def write_waves(folder: Path, placement: Placement, shape=(9, 22, 26)) -> Series:
    index = np.stack(np.meshgrid(*map(np.arange, shape), indexing="ij"), axis=-1)
    if placement.positions is None:
        places = placement.lps(index)
    else:
        row, column = np.array(placement.orientation[:3]), np.array(placement.orientation[3:])
        across = index[..., 2:] * placement.column_spacing_mm * row
        down = index[..., 1:2] * placement.row_spacing_mm * column
        places = np.array(placement.positions)[:, None, None] + across + down
    stored = np.round(waves(places) / 0.05).astype(np.int16)
    write_series(folder, stored, placement, Attributes({"RescaleSlope": 0.05}))
    return choose_series(index_folder(folder), None)


def test_a_tilted_series_is_simpleitks_with_a_sheared_direction(tmp_path):
    step = np.array([0.0, 0.0, 3.0])
    placement = Placement(TILT_15, (-8, -6, 0), step.tolist(), 0.8, 0.6)
    series = write_waves(tmp_path / "waves", placement)
    index = np.stack(np.meshgrid(range(9), range(22), range(26), indexing="ij"), axis=-1)
    volume = sitk.GetImageFromArray(waves(placement.lps(index)))
    volume.SetOrigin((-8.0, -6.0, 0.0))
    volume.SetSpacing((0.6, 0.8, float(np.linalg.norm(step))))
    axes = np.column_stack((TILT_15[:3], TILT_15[3:], step / np.linalg.norm(step)))
    volume.SetDirection(axes.ravel().tolist())
    for image in read_planes(series, [oblique(series, direction) for direction in NORMALS]):
        theirs = resampled(volume, image.grid)
        both = ~image.absent & ~np.isnan(theirs)
        assert both.sum() > 50
        assert np.abs(image.values - theirs)[both].max() < 1e-3 * RANGE


# --- scipy and highdicom ---------------------------------------------------------------------


def test_oblique_planes_are_scipys(tmp_path):
    noise = np.random.default_rng(8).uniform(-1000, 1500, (14, 26, 34)).astype(np.int16)
    placement = Placement(AXIAL, (-9.5, 4.25, -30), (0, 0, 1.3), 0.7, 0.5)
    write_series(tmp_path / "noise", noise, placement)
    series = choose_series(index_folder(tmp_path / "noise"), None)
    for image in read_planes(series, [oblique(series, direction) for direction in NORMALS]):
        places = grid_places(image)
        index = (places - placement.first_lps) / (0.5, 0.7, 1.3)
        theirs = map_coordinates(
            noise.astype(float), np.moveaxis(index[..., ::-1], -1, 0), order=1, cval=np.nan
        )
        both = ~image.absent & ~np.isnan(theirs)
        assert both.sum() > 0.95 * (~image.absent).sum() > 100
        np.testing.assert_allclose(image.values[both], theirs[both], atol=0.01)


def grid_places(image: PlaneImage) -> np.ndarray:
    xy = np.stack(np.meshgrid(range(image.grid.columns), range(image.grid.rows)), axis=-1)
    if image.flattening is None:
        return lps_from_pixel(image.grid, xy)
    middle, _ = pixel_from_lps(image.grid, image.middle_lps)
    return lps_from_flat(image.flattening, (xy - middle) * image.grid.column_mm)


@pytest.mark.parametrize("direction", NORMALS)
def test_places_on_an_oblique_picture_are_highdicoms(direction, tmp_path):
    # highdicom.spatial.PixelToReferenceTransformer: PS3.3 equation C.7.6.2.1-1
    series, _ = write_noise(tmp_path / "noise", OBLIQUE)
    (image,) = read_planes(series, [oblique(series, direction)])
    picture = make_picture(image, GreyWindow(200, 2500), target_px=90)
    for grid in (image.grid, picture.grid):
        theirs = PixelToReferenceTransformer(
            grid.origin_lps, (*grid.right_lps, *grid.down_lps), (grid.row_mm, grid.column_mm)
        )
        xy = np.array([(0, 0), (5, 7), (grid.columns - 1, grid.rows - 1)])
        np.testing.assert_allclose(lps_from_pixel(grid, xy), theirs(xy), atol=1e-6)


# --- fields, spheres and circles known in the patient ------------------------------------------


@pytest.mark.parametrize("name", GEOMETRIES)
def test_a_linear_field_is_reproduced_on_oblique_planes_whatever_the_geometry(name, tmp_path):
    series = write_field(tmp_path / "field", *GEOMETRIES[name])
    for image in read_planes(series, [oblique(series, direction) for direction in NORMALS]):
        assert field_error(image) < 2e-3  # of a range of 40, stored to 0.001


@pytest.mark.parametrize("name", GEOMETRIES)
def test_a_linear_field_is_reproduced_on_curved_surfaces_whatever_the_geometry(name, tmp_path):
    series = write_field(tmp_path / "field", *GEOMETRIES[name])
    x, y, z = middle_of(series)
    points = ((x - 1, y - 2, z - 5), (x, y + 1, z - 1), (x + 1, y - 1, z + 5))
    surface = CurvedSurface(points, (1.0, 0.2, 0.0), 9.0, smooth=True)
    (image,) = read_planes(series, [PlaneRequest("curved", surface=surface)])
    there = ~image.absent
    assert there.sum() > 50
    assert np.abs(image.values - grid_places(image) @ GRADIENT)[there].max() < 2e-3


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    turned=st.tuples(*[st.integers(-180, 180)] * 3),
    spacing=st.tuples(st.sampled_from([0.5, 0.9]), st.sampled_from([0.6, 1.1])),
    shear=st.tuples(st.sampled_from([0.0, 0.7]), st.sampled_from([0.0, -0.5])),
    steps=st.sampled_from([(2.0,) * 12, (1, 1, 2, 2, 3, 3, 1, 2, 3, 2, 2, 2)]),
    order=st.permutations(range(13)),
)
def test_the_same_patient_gives_the_same_picture_however_it_was_scanned(
    turned, spacing, shear, steps, order, tmp_path_factory
):
    folder = tmp_path_factory.mktemp("field")
    turn = Rotation.from_euler("xyz", turned, degrees=True).as_matrix()
    row, column, across = turn.T
    step = across + shear[0] * row / 2 + shear[1] * column / 2
    shape = 13, 40, 44
    middle = 6 * 2.0 * step + 19.5 * spacing[0] * column + 21.5 * spacing[1] * row
    along = np.r_[0, np.cumsum(steps)]
    positions = [(k * step - middle).tolist() for k in along]
    index = np.stack(np.meshgrid(range(shape[1]), range(shape[2]), indexing="ij"), axis=-1)
    plane = index[..., 1:] * spacing[1] * row + index[..., :1] * spacing[0] * column
    values = np.array([(np.array(p) + plane) @ GRADIENT for p in positions])
    placement = Placement((*row, *column), (0, 0, 0), (0, 0, 1), *spacing, positions)
    stored = np.round(values / SLOPE).astype(np.int16)
    write_series(folder, stored, placement, Attributes({"RescaleSlope": SLOPE}), order=order)
    series = choose_series(index_folder(folder), None)
    pose = Pose((0.4, -0.3, 0.2), tuple(GOLDEN[0].tolist()), tuple(GOLDEN[1].tolist()))
    request = PlaneRequest("oblique", pose=pose, crop_mm=((-4, -3), (4, 3)))
    (image,) = read_planes(series, [request])
    assert field_error(image) < 2e-3
    assert not image.absent.any()
    # the picture spans the crop, to within a pixel of its own
    spans = np.array([image.grid.columns, image.grid.rows]) * image.grid.column_mm
    assert np.abs(spans - (8, 6)).max() <= 1.01


GOLDEN = Rotation.from_euler("xyz", [25, -35, 10], degrees=True).as_matrix()


SPHERE_MM = 18.0
STACKS = {
    "untilted 1 mm": Placement(AXIAL, (-28, -28, -24), (0, 0, 1.0)),
    "tilt 15 degrees": Placement(TILT_15, (-28, -24, -24), (0, 0, 1.0)),
    "tilt -18.5 degrees": Placement(
        (1, 0, 0, 0, 0.9483237, -0.3173047), (-28, -28, -18), (0, 0, 1.2)
    ),
    "uneven": Placement(
        AXIAL,
        positions=[
            (-28.0, -28.0, z) for z in np.cumsum([-24.0, *[1.0, 1.4, 0.6, 1.2, 0.8] * 9]).tolist()
        ],
    ),
}


@pytest.mark.parametrize("name", STACKS)
def test_a_sphere_keeps_its_place_and_size_on_oblique_planes(name, tmp_path):
    placement = STACKS[name]
    count = 49 if placement.positions is None else len(placement.positions)
    index = np.stack(np.meshgrid(range(57), range(57), indexing="ij"), axis=-1)
    row, column = np.array(placement.orientation[:3]), np.array(placement.orientation[3:])
    plane = index[..., 1:] * row + index[..., :1] * column
    center = np.array([1.3, -0.7, 0.4])
    volume = []
    for position in placement.positions_lps(count):
        away = np.linalg.norm(position + plane - center, axis=-1)
        volume.append(np.clip((SPHERE_MM - away) / 6, -1, 1) * RANGE / 2)  # a soft edge
    stored = np.round(np.array(volume) / 0.05).astype(np.int16)
    write_series(tmp_path / "ball", stored, placement, Attributes({"RescaleSlope": 0.05}))
    series = choose_series(index_folder(tmp_path / "ball"), None)
    for direction in NORMALS:
        pose = pose_across(direction, center.tolist())
        (image,) = read_planes(series, [PlaneRequest("oblique", pose=pose)])
        fine = make_picture(image, GreyWindow(0, RANGE, "linear_exact"), target_px=300)
        inside = fine.pixels > 127
        area = inside.sum() * fine.grid.column_mm**2
        place = lps_from_pixel(fine.grid, np.argwhere(inside)[:, ::-1].mean(axis=0))
        assert np.abs(place - center).max() < 0.05
        assert np.sqrt(area / np.pi) == pytest.approx(SPHERE_MM, abs=0.05)


def test_marks_on_a_circle_lie_as_far_apart_on_the_flat_picture_as_along_the_arc(tmp_path):
    # dots on a circle of 30 mm about the x axis, 20 degrees apart: 30 mm x pi / 9 of arc
    radius, placement = 30.0, Placement(AXIAL, (-10, -36, -36), (0, 0, 1.0))
    index = np.stack(np.meshgrid(range(73), range(73), range(21), indexing="ij"), axis=-1)
    places = placement.lps(index)
    turns = np.radians(np.arange(-60, 61, 20))
    dots = np.column_stack((0 * turns, radius * np.cos(turns), radius * np.sin(turns)))
    nearest = np.min([((places - dot) ** 2).sum(axis=-1) for dot in dots], axis=0)
    volume = np.round(3000 * np.exp(-nearest / (2 * 1.5**2))).astype(np.int16)
    write_series(tmp_path / "dots", volume, placement)
    series = choose_series(index_folder(tmp_path / "dots"), None)
    given_turns = np.radians(np.arange(-70, 71, 10))
    points = [(0.0, radius * np.cos(t), radius * np.sin(t)) for t in given_turns.tolist()]
    surface = CurvedSurface(tuple(points), (1.0, 0.0, 0.0), 16.0, smooth=True)
    (image,) = read_planes(series, [PlaneRequest("curved", surface=surface)])
    assert image.flattening is not None
    assert image.flattening.length_mm == pytest.approx(radius * np.radians(140), abs=0.02)
    middle, _ = pixel_from_lps(image.grid, image.middle_lps)
    rows = (np.arange(image.grid.rows) - middle[1]) * image.grid.row_mm
    found = []
    for dot in dots:
        (place,), _ = flat_from_lps(image.flattening, dot[None])
        near = np.abs(rows - place[1]) < 5
        profile = image.values[near][:, round(float(middle[0]))].astype(float)
        found.append((rows[near] * profile).sum() / profile.sum())
    np.testing.assert_allclose(np.abs(np.diff(found)), radius * np.pi / 9, atol=0.05)
    assert found == sorted(found, reverse=True)  # dots go up, towards the head


def test_a_curved_picture_is_scipys_at_the_same_places(tmp_path):
    noise = np.random.default_rng(9).uniform(-1000, 1500, (40, 36, 30)).astype(np.int16)
    write_series(tmp_path / "noise", noise, Placement(AXIAL, (0, 0, 0), (0, 0, 1.2), 0.9, 0.8))
    series = choose_series(index_folder(tmp_path / "noise"), None)
    for across, smooth in (((1, 0, 0), True), ((1, 0.3, 0.1), False), ((0, 0, 1), True)):
        points = ((4.0, 4.0, 3.0), (10.0, 14.0, 20.0), (16.0, 10.0, 40.0))
        if across == (0, 0, 1):
            points = ((3.0, 3.0, 20.0), (10.0, 14.0, 22.0), (18.0, 24.0, 20.0))
        surface = CurvedSurface(points, across, 8.0, smooth)
        (image,) = read_planes(series, [PlaneRequest("curved", surface=surface)])
        index = grid_places(image) / (0.8, 0.9, 1.2)
        theirs = map_coordinates(
            noise.astype(float), np.moveaxis(index[..., ::-1], -1, 0), order=1, cval=np.nan
        )
        both = ~image.absent & ~np.isnan(theirs)
        assert both.sum() > 300
        np.testing.assert_allclose(image.values[both], theirs[both], atol=0.5)


def test_the_normal_of_a_grid_is_that_of_its_pose(tmp_path):
    series, _ = write_noise(tmp_path / "noise", AXIAL)
    for direction in NORMALS:
        (image,) = read_planes(series, [oblique(series, direction)])
        cosine = abs(normal(image.grid) @ direction) / np.linalg.norm(direction)
        assert cosine == pytest.approx(1)
