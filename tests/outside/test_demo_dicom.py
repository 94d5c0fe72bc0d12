"""The synthetic series are good DICOM in the eyes of programs and libraries that are not ours."""

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
import SimpleITK

from slidekit.scans.demo import load_generator

NAMES = ("urn", "urn-fine")


@pytest.fixture(scope="module")
def few_files(tmp_path_factory) -> dict[str, list[Path]]:
    """The first three files of each series; the rest differ in position and pixels only."""
    synthesize = load_generator()
    folder = tmp_path_factory.mktemp("demo")
    return {name: synthesize.write_images(name, folder / name, range(3)) for name in NAMES}


def ran(program: str, *arguments: str | Path) -> subprocess.CompletedProcess[str]:
    if shutil.which(program) is None:
        pytest.skip(f"{program} is not installed")
    return subprocess.run([program, *arguments], capture_output=True, text=True, check=False)


@pytest.mark.parametrize("name", NAMES)
def test_the_dicom_validator_of_dicom3tools_finds_no_error(few_files, name):
    for path in few_files[name]:
        answer = ran("dciodvfy", path)
        said = answer.stdout + answer.stderr
        assert "CTImage" in said  # it knew what to check against
        assert [line for line in said.splitlines() if line.startswith("Error")] == []


@pytest.mark.parametrize("name", NAMES)
def test_the_toolkit_dcmtk_reads_every_file_without_a_warning(few_files, name):
    for path in few_files[name]:
        assert ran("dcmftest", path).stdout == f"yes: {path}\n"
        dumped = ran("dcmdump", "--quiet", "--verbose", path)
        assert (dumped.returncode, dumped.stderr) == (0, "")


@pytest.mark.parametrize("name", NAMES)
def test_simpleitk_finds_one_series_in_the_geometry_that_was_meant(few_files, name):
    stack = load_generator().SERIES[name]
    reader = SimpleITK.ImageSeriesReader()
    folder = str(few_files[name][0].parent)
    (series_uid,) = reader.GetGDCMSeriesIDs(folder)
    reader.SetFileNames(reader.GetGDCMSeriesFileNames(folder, series_uid))
    image = reader.Execute()
    spacing = (stack.frame.pixel_mm, stack.frame.pixel_mm, stack.spacing_mm)
    lowest = (stack.frame.left_mm, stack.frame.front_mm, stack.z_mm(2))
    np.testing.assert_allclose(image.GetSpacing(), spacing)
    np.testing.assert_allclose(image.GetOrigin(), lowest)
    np.testing.assert_allclose(image.GetDirection(), np.eye(3).ravel())


@pytest.mark.parametrize("name", NAMES)
def test_simpleitk_rescales_to_the_ct_numbers_that_were_painted(few_files, name):
    image = SimpleITK.ReadImage(str(few_files[name][1]))
    painted = load_generator().slice_maker(name)(1).astype(int) - 1024
    np.testing.assert_array_equal(SimpleITK.GetArrayFromImage(image)[0], painted)
