"""What a record says of the dates of a talk: years as they were counted with, and what was said."""

from typing import Any

from slidekit.evidence.dates.years import Date
from slidekit.scene.dated import Calendar, calendar_of, count_periods
from slidekit.storyboard.chronology import Dated, Event
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.dates import DATED
from slidekit.storyboard.names.lookup import definitions
from slidekit.storyboard.slides import TimelineSlide
from slidekit.storyboard.tallies import Tallies

Json = dict[str, Any]


def dates_record(board: Storyboard, tallies: Tallies) -> Json:
    """Periods, events and the case of the talk, and the cases counted under periods.

    Years are astronomical (ISO 8601-1: 1 BCE is 0), None where no limit is known.
    """
    calendar = calendar_of(board)
    defined = definitions(board)
    names = [name for section in DATED for name in defined[section]]
    return {
        "dates": {name: _dated(name, calendar) for name in names},
        "cases_by_period": {
            slide.id: dict(count_periods(slide.tally, board, tallies).cases)
            for slide in board.slides
            if isinstance(slide, TimelineSlide) and slide.tally is not None
        },
    }


def _dated(name: str, calendar: Calendar) -> Json:
    one: Dated | None = calendar.chronology.find(name)
    if one is None:
        raise KeyError(name)
    record: Json = {"said": calendar.say(name, "").replace("\N{NO-BREAK SPACE}", " ")}
    if not isinstance(one, Event):
        return {**record, "start": _years(one.start), "end": _years(one.end)}
    record["at"] = _years(one.date)
    if one.date.percent:
        record["percent"] = one.date.percent
    if one.calibrated is not None:
        record |= {"lab": one.calibrated.lab, "curve": one.calibrated.curve}
    return record


def _years(date: Date) -> Json:
    """First and last year, or day where that is known, and what is doubtful of them."""
    edges = ((date.earliest, date.first_day), (date.latest, date.last_day))
    return {
        "from_to": [list(day) if day else year for year, day in edges],
        "approximate": date.approximate,
        "uncertain": date.uncertain,
    }
