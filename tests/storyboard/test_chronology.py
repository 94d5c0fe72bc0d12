"""Dates of periods, events and the case of the talk, and the words that name them."""

import pytest

from slidekit.evidence.dates.years import Date
from slidekit.storyboard.read import read_storyboard
from tests.storyboard.boards import complaints, spoiled, write
from tests.storyboard.dated_boards import BOARD, name_faults, write_dated


def said(words: str) -> str:
    return spoiled("It is {this_case}.", f"It is {words}.", BOARD)


def test_a_calibrated_date_and_the_case_of_the_talk_are_read(tmp_path):
    chronology = read_storyboard(write_dated(tmp_path)).board.chronology
    assert chronology.find("twigs").date == Date(-955, -830, percent="95.4")
    assert chronology.find("twigs").calibrated.reference == "XY-1, IntCal20"
    assert chronology.find("this_case").date == Date(-999, -849, approximate=True)
    assert chronology.find("nothing") is None


def test_a_period_may_go_on_or_begin_at_an_unknown_time(tmp_path):
    text = spoiled("start: 800 BCE, end: 15 BCE", "start: unknown, end: 15 BCE", BOARD)
    text = spoiled("start: c. 2200 BCE, end: c. 800 BCE", "start: .., end: c. 800 BCE", text)
    periods = read_storyboard(write_dated(tmp_path, text)).board.chronology.periods
    assert periods["iron"].start == Date(None, None)
    assert periods["bronze"].start == Date(None, None, lasting=True)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "start: 800 BCE, end: 15 BCE",
            "start: unknown, end: ..",
            "5: chronology.periods.iron: has no date at all. Write its `start` or its `end`.",
        ),
        (
            "lanes: {2: Pots}",
            "lanes: {3: Pots}",
            "2: chronology: `lanes` names lane 3, and no period stands in it. Give a period"
            " `lane: 3`, or remove the name.",
        ),
        (
            "from: 2905 cal BP",
            "from: 2700 cal BP",
            "11: chronology.events.twigs.calibrated: the calibrated range ends before it starts."
            " Write the earlier year first.",
        ),
        (
            "from: 2905 cal BP",
            "from: 2905 BP",
            "11: chronology.events.twigs.calibrated.from: '2905 BP' is no calibrated year. Write"
            ' it as in "2905 cal BP" or "956 cal BCE".',
        ),
        (
            "percent: 95.4",
            "percent: 954",
            "11: chronology.events.twigs.calibrated: 954 % is no probability of a range. Write it"
            " as in 95.4.",
        ),
        (
            "at: 900 BCE",
            "at: 2850 ± 30 BP",
            "12: chronology.events.felled.at: '2850 ± 30 BP' is a radiocarbon age before"
            " calibration; it is no calendar year, and can be centuries off. Write the calibrated"
            ' range with its probability, as in "2905-2780 cal BP (95.4 %)".',
        ),
        (
            "at: 900 BCE",
            "at: 900 BCE, latest: 800 BCE",
            "12: chronology.events.felled: needs `at`, or both `earliest` and `latest`, or"
            " `calibrated`. Write one of the three forms.",
        ),
    ],
)
def test_dates_that_cannot_be_are_told_with_a_remedy(tmp_path, old, new, message):
    write_dated(tmp_path)
    assert complaints(tmp_path, spoiled(old, new, BOARD)) == [f"talk.yaml:{message}"]


@pytest.mark.parametrize(
    "words",
    [
        "{bronze.start} {bronze.end} {bronze.duration}",
        "{pots.until.iron} {felled.until.iron} {this_case.until.ditch} {bronze.until.ditch}",
        "{pots.overlap.bronze} {this_case.called}",
        "{twigs.percent} {twigs.lab} {twigs.curve}",
    ],
)
def test_what_is_known_of_dates_may_be_said(tmp_path, words):
    assert name_faults(tmp_path, said(words)) == []


@pytest.mark.parametrize(
    ("words", "wrong", "instead"),
    [
        (
            "{felled.duration}",
            "{felled.duration} is not known: `felled` is a date",
            "Write {felled} for the date, {felled.called}, {felled.until.NAME} for the time to"
            " another",
        ),
        (
            "{bronze.lab}",
            "{bronze.lab} is not known: `bronze` is a date",
            "Write {bronze} for the date, {bronze.called}, {bronze.start}, {bronze.end},"
            " {bronze.duration}, {bronze.until.NAME} for the time to another",
        ),
        (
            "{bronze.until}",
            "{bronze.until} lacks its second date",
            "Write {bronze.until.NAME}",
        ),
        (
            "{bronze.until.irn}",
            "there is no period, event or case of the talk `irn`",
            "Write `iron` if you mean that; the names are bronze, iron, pots, twigs, felled,"
            " ditch, this_case",
        ),
        (
            "{iron.until.pots}",
            "{iron.until.pots} is said, and `pots` was before `iron`",
            "Write {pots.until.iron}",
        ),
        (
            "{bronze.until.pots}",
            "{bronze.until.pots} is said, and there is no time between the two",
            "Write {bronze.overlap.pots} for the time both went on, or leave it",
        ),
        (
            "{iron.overlap.pots}",
            "{iron.overlap.pots} is said, and the two never overlap",
            "Write {pots.until.iron} for the time between them, or leave it out",
        ),
        (
            "{iron.overlap.felled}",
            "{iron.overlap.felled} is said, and only two periods can overlap",
            "Name two periods, or write {NAME.until.NAME} for the time between two dates",
        ),
        (
            "{ditch.until.ditch}",
            "{ditch.until.ditch} is said, and nothing is known of that time",
            "Say that in words",
        ),
    ],
)
def test_what_is_not_known_of_dates_is_told(tmp_path, words, wrong, instead):
    assert name_faults(tmp_path, said(words)) == [f"31: slides[0].say: {wrong}. {instead}."]


def test_how_long_a_period_without_an_end_lasted_is_not_said(tmp_path):
    text = spoiled("end: 15 BCE", "end: ..", said("{iron.duration} and {iron.end}"))
    assert name_faults(tmp_path, text) == [
        "31: slides[0].say: {iron.duration} is said, and nothing is known of how long it lasted."
        " Give `start` and `end` dates, or say it in words.",
        "31: slides[0].say: {iron.end} is said, and it is not known. Say that in words, or give it"
        " a date.",
    ]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "zoom: [pots]",
            "zoom: [pot]",
            "29: slides[0].zoom[0]: there is no period, event or case of the talk `pot`. Write"
            " `pots` if you mean that; the names are bronze, iron, pots, twigs, felled, ditch,"
            " this_case.",
        ),
        (
            "table: urns, column",
            "table: pots, column",
            "30: slides[0].tally.table: `pots` is a period, not a table. Define it, or choose"
            " another: the tables are urns.",
        ),
        (
            "column: phase}",
            "column: period}",
            "30: slides[0].tally.column: the table has no column `period` in its dictionary. Write"
            " one of phase, or add it there.",
        ),
        (
            "values: [bronze, Iron Age]",
            "values: [bronze, Copper Age]",
            "30: slides[0].tally.column: the values Copper Age of the column `phase` are no"
            " periods. Name them as the periods are: bronze, iron, pots.",
        ),
        (
            "phase: {values: [bronze, Iron Age]}",
            "phase: {about: When}",
            "30: slides[0].tally.column: the column `phase` has no list of values. Give it `values`"
            " in the dictionary: names or labels of periods.",
        ),
    ],
)
def test_what_a_timeline_asks_for_must_be_there(tmp_path, old, new, message):
    assert name_faults(tmp_path, spoiled(old, new, BOARD)) == [message]


BORROWER = """\
talk: {title: For students, slot_min: 5}
borrow: {full: ../full/talk.yaml}
slides:
  - {kind: borrowed, origin: full, slide: time}
"""


def test_a_borrowed_timeline_brings_case_lanes_and_table(tmp_path):
    write_dated(tmp_path / "full")
    board = read_storyboard(write(tmp_path / "short", BORROWER)).board
    assert board.chronology.this_case.label == "This urn"
    assert board.chronology.lanes == {2: "Pots"}
    assert list(board.tables) == ["urns"]


def test_words_about_two_dates_bring_both(tmp_path):
    words = f'{BOARD}  - {{id: words, kind: text, title: a, points: ["{{felled.until.ditch}}"]}}\n'
    write_dated(tmp_path / "full", words)
    text = spoiled("slide: time", "slide: words", BORROWER)
    board = read_storyboard(write(tmp_path / "short", text)).board
    assert list(board.chronology.events) == ["felled", "ditch"]
    assert board.chronology.this_case is None


def test_two_names_of_one_lane_are_told(tmp_path):
    write_dated(tmp_path / "full")
    own = (
        "chronology:\n  lanes: {2: Jars}\n"
        "  periods: {jars: {label: Jars, start: 900 BCE, end: 800 BCE, lane: 2}}\n"
    )
    text = BORROWER.replace("slides:\n", f"{own}slides:\n")
    (tmp_path / "short").mkdir()
    assert complaints(tmp_path / "short", text) == [
        "talk.yaml:7: slides[0]: lane 2 of this timeline is called Pots, and elsewhere Jars. Call"
        " it by one name in both storyboards, or use another lane.",
    ]


def test_a_finding_may_rest_on_the_date_of_the_case(tmp_path):
    text = BOARD.replace(
        "slides:\n",
        "findings: {old: {statement: It is old, certainty: probable, evidence: [this_case]}}\n"
        "slides:\n",
    )
    text += "  - {id: end, kind: findings, title: What we know, findings: [old]}\n"
    assert name_faults(tmp_path, text) == []
