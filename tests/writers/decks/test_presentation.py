"""Sections, notes and the notes master's entry in the presentation part."""

import uuid

from hypothesis import given
from hypothesis import strategies as st
from pptx import Presentation

from slidekit.writers.decks.presentation import section_starts
from tests.writers.deck_samples import NS, audit, page, part, written


def sections_of(path):
    """Name and slide ids of each section."""
    found = part(path, "ppt/presentation.xml").iterfind(".//p14:section", NS)
    return [
        (section.get("name"), [entry.get("id") for entry in section.iter("{*}sldId")])
        for section in found
    ]


def test_a_section_runs_to_the_next_and_every_slide_is_in_one(tmp_path):
    pages = [page(f"p{i}", section=name) for i, name in enumerate(["A", "", "B & <c>", "", ""])]
    path = written(tmp_path, pages)
    assert sections_of(path) == [("A", ["256", "257"]), ("B & <c>", ["258", "259", "260"])]
    assert audit(path) == []


def test_slides_before_the_first_section_form_one_named_after_the_talk(tmp_path):
    pages = [page("p0"), page("p1", section="A")]
    assert sections_of(written(tmp_path, pages)) == [("Inside the urn", ["256"]), ("A", ["257"])]


def test_a_section_named_again_at_once_goes_on(tmp_path):
    pages = [page("p0", section="A"), page("p1", section="A"), page("p2", section="B")]
    assert [name for name, _ in sections_of(written(tmp_path, pages))] == ["A", "B"]


def test_a_deck_without_sections_lists_none(tmp_path):
    assert sections_of(written(tmp_path, [page("p0"), page("p1")])) == []


def test_section_ids_differ_and_are_guids(tmp_path):
    pages = [page(f"p{i}", section=f"S{i % 2}") for i in range(4)]
    found = part(written(tmp_path, pages), "ppt/presentation.xml").iterfind(".//p14:section", NS)
    ids = {uuid.UUID(section.get("id")) for section in found}
    assert len(ids) == 4


@given(st.lists(st.sampled_from(["", "A", "B"]), min_size=1, max_size=9))
def test_sections_start_at_the_first_slide_or_not_at_all(names):
    starts = section_starts([page(f"p{i}", section=name) for i, name in enumerate(names)], "Talk")
    assert (0 in starts) == any(names)
    assert list(starts) == sorted(starts)


def test_notes_keep_their_paragraphs_signs_and_language(tmp_path):
    words = "See <this> & that.\n\nThen \x07click."
    path = written(tmp_path, [page("p0", notes=words, language="fr")])
    notes = Presentation(str(path)).slides[0].notes_slide
    assert notes.notes_text_frame.text == "See <this> & that.\n\nThen click."
    root = part(path, "ppt/notesSlides/notesSlide1.xml")
    assert {node.get("lang") for node in root.iter("{*}rPr", "{*}endParaRPr")} == {"fr"}


def test_notes_stand_at_their_own_slide_when_others_have_none(tmp_path):
    pages = [page("p0"), page("p1", notes="One"), page("p2"), page("p3", notes="Three")]
    slides = Presentation(str(written(tmp_path, pages))).slides
    found = [s.notes_slide.notes_text_frame.text if s.has_notes_slide else "" for s in slides]
    assert found == ["", "One", "", "Three"]


def test_the_notes_master_is_listed_right_after_the_slide_masters(tmp_path):
    """ECMA-376 Part 1, 19.2.1.26: the order of the children of p:presentation."""
    root = part(written(tmp_path, [page("p0", notes="One")]), "ppt/presentation.xml")
    names = [child.tag.partition("}")[2] for child in root]
    assert names[:3] == ["sldMasterIdLst", "notesMasterIdLst", "sldIdLst"]


def test_slide_ids_start_where_the_format_lets_them(tmp_path):
    """ST_SlideId: 256 or more; ST_SlideMasterId and ST_SlideLayoutId: 2 147 483 648 or more."""
    path = written(tmp_path, [page("p0"), page("p1")])
    root = part(path, "ppt/presentation.xml")
    assert [entry.get("id") for entry in root.iterfind("p:sldIdLst/p:sldId", NS)] == ["256", "257"]
    master = part(path, "ppt/slideMasters/slideMaster1.xml")
    ids = [int(entry.get("id")) for entry in master.iterfind("p:sldLayoutIdLst/*", NS)]
    ids += [int(entry.get("id")) for entry in root.iterfind("p:sldMasterIdLst/*", NS)]
    assert min(ids) == 2**31
    assert len(set(ids)) == 5
