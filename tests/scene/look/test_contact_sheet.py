"""The sheet of what a folder holds."""

from pathlib import Path

import numpy as np
import pydicom.data
import pytest

from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scene.look import compose_contact_sheet, preview_series
from slidekit.scene.model import Page, Picture, Text
from slidekit.scene.text import text_height_mm
from tests.scans.dicom_series import Attributes, Placement, write_series
from tests.scene.builders import DARK

VOLUME = np.arange(5 * 8 * 10, dtype=np.int16).reshape(5, 8, 10)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    named = {"SeriesDescription": "Jane Doe, head", "PatientName": "Doe^Jane"}
    write_series(tmp_path / "Doe", VOLUME, Placement(), Attributes(every=named), series=4)
    stored = {"WindowCenter": 40, "WindowWidth": 400, "Modality": "MR"}
    write_series(tmp_path / "b", VOLUME[:1], Placement(), Attributes(every=stored), series=7)
    return tmp_path


def _words(page: Page) -> list[str]:
    return [item.plain for item in page.items if isinstance(item, Text) and item.role == "data"]


def test_a_series_is_described_by_what_can_be_written(folder: Path) -> None:
    catalogue = index_folder(folder)
    (page,) = compose_contact_sheet(preview_series(catalogue.series), 0, DARK)
    first, second = _words(page)
    assert first.splitlines()[:3] == [
        "CT · stack of slices",
        'Write series: "4"',
        "5 slices of 10 × 8 pixels",
    ]
    assert second.splitlines()[:3] == [
        "MR · one slice",
        'Write series: "7"',
        "1 slice of 10 × 8 pixels",
    ]
    assert "window to suit" in first
    assert "Shown: slice 1, the files' window 40/400" in second


def test_what_is_written_chooses_the_series(folder: Path) -> None:
    catalogue = index_folder(folder)
    (page,) = compose_contact_sheet(preview_series(catalogue.series), 0, DARK)
    for words, series in zip(_words(page), catalogue.series, strict=True):
        written = words.splitlines()[1].removeprefix('Write series: "').removesuffix('"')
        assert choose_series(catalogue, written) is series


def test_nothing_on_a_sheet_names_a_person(folder: Path) -> None:
    (page,) = compose_contact_sheet(preview_series(index_folder(folder).series), 0, DARK)
    assert "Doe" not in repr([item for item in page.items if not isinstance(item, Picture)])
    assert "Jane" not in repr(page)


def test_the_middle_slice_is_shown(folder: Path) -> None:
    preview, _ = preview_series(index_folder(folder).series)
    assert preview.picture is not None
    assert preview.picture.slice_number == 3


def test_each_series_is_reported_when_it_is_read(folder: Path) -> None:
    seen: list[str] = []
    preview_series(index_folder(folder).series, seen.append)
    assert seen == ["4", "7"]


def test_the_footer_counts_series_and_files_left_out(folder: Path) -> None:
    previews = preview_series(index_folder(folder).series)
    footers = [
        item.plain
        for page in compose_contact_sheet(previews, 3, DARK)
        for item in page.items
        if isinstance(item, Text) and item.role == "footer"
    ]
    assert footers[0].startswith("2 series, 3 files left out")


def test_a_mixed_folder_fills_several_pages_and_pages_come_last() -> None:
    # the images bundled with pydicom: CT, MR, ultrasound, screen captures, odd sizes
    folder = Path(pydicom.data.__file__).parent / "test_files"
    previews = preview_series(index_folder(folder).series)
    pages = compose_contact_sheet(previews, 0, DARK)
    words = [said for page in pages for said in _words(page) if "\n" in said]
    assert len(words) == len(previews)
    assert len({page.title for page in pages}) == len({page.id for page in pages}) == len(pages)
    placeless = ["pages without a place" in said for said in words]
    assert placeless == sorted(placeless)
    assert any(placeless)
    for page in pages:
        for item in page.items:
            if isinstance(item, Text):
                room = item.box.inset(*item.inset_mm)
                needed = text_height_mm(item.paragraphs, room.width_mm, item.size_pt)
                assert needed <= room.height_mm + 1e-6
