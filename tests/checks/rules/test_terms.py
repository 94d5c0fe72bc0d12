import pytest

from slidekit.build import Options, build_talk, compose_show
from slidekit.checks.talk import check_heard
from slidekit.errors import StoryboardError
from slidekit.panels import build_panels
from slidekit.review import heard_of
from tests.storyboard.boards import spoiled
from tests.talks import TALK, no_progress, write_talk

GLOSSARY = "glossary:\n  spiral: {term: spiral, also: [spirals], plain: a wound wire}\nslides:\n"


def talk(*changes: tuple[str, str]) -> str:
    text = spoiled("slides:\n", GLOSSARY, TALK)
    for old, new in changes:
        text = spoiled(old, new, text)
    return text


def remarks(folder, text: str) -> list[str]:
    show = compose_show(write_talk(folder, text), Options(draft=True), no_progress)
    checked = check_heard(heard_of(show))
    found = [str(one) for one in checked.remarks if "unexplained-term" in str(one)]
    return [
        one.replace(f"{folder}/", "").replace(" warning: unexplained-term:", "") for one in found
    ]


SAY = "Something is bright."
CAPTION = "regions: [coil], caption: Section through the base}\n      -"
PANEL = "views: [{view: base, regions: [coil], caption"
NO_KEY = (PANEL, PANEL.replace("regions: [coil], ", ""))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (
            (SAY, "A spiral is bright."),
            "A spiral is bright: “spiral” is met here first, and nothing explains it to a general"
            " audience: write {spiral.term}",
        ),
        (
            (CAPTION, CAPTION.replace("Section", "Two Spirals")),
            "  - id: base: “Spirals” is met here first, and nothing explains it to a general"
            " audience: write {spiral.spirals}",
        ),
        (
            ("called: the coil", "called: the spiral"),
            "  - id: base: “spiral” is met here first, and nothing explains it to a general"
            " audience: write {spiral.term}",
        ),
        (
            ("body: [Near the base lies a coil of wire.]", "body: [A spiral.]"),
            "  coil:\n    size_mm: “spiral” is met here first, and nothing explains it to a general"
            " audience: write {spiral.term}",
        ),
    ],
)
def test_a_term_met_unexplained_is_told_where_it_stands(tmp_path, change, message):
    text = talk(change, NO_KEY)
    anchor, said = message.split(": “")
    line = text[: text.index(anchor)].count("\n") + 1
    assert remarks(tmp_path, text) == [f"talk.yaml:{line}: “{said}"]


@pytest.mark.parametrize(
    "words", ["A {spiral.term} is bright. A spiral!", "A spiral (a wound wire) is bright."]
)
def test_a_term_that_is_explained_may_stand_bare_afterwards(tmp_path, words):
    assert remarks(tmp_path, talk((SAY, words))) == []


def test_a_term_in_the_key_may_be_explained_in_the_words_of_its_slide(tmp_path):
    text = talk(("called: the coil", "called: the spiral"), (SAY, "A {spiral.term}."), NO_KEY)
    assert remarks(tmp_path, text) == []


def test_plain_words_may_be_set_off(tmp_path):
    text = talk((SAY, "A {spiral.term}.")).replace("a wound wire}", "'a *wound* [wire]'}")
    assert remarks(tmp_path, text) == []
    title = ("title: A coil lies near the base", 'title: "A {spiral.term} lies near the base"')
    assert remarks(tmp_path, talk(title).replace("a wound wire}", "'a *wound* wire'}")) == []


def test_a_term_met_twice_is_told_once(tmp_path):
    assert len(remarks(tmp_path, talk((SAY, "A spiral. A spiral.")))) == 1


def test_an_audience_without_plain_words_needs_none(tmp_path):
    text = talk((SAY, "A spiral."), ("  slot_min: 2", "  slot_min: 2\n  audience: specialist"))
    assert remarks(tmp_path, text) == []


def test_terms_of_the_credits_are_no_matter(tmp_path):
    text = talk(("title: Credits}", "title: Credits, points: [Spirals by nobody]}"))
    assert remarks(tmp_path, text) == []


def test_what_is_explained_is_spoken_printed_and_timed(tmp_path):
    text = talk((SAY, "A {spiral.term} is bright."))
    bare = write_talk(tmp_path / "bare", text.replace("{spiral.term}", "spiral"))
    before = compose_show(bare, Options(), no_progress)
    show, _ = build_talk(write_talk(tmp_path, text), tmp_path / "out", Options(), no_progress)
    script = (tmp_path / "out" / "script.md").read_text(encoding="utf-8")
    assert "A spiral, that is a wound wire, is bright." in script
    assert show.schedule.words == before.schedule.words + 5


def test_a_glossary_slide_lists_the_terms_that_were_used(tmp_path):
    page = "  - {id: words, kind: glossary, title: Words}\n  - {id: credits"
    text = talk((SAY, "A {spiral.term} is bright."), ("  - {id: credits", page))
    show, _ = build_talk(write_talk(tmp_path, text), tmp_path / "out", Options(), no_progress)
    (words,) = (one.page for one in show.told if one.slide.id == "words")
    entry = "spiral – a wound wire\N{NO-BREAK SPACE}·\N{NO-BREAK SPACE}slide\N{NO-BREAK SPACE}2"
    assert entry in [text.plain for text in words.texts]


def test_plain_words_that_do_not_fit_are_told(tmp_path):
    long = "a wound wire " * 60
    text = talk(("title: A coil lies near the base", 'title: "A {spiral.term} lies near the base"'))
    text = text.replace("plain: a wound wire", f"plain: {long}")
    with pytest.raises(StoryboardError, match=r"slides\[1\]: the title needs \d+ mm more height"):
        compose_show(write_talk(tmp_path, text), Options(draft=True), no_progress)


def test_a_panel_explains_its_own_terms(tmp_path):
    text = talk(("body: [Near the base lies a coil of wire.]", 'body: ["A {spiral.term}."]'))
    assert remarks(tmp_path, text) == []
    build_panels(tmp_path / "talk.yaml", tmp_path / "out", None, no_progress)
    pdf = (tmp_path / "out" / "coil.pdf").read_bytes()
    assert pdf.startswith(b"%PDF")
