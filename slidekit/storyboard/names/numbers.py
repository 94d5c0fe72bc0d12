"""Faults of tables, counts and what is made of them that show before any table is read."""

from collections.abc import Iterator
from typing import TypeAlias

from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.lookup import (
    AGREEMENTS,
    COMPARISONS,
    COUNTS,
    NUMBERS,
    TABLES,
    Definitions,
    Section,
    complaint_about,
)
from slidekit.storyboard.names.naming import listed, nearest
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.tables import (
    AGREEMENT_PARTS,
    COMPARISON_PARTS,
    COUNT_PARTS,
    Agreement,
    Column,
    Condition,
    Count,
    QuotedNumber,
    Table,
)

_Complaint: TypeAlias = tuple[FieldPath, str, str]

_PARTS: dict[Section, tuple[str, ...]] = {
    COUNTS: COUNT_PARTS,
    COMPARISONS: COMPARISON_PARTS,
    AGREEMENTS: AGREEMENT_PARTS,
}


def number_section(name: str, defined: Definitions) -> Section | None:
    """The section of numbers that defines the name; None for any other name."""
    return next((section for section in NUMBERS if name in defined[section]), None)


def complaint_about_part(name: str, part: str, defined: Definitions) -> tuple[str, str] | None:
    """What is wrong with `{name.part}` of a number; None if it can be said."""
    section = number_section(name, defined)
    number = defined[section][name] if section else None
    known = number.sayable if isinstance(number, QuotedNumber) else _PARTS[section or COUNTS]
    if part in ("", *known):
        return None
    forms = listed([f"{{{name}}}", *(f"{{{name}.{one}}}" for one in known)])
    return f"{{{name}.{part}}} is not known", f"Write one of {forms}"


def complaints_about_numbers(board: Storyboard, defined: Definitions) -> Iterator[_Complaint]:
    """Names, columns, values and tests that do not go together."""
    for name, count in board.counts.items():
        yield from _about_count(("counts", name), count, board, defined)
    for name, comparison in board.comparisons.items():
        for i, one in enumerate(comparison.counts):
            path = ("comparisons", name, "counts", i)
            yield from _unknown(path, one, COUNTS, defined)
            if one in comparison.counts[:i]:
                yield path, f"`{one}` is compared with itself", "Name another count"
    for name, agreement in board.agreements.items():
        yield from _about_agreement(("agreements", name), agreement, board, defined)


def table_of(name: str, board: Storyboard) -> str | None:
    """The table in which a count counts; None if its names lead nowhere or in a circle."""
    seen: set[str] = set()
    while name not in seen and (count := board.counts.get(name)) is not None:
        if count.table is not None:
            return count.table
        seen.add(name)
        name = count.of or ""
    return None


def _unknown(
    path: FieldPath, name: str, section: Section, defined: Definitions
) -> Iterator[_Complaint]:
    if complaint := complaint_about(name, (section,), defined):
        yield path, *complaint


def _about_count(
    path: FieldPath, count: Count, board: Storyboard, defined: Definitions
) -> Iterator[_Complaint]:
    if count.table is not None:
        yield from _unknown((*path, "table"), count.table, TABLES, defined)
    else:
        complaints = list(_unknown((*path, "of"), count.of or "", COUNTS, defined))
        yield from complaints
        if not complaints and table_of(str(path[-1]), board) is None:
            wrong = f"`{path[-1]}` and `{count.of}` count each other's cases"
            if count.of == path[-1]:
                wrong = f"`{count.of}` counts its own cases"
            elif _leads_on(count.of or "", board):
                return  # said where the name leads nowhere
            yield (*path, "of"), wrong, "Let one of them name its `table`"
    table = board.tables.get(table_of(str(path[-1]), board) or "")
    if table is not None:
        for i, condition in enumerate(count.where):
            yield from _about_condition((*path, "where", i), condition, table)


def _leads_on(name: str, board: Storyboard) -> bool:
    """Whether following `of` from here ends at a name that is not defined."""
    seen: set[str] = set()
    while name not in seen:
        seen.add(name)
        if (count := board.counts.get(name)) is None:
            return True
        name = count.of or ""
    return False


def _about_condition(path: FieldPath, condition: Condition, table: Table) -> Iterator[_Complaint]:
    plain = {table.id: Column()}
    column = {**plain, **table.columns}.get(condition.column)
    if column is None:
        yield (*path, "column"), *_no_such_column(condition.column, table)
        return
    field, test = (*path, condition.test), condition.test
    if column.is_number and test in ("is", "is_not"):
        instead = "Write `at_least`, `at_most`, `above` or `below`"
        yield field, f"`{condition.column}` holds numbers, and `{test}` compares words", instead
    elif not column.is_number and test not in ("is", "is_not"):
        wrong = f"`{test}` compares numbers, and `{condition.column}` holds words"
        instead = "Write `is` with the values, or give the column `least` and `most`"
        yield field, wrong, instead
    for value in condition.values:
        if column.values and value not in column.values:
            wrong = f"`{value}` is not a value of the column `{condition.column}`"
            meant = nearest(value, column.values)
            means = f"Write `{meant}` if you mean that; its values are" if meant else "Write one of"
            yield field, wrong, f"{means} {listed(column.values)}"


def _no_such_column(name: str, table: Table) -> tuple[str, str]:
    known = list(table.columns)
    meant = nearest(name, known)
    means = f"Write `{meant}` if you mean that; it has" if meant else "It has"
    return f"the table has no column `{name}` in its dictionary", f"{means} {listed(known)}"


def _about_agreement(
    path: FieldPath, agreement: Agreement, board: Storyboard, defined: Definitions
) -> Iterator[_Complaint]:
    yield from _unknown((*path, "table"), agreement.table, TABLES, defined)
    table = board.tables.get(agreement.table)
    if table is None:
        return
    columns: list[Column] = []
    for i, name in enumerate(agreement.readers):
        if name in table.columns:
            columns.append(table.columns[name])
        else:
            yield (*path, "readers", i), *_no_such_column(name, table)
    if len(columns) == 2 and (not columns[0].values or columns[0].values != columns[1].values):
        wrong = "the two columns do not have the same `values`"
        yield (*path, "readers"), wrong, "Give both the same list of values in the dictionary"
