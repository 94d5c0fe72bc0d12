import pytest

from tests.storyboard.boards import complaints, spoiled
from tests.storyboard.number_boards import BOARD, name_faults


def test_a_board_that_counts_is_sound(tmp_path):
    assert name_faults(tmp_path, BOARD) == []


FAULTS = [
    (
        "table: urns\n    where: [{column: hole", "table: urn\n    where: [{column: hole",
        ["19: counts.holes.table: there is no table `urn`. Write `urns`, the only one there is, or "
         "define it."],
    ),
    (
        "of: holes", "of: hole",
        ["23: counts.sealed.of: there is no count `hole`. Write `holes` if you mean that; the "
         "counts are holes, sealed, tall, early, late, early_holes, late_holes."],
    ),
    (
        "of: holes", "of: sealed",
        ["23: counts.sealed.of: `sealed` counts its own cases. Let one of them name its `table`."],
    ),
    (
        "column: hole, is: drilled}]\n  sealed", "column: whole, is: drilled}]\n  sealed",
        ["20: counts.holes.where[0].column: the table has no column `whole` in its dictionary. "
         "Write `hole` if you mean that; it has phase, hole, second, lid, height_mm."],
    ),
    (
        "column: lid, is: sealed", "column: lid, is: seal",
        ["24: counts.sealed.where[0].is: `seal` is not a value of the column `lid`. Write `sealed` "
         "if you mean that; its values are sealed, loose."],
    ),
    (
        "at_least: 200", "is: 200",
        ["28: counts.tall.where[0].is: `height_mm` holds numbers, and `is` compares words. Write "
         "`at_least`, `at_most`, `above` or `below`."],
    ),
    (
        "column: lid, is: sealed", "column: lid, above: 2",
        ["24: counts.sealed.where[0].above: `above` compares numbers, and `lid` holds words. Write "
         "`is` with the values, or give the column `least` and `most`."],
    ),
    (
        "counts: [late_holes, early_holes]", "counts: [late_holes, late_holes]",
        ["34: comparisons.phases.counts[1]: `late_holes` is compared with itself. Name another "
         "count."],
    ),
    (
        "readers: [hole, second]", "readers: [hole, lid]",
        ["36: agreements.readers.readers: the two columns do not have the same `values`. Give both "
         "the same list of values in the dictionary."],
    ),
    (
        "{holes.percent}", "{holes.percents}",
        ["51: slides[0].say: {holes.percents} is not known. Write one of {holes}, {holes.percent}, "
         "{holes.words}, {holes.interval}, {holes.k}, {holes.n}, {holes.missing}, {holes.called}."],
    ),
    (
        "[show sealed]", "[show tall]",
        ["51: slides[0].say: [show tall] is said, and this slide does not have the count. List it "
         "under `counts` of this slide, or remove the click."],
    ),
    (
        '"{holes.words} has a hole"', '"{holes.size} has a hole"',
        ["47: slides[0].title: {holes.size} is not known. Write one of {holes}, {holes.percent}, "
         "{holes.words}, {holes.interval}, {holes.k}, {holes.n}, {holes.missing}, {holes.called}."],
    ),
    (
        "evidence: [holes]", "evidence: [tall]",
        ["43: findings.rare.evidence[0]: no slide shows `tall`, on which this finding rests. Show "
         "it on a slide before, print {tall} in its title, points or caption, or remove it from "
         "the evidence."],
    ),
    (
        "counts: [holes, sealed]", "counts: [holes, holes, sealed]",
        ["48: slides[0].counts[1]: `holes` is named twice. Remove one of the two."],
    ),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "messages"), FAULTS)
def test_names_that_do_not_go_together_are_told(tmp_path, old, new, messages):
    found = [fault.removeprefix("talk.yaml:") for fault in name_faults(
        tmp_path, spoiled(old, new, BOARD))]  # fmt: skip
    assert [fault.split(": ", 1)[1] for fault in found] == [
        message.split(": ", 1)[1] for message in messages
    ]


def test_counts_of_each_other_are_told(tmp_path):
    text = spoiled(
        "table: urns\n    where: [{column: hole", "of: sealed\n    where: [{column: hole", BOARD
    )
    found = [fault for fault in name_faults(tmp_path, text) if ".of: " in fault]
    assert found[0] == (
        "talk.yaml:19: counts.holes.of: `holes` and `sealed` count each other's cases. Let one of "
        "them name its `table`."
    )


@pytest.mark.parametrize(
    ("said", "forms"),
    [
        ("{survey.k}", "{survey}, {survey.words}, {survey.count}, {survey.n}, {survey.source}"),
        ("{score.words}", "{score}, {score.n}, {score.source}"),
        ("{open.n}", "{open}, {open.words}, {open.source}"),
        ("{wrong.count}", "{wrong}, {wrong.words}, {wrong.n}, {wrong.source}"),
    ],
)
def test_of_a_quoted_number_only_what_is_known_is_said(tmp_path, said, forms):
    more = (
        "\n  open: {percent: 34, source: x}"
        "\n  wrong: {percent: 34.3, n: 76, source: x, although: famous}\nfindings:"
    )
    text = spoiled("\nfindings:", more, spoiled("{holes.percent}", said, BOARD))
    (found,) = name_faults(tmp_path, text)
    assert found.split(": ", 2)[2] == f"{said} is not known. Write one of {forms}."


def test_a_number_printed_on_a_slide_is_shown_by_it(tmp_path):
    text = spoiled("evidence: [holes]", "evidence: [survey]", BOARD)
    text = spoiled('"{holes.words} has a hole"', '"{survey} had a hole"', text)
    assert name_faults(tmp_path, text) == []


FORMS = [
    (
        "phase: {values: [early, late]}", "phase: {least: 3}",
        "tables.urns.columns.phase: has one end of a range only. Write both `least` and `most`.",
    ),
    (
        "phase: {values: [early, late]}", "phase: {values: [a], least: 3, most: 4}",
        "tables.urns.columns.phase: has `values` and a range. Write one of the two.",
    ),
    (
        "phase: {values: [early, late]}", "phase: {least: 5, most: 4}",
        "tables.urns.columns.phase: `least` is more than `most`. Exchange the two.",
    ),
    (
        "{column: lid, is: sealed}", "{column: lid}",
        "counts.sealed.where[0]: tests nothing. Write one of is, is_not, at_least, at_most, above, "
        "below.",
    ),
    (
        "{column: lid, is: sealed}", "{column: lid, is: sealed, above: 3}",
        "counts.sealed.where[0]: has 2 tests. Write one of is, is_not, at_least, at_most, above, "
        "below.",
    ),
    (
        "of: holes", "of: holes\n    table: urns",
        "counts.sealed: needs `table` or `of`, and not both. Write one of them.",
    ),
    (
        "percent: 34.2", "percent: 34.2, mean: 3",
        "quoted.survey: needs one of `percent`, `mean` and `parts`. Write exactly one.",
    ),
    (
        "{burnt: 33, raw: 33, lost: 33}", "{burnt: 33}",
        "quoted.split: has one part only. Write `percent`, or all the parts.",
    ),
    (
        "percent: 34.2", "percent: 34 %",
        "quoted.survey.percent: `34 %` is no plain number. Write its digits alone, as in "
        "`percent: 34.2`.",
    ),
    (
        "{column: lid, is: sealed}", "{column: lid, is: {a: b}}",
        "counts.sealed.where[0].is: is not a list. Begin each entry with a dash and a space: `- `.",
    ),
    (
        "where: [{column: lid, is: sealed}]", "where: {column: lid, is: sealed}",
        "counts.sealed.where: is not a list. Begin each entry with a dash and a space: `- `.",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "message"), FORMS)
def test_what_is_written_in_a_wrong_form_is_told(tmp_path, old, new, message):
    (found,) = complaints(tmp_path, spoiled(old, new, BOARD))
    assert found.split(": ", 1)[1] == message
