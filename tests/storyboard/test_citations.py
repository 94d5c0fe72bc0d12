import json
import re

import pytest

from slidekit.errors import StoryboardError
from slidekit.storyboard.citations import Citations
from slidekit.storyboard.names.faults import find_name_faults
from slidekit.storyboard.needs import cited_in, cited_on_slides
from slidekit.storyboard.read import read_storyboard
from slidekit.storyboard.tallies import count_up
from tests.storyboard.boards import write

BIB = "@book{Moor2019,\n  title = {Urns}, author = {Moor, Anna}, year = 2019}\n"
TALK = """\
talk: {title: T, slot_min: 5}
sources:
  handbook: {file: reading.bib, entry: Moor2019, page: "112"}
  diary: {type: manuscript, title: Field diary, issued: 1931, page: ninth day}
quoted:
  survey: {percent: 9.2, n: 76, source: handbook}
findings:
  old: {statement: It is old, certainty: probable, evidence: [handbook]}
slides:
  - {id: a, kind: text, title: A, points: ["After {handbook}"], say: "{diary} tells it."}
  - {id: b, kind: quote, title: B, quote: We stopped., source: diary}
  - {id: c, kind: text, title: C, points: ["{survey} ({survey.source})"]}
  - {id: d, kind: findings, title: D, findings: [old]}
panels:
  wall: {size_mm: [420, 594], headline: H, body: ["See {handbook}."], views: [{view: v}]}
"""
NO_PANEL, _ = TALK.split("panels:")


def read(folder, text=TALK, bib=BIB):
    write(folder, bib, "reading.bib")
    return read_storyboard(write(folder, text))


def refusal(folder, text=TALK, bib=BIB) -> str:
    source = read(folder, text, bib)
    with pytest.raises(StoryboardError) as refused:
        count_up(source)
    return str(refused.value).replace(f"{folder}/", "")


@pytest.fixture
def citations(tmp_path) -> Citations:
    return count_up(read(tmp_path)).citations


def test_sources_come_from_a_file_or_are_described_on_the_spot(citations):
    assert citations.say("handbook", "") == "Moor 2019, 112"
    assert citations.say("diary", "") == "“Field diary” 1931, ninth day"


@pytest.mark.parametrize(
    ("part", "printed", "spoken"),
    [
        ("cite", "Moor 2019, 112", "Moor, 2019"),
        ("author", "Moor", "Moor"),
        ("year", "2019", "2019"),
        ("title", "Urns", "Urns"),
        ("page", "112", "112"),
    ],
)
def test_every_part_can_be_printed_and_said(citations, part, printed, spoken):
    assert citations.say("handbook", part) == printed
    assert citations.say("handbook", part, aloud=True) == spoken


def test_a_source_field_may_name_a_source(tmp_path):
    tallies = count_up(read(tmp_path))
    assert tallies.say("survey", "source") == "Moor 2019, 112"
    assert tallies.say("survey", "source", aloud=True) == "Moor, 2019"
    assert read(tmp_path).slides[1].source == "{diary}"


def test_what_slides_print_say_and_rest_on_is_cited(tmp_path):
    board = read(tmp_path).board
    assert cited_on_slides(board) == {"handbook", "diary"}
    assert cited_in(board.panels["wall"], board) == {"handbook"}
    only_finding = board.model_copy(update={"slides": board.slides[3:]})
    assert cited_on_slides(only_finding) == {"handbook"}


def test_a_finding_may_rest_on_a_source_that_its_own_slide_names(tmp_path):
    source = read(tmp_path, NO_PANEL)
    assert find_name_faults(source, marks=["blue"], windows=[], style_name="x") == ()


def test_years_are_told_in_the_era_and_language_of_the_talk(tmp_path):
    text = TALK.replace("slot_min: 5", "slot_min: 5, language: de").replace("1931", "43 BCE")
    text += "chronology: {era: BC/AD}\n"
    assert count_up(read(tmp_path, text)).citations.say("diary", "year") == "43 v. Chr."


def test_csl_json_is_read_as_well(tmp_path):
    items = [{"id": "Moor2019", "type": "book", "title": "Urns", "author": [{"family": "Moor"}]}]
    write(tmp_path, json.dumps(items), "reading.json")
    tallies = count_up(read(tmp_path, TALK.replace("reading.bib", "reading.json")))
    assert tallies.say("handbook", "") == "Moor n.d., 112"


FAULTS = {
    "no file": (
        ("reading.bib", "readin.bib"),
        "talk.yaml:3: sources.handbook.file: the bibliography cannot be read: there is no such"
        " file. Write its path, seen from the storyboard.",
    ),
    "no bibliography": (
        ("reading.bib", "reading.txt"),
        "talk.yaml:3: sources.handbook.file: `reading.txt` is no bibliography. Name a BibTeX file"
        " (.bib) or a CSL-JSON file (.json).",
    ),
    "no entry": (
        ("Moor2019,", "moor2019,"),
        "talk.yaml:3: sources.handbook.entry: there is no entry `moor2019` in reading.bib."
        " Write `Moor2019`.",
    ),
    "nothing like it": (
        ("Moor2019,", "Lee2019,"),
        "talk.yaml:3: sources.handbook.entry: there is no entry `Lee2019` in reading.bib. Its"
        " entries are Moor2019.",
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_what_is_not_there_is_told(tmp_path, name):
    (old, new), message = FAULTS[name]
    assert refusal(tmp_path, TALK.replace(old, new)) == message


def test_a_work_without_a_title_is_told_with_its_line_in_the_bibliography(tmp_path):
    assert refusal(tmp_path, bib=BIB.replace("title = {Urns}, ", "")) == (
        "reading.bib:1: Moor2019: has no title. Write its `title`, or what it is called."
    )


def test_json_that_is_none_is_told_with_its_line(tmp_path):
    write(tmp_path, '[\n {"id": }]', "reading.json")
    assert refusal(tmp_path, TALK.replace("reading.bib", "reading.json")).startswith(
        "reading.json:2: bibliography: the file is not JSON: Expecting value."
    )


WRONG = {
    "neither": (
        "{page: 3}",
        "sources.it: does not say what is cited. Write `file` and `entry`, or describe it with"
        " `type` and `title`.",
    ),
    "no entry": (
        "{file: a.bib}",
        "sources.it: does not say which entry of the file. Add `entry:` with its key.",
    ),
    "both": (
        "{file: a.bib, entry: a, title: T}",
        "sources.it: has `title` beside `file`. Remove it: the file says it.",
    ),
    "no date": (
        "{type: book, title: T, issued: next year}",
        "sources.it.issued: 'next year' is not a date that can be read.",
    ),
    "no name": (
        "{type: book, title: T, author: [{given: Anna}]}",
        "sources.it.author[0]: needs `family` or `literal`, and not both. Write one of them.",
    ),
    "misspelt": (
        "{type: book, title: T, publisher_place: N}",
        "sources.it.publisher_place: is not a field here. Write `publisher-place` if you mean"
        " that.",
    ),
    "no type": (
        "{type: booklet, title: T}",
        "sources.it.type: `booklet` is not allowed",
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_a_source_that_cannot_be_is_told(tmp_path, name):
    written, message = WRONG[name]
    text = f"talk: {{title: T, slot_min: 5}}\nsources:\n  it: {written}\nslides: []\n"
    with pytest.raises(StoryboardError) as refused:
        read(tmp_path, text)
    assert f"talk.yaml:3: {message}" in str(refused.value)


NAMES = {
    "{handbok}": "there is no",
    "{handbook.pages}": "{handbook.pages} is not known. Write one of {handbook.cite},"
    " {handbook.author}, {handbook.year}, {handbook.title}, {handbook.page}",
}


@pytest.mark.parametrize("written", NAMES)
def test_a_citation_that_leads_nowhere_is_told(tmp_path, written):
    source = read(tmp_path, NO_PANEL.replace("{diary} tells", f"{written} tells"))
    (fault,) = find_name_faults(source, marks=["blue"], windows=[], style_name="x")
    assert re.search(re.escape(NAMES[written]), str(fault))


def test_a_source_that_is_nearly_a_name_is_told(tmp_path):
    text = NO_PANEL.replace("source: diary", "source: dairy")
    (fault,) = find_name_faults(read(tmp_path, text), marks=[], windows=[], style_name="x")
    assert (fault.field, fault.wrong, fault.instead) == (
        "slides[1].source",
        "there is no source `dairy`",
        "Write `diary` if you mean that, or the source in words",
    )


def test_a_borrowed_slide_brings_its_sources(tmp_path):
    (tmp_path / "full").mkdir()
    read(tmp_path / "full", NO_PANEL)
    source = read_storyboard(
        write(
            tmp_path,
            "talk: {title: T, slot_min: 5}\nborrow: {full: full/talk.yaml}\nslides:\n"
            "  - {kind: borrowed, origin: full, slide: c}\n",
        )
    )
    assert list(source.board.sources) == ["handbook"]
    assert count_up(source).say("survey", "source") == "Moor 2019, 112"
