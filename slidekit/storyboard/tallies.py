"""The numbers of a storyboard, counted once, and its sources: every place that says or shows one
asks here."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import cast

from slidekit.errors import Fault, StoryboardError
from slidekit.evidence.counts.contingency import (
    FourCells,
    Kappa,
    cohen_kappa,
    fisher_p,
    odds_ratio,
)
from slidekit.evidence.counts.counting import Condition, Sorting, Test, cross_table, sort_cases
from slidekit.evidence.counts.proportions import (
    Interval,
    Proportion,
    difference_interval,
    in_words,
    rounded,
    share_in_words,
)
from slidekit.evidence.counts.quoted import Quoted
from slidekit.evidence.counts.tables import Case, Column, Dictionary, read_table
from slidekit.storyboard.citations import Citations, read_citations
from slidekit.storyboard.names.numbers import table_of
from slidekit.storyboard.quoted import find_quoted_faults
from slidekit.storyboard.source import Source
from slidekit.storyboard.tables import Comparison, Count, QuotedNumber, Table
from slidekit.wording import alternatives, figures, phrase, phrase_key

NOT_ESTIMABLE = phrase_key("not estimable")
"""What is said of a ratio with an empty cell, and of an agreement that could be nothing else."""


@dataclass(frozen=True)
class Tally:
    """A count, counted."""

    count: Count
    table: Table
    sorting: Sorting

    @property
    def proportion(self) -> Proportion:
        sorting = self.sorting
        return Proportion(len(sorting.having), len(sorting.known), len(sorting.unknown))

    def has_case(self, name: str | None) -> bool:
        """Whether a case is among those counted."""
        return any(case.name == name for case in self.sorting.having)

    def say(self, part: str) -> str:
        """One part of it in words or figures."""
        proportion = self.proportion
        return {
            "": proportion.spoken,
            "percent": proportion.percent,
            "words": proportion.words,
            "interval": proportion.percent_interval,
            "k": in_words(proportion.k),
            "n": in_words(proportion.n),
            "missing": in_words(proportion.missing),
            "called": self.count.called,
        }[part]


@dataclass(frozen=True)
class Compared:
    """Two counts of different cases, held against each other."""

    comparison: Comparison
    first: Tally
    second: Tally

    @property
    def cells(self) -> FourCells:
        first, second = self.first.proportion, self.second.proportion
        return (first.k, first.n - first.k), (second.k, second.n - second.k)

    @property
    def p(self) -> Fraction:
        return fisher_p(self.cells)

    @property
    def odds_ratio(self) -> Fraction | None:
        return odds_ratio(self.cells)

    @property
    def difference(self) -> Interval:
        """The 95 % interval of the first share minus the second."""
        return difference_interval(self.first.proportion, self.second.proportion)

    def say(self, part: str) -> str:
        """One part of it in words or figures."""
        first, second = self.first.proportion, self.second.proportion
        ratio = self.odds_ratio
        low, high = (rounded(Fraction(end) * 100, 0) for end in self.difference)
        points = rounded((first.share - second.share) * 100, 0)
        return {
            "": phrase("{first} against {second}", first=first.spoken, second=second.spoken),
            "p": p_in_figures(self.p),
            "odds_ratio": phrase(NOT_ESTIMABLE) if ratio is None else rounded(ratio, 1),
            "difference": phrase(
                "{points} percentage points ({low} to {high})", points=points, low=low, high=high
            ),
            "called": self.comparison.called,
        }[part]


@dataclass(frozen=True)
class Agreed:
    """Two readers of the same cases."""

    called: str
    kappa: Kappa
    missing: int

    def say(self, part: str) -> str:
        """One part of it in words or figures."""
        kappa = self.kappa
        value = phrase(NOT_ESTIMABLE) if kappa.value is None else rounded(kappa.value, 2)
        ends = kappa.interval
        same = Proportion(kappa.same, kappa.n)
        return {
            "": phrase("kappa {value}", value=value),
            "kappa": value,
            "interval": phrase(NOT_ESTIMABLE) if ends is None else _from_to(ends),
            "same": same.spoken,
            "n": in_words(kappa.n),
            "missing": in_words(self.missing),
            "called": self.called,
        }[part]


def _from_to(ends: Interval) -> str:
    low, high = (rounded(Fraction(end), 2) for end in ends)
    return phrase("{low} to {high}", low=low, high=high)


@dataclass(frozen=True)
class Quote:
    """A number from elsewhere, as it is printed there."""

    written: QuotedNumber
    source: str = ""  # in words

    def say(self, part: str) -> str:
        """One part of it in words or figures."""
        written = self.written
        number = Quoted(written.percent or written.mean or "0", 1 if written.mean else 100)
        sign = "" if written.mean else "\N{NO-BREAK SPACE}%"
        counts = number.counts(written.n) if written.n and not written.mean else ()
        spoken = [Proportion(k, written.n).spoken for k in counts if written.n]
        parts = [f"{figures(share)}\N{NO-BREAK SPACE}%" for share in written.parts.values()]
        return {
            "": ", ".join(parts) or f"{figures(number.text)}{sign}",
            "words": "" if written.mean else share_in_words(number.value / 100),
            "count": alternatives(spoken),
            "n": str(written.n or ""),
            "source": self.source or written.source,
        }[part]


@dataclass(frozen=True)
class Tallies:
    """Everything counted, by name."""

    tables: Mapping[str, tuple[Case, ...]] = field(default_factory=dict)
    counts: Mapping[str, Tally] = field(default_factory=dict)
    comparisons: Mapping[str, Compared] = field(default_factory=dict)
    agreements: Mapping[str, Agreed] = field(default_factory=dict)
    quoted: Mapping[str, Quote] = field(default_factory=dict)
    citations: Citations = field(default_factory=Citations)

    def __contains__(self, name: object) -> bool:
        if name in self.citations:
            return True
        return isinstance(name, str) and self._sayer(name) is not None

    def say(self, name: str, part: str, *, aloud: bool = False) -> str:
        """The words of `{name}` or `{name.part}`: what is cited differs in print and `aloud`.

        KeyError for what is no number and no source.
        """
        if name in self.citations:
            return self.citations.say(name, part, aloud=aloud)
        if aloud and part == "source":
            return self.citations.filled(self.quoted[name].written.source, aloud=True)
        sayer = self._sayer(name)
        if sayer is None:
            raise KeyError(name)
        return sayer(part)

    def _sayer(self, name: str) -> Callable[[str], str] | None:
        for numbers in (self.counts, self.comparisons, self.agreements, self.quoted):
            if (one := numbers.get(name)) is not None:
                return one.say
        return None


def count_up(source: Source) -> Tallies:
    """Read the tables and count; read the bibliographies.

    Raises
    ------
    StoryboardError
        With all faults of all tables, or else of the counts made in them.
    """
    faults: list[Fault] = list(find_quoted_faults(source))
    citations = Citations()
    try:
        citations = read_citations(source)
    except StoryboardError as error:
        faults += error.faults
    tables: dict[str, tuple[Case, ...]] = {}
    for name, table in source.board.tables.items():
        try:
            tables[name] = read_table(Path(table.file), _dictionary_of(table), table.sheet)
        except StoryboardError as error:
            faults += error.faults
            continue
        if table.this_case not in (None, *(case.name for case in tables[name])):
            wrong = f"there is no case `{table.this_case}` in the column `{table.id}`"
            path = ("tables", name, "this_case")
            faults.append(source.places.fault(path, wrong, "Write a case of the table"))
    counting = _Counting(source, tables, faults)
    if not faults:
        for name in source.board.counts:
            counting.count(name)
        compared = dict(counting.compared()) if not faults else {}
        agreed = dict(counting.agreed()) if not faults else {}
    if faults:
        raise StoryboardError(faults)
    quotes = {
        name: Quote(quoted, citations.filled(quoted.source))
        for name, quoted in source.board.quoted.items()
    }
    return Tallies(tables, counting.done, compared, agreed, quotes, citations)


def _dictionary_of(table: Table) -> Dictionary:
    columns = {
        name: Column(
            column.values,
            None if column.least is None or column.most is None else (column.least, column.most),
        )
        for name, column in table.columns.items()
    }
    return Dictionary({table.id: Column(), **columns}, table.id, table.missing)


@dataclass
class _Counting:
    """Counts as they are needed: one may count within another."""

    source: Source
    tables: Mapping[str, tuple[Case, ...]]
    faults: list[Fault]
    done: dict[str, Tally] = field(default_factory=dict)

    def count(self, name: str) -> Tally:
        if name in self.done:
            return self.done[name]
        count = self.source.board.counts[name]
        table = table_of(name, self.source.board) or ""
        cases = self.count(count.of).sorting.having if count.of else self.tables[table]
        conditions = [
            Condition(
                one.column,
                cast(Test, {"is": "in", "is_not": "not_in"}.get(one.test, one.test)),
                one.values,
                one.bound,
            )
            for one in count.where
        ]
        sorting = sort_cases(cases, conditions)
        if not sorting.known:
            wrong = f"there is no case to count: of {len(cases)} it is known for none"
            instead = "Fill in the table, or count of other cases"
            self.faults.append(self.source.places.fault(("counts", name), wrong, instead))
        tally = Tally(count, self.source.board.tables[table], sorting)
        self.done[name] = tally
        return tally

    def compared(self) -> Iterator[tuple[str, Compared]]:
        for name, comparison in self.source.board.comparisons.items():
            first, second = (self.done[one] for one in comparison.counts)
            of_first = {case.name for case in first.sorting.known}
            both = [case.name for case in second.sorting.known if case.name in of_first]
            if both and first.table is second.table:
                wrong = f"{len(both)} cases are in both counts, as `{both[0]}`"
                instead = "Compare counts of different cases: give them `of:` with groups"
                path = ("comparisons", name, "counts")
                self.faults.append(self.source.places.fault(path, wrong, instead))
            yield name, Compared(comparison, first, second)

    def agreed(self) -> Iterator[tuple[str, Agreed]]:
        for name, agreement in self.source.board.agreements.items():
            cells, missing = cross_table(self.tables[agreement.table], *agreement.readers)
            if not cells:
                wrong, instead = "no case is known to both readers", "Fill in the table"
                path = ("agreements", name)
                self.faults.append(self.source.places.fault(path, wrong, instead))
                continue
            yield name, Agreed(agreement.called, cohen_kappa(cells), missing)


def p_in_figures(p: Fraction) -> str:
    """ "p = 0.03", "p = 0.004", "p < 0.001": two decimals down to 0.01, then three."""
    if p < Fraction(1, 1000):
        return "p < 0.001"
    return f"p = {rounded(p, 2 if p >= Fraction(1, 100) else 3)}"
