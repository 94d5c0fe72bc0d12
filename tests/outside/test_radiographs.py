"""Radiographs without a place in a patient, from pydicom's wheel, against DCMTK's `dcm2pnm`.

Three computed radiographs, MONOCHROME1: low values are bright (PS3.3 C.7.6.3.1.2).
"""

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from pydicom import dcmread
from pydicom.data import get_testdata_file

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.model import GreyWindow, PlaneRequest
from slidekit.scans.pages import read_page
from slidekit.scans.pictures import make_picture

FOLDER = Path(get_testdata_file("CT_small.dcm", download=False)).parent / "dicomdirtests"
FILES = sorted(path for path in FOLDER.glob("77654033/CR*/*") if path.is_file())

pytestmark = pytest.mark.skipif(
    shutil.which("dcm2pnm") is None, reason="dcm2pnm of DCMTK is missing"
)


def test_there_are_radiographs_to_test_with():
    assert len(FILES) == 3


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.parent.name)
def test_a_radiograph_is_within_one_level_of_dcmtks(tmp_path, file):
    shutil.copy(file, tmp_path / "page")
    image = dcmread(file)
    center, width = float(image.WindowCenter), float(image.WindowWidth)
    series = choose_series(index_folder(tmp_path), None)
    assert (series.kind, series.inverted) == ("page", True)
    size = max(series.rows, series.columns)
    read = read_page(series, PlaneRequest("picture"))
    ours = make_picture(read, GreyWindow(center, width), target_px=size).pixels.astype(int)
    command = ["dcm2pnm", "+Ww", str(center), str(width), tmp_path / "page", tmp_path / "page.pgm"]
    subprocess.run(command, check=True, capture_output=True)
    theirs = np.asarray(Image.open(tmp_path / "page.pgm")).astype(int)
    assert ours.shape == theirs.shape
    assert np.abs(ours - theirs).max() <= 1
