"""NIfTI volumes against nibabel's affine maps and SimpleITK's reader; real files from nibabel.

The standard: NIfTI-1, "3D image (volume) orientation and location in space": x = right,
y = front, z = head; DICOM: x = left, y = back, z = head.
"""

import itertools
from pathlib import Path

import nibabel
import numpy as np
import pytest
import SimpleITK
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import ScanError
from slidekit.scans.geometry import lps_from_pixel
from slidekit.scans.model import PLANE_AXES, GreyWindow, PlaneRequest
from slidekit.scans.nifti import open_nifti
from slidekit.scans.pictures import make_picture
from slidekit.scans.pixels import read_samples
from slidekit.scans.planes.read import read_planes

DATA = Path(nibabel.__file__).parent / "tests" / "data"
LPS_FROM_RAS = np.diag([-1.0, -1.0, 1.0])
REAL = ["anatomical.nii", "example4d.nii.gz", "functional.nii", "reoriented_anat_moved.nii"]


def volume_of(name: str) -> int | None:
    return 1 if len(nibabel.load(DATA / name).shape) > 3 else None


def write(path: Path, values: np.ndarray, affine: np.ndarray, **header) -> Path:
    image = nibabel.Nifti1Image(values, affine)
    for field, value in header.items():
        image.header[field] = value
    nibabel.save(image, path)
    return path


@pytest.mark.parametrize("name", REAL)
def test_every_voxel_of_a_real_file_lies_where_nibabel_says(name):
    series = open_nifti(DATA / name, volume_of(name))
    image = nibabel.load(DATA / name)
    data = np.asarray(image.dataobj)
    data = data[..., 0] if data.ndim > 3 else data
    rng = np.random.default_rng(2)
    for _ in range(40):
        i, j, k = (int(rng.integers(length)) for length in data.shape)
        lps = LPS_FROM_RAS @ (image.affine @ (i, j, k, 1))[:3]
        at = [
            np.linalg.norm(np.subtract(one.position_lps, _foot(series, lps)))
            for one in series.slices
        ]
        index = int(np.argmin(at))
        grid_point = (
            np.asarray(series.slices[index].position_lps)
            + i * series.column_spacing_mm * np.asarray(series.row_lps)
            + j * series.row_spacing_mm * np.asarray(series.column_lps)
        )
        np.testing.assert_allclose(grid_point, lps, atol=1e-3)
        np.testing.assert_allclose(
            read_samples(series, index).values[j, i], data[i, j, k], rtol=1e-6
        )


def _foot(series, lps):
    """Where the first pixel of the slice through a place lies."""
    axes = np.array([series.row_lps, series.column_lps])
    first = np.asarray(series.slices[0].position_lps)
    return lps - (lps - first) @ axes.T @ axes


@pytest.mark.parametrize("name", REAL)
@pytest.mark.parametrize("plane", PLANE_AXES)
def test_planes_of_a_real_file_are_those_of_simpleitk(name, plane):
    number = volume_of(name)
    series = open_nifti(DATA / name, number)
    reader = SimpleITK.ImageFileReader()
    reader.SetFileName(str(DATA / name))
    volume = reader.Execute()
    if number:
        volume = volume[..., number - 1]
    volume = SimpleITK.Cast(volume, SimpleITK.sitkFloat64)
    middle = volume.TransformContinuousIndexToPhysicalPoint(
        [(length - 1) / 2 for length in volume.GetSize()]
    )
    axis = next(a for a in "xyz" if a not in PLANE_AXES[plane])
    (image,) = read_planes(series, [PlaneRequest(plane, at_mm=middle["xyz".index(axis)])])
    rows, columns = np.mgrid[2 : image.grid.rows - 2 : 3, 2 : image.grid.columns - 2 : 3]
    places = lps_from_pixel(image.grid, np.stack((columns, rows), -1)).reshape(-1, 3)
    compared = 0
    for place, row, column in zip(places, rows.ravel(), columns.ravel(), strict=True):
        index = np.array(volume.TransformPhysicalPointToContinuousIndex(place.tolist()))
        if (index < 0.5).any() or (index > np.array(volume.GetSize()) - 1.5).any():
            continue
        expected = volume.EvaluateAtPhysicalPoint(place.tolist(), SimpleITK.sitkLinear)
        span = 1e-3 * (1 + abs(expected)) + 1e-2
        assert abs(float(image.values[row, column]) - expected) <= max(span, 0.51), (row, column)
        compared += 1
    assert compared > 20 or min(series.rows, series.columns, len(series.slices)) < 5


FLIPS = [np.diag(signs) for signs in itertools.product((-1.0, 1.0), repeat=3)]
TURNS = [np.eye(3)[list(order)] for order in itertools.permutations(range(3))]


@pytest.mark.parametrize(
    "flip", FLIPS, ids=lambda flip: "".join("-+"[int(v > 0)] for v in np.diag(flip))
)
@pytest.mark.parametrize("turn", TURNS, ids=lambda turn: "".join(map(str, turn.argmax(1))))
def test_a_marker_at_the_patients_right_front_top_shows_there(tmp_path, flip, turn):
    # however the voxels are stored: right of the patient at the left of an axial picture, front at
    # its top; head at the top of a coronal one (common practice of the trade)
    affine = np.eye(4)
    affine[:3, :3] = turn.T @ flip * 2.0
    shape = (12, 13, 14)
    center = affine[:3, :3] @ (np.array(shape) - 1) / 2
    affine[:3, 3] = -center
    marker_ras = np.array([6.0, 5.0, 7.0])  # towards right, front and head
    voxel = np.rint(np.linalg.inv(affine[:3, :3]) @ (marker_ras - affine[:3, 3])).astype(int)
    values = np.zeros(shape, np.int16)
    values[tuple(voxel)] = 1000
    x, y, z = LPS_FROM_RAS @ (affine @ (*voxel, 1))[:3]
    series = open_nifti(write(tmp_path / "head.nii.gz", values, affine))
    requests = [PlaneRequest("axial", z), PlaneRequest("coronal", y), PlaneRequest("sagittal", x)]
    for image in read_planes(series, requests):
        picture = make_picture(image, GreyWindow(500, 1000), target_px=40)
        row, column = np.argwhere(picture.pixels > 128).mean(axis=0)
        found = lps_from_pixel(picture.grid, (column, row))
        np.testing.assert_allclose(found, (x, y, z), atol=0.7)
        assert (
            picture.letters
            == {
                "axial": ("R", "A", "L", "P"),
                "coronal": ("R", "H", "L", "F"),
                "sagittal": ("A", "H", "P", "F"),
            }[image.plane]
        )
        assert row < picture.grid.rows / 2  # front or head at the top
        assert column < picture.grid.columns / 2  # right, or front, at the left


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(-0.3, 0.3), min_size=3, max_size=3), st.floats(0.4, 3), st.floats(0.4, 5))
def test_any_rotation_is_where_nibabel_says(tmp_path_factory, angles, inplane, between):
    from nibabel.eulerangles import euler2mat  # noqa: PLC0415 - for this test alone

    affine = np.eye(4)
    affine[:3, :3] = euler2mat(*angles) @ np.diag([inplane, inplane, between])
    affine[:3, 3] = (-20, 30, 5)
    path = tmp_path_factory.mktemp("nifti") / "head.nii"
    series = open_nifti(write(path, np.zeros((5, 6, 7), np.int16), affine))
    image = nibabel.load(path)
    for k, one in enumerate(series.slices):
        expected = LPS_FROM_RAS @ (image.affine @ (0, 0, k, 1))[:3]
        np.testing.assert_allclose(one.position_lps, expected, atol=1e-4)


def test_slope_and_intercept_are_applied(tmp_path):
    values = np.arange(60, dtype=np.int16).reshape(3, 4, 5)
    image = nibabel.Nifti1Image(values, np.eye(4))
    image.header.set_slope_inter(0.5, -10)
    nibabel.save(image, tmp_path / "head.nii")
    expected = np.asarray(nibabel.load(tmp_path / "head.nii").dataobj)
    series = open_nifti(tmp_path / "head.nii")
    # the slices of this map run down the normal: rows and columns make a left-handed frame
    found = np.stack([read_samples(series, k).values.T for k in range(5)], axis=-1)
    in_order = found if series.slices[0].frame == 0 else found[..., ::-1]
    np.testing.assert_allclose(in_order, expected)


def test_one_volume_of_several_is_chosen(tmp_path):
    values = np.arange(2 * 3 * 4 * 5, dtype=np.int16).reshape(3, 4, 5, 2)
    path = write(tmp_path / "head.nii.gz", values, np.eye(4))
    for number in (1, 2):
        series = open_nifti(path, number)
        first = series.slices[0].frame % 5
        np.testing.assert_array_equal(
            read_samples(series, 0).values.T, values[:, :, first, number - 1]
        )


def test_the_volume_of_several_must_be_named():
    message = r"^example4d\.nii\.gz holds 2 volumes\. Write volume, from 1 to 2\.$"
    with pytest.raises(ScanError, match=message):
        open_nifti(DATA / "example4d.nii.gz")
    with pytest.raises(ScanError, match=r"^volume: 3 does not exist in example4d\.nii\.gz"):
        open_nifti(DATA / "example4d.nii.gz", 3)


def test_samples_that_are_no_number_are_absent(tmp_path):
    values = np.ones((3, 4, 5), np.float32)
    values[1, 2, :] = np.nan
    series = open_nifti(write(tmp_path / "head.nii", values, np.eye(4)))
    samples = read_samples(series, 2)
    assert np.argwhere(samples.absent).tolist() == [[2, 1]]


def test_a_file_that_does_not_say_how_it_lies_is_refused(tmp_path):
    image = nibabel.Nifti1Image(np.zeros((3, 4, 5), np.int16), None)
    nibabel.save(image, tmp_path / "head.nii")
    message = r"^head\.nii does not say how its voxels lie in the patient .+ would be a guess\."
    with pytest.raises(ScanError, match=message):
        open_nifti(tmp_path / "head.nii")


def test_the_qform_serves_where_no_sform_is_set(tmp_path):
    affine = np.diag([2.0, 3.0, 4.0, 1.0])
    affine[:3, 3] = (1, 2, 3)
    image = nibabel.Nifti1Image(np.zeros((3, 4, 5), np.int16), None)
    image.set_qform(affine, code=1)
    nibabel.save(image, tmp_path / "head.nii")
    series = open_nifti(tmp_path / "head.nii")
    assert (series.column_spacing_mm, series.row_spacing_mm) == pytest.approx((2, 3))
    highest = max(series.slices, key=lambda one: one.position_lps[2])
    assert highest.position_lps == pytest.approx((-1, -2, 3 + 4 * 4))


def test_two_maps_that_differ_are_pointed_out(tmp_path):
    image = nibabel.Nifti1Image(np.zeros((3, 4, 5), np.int16), np.eye(4))
    moved = np.eye(4)
    moved[0, 3] = 9
    image.set_qform(moved, code=1)
    nibabel.save(image, tmp_path / "head.nii")
    remark = "its two maps to the patient differ by up to 9.0 mm; the sform is used"
    assert remark in open_nifti(tmp_path / "head.nii").remarks


def test_rows_and_columns_that_are_sheared_are_refused(tmp_path):
    affine = np.eye(4)
    affine[0, 1] = 0.2
    with pytest.raises(ScanError, match=r"rows and columns of head\.nii are not at a right angle"):
        open_nifti(write(tmp_path / "head.nii", np.zeros((3, 4, 5), np.int16), affine))


def test_lengths_in_meters_become_millimetres(tmp_path):
    image = nibabel.Nifti1Image(np.zeros((3, 4, 5), np.int16), np.diag([0.002, 0.003, 0.004, 1]))
    image.header.set_xyzt_units("meter")
    nibabel.save(image, tmp_path / "head.nii")
    series = open_nifti(tmp_path / "head.nii")
    assert (series.column_spacing_mm, series.row_spacing_mm) == pytest.approx((2, 3))


def test_coordinates_of_a_template_are_pointed_out(tmp_path):
    image = nibabel.Nifti1Image(np.zeros((3, 4, 5), np.int16), np.eye(4))
    image.set_sform(np.eye(4), code=4)
    nibabel.save(image, tmp_path / "head.nii")
    remark = "its coordinates are of the MNI template, not of the patient in the scanner"
    assert remark in open_nifti(tmp_path / "head.nii").remarks
    assert remark not in open_nifti(DATA / "anatomical.nii").remarks


def test_the_display_range_is_a_stored_window(tmp_path):
    series = open_nifti(DATA / "example4d.nii.gz", 1)
    assert series.slices[0].windows == (GreyWindow(581, 1162, "linear_exact"),)


@pytest.mark.parametrize("kind", [np.complex64, [("R", "u1"), ("G", "u1"), ("B", "u1")]])
def test_voxels_that_are_no_grey_values_are_refused(tmp_path, kind):
    values = np.zeros((3, 4, 5), np.dtype(kind))
    with pytest.raises(ScanError, match=r"^The voxels of head\.nii are no grey values"):
        open_nifti(write(tmp_path / "head.nii", values, np.eye(4)))


def test_a_damaged_file_is_told(tmp_path):
    whole = (DATA / "example4d.nii.gz").read_bytes()
    (tmp_path / "head.nii.gz").write_bytes(whole[: len(whole) // 2])
    series = open_nifti(tmp_path / "head.nii.gz", 2)
    with pytest.raises(ScanError, match=r"^The values of head\.nii\.gz cannot be read\."):
        read_samples(series, 0)


def test_a_file_of_another_kind_is_told(tmp_path):
    (tmp_path / "head.nii").write_text("no volume")
    with pytest.raises(ScanError, match=r"^head\.nii cannot be read as NIfTI\."):
        open_nifti(tmp_path / "head.nii")


@pytest.mark.parametrize("scale", [1e-6, 1e4])
def test_voxels_of_an_absurd_size_are_refused(tmp_path, scale):
    affine = np.diag([1.0, 1.0, scale, 1.0])
    message = r"^The map of head\.nii from voxels to the patient cannot be right: it makes voxels"
    with pytest.raises(ScanError, match=message):
        open_nifti(write(tmp_path / "head.nii", np.zeros((3, 4, 5), np.int16), affine))
