import docx
import pytest
from openxml_audit import OpenXmlValidator

from slidekit.scene.clock.schedule import Cue, Said, Silence
from slidekit.storyboard.talk import Talk
from slidekit.writers.scripts.docx import write_script_docx
from tests.scene.paper.samples import schedule_of, thumbnail, turn_of

TALK = Talk(title="What the urn holds", speaker="A. Speaker", slot_min=60, language="en-GB")
WORDS = Said("At the foot it is bright."), Cue(1, "the coil"), Said("There."), Silence(2)
SCHEDULE = schedule_of(turn_of(1, WORDS, (Said("More of it."),)), turn_of(2, (Said("Thanks."),)))


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    path = tmp_path_factory.mktemp("docx") / "script.docx"
    write_script_docx(TALK, SCHEDULE, thumbnail, path)
    return path


@pytest.fixture(scope="module")
def document(path):
    return docx.Document(str(path))


def paragraph(document, words: str):
    return next(one for one in document.paragraphs if one.text.startswith(words))


def test_each_slide_begins_a_page_under_its_title(document):
    heads = [one for one in document.paragraphs if one.style.name == "Heading 1"]
    assert [one.text for one in heads] == ["1. Slide 1", "2. Slide 2"]
    assert all(one.paragraph_format.page_break_before for one in heads)


def test_no_paragraph_of_words_is_parted(document):
    words = paragraph(document, "At the foot")
    assert words.text == "At the foot it is bright. [1] There. [2 s] "
    assert words.paragraph_format.keep_together


def test_there_is_a_picture_before_the_first_click_and_after_each(document):
    assert len(document.inline_shapes) == 3
    assert paragraph(document, "[1] the coil")


def test_the_document_says_what_it_is_and_in_which_language(document):
    facts = document.core_properties
    assert (facts.title, facts.author, facts.language) == (TALK.title, "A. Speaker", "en-GB")
    assert facts.comments == facts.last_modified_by == ""


def test_the_package_is_sound(path):
    # openxml-audit: schemas of ECMA-376, and what programs ask beyond them
    assert OpenXmlValidator().validate(path).errors == []


def test_the_same_talk_gives_the_same_bytes(path, tmp_path):
    write_script_docx(TALK, SCHEDULE, thumbnail, tmp_path / "again.docx")
    assert (tmp_path / "again.docx").read_bytes() == path.read_bytes()


def test_a_script_that_runs_to_the_left_says_so_and_is_sound(tmp_path):
    hebrew = Talk(title="הכד", speaker="המרצה", slot_min=60, language="he")
    write_script_docx(hebrew, SCHEDULE, thumbnail, tmp_path / "script.docx")
    normal = docx.Document(str(tmp_path / "script.docx")).styles["Normal"]
    assert normal.element.pPr.find("{*}bidi") is not None
    assert OpenXmlValidator().validate(tmp_path / "script.docx").errors == []
