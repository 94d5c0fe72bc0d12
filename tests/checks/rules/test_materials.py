import pytest

from slidekit.build import Options, compose_show
from slidekit.checks.talk import check_heard
from slidekit.review import heard_of
from tests.materials_talk import MATERIALS_TALK, write_materials_talk
from tests.storyboard.boards import spoiled
from tests.talks import no_progress


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("rules")


def checked(folder, text: str):
    storyboard = write_materials_talk(folder, text)
    return check_heard(heard_of(compose_show(storyboard, Options(draft=True), no_progress)))


def remarks(folder, rule: str, text: str) -> list[str]:
    mark = f": {rule}: "
    return [str(one).split(mark, 1)[1] for one in checked(folder, text).remarks if mark in str(one)]


def saying(words: str, text: str = MATERIALS_TALK) -> str:
    before, after = text.split("      {seal_is}. Possible", 1)
    return f"{before}      {words}\n{after.split(chr(10), 2)[2]}"


def test_an_honest_talk_is_fine(folder):
    found = {one.rule for one in checked(folder, MATERIALS_TALK).remarks}
    assert not found & {"bare-answer", "named-by-numbers", "weak-link", "unsafe-value"}


@pytest.mark.parametrize(
    "words",
    [
        "It could be {seal_is.remain}.",
        "Of those compared, {seal_is.remain}.",
        "It is {seal_is.remain}, but the numbers prove nothing.",
        "What may it be? {seal_is.remain}.",
        "{seal_is}.",
        "That is at {seal_is.energy}.",
    ],
)
def test_an_answer_with_room_for_others_is_fine(folder, words):
    assert remarks(folder, "bare-answer", saying(words)) == []


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ("It is {seal_is.remain}.", "remain"),
        ("The seal holds {seal_is.share} of wax.", "share"),
    ],
)
def test_an_answer_told_as_if_it_were_known_is_found(folder, words, part):
    assert remarks(folder, "bare-answer", saying(words)) == [
        f"{{seal_is.{part}}} is spoken as if it were known: say that it is possible, or what"
        " remains of those compared"
    ]


def test_an_answer_printed_barely_is_found(folder):
    text = spoiled("kind: materials\n", "kind: text\n", MATERIALS_TALK)
    text = spoiled("question: seal_is\n", 'points: ["It is {seal_is.remain}"]\n', text)
    text = spoiled("    evidence: [seal_is]\n", "    evidence: [left]\n", text)
    (said,) = remarks(folder, "bare-answer", text)
    assert said.startswith("slide `question` prints {seal_is.remain} as if it were known")


def test_the_materials_slide_has_the_caution_for_its_title(folder):
    text = spoiled("    title: What the seal could be\n", '    title: "{seal_is.remain}"\n',
                   MATERIALS_TALK)  # fmt: skip
    assert remarks(folder, "bare-answer", text) == []


def test_other_languages_are_not_checked_and_it_says_so(folder):
    text = spoiled("slot_min: 5}", "slot_min: 5, language: de}", MATERIALS_TALK)
    unchecked = dict(checked(folder, text).unchecked)
    assert "bare-answer" in unchecked


NAMED = MATERIALS_TALK.replace("evidence: [seal_is]", "evidence: [left.mean]")


@pytest.mark.parametrize("certainty", ["probable", "almost certain", "observed"])
def test_a_material_named_by_ct_numbers_alone_is_found(folder, certainty):
    text = spoiled("certainty: possible", f"certainty: {certainty}", NAMED)
    assert remarks(folder, "named-by-numbers", text) == [
        f"`stuff` names pine resin and is called {certainty}, and it rests on CT numbers alone:"
        " write `certainty: possible`, or add what else speaks for it"
    ]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("evidence: [left.mean]", "evidence: [left.mean, left]"),  # seen, besides its number
        ("The seal is pine resin", "The seal is denser than the mend"),
        ("    evidence: [left.mean]\n", "    evidence: [left.mean]\n    although: A smell\n"),
        ("certainty: probable", "certainty: possible"),
    ],
)
def test_a_finding_that_names_nothing_or_has_more_is_fine(folder, old, new):
    text = spoiled("certainty: possible", "certainty: probable", NAMED)
    assert remarks(folder, "named-by-numbers", spoiled(old, new, text)) == []


def test_a_question_carries_no_more_than_possible(folder):
    text = spoiled("certainty: possible", "certainty: probable", MATERIALS_TALK)
    (said,) = remarks(folder, "weak-link", text)
    assert said.startswith(
        "`stuff` is called probable, and the materials question `seal_is` carries no more than"
        " possible: CT numbers alone do not name a substance."
    )


def test_a_clear_contrast_carries_almost_certain(folder):
    text = spoiled("certainty: almost certain", "certainty: observed", MATERIALS_TALK)
    (said,) = remarks(folder, "weak-link", text)
    assert said.startswith(
        "`sealed` is called observed, and the contrast `both` carries no more than almost certain"
    )


def test_a_contrast_of_few_samples_must_be_told_with_its_warning(folder):
    text = MATERIALS_TALK.replace("size_mm: [12, 18]", "size_mm: [4, 4]")
    found = remarks(folder, "unsafe-value", text)
    assert any(one.startswith("{both.difference} is spoken, and not that only 16") for one in found)
