import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.scene.fonts import first_baseline_em, kerned_width_em, line_pitch_em
from slidekit.scene.model import Box, Paragraph, Run, Text
from slidekit.scene.text import (
    BULLET,
    bullet_indent_mm,
    paragraphs_of,
    text_height_mm,
)
from slidekit.scene.type_units import MM_PER_PT
from slidekit.scene.typeset import set_lines

INK = "#FFFFFF"
BOX = Box(10, 20, 100, 60)


def text(words="one two", box=BOX, **look):
    bullet = look.pop("bullet", False)
    return Text(box, paragraphs_of(words, bullet=bullet), 24, INK, "body", **look)


def em(size_pt=24):
    return size_pt * MM_PER_PT


def test_the_first_baseline_leaves_equal_room_above_and_below_the_letters():
    # ascent 0.905 and descent 0.212 em of Arial's hhea table, pitch 1.20
    above = first_baseline_em() - 0.905
    below = 1.20 - first_baseline_em() - 0.212
    assert above == pytest.approx(below, abs=1e-3)


@pytest.mark.parametrize(
    ("anchor", "top"),
    [
        ("top", 20),
        ("middle", 20 + 30 - line_pitch_em() * 24 * MM_PER_PT / 2),
        ("bottom", 80 - line_pitch_em() * 24 * MM_PER_PT),
    ],
)
def test_a_text_stands_at_its_anchor(anchor, top):
    [line] = set_lines(text(anchor=anchor))
    assert line.baseline_mm == pytest.approx(top + first_baseline_em() * em())


@pytest.mark.parametrize(("align", "share"), [("left", 0), ("center", 0.5), ("right", 1)])
def test_a_line_is_aligned_by_its_drawn_width_within_the_insets(align, share):
    [line] = set_lines(text(align=align, inset_mm=(5, 2)))
    width = kerned_width_em("one two", "Regular") * em()
    assert line.width_mm == pytest.approx(width)
    assert line.left_mm == pytest.approx(15 + share * (90 - width))
    assert line.baseline_mm == pytest.approx(22 + first_baseline_em() * em())


def test_runs_follow_each_other_without_a_gap():
    [line] = set_lines(text("AV *oval* red"))
    first, second, third = line.runs
    assert (first.face, second.face, third.face) == ("Regular", "Italic", "Regular")
    assert second.left_mm == pytest.approx(10 + kerned_width_em("AV ", "Regular") * em())
    assert third.left_mm == pytest.approx(second.left_mm + kerned_width_em("oval", "Italic") * em())


def test_a_run_without_colour_takes_that_of_its_text():
    runs = (Run("a"), Run("b", color="#FF9524"))
    [line] = set_lines(Text(BOX, (Paragraph(runs),), 24, INK, "key"))
    assert [run.color for run in line.runs] == [INK, "#FF9524"]


def test_a_bullet_stands_at_the_edge_and_its_words_hang():
    box = Box(10, 20, 40, 60)
    bullet, *lines = set_lines(text("some long words", box, bullet=True, align="center"))
    assert (bullet.plain, bullet.left_mm) == (BULLET, 10)
    assert bullet.baseline_mm == lines[0].baseline_mm
    assert len(lines) > 1
    assert {line.left_mm for line in lines} == {10 + bullet_indent_mm(24)}


def test_space_before_counts_between_paragraphs_only():
    one, two = (Paragraph((Run(word),), space_before_pt=12) for word in ("one", "two"))
    first, second = set_lines(Text(BOX, (one, two), 24, INK, "body"))
    assert first.baseline_mm == pytest.approx(20 + first_baseline_em() * em())
    assert second.baseline_mm - first.baseline_mm == pytest.approx(
        (24 * line_pitch_em() + 12) * MM_PER_PT
    )


def test_an_empty_paragraph_is_a_blank_line():
    paragraphs = (*paragraphs_of("one"), Paragraph(()), *paragraphs_of("two"))
    first, second = set_lines(Text(BOX, paragraphs, 24, INK, "body"))
    assert second.baseline_mm - first.baseline_mm == pytest.approx(2 * line_pitch_em() * em())


@given(
    st.lists(st.text("abcd WVA-é", min_size=1, max_size=60), min_size=1, max_size=4),
    st.floats(40, 200),
    st.booleans(),
)
@settings(max_examples=100)
def test_letters_stay_within_a_box_of_the_height_that_was_asked_for(words, width, bullet):
    paragraphs = paragraphs_of(words, bullet=bullet)
    box = Box(0, 0, width, text_height_mm(paragraphs, width, 24))
    for line in set_lines(Text(box, paragraphs, 24, INK, "body", anchor="middle")):
        assert line.left_mm >= -1e-9
        assert line.left_mm + line.width_mm <= width + 1e-6
        assert line.baseline_mm - 0.905 * em() >= -1e-6
        assert line.baseline_mm + 0.212 * em() <= box.height_mm + 1e-6
