"""What may be said of a period, of an event and of two of them: `{late_bronze.duration}`,
`{twigs.until.ditch}`, `{shape_made.overlap.graves}`."""

from collections.abc import Iterator
from typing import TypeAlias

from slidekit.evidence.dates.durations import elapsed
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
from slidekit.storyboard.names.lookup import (
    EVENTS,
    PERIODS,
    TABLES,
    THIS_CASE,
    Definitions,
    complaint_about,
)
from slidekit.storyboard.names.naming import listed
from slidekit.storyboard.tables import Table
from slidekit.storyboard.words import Placeholder

PERIOD_PARTS = ("called", "start", "end", "duration")
RELATIONS = ("until", "overlap")
DATED = (PERIODS, EVENTS, THIS_CASE)

_Complaint: TypeAlias = tuple[str, str]


def complaints_about_date(
    place: Placeholder, chronology: Chronology, defined: Definitions
) -> Iterator[_Complaint]:
    """What is wrong with a placeholder whose name is a date, and what to write instead."""
    one = chronology.find(place.name)
    if one is None:
        return
    relation, _, other = place.part.partition(".")
    if relation in RELATIONS:
        yield from _about_two(place, one, chronology, defined)
    elif other or not _can_say(one, place.part):
        forms = [f"{{{place.name}}} for the date"]
        forms += [f"{{{place.name}.{part}}}" for part in _parts_of(one)]
        forms += [f"{{{place.name}.until.NAME}} for the time to another"]
        wrong = f"{{{place.name}.{place.part}}} is not known: `{place.name}` is a date"
        yield wrong, f"Write {', '.join(forms)}"
    elif place.part in ("start", "end") and _is_nothing(one, place.part):
        wrong = f"{{{place.name}.{place.part}}} is said, and it is not known"
        yield wrong, "Say that in words, or give it a date"
    elif place.part == "duration" and not elapsed(*one.lasting).is_known:
        wrong = f"{{{place.name}.duration}} is said, and nothing is known of how long it lasted"
        yield wrong, "Give `start` and `end` dates, or say it in words"


def _is_nothing(one: Dated, part: str) -> bool:
    date = getattr(one, part)
    return date.earliest is None and date.latest is None


def _parts_of(one: Dated) -> tuple[str, ...]:
    if isinstance(one, Period):
        return PERIOD_PARTS
    if one.calibrated is not None:
        given = [part for part in ("lab", "curve") if getattr(one.calibrated, part)]
        return ("called", "percent", *given)
    return ("called", "percent") if one.date.percent else ("called",)


def _can_say(one: Dated, part: str) -> bool:
    return part in ("", *_parts_of(one))


def _about_two(
    place: Placeholder, one: Dated, chronology: Chronology, defined: Definitions
) -> Iterator[_Complaint]:
    relation, _, name = place.part.partition(".")
    said = f"{{{place.name}.{place.part}}}"
    if not name:
        yield f"{said} lacks its second date", f"Write {{{place.name}.{relation}.NAME}}"
        return
    if complaint := complaint_about(name, DATED, defined):
        yield complaint
        return
    other = chronology.find(name)
    if other is None:
        return
    if relation == "until":
        yield from _about_time_between(said, (place.name, one), (name, other))
    elif isinstance(one, Event) or isinstance(other, Event):
        wrong = f"{said} is said, and only two periods can overlap"
        yield wrong, "Name two periods, or write {NAME.until.NAME} for the time between two dates"
    elif time_together(one, other).most == 0:
        wrong = f"{said} is said, and the two never overlap"
        first, last = (place.name, name) if time_between(one, other).most else (name, place.name)
        yield wrong, f"Write {{{first}.until.{last}}} for the time between them, or leave it out"


def _about_time_between(
    said: str, one: tuple[str, Dated], other: tuple[str, Dated]
) -> Iterator[_Complaint]:
    passed = time_between(one[1], other[1])
    if not passed.is_known:
        yield f"{said} is said, and nothing is known of that time", "Say that in words"
    elif passed.most == 0 and time_between(other[1], one[1]).most:
        wrong = f"{said} is said, and `{other[0]}` was before `{one[0]}`"
        yield wrong, f"Write {{{other[0]}.until.{one[0]}}}"
    elif passed.most == 0:
        wrong = f"{said} is said, and there is no time between the two"
        yield wrong, f"Write {{{one[0]}.overlap.{other[0]}}} for the time both went on, or leave it"


def complaints_about_tally(
    tally: PeriodTally, defined: Definitions
) -> Iterator[tuple[str, str, str]]:
    """The field at fault, what is wrong, and what to write instead, where the values of a column
    are no periods."""
    if complaint := complaint_about(tally.table, (TABLES,), defined):
        yield "table", *complaint
        return
    table = defined[TABLES][tally.table]
    column = table.columns.get(tally.column) if isinstance(table, Table) else None
    if not isinstance(table, Table) or column is None:
        known = listed(list(table.columns)) if isinstance(table, Table) else ""
        wrong = f"the table has no column `{tally.column}` in its dictionary"
        yield "column", wrong, f"Write one of {known}, or add it there"
        return
    periods = {name: one for name, one in defined[PERIODS].items() if isinstance(one, Period)}
    strange = [value for value in column.values if period_called(value, periods) is None]
    if not column.values:
        wrong = f"the column `{tally.column}` has no list of values"
        yield "column", wrong, "Give it `values` in the dictionary: names or labels of periods"
    elif strange:
        wrong = f"the values {listed(strange)} of the column `{tally.column}` are no periods"
        yield "column", wrong, f"Name them as the periods are: {listed(list(periods))}"
