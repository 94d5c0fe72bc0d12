"""Dates in words, and cases counted under periods, from a storyboard."""

import pytest

from slidekit.scene.dated import calendar_of, count_periods
from slidekit.scene.timeline import Counted
from slidekit.storyboard.read import read_storyboard
from slidekit.storyboard.slides import TimelineSlide
from slidekit.storyboard.tallies import count_up
from slidekit.writers.records.dates import dates_record
from tests.storyboard.dated_boards import BOARD, write_dated


@pytest.mark.parametrize(
    ("name", "part", "said"),
    [
        ("bronze", "", "c. 2200 to c. 800 BCE"),
        ("bronze", "start", "c. 2200 BCE"),
        ("bronze", "duration", "about 1400 years"),
        ("iron", "duration", "785 years"),
        ("pots", "until.iron", "50 years"),
        ("felled", "until.ditch", "at least 959 years"),
        ("pots", "overlap.bronze", "about 200 years"),
        ("twigs", "", "956 to 831 BCE, calibrated, with 95.4\N{NO-BREAK SPACE}% probability"),
        ("twigs", "percent", "95.4\N{NO-BREAK SPACE}%"),
        ("twigs", "lab", "XY-1"),
        ("this_case", "", "1000 to c. 850 BCE"),
        ("this_case", "called", "This urn"),
    ],
)
def test_dates_are_said(tmp_path, name, part, said):
    board = read_storyboard(write_dated(tmp_path)).board
    assert calendar_of(board).say(name, part) == said


def test_dates_are_said_in_the_language_and_era_of_the_talk(tmp_path):
    text = BOARD.replace("slot_min: 5}", "slot_min: 5, language: de-CH}")
    text = text.replace("chronology:\n", "chronology:\n  era: BC/AD\n")
    calendar = calendar_of(read_storyboard(write_dated(tmp_path, text)).board)
    assert calendar.say("bronze", "") == "um 2200 bis um 800 v. Chr."
    assert calendar.say("bronze", "duration") == "etwa 1400 Jahre"


def test_cases_are_counted_under_their_periods_and_the_others_are_told(tmp_path):
    source = read_storyboard(write_dated(tmp_path))
    (slide,) = source.slides
    assert isinstance(slide, TimelineSlide)
    assert slide.tally is not None
    assert count_periods(slide.tally, source.board, count_up(source)) == Counted(
        {"bronze": 3, "iron": 1},
        "Counted under the periods: 4 of 5 urns; the period of 1 is not known",
    )


def test_the_record_has_the_years_that_were_counted_with(tmp_path):
    source = read_storyboard(write_dated(tmp_path))
    record = dates_record(source.board, count_up(source))
    names = ["bronze", "iron", "pots", "twigs", "felled", "ditch", "this_case"]
    assert list(record["dates"]) == names
    assert record["dates"]["twigs"] == {
        "said": "956 to 831 BCE, calibrated, with 95.4 % probability",
        "at": {"from_to": [-955, -830], "approximate": False, "uncertain": False},
        "percent": "95.4",
        "lab": "XY-1",
        "curve": "IntCal20",
    }
    assert record["dates"]["bronze"]["end"] == {
        "from_to": [-799, -799],
        "approximate": True,
        "uncertain": False,
    }
    assert record["cases_by_period"] == {"time": {"bronze": 3, "iron": 1}}
