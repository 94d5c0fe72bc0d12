"""The rows of a table's file as texts, whatever its format.

CSV in UTF-8 (cells parted by commas, or by semicolons or tabs if the first row has more of those),
spreadsheet workbooks (.xlsx, ECMA-376 SpreadsheetML) and Parquet files; the latter two through
polars, an extra.
"""

import csv
import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

from slidekit.errors import Fault, LibraryError, StoryboardError

WORKBOOK = ".xlsx"
_DELIMITERS = ",;\t"


@dataclass(frozen=True)
class Row:
    """Cells without white space around them."""

    line: int  # 1-based, where it begins: of the file, or the row of the sheet
    cells: tuple[str, ...]


def read_rows(path: Path, sheet: str | None = None) -> Iterator[Row]:
    """The rows that are not wholly empty, the names of the columns first. `sheet` is one of a
    workbook's; the first if None.

    Raises
    ------
    StoryboardError
        If the file cannot be read, has no such sheet, or is of a kind that has none.
    LibraryError
        If polars is needed and not installed, or what it reads workbooks with.
    """
    if sheet is not None and path.suffix.lower() != WORKBOOK:
        wrong, instead = f"only a workbook has sheets, and `sheet` is `{sheet}`", "Remove `sheet`"
        raise StoryboardError([fault_in_table(path, 1, "table", wrong, instead)])
    for line, cells in _numbered(path, sheet):
        stripped = tuple(cell.strip() for cell in cells)
        if any(stripped):
            yield Row(line, stripped)


def _numbered(path: Path, sheet: str | None) -> Iterator[tuple[int, list[str]]]:
    match path.suffix.lower():
        case ".xlsx":
            return enumerate(_of_workbook(path, sheet), start=1)
        case ".parquet":
            return enumerate(_of_parquet(path), start=1)
    return _of_csv(path)


def fault_in_table(path: Path, line: int, field: str, wrong: str, instead: str) -> Fault:
    """What is wrong in a line of a table."""
    return Fault(path, line, field, wrong, instead)


def _of_csv(path: Path) -> Iterator[tuple[int, list[str]]]:
    text = _text(path)
    header = text.split("\n", 1)[0]
    delimiter = max(_DELIMITERS, key=header.count)
    reader = csv.reader(text.splitlines(keepends=True), delimiter=delimiter)
    line = 1
    for cells in reader:
        yield line, cells
        line = reader.line_num + 1


def _text(path: Path) -> str:
    raw = _bytes(path)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        wrong, instead = "the file is not encoded as UTF-8", "Save it as CSV in UTF-8"
        raise StoryboardError([fault_in_table(path, line, "table", wrong, instead)]) from error


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        why = "there is no such file" if isinstance(error, FileNotFoundError) else error.strerror
        wrong = f"the table cannot be read: {why}"
        instead = "Write its path under `file`, seen from the storyboard"
        raise StoryboardError([fault_in_table(path, 1, "table", wrong, instead)]) from error


def _of_workbook(path: Path, sheet: str | None) -> Iterator[list[str]]:
    _bytes(path)
    polars = _polars()
    try:
        # every cell as it is written: a column of numbers may hold "?" too
        sheets = polars.read_excel(
            path, sheet_id=0, has_header=False, infer_schema_length=0, drop_empty_rows=False
        )
    except ImportError:
        raise _not_installed("fastexcel") from None
    except Exception as error:  # the reader's own errors, of no common class
        raise _unreadable(path, "workbook", error) from error
    name = sheet if sheet is not None else next(iter(sheets), "")
    if name not in sheets:
        wrong = f"the workbook has no sheet `{name}`"
        instead = f"Write one of {', '.join(sheets)} under `sheet`"
        raise StoryboardError([fault_in_table(path, 1, "table", wrong, instead)])
    for cells in _texts(sheets[name].iter_rows()):
        yield [cell.removesuffix(" 00:00:00") for cell in cells]  # a day, with the time it has not


def _of_parquet(path: Path) -> Iterator[list[str]]:
    _bytes(path)
    polars = _polars()
    try:
        frame = polars.read_parquet(path)
    except Exception as error:  # the reader's own errors, of no common class
        raise _unreadable(path, "Parquet file", error) from error
    yield list(frame.columns)
    yield from _texts(frame.iter_rows())


def _texts(rows: Iterable[tuple[object, ...]]) -> Iterator[list[str]]:
    return ([_cell(value) for value in row] for row in rows)


def _cell(value: object) -> str:
    """As one would write it in CSV: 80 for 80.0, ISO 8601 for a date, nothing for no value."""
    match value:
        case None:
            return ""
        case bool():
            return "true" if value else "false"
        case float():
            return f"{value:.15g}"
        case datetime.datetime() if value.time() == datetime.time():
            return value.date().isoformat()
        case datetime.date() | datetime.datetime():
            return value.isoformat()
    return str(value)


def _unreadable(path: Path, what: str, error: Exception) -> StoryboardError:
    reason = str(error).splitlines()[0] if str(error) else type(error).__name__
    wrong = f"the {what} cannot be read: {reason}"
    instead = "Save it again, or as CSV in UTF-8"
    return StoryboardError([fault_in_table(path, 1, "table", wrong, instead)])


def _polars() -> Any:
    try:
        return import_module("polars")
    except ImportError:
        raise _not_installed("polars") from None


def _not_installed(library: str) -> LibraryError:
    return LibraryError(
        f"tables in workbooks and Parquet files are read by {library}, which is not installed",
        "Install it with: pip install 'slidekit[tables]'; or save the table as CSV in UTF-8",
    )
