"""Real files of many machines, from `pydicom-data` 1.0.0 and nibabel 5: what becomes of each.

Values are those of pydicom (`pixel_array`, `apply_modality_lut`) or of SimpleITK; numbers named
here were computed once with pydicom 3.0.2. Compressed files are held against the uncompressed
originals that lie beside them, so that the decoder is not its own witness.
"""

import gzip
import shutil
from pathlib import Path

import data_store
import nibabel
import numpy as np
import pytest
import SimpleITK
from pydicom import dcmread
from pydicom.pixels import apply_modality_lut

from slidekit.errors import ScanError
from slidekit.scans.catalogue import choose_series, describe_series, index_folder
from slidekit.scans.geometry import edge_letters, grid_of_slice, lps_from_pixel, slice_positions
from slidekit.scans.model import GreyWindow, PlaneRequest, Series
from slidekit.scans.pictures import make_picture
from slidekit.scans.pixels import read_samples, read_stored
from slidekit.scans.planes.read import read_planes
from slidekit.scans.viewing import read_views

FILES = {path.name: path for path in sorted(Path(next(iter(data_store.__path__))).rglob("*.dcm"))}
NICOM = Path(nibabel.__file__).parent / "nicom" / "tests" / "data"


def series_of(folder: Path, *paths: Path) -> Series:
    """The one series in copies of these files; unpacked if need be."""
    folder.mkdir(exist_ok=True)
    for path in paths:
        if path.suffix == ".gz":
            (folder / path.stem).write_bytes(gzip.decompress(path.read_bytes()))
        else:
            shutil.copy(path, folder)
    return choose_series(index_folder(folder), None)


def test_the_files_of_the_packages_are_there():
    assert len(FILES) >= 60
    assert len(list(NICOM.glob("*.dcm*"))) >= 6


GREY = [
    name
    for name, path in FILES.items()
    if "OT-PAL" not in name
    and "J2KI" not in name  # the same images with loss
    and (header := dcmread(path, stop_before_pixels=True)).get("SamplesPerPixel") == 1
    and header.PhotometricInterpretation.startswith("MONOCHROME")
    and header.get("Modality") != "SEG"
    and "too_short" not in name
]


@pytest.mark.parametrize("name", GREY)
def test_values_of_every_grey_image_are_those_of_pydicom(tmp_path, name):
    series = series_of(tmp_path, FILES[name])
    image = dcmread(FILES[name])
    stored = image.pixel_array
    frames = stored if stored.ndim == 3 else stored[None]
    assert len(series.slices) == len(frames)
    shown = 0
    for index, one in enumerate(series.slices):
        frame = frames[one.frame].astype(np.int64)
        samples = read_samples(series, index)
        present = np.ones(frame.shape, bool) if samples.absent is None else ~samples.absent
        groups = image.get("SharedFunctionalGroupsSequence")
        if groups:  # enhanced: one slope for all frames
            rescale = groups[0].PixelValueTransformationSequence[0]
            values = frame * float(rescale.RescaleSlope) + float(rescale.RescaleIntercept)
        else:
            values = apply_modality_lut(frames[one.frame], image)
        np.testing.assert_allclose(samples.values[present], values[present], rtol=1e-6)
        if not present.all():
            assert set(frame[~present]) == {image.PixelPaddingValue}
        shown += int(present.sum())
    assert shown > 0


PAIRS = [("693_J2KR", "693_UNCR"), ("MR2_J2KR", "MR2_UNCR"), ("RG1_J2KR", "RG1_UNCR")]
PAIRS += [("RG3_J2KR", "RG3_UNCR")]


@pytest.mark.parametrize(("packed", "plain"), PAIRS)
def test_what_was_compressed_without_loss_is_the_original(tmp_path, packed, plain):
    decoded, original = (
        read_stored(series_of(tmp_path / name, FILES[f"{name}.dcm"]), 0) for name in (packed, plain)
    )
    np.testing.assert_array_equal(decoded, original)


def test_an_enhanced_ct_lies_where_its_groups_say(tmp_path):
    series = series_of(tmp_path, FILES["eCT_Supplemental.dcm"])
    assert (series.kind, series.unit, series.stored_window) == ("stack", "", GreyWindow(49, 102))
    # its normal points to the feet: the frame at -149 lies lowest along it
    assert slice_positions(series).tolist() == [[99.5, -301.5, -149.0], [99.5, -301.5, -159.0]]
    assert edge_letters(grid_of_slice(series, 0)) == ("L", "A", "R", "P")
    values = np.stack([read_samples(series, k).values for k in range(2)])
    assert (values.min(), values.max()) == (-1024, 172)
    assert values.mean() == pytest.approx(-643.9619, abs=1e-4)
    (axial,) = read_planes(series, [PlaneRequest("axial", -159.0)])
    assert edge_letters(axial.grid) == ("R", "A", "L", "P")
    np.testing.assert_array_equal(axial.values, values[1][:, ::-1])


def test_an_enhanced_ct_has_the_values_of_simpleitk_at_the_same_places(tmp_path):
    series = series_of(tmp_path, FILES["eCT_Supplemental.dcm"])
    image = SimpleITK.ReadImage(str(FILES["eCT_Supplemental.dcm"]))
    rng = np.random.default_rng(3)
    for z in (-149.0, -159.0):
        (plane,) = read_planes(series, [PlaneRequest("axial", z)])
        for _ in range(30):
            row, column = (int(rng.integers(n)) for n in plane.values.shape)
            place = lps_from_pixel(plane.grid, (column, row)).tolist()
            index = image.TransformPhysicalPointToIndex(place)
            assert plane.values[row, column] == image.GetPixel(*index)


def test_frames_without_functional_groups_have_no_place(tmp_path):
    series = series_of(tmp_path, FILES["emri_small.dcm"])
    assert (series.kind, len(series.slices)) == ("page", 10)
    with pytest.raises(ScanError, match=r"^The series holds pages .* Write plane: picture"):
        read_planes(series, [PlaneRequest("axial", 0.0)])
    (page,) = read_views(series, [PlaneRequest("picture", slice_number=4)])
    np.testing.assert_array_equal(page.values, dcmread(FILES["emri_small.dcm"]).pixel_array[3])


def test_a_slice_stored_upside_down_stands_upright_as_an_axial_one(tmp_path):
    # explicit_VR-UN: Image Orientation 1\0\0\0\-1\0, its columns run to the front
    series = series_of(tmp_path, FILES["explicit_VR-UN.dcm"])
    (acquired,) = read_planes(series, [PlaneRequest("acquired")])
    assert edge_letters(acquired.grid) == ("R", "P", "L", "A")


def test_letters_of_an_oblique_slice_name_its_directions(tmp_path):
    # MR2_UNCR: rows run along (0.569, 0.822, 0), columns to the feet
    series = series_of(tmp_path, FILES["MR2_UNCR.dcm"])
    assert edge_letters(grid_of_slice(series, 0)) == ("AR", "H", "PL", "F")


def test_a_spacing_of_zero_is_none(tmp_path):
    # RG1_UNCR writes 0.000\0.000: nothing can be measured on it
    series = series_of(tmp_path, FILES["RG1_UNCR.dcm"])
    (page,) = read_views(series, [PlaneRequest("picture")])
    assert (series.kind, series.inverted, page.grid.space) == ("page", True, "pixels")
    picture = make_picture(page, GreyWindow(15_000, 30_000), target_px=2000)
    # inverted: what the window makes black is white, and the reverse
    low = page.values <= page.values.min() + 10
    assert picture.pixels[low].min() > 240


def test_one_image_written_four_times_is_refused_with_all_names(tmp_path):
    names = ["MR2_J2KI.dcm", "MR2_J2KR.dcm", "MR2_UNCI.dcm", "MR2_UNCR.dcm"]
    with pytest.raises(ScanError, match=r"holds images that lie in the same place") as raised:
        series_of(tmp_path, *(FILES[name] for name in names))
    assert all(name in str(raised.value) for name in names)


def test_a_mosaic_has_no_place(tmp_path):
    # nibabel's 0.dcm and 1.dcm: many slices in one image, whose position is that of none
    series = series_of(tmp_path, NICOM / "0.dcm", NICOM / "1.dcm")
    assert series.kind == "page"
    assert "each is a mosaic of slices side by side: shown as it is, without places" in (
        series.remarks
    )
    assert "2 pictures of 256 × 256, for plane: picture" in describe_series(series)


def test_an_enhanced_mr_of_176_frames_is_a_stack(tmp_path):
    series = series_of(tmp_path, NICOM / "philips_mprage.dcm.gz")
    image = dcmread(tmp_path / "philips_mprage.dcm")
    places = [
        [float(x) for x in group.PlanePositionSequence[0].ImagePositionPatient]
        for group in image.PerFrameFunctionalGroupsSequence
    ]
    assert (series.kind, len(series.slices)) == ("stack", len(places))
    for one in series.slices:
        assert one.position_lps == pytest.approx(places[one.frame])
    along = slice_positions(series) @ np.cross(series.row_lps, series.column_lps)
    assert np.diff(along) == pytest.approx(1.0, abs=1e-3)


def test_a_slope_written_with_decimals_is_used(tmp_path):
    series = series_of(tmp_path, NICOM / "decimal_rescale.dcm")
    image = dcmread(NICOM / "decimal_rescale.dcm")
    expected = image.pixel_array * 2.0 + float(image.RescaleIntercept)
    assert series.slices[0].slope == 2.0
    np.testing.assert_array_equal(read_samples(series, 0).values, expected)
