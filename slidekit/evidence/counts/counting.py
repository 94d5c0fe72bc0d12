"""How many cases of a series meet conditions, and which."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from slidekit.evidence.counts.tables import Case

Test: TypeAlias = Literal["in", "not_in", "at_least", "at_most", "above", "below"]


@dataclass(frozen=True)
class Condition:
    """A test of one column: against `values`, or against the number `bound`."""

    column: str
    test: Test
    values: tuple[str, ...] = ()
    bound: float = 0.0


@dataclass(frozen=True)
class Sorting:
    """The cases asked about, in the order of their table."""

    having: tuple[Case, ...]
    lacking: tuple[Case, ...]
    unknown: tuple[Case, ...]
    """Not known in at least one of the columns asked about, whatever the others say: to keep those
    that some other column rules out would make the share too small."""

    @property
    def known(self) -> tuple[Case, ...]:
        return (*self.having, *self.lacking)


def sort_cases(cases: Iterable[Case], conditions: Sequence[Condition]) -> Sorting:
    """Which cases meet all conditions."""
    having, lacking, unknown = [], [], []
    for case in cases:
        if any(case.values[condition.column] is None for condition in conditions):
            unknown.append(case)
        elif all(_meets(case, condition) for condition in conditions):
            having.append(case)
        else:
            lacking.append(case)
    return Sorting(tuple(having), tuple(lacking), tuple(unknown))


def _meets(case: Case, condition: Condition) -> bool:
    value = case.values[condition.column]
    if isinstance(value, float):
        return {
            "at_least": value >= condition.bound,
            "at_most": value <= condition.bound,
            "above": value > condition.bound,
            "below": value < condition.bound,
        }[condition.test]
    return (value in condition.values) == (condition.test == "in")


def cross_table(cases: Iterable[Case], first: str, second: str) -> tuple[list[list[int]], int]:
    """How two columns go together, rows and columns in one order; and how many cases are left out
    because one of the two is not known."""
    pairs = [(case.values[first], case.values[second]) for case in cases]
    known = [pair for pair in pairs if None not in pair]
    values = sorted({str(value) for pair in known for value in pair})
    at = {value: i for i, value in enumerate(values)}
    cells = [[0] * len(values) for _ in values]
    for row, column in known:
        cells[at[str(row)]][at[str(column)]] += 1
    return cells, len(pairs) - len(known)
