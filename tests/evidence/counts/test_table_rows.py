import datetime
import sys

import polars
import pytest
import xlsxwriter

from slidekit.errors import LibraryError, StoryboardError
from slidekit.evidence.counts.table_rows import Row, read_rows

HEAD = ("find", "height_mm", "hole", "found", "whole")
ROWS = (
    ("P1", 120, "drilled", datetime.date(1987, 5, 4), True),
    ("P2", 80.5, "?", None, False),
)
READ = (
    HEAD,
    ("P1", "120", "drilled", "1987-05-04", "true"),
    ("P2", "80.5", "?", "", "false"),
)


def workbook(path, rows=(HEAD, *ROWS), sheets=("Urns",)):
    with xlsxwriter.Workbook(path, {"default_date_format": "yyyy-mm-dd"}) as book:
        for name in sheets:
            sheet = book.add_worksheet(name)
            for at, row in enumerate(rows):
                for column, value in enumerate(row):
                    if value is not None:
                        sheet.write(at, column, value)
    return path


def cells(rows) -> tuple[tuple[str, ...], ...]:
    return tuple(row.cells for row in rows)


def test_a_workbook_reads_as_its_table_would_in_csv(tmp_path):
    assert cells(read_rows(workbook(tmp_path / "urns.xlsx"))) == READ


def test_a_parquet_file_reads_as_its_table_would_in_csv(tmp_path):
    frame = polars.DataFrame([dict(zip(HEAD, row, strict=True)) for row in ROWS], strict=False)
    frame.write_parquet(tmp_path / "urns.parquet")
    assert cells(read_rows(tmp_path / "urns.parquet")) == READ


def test_lines_are_the_rows_of_the_sheet_and_empty_ones_are_left_out(tmp_path):
    path = workbook(tmp_path / "urns.xlsx", (("find",), (None,), ("P1",)))
    assert list(read_rows(path)) == [Row(1, ("find",)), Row(3, ("P1",))]


def test_a_sheet_is_chosen_by_its_name_else_the_first(tmp_path):
    path = workbook(tmp_path / "urns.xlsx", sheets=("Urns", "More"))
    assert cells(read_rows(path, "More")) == cells(read_rows(path))
    told = r"urns\.xlsx:1: table: the workbook has no sheet `Urn`\. Write one of Urns, More under"
    with pytest.raises(StoryboardError, match=told):
        list(read_rows(path, "Urn"))


@pytest.mark.parametrize("name", ["urns.xlsx", "urns.parquet"])
def test_a_file_that_is_something_else_is_told(tmp_path, name):
    (tmp_path / name).write_bytes(b"find,height\nP1,3\n")
    with pytest.raises(StoryboardError, match=r"cannot be read: .+ Save it again, or as CSV in"):
        list(read_rows(tmp_path / name))


@pytest.mark.parametrize("name", ["urns.csv", "urns.xlsx", "urns.parquet"])
def test_a_file_that_is_not_there_is_told(tmp_path, name):
    with pytest.raises(StoryboardError, match=r"the table cannot be read: there is no such file\."):
        list(read_rows(tmp_path / name))


@pytest.mark.parametrize("name", ["urns.csv", "urns.parquet"])
def test_a_sheet_of_a_file_that_has_none_is_told(tmp_path, name):
    told = r"table: only a workbook has sheets, and `sheet` is `Urns`\. Remove `sheet`\.$"
    with pytest.raises(StoryboardError, match=told):
        list(read_rows(tmp_path / name, "Urns"))


@pytest.mark.parametrize("library", ["polars", "fastexcel"])
def test_a_missing_library_is_told_with_what_to_install(tmp_path, monkeypatch, library):
    monkeypatch.setitem(sys.modules, library, None)
    told = rf"read by {library}, which is not installed\. Install it with: pip install 'slidekit"
    with pytest.raises(LibraryError, match=told):
        list(read_rows(workbook(tmp_path / "urns.xlsx")))
