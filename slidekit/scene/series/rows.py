"""What a series slide says of each count, before anything is drawn."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from slidekit.evidence.counts.proportions import Proportion
from slidekit.scene.model import Paragraph, Run
from slidekit.storyboard.slides import SeriesSlide
from slidekit.storyboard.tallies import Tallies, Tally
from slidekit.wording import labelled, phrase


@dataclass(frozen=True)
class Row:
    """One count on a slide."""

    name: str
    tally: Tally
    of: str  # what the cases have of which it is a count; "" for all of the table
    step: int

    @property
    def proportion(self) -> Proportion:
        return self.tally.proportion

    @property
    def called(self) -> str:
        return self.tally.count.called

    @property
    def case(self) -> str | None:
        """The case of the talk, if it is among those of the row."""
        case = self.tally.table.this_case
        return case if self.tally.has_case(case) else None

    @property
    def fraction(self) -> str:
        """ "7 of 64": in figures, for the eye."""
        return phrase("{k} of {n}", k=self.proportion.k, n=self.proportion.n)

    @property
    def percents(self) -> str:
        """ "11 % (5 to 21 %)"."""
        return f"{self.proportion.percent} ({self.proportion.percent_interval})"

    @property
    def shares(self) -> tuple[Paragraph, ...]:
        """ "**7 of 64** · 11 %"."""
        percent = Run(f" · {self.proportion.percent}")
        return (Paragraph((Run(self.fraction, bold=True), percent)),)

    @property
    def notes(self) -> str:
        """What it is a share of, and how many cases are left out."""
        among = phrase("among: {cases}", cases=self.of) if self.of else ""
        missing = self.proportion.missing
        unknown = phrase("not known: {count}", count=missing) if missing else ""
        unknown = unknown.replace(" ", "\N{NO-BREAK SPACE}")
        return " · ".join(filter(None, (among, unknown)))

    @property
    def alt(self) -> str:
        """The row for those who cannot see it."""
        proportion = self.proportion
        whole = f" {self.tally.table.cases_called}" if not self.of else f" ({self.of})"
        parts = [
            labelled(self.called, f"{self.fraction}{whole}, {proportion.percent}"),
            phrase("95 % interval {interval}", interval=proportion.percent_interval),
        ]
        if proportion.missing:
            parts.append(phrase("not known: {count}", count=proportion.missing))
        if self.case:
            parts.append(phrase("{case} is among them", case=self.case))
        return "; ".join(parts)


def rows_of(slide: SeriesSlide, tallies: Tallies, steps: Mapping[str, int]) -> tuple[Row, ...]:
    """The rows from the top down: the commonest first unless the slide keeps its own order."""
    rows = [row_of(name, tallies, steps.get(name, 0)) for name in slide.counts]
    if slide.order == "share":
        rows.sort(key=lambda row: -row.proportion.share)
    return tuple(rows)


def row_of(name: str, tallies: Tallies, step: int = 0) -> Row:
    """The row of one count, which comes on at the click `step`."""
    tally = tallies.counts[name]
    parent = tally.count.of
    of = tallies.counts[parent].count.called if parent else ""
    return Row(name, tally, of, step)


def appearance(name: str, tallies: Tallies) -> str:
    """What the click of a count brings on, for the script."""
    row = row_of(name, tallies)
    among = f" ({phrase('among: {cases}', cases=row.of)})" if row.of else ""
    return labelled(f"{row.called}{among}", row.fraction)


def dot_and_line() -> str:
    """What the marks on an axis mean."""
    return phrase("Dot: share. Line: 95\N{NO-BREAK SPACE}% interval (Wilson).")


def sources_of(rows: Iterable[Row]) -> str:
    """Where the cases come from, each table once."""
    return "; ".join(dict.fromkeys(row.tally.table.about.rstrip(".") for row in rows)) + "."


def case_note(rows: Iterable[Row], *, on_panel: bool = False) -> tuple[str, ...]:
    """What a ring means; nothing where no row has one."""
    case = ", ".join(dict.fromkeys(row.case for row in rows if row.case))
    if not case:
        return ()
    if on_panel:
        return (phrase("Ring: with {case} of this panel.", case=case),)
    return (phrase("Ring: with {case} of this talk.", case=case),)
