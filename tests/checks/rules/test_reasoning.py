import pytest

from slidekit.build import Options, compose_show
from slidekit.checks.talk import check_heard
from slidekit.review import heard_of
from tests.counting_talk import COUNTING_TALK, write_counting_talk
from tests.storyboard.boards import spoiled
from tests.talks import no_progress


def remarks(folder, rule: str, text: str) -> list[str]:
    """What one rule says of the counting talk."""
    storyboard = write_counting_talk(folder, text)
    checked = check_heard(heard_of(compose_show(storyboard, Options(draft=True), no_progress)))
    mark = f": {rule}: "
    return [str(one).split(mark, 1)[1] for one in checked.remarks if mark in str(one)]


def talk(certainty: str, evidence: str, more: str = "") -> str:
    text = spoiled("certainty: possible\n", f"certainty: {certainty}\n{more}", COUNTING_TALK)
    return spoiled("evidence: [coil, holes]", f"evidence: [{evidence}]", text)


WRITE = "or say under `although` why it holds all the same"


@pytest.mark.parametrize(
    ("certainty", "evidence", "why"),
    [
        (
            "observed",
            "coil, holes",
            "the count `holes` carries no more than possible: its 95 % interval is 12 to 65 %."
            f" Write `certainty: possible`, {WRITE}",
        ),
        (
            "almost certain",
            "bronze, burial",
            None,
        ),
        (
            "observed",
            "burial",
            "the event `burial` carries no more than almost certain: its date is approximate."
            f" Write `certainty: almost certain`, {WRITE}",
        ),
        ("possible", "holes", None),
        ("observed", "coil, coil.mean", None),
    ],
)
def test_a_finding_is_no_surer_than_its_weakest_link(tmp_path, certainty, evidence, why):
    found = remarks(tmp_path, "weak-link", talk(certainty, evidence))
    said = f"`wire` is called {certainty}, and {why}"
    assert [one.replace("\N{NO-BREAK SPACE}", " ") for one in found] == ([said] if why else [])


def test_a_region_carries_the_certainty_of_its_identification(tmp_path):
    text = talk("observed", "coil")
    text = spoiled(
        "    called: the coil\n", "    called: the coil\n    certainty: probable\n", text
    )
    assert remarks(tmp_path, "weak-link", text) == [
        "`wire` is called observed, and the region `coil` carries no more than probable: that is"
        f" how surely it is identified. Write `certainty: probable`, {WRITE}"
    ]


def test_a_value_carries_what_its_warnings_leave(tmp_path):
    text = talk("observed", "coil.mean").replace("radii_mm: [5, 4]", "radii_mm: [2.1, 2.1]")
    assert remarks(tmp_path, "weak-link", text) == [
        "`wire` is called observed, and the value `coil.mean` carries no more than probable: only"
        f" 13 samples lie in it. Write `certainty: probable`, {WRITE}"
    ]


def test_a_number_that_the_statement_prints_is_a_link_too(tmp_path):
    text = talk("observed", "coil").replace("A coil of wire lies in", "Of these {holes} lie in")
    (said,) = remarks(tmp_path, "weak-link", text)
    assert "the count `holes` carries no more than possible" in said


def test_an_alternative_that_nothing_makes_less_likely_leaves_a_finding_possible(tmp_path):
    other = "    alternatives: [{statement: It is a chain}]\n"
    assert remarks(tmp_path, "weak-link", talk("probable", "coil", other)) == [
        "`wire` is called probable, and an alternative beside it carries no more than possible:"
        " nothing says why it is less likely."
        f" Write `certainty: possible`, {WRITE}"
    ]


def test_nothing_rests_on_what_cannot_be_shown(tmp_path):
    open_ = "  open: {statement: Who wore it, certainty: cannot be shown, evidence: [coil]}\n"
    text = spoiled("findings:\n  wire:", f"findings:\n{open_}  wire:", talk("possible", "open"))
    text = spoiled("findings: [wire]", "findings: [open, wire]", text)
    assert remarks(tmp_path, "weak-link", text) == [
        "`wire` is called possible, and the finding `open` carries no conclusion: it cannot be"
        " shown itself. Leave it out of the evidence, or write `certainty: cannot be shown`"
    ]


def test_that_it_cannot_be_shown_may_rest_on_anything(tmp_path):
    assert remarks(tmp_path, "weak-link", talk("cannot be shown", "holes")) == []


def test_a_reason_lets_a_finding_be_surer(tmp_path):
    reason = "    although: It speaks of these nine alone\n"
    assert remarks(tmp_path, "weak-link", talk("observed", "holes", reason)) == []


AGAINST = '    against: "Of these urns {holes} have a hole"\n'


@pytest.mark.parametrize("certainty", ["probable", "possible", "cannot be shown"])
def test_what_is_not_certain_names_what_else_may_be(tmp_path, certainty):
    bare = talk(certainty, "coil").replace(AGAINST, "")
    assert remarks(tmp_path, "hidden-alternative", bare) == [
        f"`wire` is called {certainty}, and nothing says what else may be: add `alternatives`, or"
        " what speaks `against` it"
    ]
    assert remarks(tmp_path, "hidden-alternative", talk(certainty, "coil")) == []


@pytest.mark.parametrize("certainty", ["observed", "almost certain"])
def test_what_is_certain_needs_no_alternative(tmp_path, certainty):
    assert (
        remarks(tmp_path, "hidden-alternative", talk(certainty, "coil").replace(AGAINST, "")) == []
    )


def test_a_word_stronger_than_the_finding_is_told(tmp_path):
    text = talk("probable", "coil").replace(
        "A coil of wire lies there", "This proves a coil of wire"
    )
    assert remarks(tmp_path, "strong-word", text) == [
        "“proves” is said of `wire`, which is called probable: say {wire.certainty}, or a weaker"
        " word"
    ]


def test_in_other_languages_words_of_certainty_are_not_looked_at(tmp_path):
    text = talk("probable", "coil").replace("  slot_min:", "  language: de\n  slot_min:")
    storyboard = write_counting_talk(tmp_path, text)
    checked = check_heard(heard_of(compose_show(storyboard, Options(draft=True), no_progress)))
    why = "words are known in English only, not in `de`"
    assert ("strong-word", why) in checked.unchecked
