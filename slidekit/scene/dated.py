"""Periods and events in words: their dates, how long they lasted, and the time between them."""

from dataclasses import dataclass

from slidekit.evidence.dates.durations import elapsed, say_duration
from slidekit.evidence.dates.spoken import say_date, say_span
from slidekit.evidence.dates.words import Manner
from slidekit.scene.timeline import Counted
from slidekit.storyboard.chronology import (
    Chronology,
    Dated,
    Event,
    Period,
    PeriodTally,
    period_called,
    time_between,
    time_together,
)
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.tallies import Tallies
from slidekit.wording import phrase


@dataclass(frozen=True)
class Calendar:
    """The dates of a talk, and how they are written out in it."""

    chronology: Chronology
    manner: Manner

    def __contains__(self, name: object) -> bool:
        return isinstance(name, str) and self.chronology.find(name) is not None

    def say(self, name: str, part: str) -> str:
        """The words of `{name}` or `{name.part}`; KeyError for what has no date, or no such part.

        Parts are those that `storyboard.date_names` lets pass.
        """
        one = self._find(name)
        if part == "called":
            return one.label
        relation, _, other = part.partition(".")
        if other:
            return self._relation(one, relation, self._find(other))
        return self._of_period(one, part) if isinstance(one, Period) else self._of_event(one, part)

    def _find(self, name: str) -> Dated:
        found = self.chronology.find(name)
        if found is None:
            raise KeyError(name)
        return found

    def _relation(self, one: Dated, relation: str, other: Dated) -> str:
        if relation == "until":
            return say_duration(time_between(one, other), self.manner)
        if isinstance(one, Period) and isinstance(other, Period):
            return say_duration(time_together(one, other), self.manner)
        raise KeyError(relation)

    def _of_period(self, period: Period, part: str) -> str:
        match part:
            case "":
                return say_span(period.start, period.end, self.manner)
            case "start" | "end":
                return say_date(getattr(period, part), self.manner)
            case "duration":
                return say_duration(elapsed(*period.lasting), self.manner)
        raise KeyError(part)

    def _of_event(self, event: Event, part: str) -> str:
        if part == "":
            if event.limits is not None:
                return say_span(*event.limits, self.manner)
            return say_date(event.date, self.manner)
        if part in ("lab", "curve") and event.calibrated is not None:
            return str(getattr(event.calibrated, part))
        if part == "percent" and event.date.percent:
            return f"{event.date.percent}\N{NO-BREAK SPACE}%"
        raise KeyError(part)


def calendar_of(board: Storyboard) -> Calendar:
    """The dates of a board; none where it has no chronology."""
    chronology = board.chronology or Chronology()
    return Calendar(chronology, Manner(chronology.era, board.talk.language))


def count_periods(tally: PeriodTally, board: Storyboard, tallies: Tallies) -> Counted:
    """How many cases of the table belong to each period that the column can name, and what is said
    of them: n, and of how many it is not known."""
    table = board.tables[tally.table]
    periods = (board.chronology or Chronology()).periods
    cells = [case.values[tally.column] for case in tallies.tables[tally.table]]
    counts = {
        name: cells.count(value)
        for value in table.columns[tally.column].values
        if (name := period_called(value, periods)) is not None
    }
    n = sum(counts.values())
    missing = len(cells) - n
    words = phrase(
        "Counted under the periods: {n} of {total} {cases}",
        n=n,
        total=len(cells),
        cases=table.cases_called,
    )
    if missing:
        words = phrase("{words}; the period of {n} is not known", words=words, n=missing)
    return Counted(counts, words)
