"""Slides that count, borrowed: they bring their counts, and the tables those count in."""

import pytest

from slidekit.errors import StoryboardError
from slidekit.storyboard.read import read_storyboard
from slidekit.storyboard.tallies import count_up
from tests.storyboard.boards import spoiled, without_folder, write
from tests.storyboard.number_boards import BOARD, TABLE

BORROWER = """\
talk: {title: For students, slot_min: 5}
borrow: {full: ../full/talk.yaml}
slides:
  - {kind: borrowed, origin: full, slide: rare}
"""


@pytest.fixture
def folder(tmp_path):
    write(tmp_path / "full", BOARD)
    write(tmp_path / "full", TABLE, "urns.csv")
    return tmp_path


def borrow(folder, text: str = BORROWER):
    return read_storyboard(write(folder / "short", text))


def ask(more: str) -> str:
    return spoiled("slide: rare}", f"slide: rare, {more}}}", BORROWER)


def test_a_series_slide_brings_its_counts_and_their_table(folder):
    source = borrow(folder)
    assert list(source.board.counts) == ["holes", "sealed"]
    assert list(source.board.tables) == ["urns"]
    assert source.board.comparisons == {}
    assert source.board.tables["urns"].file == str((folder / "full/urns.csv").resolve())
    assert count_up(source).say("holes", "") == "three of nine"


def test_a_finding_brings_the_counts_it_prints_and_rests_on(folder):
    source = borrow(folder, BORROWER + "  - {kind: borrowed, origin: full, slide: end}\n")
    assert list(source.board.findings) == ["rare"]


def test_new_words_bring_what_they_name(folder):
    board = borrow(folder, ask('say: "It was {phases}; {readers}; {survey}."')).board
    assert list(board.comparisons) == ["phases"]
    assert set(board.counts) == {"holes", "sealed", "early", "late", "early_holes", "late_holes"}
    assert list(board.agreements) == ["readers"]
    assert list(board.quoted) == ["survey"]


def test_a_new_title_may_name_a_number_of_the_lender(folder):
    board = borrow(folder, ask('title: "{tall} are tall"')).board
    assert list(board.counts) == ["holes", "sealed", "tall"]


def test_one_name_for_two_tables_is_told(folder):
    own = "tables: {urns: {file: own.csv, about: Mine, id: a, columns: {a: {}}}}\n"
    with pytest.raises(StoryboardError) as raised:
        borrow(folder, BORROWER.replace("slides:", own + "slides:"))
    assert without_folder(raised.value, folder) == [
        "short/talk.yaml:3: tables.urns: is not the same in short/../full/talk.yaml:3, which the "
        "borrowed slide `rare` rests on. Rename one of the two, or make them alike."
    ]


def test_a_fault_of_a_borrowed_table_stands_in_its_own_file(folder):
    write(folder / "full", TABLE.replace("P03,early", "P03,earl"), "urns.csv")
    with pytest.raises(StoryboardError) as raised:
        count_up(borrow(folder))
    (fault,) = raised.value.faults
    assert (fault.file.name, fault.line, fault.field) == ("urns.csv", 4, "phase")
