import pytest

from slidekit.errors import StoryboardError
from slidekit.storyboard.glossary import Term
from slidekit.storyboard.glossing import (
    first_uses,
    glossed_panel,
    glossed_slides,
    needed_by,
    terms_in,
)
from slidekit.storyboard.read import read_storyboard
from slidekit.wording import speak_in
from tests.storyboard.boards import BOARD, complaints, read, spoiled, without_folder, write
from tests.storyboard.names.test_faults import found

GLOSSARY = """\
glossary:
  ply: {term: ply, also: [plies], plain: one layer of cloth}
  voxel: {term: voxel, plain: {student: a box of the scan}}
slides:
"""
FIRST, LATER = "    points: [It is an urn, It is heavy]", "    quote: It is heavy."
SAY = "Look at the base."


def board(*changes: tuple[str, str], audience: str = "general") -> str:
    text = spoiled("slides:\n", GLOSSARY)
    text = spoiled("  language: en-GB", f"  language: en-GB\n  audience: {audience}", text)
    for old, new in changes:
        text = spoiled(old, new, text)
    return text


def glossed(folder, text: str):
    source = read(folder, text)
    return glossed_slides(dict(enumerate(source.slides)), source.board)


def said(folder, words: str, audience: str = "general", language: str = "en-GB") -> str:
    text = board((SAY, words), audience=audience).replace(
        "language: en-GB", f"language: {language}"
    )
    return glossed(folder, text)[0][3].say.split("\n")[0]


def printed(folder, points: str, audience: str = "general") -> tuple[str, ...]:
    text = board((FIRST, f"    points: [{points}]"), audience=audience)
    return glossed(folder, text)[0][1].points


def test_a_term_is_explained_at_its_first_use_and_bare_afterwards(tmp_path):
    assert printed(tmp_path, '"A {ply.term}", "A {ply.term}"') == (
        "A {ply.term} (one layer of cloth)",
        "A {ply.term}",
    )


def test_what_is_printed_is_met_before_what_is_said(tmp_path):
    text = board((SAY, "See the {ply.term}."), ("caption: Seen", 'caption: "{ply.term}. Seen'))
    text = text.replace("from below", 'from below"')
    slide = glossed(tmp_path, text)[0][3]
    assert slide.views[0].caption == "{ply.term} (one layer of cloth). Seen from below"
    assert slide.say.startswith("See the {ply.term}.")


def test_what_is_printed_of_a_slide_and_not_on_it_is_not_met_there(tmp_path):
    text = board((FIRST, '    section: "{ply.term}"\n    points: ["{ply.term}"]'))
    slide = glossed(tmp_path, text)[0][1]
    assert (slide.section, slide.points) == ("{ply.term}", ("{ply.term} (one layer of cloth)",))


def test_what_is_said_is_met_before_the_next_slide(tmp_path):
    text = board((SAY, "See the {ply.term}."), ("title: When,", 'title: "The {ply.term}",'))
    slides, _ = glossed(tmp_path, text)
    assert slides[3].say.startswith("See the {ply.term}, that is one layer of cloth.")
    assert slides[4].title == "The {ply.term}"


def test_a_finding_is_met_where_it_is_shown(tmp_path):
    text = board(("statement: The mouth was closed", 'statement: "A {ply.term} closed it"'))
    _, changed = glossed(tmp_path, text)
    assert changed.findings["sealed"].statement == "A {ply.term} (one layer of cloth) closed it"


@pytest.mark.parametrize(
    ("words", "spoken"),
    [
        ("A {ply.term} lies.", "A {ply.term}, that is one layer of cloth, lies."),
        ("It is a {ply.term}.", "It is a {ply.term}, that is one layer of cloth."),
        ("A {ply.term}, here.", "A {ply.term}, that is one layer of cloth, here."),
        ("A {ply.term} [show coil].", "A {ply.term}, that is one layer of cloth [show coil]."),
        ("({ ply.term })", "({ ply.term }, that is one layer of cloth)"),
        ("Three {ply.plies} lie.", "Three {ply.plies}, ply meaning one layer of cloth, lie."),
        ("{ply.plain}: a {ply.term}.", "{ply.plain}: a {ply.term}."),
        ("{{ply.term}} and {ply}.", "{{ply.term}} and {ply}, that is one layer of cloth."),
    ],
)
def test_plain_words_are_spoken_as_an_aside(tmp_path, words, spoken):
    assert said(tmp_path, words) == spoken


def test_an_aside_is_spoken_in_the_language_of_the_talk(tmp_path):
    speak_in("de")
    assert said(tmp_path, "Die {ply.term} liegt.", language="de") == (
        "Die {ply.term}, das heißt one layer of cloth, liegt."
    )
    assert said(tmp_path, "Die {ply.plies}.", language="de") == (
        "Die {ply.plies}, wobei ply one layer of cloth bedeutet."
    )


def test_a_term_may_be_given_in_several_languages(tmp_path):
    text = board((SAY, "{ply.lagen}."), ("  language: en-GB", "  languages: [en, de]"))
    text = spoiled(
        "{term: ply, also: [plies], plain: one layer of cloth}",
        "{term: {en: ply, de: Lage}, also: {en: [plies], de: [Lagen]},"
        " plain: {en: one layer of cloth, de: eine Schicht Stoff}}",
        text,
    )
    source = read_storyboard(write(tmp_path, text), "de")
    speak_in("de")
    slides, _ = glossed_slides(dict(enumerate(source.slides)), source.board)
    assert slides[3].say.startswith("{ply.lagen}, wobei Lage eine Schicht Stoff bedeutet.")


def test_a_form_is_named_in_the_letters_of_its_language(tmp_path):
    text = board(
        ("{term: ply, also: [plies], plain", "{term: Gefäß, also: [Gefäße], plain"),
        (SAY, "Die {ply.Gefäße} und {ply.gefäße}."),
    )
    source = read(tmp_path, text)
    assert terms_in([source.board.slides[3].say], source.board.glossary) == ("ply",)
    assert source.board.glossary["ply"].form("Gefäße") == "Gefäße"


def test_an_aside_in_a_language_without_phrases_stands_between_dashes(tmp_path):
    assert said(tmp_path, "De {ply.term} ligt.", language="nl") == (
        "De {ply.term} – one layer of cloth – ligt."
    )


def test_brackets_in_plain_words_mean_nothing(tmp_path):
    text = board((SAY, "A {ply.term}.")).replace("one layer of cloth", '"a [b] {c}"')
    assert glossed(tmp_path, text)[0][3].say.startswith("A {ply.term}, that is a [[b]] {{c}}.")


@pytest.mark.parametrize(
    ("audience", "points"),
    [
        ("general", ("A {ply.term} (one layer of cloth)", "A {voxel.term} (a box of the scan)")),
        ("student", ("A {ply.term} (one layer of cloth)", "A {voxel.term} (a box of the scan)")),
        ("specialist", ("A {ply.term}", "A {voxel.term}")),
    ],
)
def test_each_audience_hears_what_is_written_for_it(tmp_path, audience, points):
    assert printed(tmp_path, '"A {ply.term}", "A {voxel.term}"', audience) == points


@pytest.mark.parametrize(
    ("plain", "words"),
    [
        ("a layer", ("a layer", "a layer", "")),
        ({"general": "a layer"}, ("a layer", "", "")),
        ({"student": "a layer"}, ("a layer", "a layer", "")),
        ({"specialist": "a strand"}, ("a strand", "", "a strand")),
        ({"general": "a", "student": "b", "specialist": "c"}, ("a", "b", "c")),
    ],
)
def test_everybody_has_plain_words_and_the_others_only_theirs(plain, words):
    term = Term.model_validate({"term": "ply", "plain": plain})
    said = [term.plain.words_for(who) for who in ("general", "student", "specialist")]
    assert tuple(said) == words


def test_a_panel_explains_its_terms_for_who_passes_by(tmp_path):
    text = board(("body: [It holds a coil.]", 'body: ["A {ply.term}.", "{ply.plies}"]'))
    text = text.replace("audience: general", "audience: specialist")
    source = read(tmp_path, text)
    panel, _ = glossed_panel(source.board.panels["poster"], source.board)
    assert panel.body == ("A {ply.term} (one layer of cloth).", "{ply.plies}")


def test_terms_are_found_in_any_form_and_only_as_whole_words(tmp_path):
    glossary = read(tmp_path, board()).board.glossary
    assert terms_in(["Two Plies lie."], glossary) == ("ply",)
    assert terms_in(["{voxel.term}"], glossary) == ("voxel",)
    assert terms_in(["He replied. [show plies] {plies.mark}"], glossary) == ()


def test_the_slide_that_uses_a_term_first_is_known(tmp_path):
    text = board((LATER, "    quote: Two plies."), (SAY, "See the {ply.term} and a voxel."))
    source = read(tmp_path, text)
    assert first_uses(source.slides, source.board) == {"ply": (3, "diary"), "voxel": (4, "coil")}


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            SAY,
            "A {ply.sheet}.",
            "63: slides[3].say: {ply.sheet} is not known. Write one of {ply.plies}, {ply.term},"
            " {ply.plain}.",
        ),
        (
            "  voxel: {term: voxel,",
            "  voxel: {term: voxel, also: [Ply],",
            "33: glossary.voxel: `Ply` is also a form of the term `ply`. Explain it once, or leave"
            " the form out of one.",
        ),
        (
            "{id: thanks, kind: credits, title: Credits, points: [The diggers]}",
            "{id: words_used, kind: glossary, title: Words, terms: [pli]}",
            "68: slides[6].terms[0]: there is no term `pli`. Write `ply` if you mean that; the"
            " terms are ply, voxel.",
        ),
    ],
)
def test_terms_that_lead_nowhere_are_told(tmp_path, old, new, message):
    (told,) = found(tmp_path, board((old, new)))
    assert told.split(": ", 1)[1] == message.split(": ", 1)[1]


def test_a_term_that_explains_nothing_is_refused(tmp_path):
    assert complaints(tmp_path, board(("plain: {student: a box of the scan}", "plain: {}"))) == [
        "talk.yaml:33: glossary.voxel.plain: explains nothing. Write plain words, as in `one layer"
        " of cloth`."
    ]


BORROWER = """\
talk: {title: For students, slot_min: 5, audience: student}
borrow: {full: full.yaml}
slides:
  - {kind: borrowed, origin: full, slide: diary}
"""


@pytest.mark.parametrize("quote", ["Two plies.", '"A {ply.term}."'])
def test_a_borrowed_slide_brings_the_terms_that_it_names_or_uses(tmp_path, quote):
    write(tmp_path, board((LATER, f"    quote: {quote}")), "full.yaml")
    source = read_storyboard(write(tmp_path, BORROWER))
    assert list(source.board.glossary) == ["ply"]


def test_one_name_for_two_terms_is_told(tmp_path):
    write(tmp_path, board((LATER, "    quote: Two plies.")), "full.yaml")
    own = "glossary: {ply: {term: ply, plain: a sheet}}\nslides:"
    with pytest.raises(StoryboardError) as raised:
        read_storyboard(write(tmp_path, BORROWER.replace("slides:", own)))
    (told,) = without_folder(raised.value, tmp_path)
    assert "glossary.ply: is not the same in full.yaml:" in told


PROGRAMME = """\
programme:
  title: Urns
  begins: "14:00"
  items:
    - {talk: first, storyboard: first.yaml}
    - {talk: second, storyboard: second.yaml}
"""


def in_programme(folder, first_words: str):
    """The second of two talks; the first one says the words."""
    write(folder, PROGRAMME, "evening.yaml")
    named = ("  language: en-GB", "  language: en-GB\n  programme: evening.yaml")
    write(folder, board((SAY, first_words), named), "first.yaml")
    second = board((SAY, "A {ply.term} and a {voxel.term}."), named)
    return read_storyboard(write(folder, second, "second.yaml"))


def test_a_term_that_an_earlier_talk_explains_is_explained_once(tmp_path):
    source = in_programme(tmp_path, "A {ply.term}.")
    slides, _ = glossed_slides(dict(enumerate(source.slides)), source.board, source.explained)
    assert slides[3].say.startswith("A {ply.term} and a {voxel.term}, that is a box of the scan.")
    assert needed_by("general", source.board, source.explained) == {"voxel"}


def test_a_term_that_an_earlier_talk_only_uses_is_explained_here(tmp_path):
    source = in_programme(tmp_path, "Two plies.")
    assert source.explained == frozenset()


def test_the_board_of_these_tests_is_the_common_one():
    assert all(one in BOARD for one in (FIRST, LATER, SAY))
