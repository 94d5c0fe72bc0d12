"""A comparative series: a table with one row per case, read against its data dictionary.

The names of the columns stand in the first row. Columns that the dictionary does not name are not
read.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import TypeAlias

from slidekit.errors import Fault, StoryboardError
from slidekit.evidence.counts.table_rows import Row, fault_in_table, read_rows

Value: TypeAlias = str | float | None
"""Of one cell; None where the cell says that it is not known."""

_NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?")


@dataclass(frozen=True)
class Column:
    """What may stand in the cells of a column: one of `values`, or a number from `least` to
    `most`, or any words if neither is given."""

    values: tuple[str, ...] = ()
    span: tuple[float, float] | None = None


@dataclass(frozen=True)
class Dictionary:
    """What a table must hold. `id` is the column that names each case."""

    columns: Mapping[str, Column]
    id: str
    missing: tuple[str, ...]  # cells that mean "not known"


@dataclass(frozen=True)
class Case:
    """One row."""

    name: str
    values: Mapping[str, Value]


def read_table(path: Path, dictionary: Dictionary, sheet: str | None = None) -> tuple[Case, ...]:
    """All cases in the order of the file.

    Raises
    ------
    StoryboardError
        With every cell that the dictionary does not allow, every case that is there twice and
        every column that is not there; or because the file cannot be read.
    """
    rows = read_rows(path, sheet)
    header = next(rows, None)
    if header is None:
        raise StoryboardError([fault_in_table(path, 1, "table", "the file is empty", _HEADER)])
    if faults := list(_faults_of_header(path, header, dictionary)):
        raise StoryboardError(faults)
    reading = _Reading(path, header.cells, dictionary)
    cases = tuple(case for row in rows if (case := reading.case(row)) is not None)
    if not cases and not reading.faults:
        reading.faults.append(
            fault_in_table(path, header.line, "table", "there is no case in the table", "Add a row")
        )
    if reading.faults:
        raise StoryboardError(reading.faults)
    return cases


_HEADER = "Write the names of its columns in the first row, and one case in each row below"


def _faults_of_header(path: Path, header: Row, dictionary: Dictionary) -> Iterator[Fault]:
    found = header.cells
    for name in dictionary.columns:
        count = found.count(name)
        if count > 1:
            wrong = f"there are {count} columns of this name"
            yield fault_in_table(path, header.line, name, wrong, "Rename all but one")
        elif not count:
            meant = get_close_matches(name, found, 1)
            instead = f"Rename `{meant[0]}` if it is that, " if meant else "Add it, "
            instead += f"or mend the dictionary: the first row has {', '.join(filter(None, found))}"
            yield fault_in_table(path, header.line, name, "the table has no such column", instead)


@dataclass
class _Reading:
    """One pass over the rows."""

    path: Path
    header: tuple[str, ...]
    dictionary: Dictionary

    def __post_init__(self) -> None:
        self.faults: list[Fault] = []
        self.first: dict[str, int] = {}

    def case(self, row: Row) -> Case | None:
        """The case of a row; None if its cells cannot be told apart."""
        if len(row.cells) != len(self.header):
            wrong = f"the row has {len(row.cells)} cells, and the first row {len(self.header)}"
            instead = "Put quotes around cells with commas in them, or add what is left out"
            self._complain(row, "table", wrong, instead)
            return None
        cells = dict(zip(self.header, row.cells, strict=True))
        name = cells[self.dictionary.id]
        if name in self.dictionary.missing or not name:
            self._complain(row, self.dictionary.id, "the case has no name", "Give it one")
        elif name in self.first:
            wrong = f"the case `{name}` is on line {self.first[name]} already"
            self._complain(row, self.dictionary.id, wrong, "Remove one of the two, or rename it")
        self.first.setdefault(name, row.line)
        values = {
            column: self._value(row, column, cells[column]) for column in self.dictionary.columns
        }
        return Case(name, values)

    def _value(self, row: Row, name: str, cell: str) -> Value:
        column = self.dictionary.columns[name]
        if name == self.dictionary.id:
            return cell
        if cell in self.dictionary.missing:
            return None
        if not cell:
            codes = ", ".join(f"`{code}`" for code in self.dictionary.missing)
            instead = f"Fill it in, or write {codes} if it is not known" if codes else "Fill it in"
            self._complain(row, name, "the cell is empty", instead)
        elif column.values and cell not in column.values:
            self._complain(row, name, *_not_a_value(cell, column.values))
        elif column.span is not None:
            return self._number(row, name, cell, column.span)
        return cell

    def _number(self, row: Row, name: str, cell: str, span: tuple[float, float]) -> float | None:
        if not _NUMBER.fullmatch(cell):
            point = cell.replace(",", ".")
            instead = f"Write it as {point}" if _NUMBER.fullmatch(point) else "Write a number alone"
            self._complain(row, name, f"`{cell}` is not a number", instead)
            return None
        value, (least, most) = float(cell), span
        if not least <= value <= most:
            wrong = f"{cell} is not from {least:g} to {most:g}"
            self._complain(row, name, wrong, "Mend it, or widen the dictionary")
        return value

    def _complain(self, row: Row, field: str, wrong: str, instead: str) -> None:
        self.faults.append(fault_in_table(self.path, row.line, field, wrong, instead))


def _not_a_value(cell: str, values: Sequence[str]) -> tuple[str, str]:
    wrong = f"`{cell}` is not in the dictionary"
    listed = ", ".join(values)
    if meant := get_close_matches(cell.lower(), values, 1):
        return wrong, f"Write `{meant[0]}` if you mean that; the values are {listed}"
    return wrong, f"Write one of {listed}, or add it to the dictionary"
