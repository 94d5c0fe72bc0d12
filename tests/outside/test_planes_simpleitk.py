"""Sampled planes against SimpleITK's linear resampling, and against fields known in the patient."""

from pathlib import Path

import numpy as np
import pytest
import SimpleITK as sitk  # noqa: N813 - the name its manual uses
from scipy.ndimage import binary_erosion, gaussian_filter
from scipy.spatial.transform import Rotation

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.geometry import lps_from_pixel, normal, position_range_mm
from slidekit.scans.model import Grid, PlaneImage, PlaneRequest, Series
from slidekit.scans.planes.read import read_planes
from tests.scans.dicom_series import AXIAL, Attributes, Placement, write_series

CORONAL = (1, 0, 0, 0, 0, -1)
SAGITTAL = (0, 1, 0, 0, 0, -1)
FEET_FIRST = (-1, 0, 0, 0, 1, 0)
TURNED = Rotation.from_euler("zyx", [20, -15, 30], degrees=True).as_matrix()
OBLIQUE = (*TURNED[:, 0].tolist(), *TURNED[:, 1].tolist())


def placement_of(orientation, step_mm: float) -> Placement:
    across = np.cross(orientation[:3], orientation[3:])
    return Placement(
        orientation=orientation,
        first_lps=(-11.5, 4.25, -30),
        step_lps=step_mm * across,
        row_spacing_mm=0.7,
        column_spacing_mm=0.5,
    )


def write_noise(folder: Path, orientation, *, smooth: bool = False) -> tuple[Series, sitk.Image]:
    noise = np.random.default_rng(4).uniform(-1000, 1500, (14, 26, 34))
    volume = (gaussian_filter(noise, 2) * 5 if smooth else noise).astype(np.int16)
    write_series(folder, volume, placement_of(orientation, 1.3))
    names = sitk.ImageSeriesReader.GetGDCMSeriesFileNames(str(folder))
    return choose_series(index_folder(folder), None), sitk.ReadImage(names, sitk.sitkFloat64)


def resampled(image: sitk.Image, grid: Grid) -> np.ndarray:
    """SimpleITK's values on our grid; nan outside."""
    axes = np.array([grid.right_lps, grid.down_lps, normal(grid)]).T
    plane = sitk.Resample(
        image,
        (grid.columns, grid.rows, 1),
        sitk.Transform(),
        sitk.sitkLinear,
        grid.origin_lps,
        (grid.column_mm, grid.row_mm, 1.0),
        axes.ravel().tolist(),
        float("nan"),
    )
    return sitk.GetArrayFromImage(plane)[0]


@pytest.mark.parametrize("plane", ["axial", "coronal", "sagittal"])
@pytest.mark.parametrize(
    "orientation",
    [AXIAL, CORONAL, SAGITTAL, FEET_FIRST, OBLIQUE],
    ids=["axial", "coronal", "sagittal", "feet-first", "oblique"],
)
def test_standard_planes_are_simpleitks(orientation, plane, tmp_path):
    series, volume = write_noise(tmp_path / "noise", orientation)
    low, high = position_range_mm(series, plane)
    parts = (0.37, 0.5, 0.81) if orientation == OBLIQUE else (0, 0.37, 0.81, 1)
    requests = [PlaneRequest(plane, at_mm=low + part * (high - low)) for part in parts]
    for image in read_planes(series, requests):
        theirs = resampled(volume, image.grid)
        # SimpleITK also fills half a sample beyond the outermost centres, and may drop the edge
        # that lies exactly on them: values are compared where both have one
        both = ~image.absent & ~np.isnan(theirs)
        np.testing.assert_allclose(image.values[both], theirs[both], atol=0.5)
        assert both[2:-2, 2:-2].sum() == (~image.absent)[2:-2, 2:-2].sum() > 50


@pytest.mark.parametrize("slab", ["mean", "max", "min"])
@pytest.mark.parametrize("orientation", [AXIAL, OBLIQUE], ids=["axial", "oblique"])
def test_slabs_are_simpleitks_planes_combined(orientation, slab, tmp_path):
    series, volume = write_noise(tmp_path / "noise", orientation, smooth=True)
    low, high = position_range_mm(series, "coronal")
    request = PlaneRequest("coronal", at_mm=(low + high) / 2, slab_mm=4.2, slab=slab)
    (image,) = read_planes(series, [request])
    layers = np.stack(
        [
            resampled(volume, shifted(image.grid, offset))
            for offset in np.linspace(-2.1, 2.1, 421)  # so fine that their plain mean is exact
        ]
    )
    inside = ~np.isnan(layers).any(axis=0) & ~image.absent
    if orientation == OBLIQUE:  # SimpleITK's layers reach half a sample further out
        inside &= binary_erosion(~image.absent, np.ones((11, 11)))
    assert inside.sum() > 100
    difference = image.values[inside] - getattr(np, slab)(layers[:, inside], axis=0)
    # slabs along the samples are exact (a plain mean of 421 layers is not, quite); slanted ones
    # are made of layers a sample apart (mean) or half a sample (extremes), in a range of 2,000
    assert np.abs(difference).max() < (1 if orientation == AXIAL else 10)
    assert np.sqrt(np.mean(difference**2)) < (0.5 if orientation == AXIAL else 2)


def shifted(grid: Grid, offset_mm: float) -> Grid:
    origin = np.asarray(grid.origin_lps) + offset_mm * normal(grid)
    return Grid(tuple(origin.tolist()), *list(vars(grid).values())[1:])


# --- fields known in the patient -------------------------------------------------------------

SLOPE = 0.001  # so that rounding stored values stays below the tolerance
GRADIENT = np.array([0.7, -0.5, 0.6])  # per mm
TILT_15 = (1, 0, 0, 0, 0.965926, 0.258819)  # PS3.3 C.7.6.2 positions; nominal tilt 15 degrees


def steps_along_z(distances) -> list[tuple[float, float, float]]:
    return [(-8.0, -6.0, float(z)) for z in distances]


GEOMETRIES = {
    "tilt 15 degrees": (TILT_15, steps_along_z(np.arange(9) * 3.0)),
    "tilt -18.5 degrees": ((1, 0, 0, 0, 0.9483237, -0.3173047), steps_along_z(np.arange(9) * 2.5)),
    "uneven": (AXIAL, steps_along_z([0, 1, 2, 3, 5.5, 8, 9.1, 12, 15])),
    "tilted and uneven": (TILT_15, steps_along_z([0, 4, 8, 12, 13.1, 20])),
    "table jog": (AXIAL, [(-8 + (k > 4) * 2.0, -6, k * 2.5) for k in range(9)]),
    "against the normal": (FEET_FIRST, steps_along_z(20 - np.arange(9) * 2.5)),
}


def write_field(folder: Path, orientation, positions) -> Series:
    """A series whose value at each place q of the patient is GRADIENT . q."""
    placement = Placement(
        orientation=orientation,
        positions=positions,
        row_spacing_mm=0.8,
        column_spacing_mm=0.6,
    )
    row, column = np.array(orientation[:3]), np.array(orientation[3:])
    i, j = np.mgrid[0:22, 0:26][..., None]
    volume = [
        (np.asarray(position) + 0.6 * j * row + 0.8 * i * column) @ GRADIENT
        for position in positions
    ]
    stored = np.round(np.array(volume) / SLOPE).astype(int)
    assert np.abs(stored).max() < 2**15
    attributes = Attributes({"RescaleSlope": SLOPE})
    write_series(folder, stored.astype(np.int16), placement, attributes)
    return choose_series(index_folder(folder), None)


def field_error(image: PlaneImage) -> float:
    """Largest difference from the field, where the plane has values."""
    places = np.stack(np.meshgrid(range(image.grid.columns), range(image.grid.rows)), axis=-1)
    expected = lps_from_pixel(image.grid, places) @ GRADIENT
    there = ~image.absent
    assert there.sum() > 50
    return float(np.abs(image.values - expected)[there].max())


@pytest.mark.parametrize("name", GEOMETRIES)
def test_a_linear_field_is_reproduced_whatever_the_geometry(name, tmp_path):
    series = write_field(tmp_path / "field", *GEOMETRIES[name])
    requests = []
    for plane in ("axial", "coronal", "sagittal"):
        low, high = position_range_mm(series, plane)
        middle = (low + high) / 2
        parts = (0.3, 0.5, 0.77)
        requests += [PlaneRequest(plane, at_mm=low + part * (high - low)) for part in parts]
        requests.append(PlaneRequest(plane, at_mm=middle, slab_mm=2.0))
    for request, image in zip(requests, read_planes(series, requests), strict=True):
        # the mean of a slab that is whole is the value in its middle
        compared = without_edges(image) if request.slab_mm else image
        assert field_error(compared) < 1e-3


def without_edges(image: PlaneImage) -> PlaneImage:
    """Where a slab reaches out of the scan its mean is one-sided: keep what lies well within."""
    keep = binary_erosion(~image.absent, np.ones((3, 9)))  # a jog of 2 mm is 4 columns
    return PlaneImage(**{**vars(image), "absent": ~keep})


def test_a_tilted_series_has_the_spacing_and_shear_of_the_worked_example(tmp_path):
    # N . step = 3 cos 15 degrees, Y . step = 3 sin 15 degrees
    series = write_field(tmp_path / "field", *GEOMETRIES["tilt 15 degrees"])
    first, second = (np.array(one.position_lps) for one in series.slices[:2])
    step = second - first
    across = np.cross(series.row_lps, series.column_lps)
    assert step @ across == pytest.approx(2.897777, abs=1e-6)
    assert step @ np.array(series.column_lps) == pytest.approx(0.776457, abs=1e-6)
    assert series.remarks == (
        "the gantry was tilted by 15.0 degrees; pictures are sampled where the slices really lie",
    )
