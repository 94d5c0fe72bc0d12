from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.scene.glossary import Entry
from slidekit.scene.model import Polyline, Text
from slidekit.scene.paper.back_matter import Chapter, chapters_of, compose_back_matter
from slidekit.scene.paper.sheet import CONTENT
from slidekit.scene.text import paragraphs_of

TERMS = (Entry("ply", "one layer of cloth"), Entry("voxel", "a box of the scan"))
CREDITS = (("Sources", "Moor (2019)."), ("Pictures", "CT of an urn. CC0."), ("Sources", "Rill."))


def words(sheets) -> list[list[str]]:
    return [[item.plain for item in sheet if isinstance(item, Text)] for sheet in sheets]


def test_terms_come_first_then_the_credits_list_by_list_then_the_cautions():
    chapters = list(chapters_of(TERMS, CREDITS))
    headings = [chapter.heading for chapter in chapters]
    assert headings == ["Terms", "Sources", "Pictures", "A word of caution"]
    (sheet,) = words(compose_back_matter(chapters))
    assert sheet[:5] == [
        "Terms",
        "ply: one layer of cloth",
        "voxel: a box of the scan",
        "Sources",
        "Moor (2019).",
    ]
    assert "not for diagnosis" in sheet[-3]


def test_a_talk_without_terms_has_no_list_of_them():
    assert [one.heading for one in chapters_of((), ())] == ["A word of caution"]


entries = st.lists(st.text("abc de", min_size=3, max_size=600).filter(str.strip), min_size=1)


@settings(max_examples=20, deadline=None)
@given(st.lists(entries, min_size=1, max_size=4))
def test_everything_stands_inside_the_sheets_once_and_no_heading_stands_last(lists):
    chapters = [Chapter(f"List {n}", paragraphs_of(one)) for n, one in enumerate(lists)]
    sheets = list(compose_back_matter(chapters))
    for sheet in sheets:
        for item in sheet:
            if isinstance(item, Text):
                assert item.box.bottom_mm <= CONTENT.bottom_mm + 1e-6
        assert not isinstance(sheet[-1], Polyline)  # the rule under a heading
    printed = [text for sheet in words(sheets) for text in sheet]
    for chapter in chapters:
        assert printed.count(chapter.heading) >= 1
    written = [entry.plain for chapter in chapters for entry in chapter.entries]
    assert [text for text in printed if text in written] == written
