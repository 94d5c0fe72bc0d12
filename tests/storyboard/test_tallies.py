from fractions import Fraction

import pytest

from tests.storyboard.boards import spoiled
from tests.storyboard.number_boards import BOARD, TABLE, count_faults, counted


def test_cases_of_which_it_is_not_known_are_left_out_of_n(tmp_path):
    share = counted(tmp_path).counts["holes"].proportion
    assert (share.k, share.n, share.missing) == (3, 9, 1)


def test_a_count_of_a_count_asks_only_its_cases(tmp_path):
    tally = counted(tmp_path).counts["sealed"]
    assert (tally.proportion.k, tally.proportion.n, tally.proportion.missing) == (2, 3, 0)
    assert [case.name for case in tally.sorting.having] == ["P01", "P05"]


def test_a_case_unknown_in_one_condition_is_left_out_whatever_the_other_says(tmp_path):
    # P08 has no height, P07 no lid; P01 to P05 are not tall, P06, P09 and P10 are, and loose
    share = counted(tmp_path).counts["tall"].proportion
    assert (share.k, share.n, share.missing) == (3, 8, 2)


@pytest.mark.parametrize(
    ("test", "names"),
    [
        ("at_least: 230", ["P09", "P10"]),
        ("above: 230", ["P10"]),
        ("at_most: 160", ["P01", "P02"]),
        ("below: 160", ["P01"]),
    ],
)
def test_numbers_are_compared_as_said(tmp_path, test, names):
    text = spoiled("at_least: 200}, {column: lid, is_not: [sealed]}", f"{test}}}", BOARD)
    assert [case.name for case in counted(tmp_path, text).counts["tall"].sorting.having] == names


def test_the_case_of_the_talk_is_known_among_those_counted(tmp_path):
    counts = counted(tmp_path).counts
    assert counts["holes"].has_case("P05")
    assert not counts["early"].has_case("P05")


@pytest.mark.parametrize(
    ("name", "part", "words"),
    [
        ("holes", "", "three of nine"),
        ("holes", "percent", "33 %"),
        ("holes", "words", "one in three"),
        ("holes", "interval", "12 to 65 %"),
        ("holes", "k", "three"),
        ("holes", "n", "nine"),
        ("holes", "missing", "one"),
        ("holes", "called", "A drilled hole"),
        ("phases", "", "two of six against one of three"),
        ("phases", "p", "p = 1.00"),
        ("phases", "odds_ratio", "1.0"),
        ("phases", "difference", "0 percentage points (−52 to 46)"),
        ("phases", "called", "Early and late"),
        ("readers", "", "kappa 0.73"),
        ("readers", "kappa", "0.73"),
        ("readers", "interval", "0.24 to 1.00"),
        ("readers", "same", "eight of nine"),
        ("readers", "n", "nine"),
        ("readers", "missing", "one"),
        ("readers", "called", "Two readers"),
        ("survey", "", "34.2 %"),
        ("survey", "words", "about one in three"),
        ("survey", "count", "26 of 76"),
        ("survey", "n", "76"),
        ("survey", "source", "Survey, 1987"),
        ("score", "", "3.45"),
        ("split", "", "33 %, 33 %, 33 %"),
    ],
)
def test_every_part_of_a_number_can_be_said(tmp_path, name, part, words):
    tallies = counted(tmp_path)
    assert name in tallies
    assert tallies.say(name, part).replace("\N{NO-BREAK SPACE}", " ") == words


def test_a_ratio_with_an_empty_cell_is_not_estimable(tmp_path):
    compared = counted(tmp_path, table=spoiled("P01,early,drilled", "P01,early,none", TABLE))
    assert compared.say("phases", "odds_ratio") == "not estimable"
    assert compared.comparisons["phases"].p == Fraction(1, 2)


def test_a_region_is_no_number(tmp_path):
    with pytest.raises(KeyError, match="coil"):
        counted(tmp_path).say("coil", "")


FAULTS = [
    (
        "this_case: P05", "this_case: P55",
        "talk.yaml:8: tables.urns.this_case: there is no case `P55` in the column `find`. Write a "
        "case of the table.",
    ),
    (
        "[late_holes, early_holes]", "[late_holes, holes]",
        "talk.yaml:34: comparisons.phases.counts: 6 cases are in both counts, as `P05`. Compare "
        "counts of different cases: give them `of:` with groups.",
    ),
    (
        "percent: 34.2", "percent: 34.3",
        "talk.yaml:38: quoted.survey: no whole number of 76 gives 34.3 %: 26 of 76 is 34.2 %, 27 "
        "of 76 is 35.5 %; it could be of 70 or of 99. Look at the source again, or say "
        "under `although` why you quote it all the same.",
    ),
    (
        "mean: 3.45", "mean: 3.48",
        "talk.yaml:39: quoted.score: no whole number of 20 gives 3.48: a sum of 69 gives 3.45, a "
        "sum of 70 gives 3.50; it could be of 21. Look at the source again, or say under "
        "`although` why you quote it all the same.",
    ),
    (
        "lost: 33}, n: 3", "lost: 33}, n: 4",
        "talk.yaml:40: quoted.split: no whole number of 4 gives 33 %: 1 of 4 is 25 %, 2 of 4 is "
        "50 %; it could be of 3 or of 6. Look at the source again, or say under "
        "`although` why you quote it all the same.",
    ),
    (
        "lost: 33}", "lost: 30}",
        "talk.yaml:40: quoted.split: the parts add up to 96 %, which rounding does not explain. "
        "Look at the source again, or say under `although` why you quote it all the same.",
    ),
    (
        "percent: 34.2", "percent: 134.2",
        "talk.yaml:38: quoted.survey: 134.2 % is more than the whole. Look at the source again, or "
        "say under `although` why you quote it all the same.",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "message"), FAULTS)
def test_what_cannot_be_counted_is_told(tmp_path, old, new, message):
    assert count_faults(tmp_path, spoiled(old, new, BOARD)) == [message]


def test_a_number_that_cannot_be_may_be_quoted_with_a_reason(tmp_path):
    new = 'percent: 34.3, although: "It is famous and wrong"'
    assert counted(tmp_path, spoiled("percent: 34.2", new, BOARD)).say("survey", "n") == "76"


def test_faults_of_table_and_quotes_are_told_together(tmp_path):
    text = spoiled("percent: 34.2", "percent: 34.3", BOARD)
    found = count_faults(tmp_path, text, spoiled("P01,early,drilled,", "P01,early,dr,", TABLE))
    assert [fault.split(": ")[0] for fault in found] == ["talk.yaml:38", "urns.csv:2"]


def test_a_count_without_a_known_case_is_told(tmp_path):
    lids = {"P01,early,drilled,drilled,sealed": "P01,early,drilled,drilled,?"}
    lids |= {"P05,late,drilled,drilled,sealed": "P05,late,drilled,drilled,?"}
    lids |= {"P06,late,drilled,none,loose": "P06,late,drilled,none,?"}
    table = TABLE
    for old, new in lids.items():
        table = spoiled(old, new, table)
    assert count_faults(tmp_path, table=table) == [
        "talk.yaml:21: counts.sealed: there is no case to count: of 3 it is known for none. Fill "
        "in the table, or count of other cases."
    ]
