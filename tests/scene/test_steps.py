"""Clicks spread over slides."""

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.errors import FitError
from slidekit.scene.model import Box, Group, Page, Paragraph, Rect, Run, Text
from slidekit.scene.steps import spread
from slidekit.scene.text import text_height_mm
from slidekit.wording import speak_in

SIZE_MM = (338.667, 190.5)
HEAD = Text(Box(14, 9, 310, 14), (Paragraph((Run("Fill of the urn"),)),), 32, "#FFFFFF", "title")
NUMBER = replace(HEAD, paragraphs=(Paragraph((Run("7"),)),), role="page_number", size_pt=11)


def group(name: str, step: int) -> Group:
    return Group(name, name, (Rect(Box(20, 40, 9, 9)),), step)


def page(*items, id_="fill", **rest) -> Page:
    rest = {"notes": "Look at the charcoal.", "section": "Fill"} | rest
    return Page(
        id_, "Fill of the urn", "title_only", SIZE_MM, "#000000", (HEAD, *items, NUMBER), **rest
    )


def groups_of(one: Page) -> list[str]:
    return [item.name for item in one.items if isinstance(item, Group)]


def words_of(one: Page, role: str) -> list[str]:
    return [item.plain for item in one.items if isinstance(item, Text) and item.role == role]


def test_a_page_without_clicks_stays_as_it_is():
    still = page(group("A", 0))
    assert spread([still]) == (still,)


def test_each_click_adds_its_groups_to_those_before():
    pages = spread([page(group("A", 1), group("scale", 0), group("B", 2), group("C", 2))])
    assert [groups_of(one) for one in pages] == [
        ["scale"],
        ["A", "scale"],
        ["A", "scale", "B", "C"],
    ]


def test_no_click_is_left():
    assert [one.steps for one in spread([page(group("A", 1), group("B", 2))])] == [0, 0, 0]


def test_a_step_number_left_out_makes_no_page_that_repeats_the_one_before():
    pages = spread([page(group("A", 2), group("B", 5))])
    assert [groups_of(one) for one in pages] == [[], ["A"], ["A", "B"]]


def test_titles_count_the_parts_in_the_outline_and_on_the_page():
    pages = spread([page(group("A", 1), group("B", 2))])
    counted = [f"Fill of the urn ({i} of 3)" for i in (1, 2, 3)]
    assert [one.title for one in pages] == counted
    assert [words_of(one, "title") for one in pages] == [[words] for words in counted]


def test_titles_count_in_the_language_of_the_talk():
    speak_in("de-AT")
    pages = spread([page(group("A", 1))])
    assert [one.title for one in pages] == [
        "Fill of the urn (1 von 2)",
        "Fill of the urn (2 von 2)",
    ]
    assert [one.notes for one in pages] == ["Look at the charcoal.", "(Fortsetzung)"]


def test_the_first_page_keeps_id_section_and_notes():
    first, second = spread([page(group("A", 1))])
    assert (first.id, first.section, first.notes) == ("fill", "Fill", "Look at the charcoal.")
    assert (second.id, second.section, second.notes) == ("fill-2", "", "(continued)")


def test_a_page_without_notes_gets_none():
    assert [one.notes for one in spread([page(group("A", 1), notes="")])] == ["", ""]


def test_page_numbers_stay_those_of_the_script():
    pages = spread([page(group("A", 1))])
    assert [words_of(one, "page_number") for one in pages] == [["7"], ["7"]]


def test_the_count_looks_like_the_words_before_it_but_is_no_link():
    runs = (Run("Fill, see "), Run("base", bold=True, link="base"))
    linked = replace(HEAD, paragraphs=(Paragraph(runs),))
    given_page = replace(page(group("A", 1)), items=(linked, group("A", 1)))
    (counted,) = [item for item in spread([given_page])[0].items if isinstance(item, Text)]
    assert counted.paragraphs[0].runs == (*runs, Run(" (1 of 2)", bold=True))


def test_a_title_that_fills_its_line_shrinks_a_little_for_the_count():
    full = replace(HEAD, box=Box(14, 9, 95, 14))
    first, _ = spread([replace(page(), items=(full, group("A", 1)))])
    (counted,) = [item for item in first.items if isinstance(item, Text)]
    assert 0.8 * full.size_pt <= counted.size_pt < full.size_pt
    assert text_height_mm(counted.paragraphs, 95, counted.size_pt) <= 14


def test_a_title_with_no_room_for_the_count_is_named():
    """Two lines of 26 pt are 2 x 1.2 x 26 x 25.4 / 72 = 22.01 mm, and there are 14."""
    full = replace(HEAD, box=Box(14, 9, 82, 14))
    message = (
        "the title of slide fill, followed by (1 of 2), needs 9 mm more height at 26 pt,"
        " the least size that the style allows. Shorten it by about 1 word of its 7."
    )
    with pytest.raises(FitError, match=f"^{re.escape(message)}$"):
        spread([replace(page(), items=(full, group("A", 1)))])


PAGES = st.lists(
    st.builds(
        lambda id_, steps: page(*(group(f"G{i}", step) for i, step in enumerate(steps)), id_=id_),
        st.sampled_from(["a", "a-2", "a-3", "b"]),
        st.lists(st.integers(0, 3), max_size=4),
    ),
    max_size=4,
    unique_by=lambda one: one.id,
)


@given(PAGES)
def test_ids_stay_unique_and_the_last_page_of_a_row_shows_everything(pages):
    parts = spread(pages)
    assert len({one.id for one in parts}) == len(parts)
    assert {one.id for one in pages} <= {one.id for one in parts}
    rows = [
        len({item.step for item in one.items if isinstance(item, Group)} - {0}) + 1 for one in pages
    ]
    assert len(parts) == sum(rows)
    last = -1
    for one, row in zip(pages, rows, strict=True):
        last += row
        assert groups_of(parts[last]) == groups_of(one)
