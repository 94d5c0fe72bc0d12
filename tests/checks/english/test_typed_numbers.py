import pytest

from slidekit.build import Options, compose_show
from slidekit.checks.talk import check_heard
from slidekit.review import heard_of
from tests.counting_talk import COUNTING_TALK, write_counting_talk
from tests.storyboard.boards import spoiled
from tests.talks import no_progress

SAID = "Of those, {sealed}."


def remarks(folder, text: str) -> list[str]:
    show = compose_show(write_counting_talk(folder, text), Options(draft=True), no_progress)
    found = check_heard(heard_of(show)).remarks
    return [str(remark).removeprefix(f"{folder}/") for remark in found]


def typed(folder, words: str) -> list[str]:
    found = remarks(folder, spoiled(SAID, f"{SAID} {words}", COUNTING_TALK))
    found = [one for one in found if ": note: placeholder: " not in one]
    assert all(": typed-number: " in one for one in found), found
    return [one.split(": typed-number: ")[1] for one in found]


@pytest.mark.parametrize(
    "words",
    [
        "Four of nine.",
        "4 out of 9 are drilled.",
        "Three of the ten.",
        "It is 34 %.",
        "It is thirty-four per cent.",
        "It is 34 percent of them.",
        "One in four, that is.",
        "About one in five urns.",
    ],
)
def test_a_typed_number_that_differs_from_the_counts_is_pointed_out(tmp_path, words):
    (said,) = typed(tmp_path, words)
    assert "{holes} is 3 of 9, 33 %, one in three" in said


def test_the_remark_names_line_and_rule_and_what_was_counted(tmp_path):
    (said,) = remarks(tmp_path, spoiled(SAID, f"{SAID} Four of nine.", COUNTING_TALK))
    line = 1 + COUNTING_TALK[: COUNTING_TALK.index("[show holes]")].count("\n") - 1
    assert said == (
        f"talk.yaml:{line}: error: typed-number: “Four of nine” is typed, and {{holes}} is 3 of 9, "
        "33 %, one in three; {sealed} is 2 of 3, 67 %, two in three"
    )


@pytest.mark.parametrize(
    "words",
    [
        "Three of nine, 33 %, about a third, one in three.",
        "33.3 % of them, with a 95 % interval of 12 to 65 %.",
        "Two of three lids, two in three, 67 %.",
        "We worked from nine of the twenty drawers.",
        "One of the slices is 0.5 mm thick, and two of them touch.",
        "In three of the last 50 years it rained.",
        "It was dug in 1931, in two weeks, for 9 of every 10 days.",
        "All one hundred per cent sure? No.",
    ],
)
def test_right_numbers_and_numbers_of_other_things_are_left_alone(tmp_path, words):
    assert typed(tmp_path, words) == []


def test_a_number_typed_in_print_is_held_against_the_counts_too(tmp_path):
    text = spoiled('"{holes.words} has a hole"', "One in six has a hole", COUNTING_TALK)
    assert [one.split(": ")[2] for one in remarks(tmp_path, text)] == ["typed-number"]


def test_slides_without_counts_are_left_alone(tmp_path):
    text = spoiled("say: Good evening.", "say: Good evening, four of nine.", COUNTING_TALK)
    assert remarks(tmp_path, text) == []


def test_a_count_that_is_never_said_is_pointed_out(tmp_path):
    text = spoiled(SAID, "Of those, more.", COUNTING_TALK)
    (said,) = remarks(tmp_path, text)
    assert said.split(": ", 2)[2] == (
        "unspoken-count: count `sealed` is on the slide, and the words never say its number"
    )


def test_counts_said_as_a_comparison_are_said(tmp_path):
    text = spoiled("counts: [holes, sealed]", "counts: [early_holes, late_holes]", COUNTING_TALK)
    old = text[text.index("      [show holes]") : text.index("  - id: end")]
    text = text.replace(old, "      It was {phases}.\n")
    text = text.replace("evidence: [coil, holes]", "evidence: [coil, late_holes]")
    assert remarks(tmp_path, text) == []


def test_a_number_typed_on_a_panel_is_held_against_its_counts(tmp_path):
    text = spoiled("{holes} urns have a hole.", "{holes} have one, 44 %.", COUNTING_TALK)
    (said,) = remarks(tmp_path, text)
    assert said.split(": ", 2)[2].startswith("typed-number: “44 %” is typed, and {holes} is 3 of 9")
