import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import yaml

from slidekit.errors import ScanError, WriteError
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.model import Catalogue, GreyWindow, PlaneRequest, Series, SliceFile
from slidekit.scans.planes.read import check_request
from slidekit.scene.style import load_style
from slidekit.storyboard.names.faults import find_name_faults
from slidekit.storyboard.read import read_storyboard
from slidekit.storyboard.windows import AutomaticWindow, Window
from slidekit.writers.starter import Place, starter_text, write_starter
from tests.scans.dicom_series import Attributes, Placement, write_series

FOLDER = Path("scans")


def series(**changes) -> Series:
    """Forty axial slices of 100 × 80 mm, 2 mm apart, from z = -20 mm."""
    count = changes.pop("count", 40)
    slices = tuple(
        SliceFile(Path(f"{k}.dcm"), 0, f"1.2.3.{k}", (-50.0, -40.0, -20.0 + 2 * k), 1, 0, 1, 1)
        for k in range(count)
    )
    whole = Series(
        uid="1.2.3.4",
        description="CANARY DESCRIPTION",
        number=4,
        modality="CT",
        frame_of_reference_uid="1.2.3.5",
        kind="stack",
        slices=slices,
        rows=161,
        columns=201,
        row_spacing_mm=0.5,
        column_spacing_mm=0.5,
        row_lps=(1.0, 0.0, 0.0),
        column_lps=(0.0, 1.0, 0.0),
        unit="HU",
        inverted=False,
        stored_window=GreyWindow(40.0, 400.0),
        padding=None,
        thickness_mm=2.0,
    )
    return replace(whole, **changes)


def text_of(*found: Series, folder: str = "scans") -> str:
    return starter_text(Catalogue(FOLDER, found, ()), Place("folder", folder))


def read_back(tmp_path, text: str):
    path = tmp_path / "talk.yaml"
    path.write_text(text, encoding="utf-8")
    source = read_storyboard(path)
    style = load_style(source.board.talk.style, tmp_path)
    faults = find_name_faults(
        source, marks=style.marks, windows=style.windows, style_name=style.name
    )
    assert faults == ()
    return source


def test_a_first_storyboard_reads_back_without_faults(tmp_path):
    board = read_back(tmp_path, text_of(series())).board
    assert [slide.kind for slide in board.slides] == ["title", "scan", "scan", "credits"]
    assert board.scans["ct"].folder == str(tmp_path / "scans")
    assert board.scans["ct"].series is None


def test_views_lie_in_the_middle_of_the_scan(tmp_path):
    views = read_back(tmp_path, text_of(series())).board.views
    # x: -50 + 100 / 2; y: -40 + 80 / 2; z: -20 + 78 / 2
    assert (views["ct_sagittal"].at_mm, views["ct_coronal"].at_mm) == (0, 0)
    assert views["ct_axial"].at_mm == 19


def test_the_example_region_lies_in_the_middle_of_the_first_view(tmp_path):
    region = read_back(tmp_path, text_of(series())).board.regions["example"]
    assert region.view == "ct_axial"
    assert region.center_mm == (0, 0)
    assert region.radii_mm == (10, 10)  # an eighth of 80 mm


def test_the_window_of_the_files_is_written_out(tmp_path):
    views = read_back(tmp_path, text_of(series())).board.views
    assert (views["ct_axial"].window.center, views["ct_axial"].window.width) == (40, 400)


def test_a_narrow_window_of_the_files_keeps_its_digits_and_its_curve(tmp_path):
    stored = GreyWindow(0.025, 0.05, "sigmoid")
    views = read_back(tmp_path, text_of(series(stored_window=stored))).board.views
    assert views["ct_axial"].window == Window(center=0.025, width=0.05, curve="sigmoid")


def test_without_a_stored_window_the_style_shows_the_whole_scale(tmp_path):
    views = read_back(tmp_path, text_of(series(stored_window=None))).board.views
    assert views["ct_axial"].window == "whole_scale"


def test_values_other_than_hu_without_a_stored_window_choose_their_own(tmp_path):
    views = read_back(tmp_path, text_of(series(stored_window=None, unit=""))).board.views
    assert views["ct_axial"].window == AutomaticWindow(percentiles=(1, 99))


def test_few_slices_are_shown_as_acquired(tmp_path):
    board = read_back(tmp_path, text_of(series(count=6))).board
    assert list(board.views) == ["ct_acquired"]
    assert board.views["ct_acquired"].slice == 4
    assert board.regions["example"].center_mm == (0, 0, -14)


def test_a_single_slice_needs_no_number(tmp_path):
    board = read_back(tmp_path, text_of(series(count=1, kind="single"))).board
    assert board.views["ct_acquired"].slice is None


def test_several_series_are_chosen_by_their_uid(tmp_path):
    found = (
        series(),
        series(uid="1.2.3.9", modality="MR", stored_window=None),
        series(uid="1.2.3.10"),
        series(uid="1.2.3.11", kind="localizer", count=1),
        series(uid="1.2.3.12", kind="page", count=1),
    )
    board = read_back(tmp_path, text_of(*found)).board
    chosen = {name: scan.series for name, scan in board.scans.items()}
    assert chosen == {"ct": "1.2.3.4", "mr": "1.2.3.9", "ct_2": "1.2.3.10"}
    assert len(board.slides) == 2 + 3 * 2


def test_a_series_without_a_uid_is_chosen_by_its_name(tmp_path):
    # decimal_rescale.dcm of nibabel has none
    nameless = series(uid="", name="7", number=7)
    source = read_back(tmp_path, text_of(nameless, series(uid="1.2.3.9", number=9, name="9")))
    assert sorted(scan.series for scan in source.board.scans.values()) == ["1.2.3.9", "7"]


def test_the_unit_of_a_volume_is_left_to_the_author():
    catalogue = Catalogue(FOLDER, (series(unit=""),), ())
    assert "    # unit: HU " in starter_text(catalogue, Place("nifti", "head.nii"))
    assert "unit:" not in starter_text(catalogue, Place("folder", "scans"))


def test_stacks_that_share_a_uid_are_told_apart_by_their_part(tmp_path):
    found = (series(part=1, parts=2), series(part=2, parts=2))
    board = read_back(tmp_path, text_of(*found)).board
    wanted = [scan.series for scan in board.scans.values()]
    assert wanted == ["1.2.3.4/1", "1.2.3.4/2"]
    assert [choose_series(Catalogue(FOLDER, found, ()), one) for one in wanted] == list(found)


@pytest.mark.parametrize(
    "folder",
    [".", "../my scans/urn: 3", "C:\\scans\\urn", "it's #1", "- x", "12", "Gräber/1", "a\tb", "~"],
)
def test_any_folder_name_is_written_so_that_yaml_reads_it(folder):
    assert yaml.safe_load(text_of(series(), folder=folder))["scans"]["ct"]["folder"] == (
        12 if folder == "12" else folder
    )


def test_small_things_get_finer_numbers(tmp_path):
    tiny = series(row_spacing_mm=0.01, column_spacing_mm=0.01, count=6)
    region = read_back(tmp_path, text_of(tiny)).board.regions["example"]
    assert region.radii_mm == (0.2, 0.2)  # an eighth of 1.6 mm


def test_a_folder_without_slices_is_told():
    message = "scans holds no series of slices. Choose a folder of DICOM files of a CT or MR study."
    with pytest.raises(ScanError, match=f"^{re.escape(message)}$"):
        text_of(series(kind="localizer"))


def test_pages_are_shown_where_there_are_no_slices():
    text = text_of(series(kind="page", slices=series().slices[:1]))
    assert "plane: picture\n" in text
    assert "center_px: [" in text


def test_nothing_of_the_files_descriptions_is_written(tmp_path):
    canaries = {
        "PatientName": "CANARY^PATIENT",
        "PatientID": "CANARY-ID",
        "PatientBirthDate": "19010203",
        "InstitutionName": "CANARY HOUSE",
        "OperatorsName": "CANARY^OPERATOR",
        "StudyDescription": "CANARY STUDY",
        "SeriesDescription": "CANARY SERIES",
        "ProtocolName": "CANARY PROTOCOL",
    }
    folder = write_series(
        tmp_path / "ct", np.zeros((3, 16, 16), np.int16), Placement(), Attributes(every=canaries)
    )
    text = starter_text(index_folder(folder), Place("folder", "ct"))
    assert "CANARY" not in text
    assert "1901" not in text


def test_the_first_views_of_real_files_can_be_shown(tmp_path):
    aslant = Placement(
        orientation=(1.0, 0.0, 0.0, 0.0, 0.8, 0.6),
        first_lps=(5.3, -7.7, 100.1),
        step_lps=(0.0, -0.9, 1.2),
        row_spacing_mm=0.7,
        column_spacing_mm=0.7,
    )
    write_series(tmp_path / "ct", np.zeros((24, 40, 30), np.int16), aslant)
    catalogue = index_folder(tmp_path / "ct")
    board = read_back(tmp_path, starter_text(catalogue, Place("folder", "ct"))).board
    chosen = choose_series(catalogue, board.scans["ct"].series)
    assert list(board.views) == ["ct_axial", "ct_coronal", "ct_sagittal"]
    for view in board.views.values():
        check_request(chosen, PlaneRequest(view.plane, view.at_mm, view.slice))


def test_a_first_storyboard_is_never_written_over(tmp_path):
    path = tmp_path / "talk.yaml"
    write_starter("one\n", path)
    with pytest.raises(
        WriteError,
        match=f"^{re.escape(str(path))} is already there\\. Choose another name with --out\\.$",
    ):
        write_starter("two\n", path)
    assert path.read_text(encoding="utf-8") == "one\n"


def test_no_line_is_long(tmp_path):
    assert max(map(len, text_of(series(), series(uid="1.2.3.9")).splitlines())) <= 100
