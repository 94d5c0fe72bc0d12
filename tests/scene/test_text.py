import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import FitError
from slidekit.scene.fonts import FONT_FILES, advances_em, kerned_width_em, line_pitch_em
from slidekit.scene.lettering.breaks import unbroken
from slidekit.scene.lettering.files import Face
from slidekit.scene.model import Box, Paragraph, Run
from slidekit.scene.style import Size
from slidekit.scene.text import (
    TextLook,
    bullet_indent_mm,
    cut_runs,
    drawn_height_mm,
    fit_size_pt,
    line_width_mm,
    paragraphs_of,
    place_text,
    text_height_mm,
    wrap_lines,
)
from slidekit.scene.type_units import MM_PER_PT

# Advance widths of Helvetica in thousandths of an em, from its published Adobe font metrics
# (AFM, core 14 fonts), whose widths Arial shares: from memory.
HELVETICA = [
    pytest.param("Regular", " ", 278, id="space"),
    pytest.param("Regular", "A", 667, id="A"),
    pytest.param("Regular", "W", 944, id="W"),
    pytest.param("Regular", "a", 556, id="a"),
    pytest.param("Regular", "i", 222, id="i"),
    pytest.param("Regular", "0", 556, id="zero"),
    pytest.param("Regular", "—", 1000, id="em dash"),
    pytest.param("Bold", "a", 556, id="bold a"),
    pytest.param("Bold", "i", 278, id="bold i"),
    pytest.param("Bold", "W", 944, id="bold W"),
    pytest.param("Italic", "m", 833, id="oblique m"),
    pytest.param("BoldItalic", "m", 889, id="bold oblique m"),
]

words = st.text("abcdeghimnoprstuwäé-–/ABMW015", min_size=1, max_size=14)
sentences = st.lists(words, min_size=1, max_size=12).map(" ".join)
runs = st.builds(Run, sentences, st.booleans(), st.booleans())
paragraphs = st.builds(
    Paragraph,
    st.lists(runs, min_size=1, max_size=3).map(tuple),
    st.booleans(),
    st.sampled_from([0.0, 6.0]),
)
texts = st.lists(paragraphs, min_size=1, max_size=3).map(tuple)
widths = st.floats(12, 300)
sizes = st.integers(8, 60).map(float)


@pytest.mark.parametrize(("face", "letter", "thousandths"), HELVETICA)
def test_letters_are_as_wide_as_helvetica(face, letter, thousandths):
    assert 1000 * advances_em(letter, face)[0] == pytest.approx(thousandths, abs=0.6)


@pytest.mark.parametrize("face", FONT_FILES)
@given(text=sentences)
@settings(max_examples=25)
def test_kerning_never_widens_a_line(face: Face, text):
    assert kerned_width_em(text, face) <= sum(advances_em(text, face)) + 1e-9


def test_kerning_pulls_capital_a_and_v_together():
    assert kerned_width_em("AV", "Regular") < sum(advances_em("AV", "Regular")) - 0.05


def test_width_grows_with_size_and_with_bold():
    # 3 letters of 0.556 em at 72 pt, one inch
    assert line_width_mm("aaa", 72) == pytest.approx(3 * 0.556 * 25.4, abs=0.02)
    assert line_width_mm("fill", 20, bold=True) > line_width_mm("fill", 20)


def test_a_letter_that_the_font_lacks_is_named():
    with pytest.raises(
        FitError,
        match=r"^the letters have no glyph for '漢' \(U\+6F22, cjk unified ideograph-6f22\) in "
        r"'urn 漢'\. Write it with other letters or leave it out, or name a font that has "
        r"them in the style: `fonts: \{family: \"Its Name\", regular: FILE\.ttf, "
        r"bold: FILE\.ttf\}`\.$",
    ):
        line_width_mm("urn 漢", 20)


def test_a_tab_is_no_letter():
    with pytest.raises(
        FitError, match=r"^the letters have no glyph for '\\t' \(U\+0009, a control"
    ):
        advances_em("a\tb", "Regular")


def plain(line: tuple[Run, ...]) -> str:
    return "".join(run.text for run in line)


def test_lines_break_at_spaces_and_after_dashes_between_letters():
    [paragraph] = paragraphs_of("charcoal-rich band of gravel/sand")
    lines = wrap_lines(paragraph, line_width_mm("charcoal-x", 20), 20)
    assert [plain(line) for line in lines] == ["charcoal-", "rich band", "of gravel/", "sand"]


def test_a_dash_between_figures_or_before_one_ends_no_line():
    [paragraph] = paragraphs_of("1300–1200 -500 and/or")
    lines = wrap_lines(paragraph, line_width_mm("1300–1200", 20), 20)
    assert [plain(line) for line in lines] == ["1300–1200", "-500 and/", "or"]


def test_a_no_break_space_ends_no_line():
    [paragraph] = paragraphs_of("about 12\u00a0mm")
    lines = wrap_lines(paragraph, line_width_mm("about 12", 20), 20)
    assert [plain(line) for line in lines] == ["about", "12\u00a0mm"]


def test_an_accent_stays_with_its_letter_when_a_word_is_cut():
    paragraph = Paragraph((Run("xe\u0301xe\u0301"),))
    lines = wrap_lines(paragraph, line_width_mm("xe", 20) * 0.99, 20)
    assert [plain(line) for line in lines] == ["x", "e\u0301", "x", "e\u0301"]


def test_a_bulleted_paragraph_has_its_indent_less_room():
    bullet, none = (paragraphs_of("one two", bullet=b)[0] for b in (True, False))
    width = line_width_mm("one two", 20) + bullet_indent_mm(20) / 2
    assert (len(wrap_lines(bullet, width, 20)), len(wrap_lines(none, width, 20))) == (2, 1)


def test_an_empty_paragraph_is_one_empty_line():
    assert wrap_lines(Paragraph(()), 50, 20) == ((),)
    assert text_height_mm((Paragraph(()),), 50, 20) == pytest.approx(
        20 * line_pitch_em() * MM_PER_PT
    )


@given(paragraphs, widths, sizes)
@settings(max_examples=150)
def test_wrapping_loses_no_letter_and_no_look(paragraph, width, size):
    def letters(runs):
        return [
            (letter, run.bold, run.italic) for run in runs for letter in run.text if letter != " "
        ]

    lines = wrap_lines(paragraph, width, size)
    assert letters([run for line in lines for run in line]) == letters(paragraph.runs)


@given(paragraphs, widths, sizes)
@settings(max_examples=150)
def test_no_line_is_wider_than_its_place_unless_it_is_one_letter(paragraph, width, size):
    room = width - (bullet_indent_mm(size) if paragraph.bullet else 0)
    for line in wrap_lines(paragraph, width, size):
        drawn = sum(line_width_mm(r.text, size, bold=r.bold, italic=r.italic) for r in line)
        assert drawn <= room + 1e-6 or len(plain(line)) == 1


@given(texts, widths, sizes)
@settings(max_examples=150)
def test_the_height_holds_all_lines_that_are_drawn(text, width, size):
    lines = sum(len(wrap_lines(paragraph, width, size)) for paragraph in text)
    gaps = sum(paragraph.space_before_pt for paragraph in text)
    drawn = (lines * size * line_pitch_em() + gaps) * MM_PER_PT
    assert drawn_height_mm(text, width, size) == pytest.approx(drawn)
    assert text_height_mm(text, width, size) >= drawn - 1e-9


@given(texts, widths, st.floats(0, 100), sizes)
@settings(max_examples=150)
def test_more_width_never_needs_more_height(text, width, more, size):
    assert text_height_mm(text, width + more, size) <= text_height_mm(text, width, size) + 1e-9


@given(texts, st.floats(40, 300), st.floats(10, 200))
@settings(max_examples=150)
def test_a_fitted_size_fits_and_the_next_does_not(text, width, height):
    size = Size(pt=36, least_pt=12)
    try:
        fitted = fit_size_pt(text, width, height, size, "the text")
    except FitError:
        fitted = 11.0  # so that the least size is the one that does not fit
    else:
        assert text_height_mm(text, width, fitted) <= height + 1e-6
    if fitted < size.pt:
        too_tall = text_height_mm(text, width, fitted + 1) > height
        too_wide = any(
            1.02 * line_width_mm(word, fitted + 1, bold=True)
            > width - (bullet_indent_mm(fitted + 1) if paragraph.bullet else 0)
            for paragraph in text
            for word in paragraph.plain.split(" ")
        )
        assert too_tall or too_wide


@pytest.mark.parametrize(
    ("size", "expected"),
    [
        pytest.param(Size(pt=20, least_pt=20), 20, id="one size only"),
        pytest.param(Size(pt=10.5, least_pt=10.5), 10.5, id="one odd size"),
        pytest.param(Size(pt=30.5, least_pt=12), 30.5, id="odd size first"),
    ],
)
def test_the_wanted_size_is_tried_first(size, expected):
    assert fit_size_pt(paragraphs_of("urn"), 100, 100, size, "the text") == expected


def test_sizes_step_down_in_whole_points_and_end_at_the_least():
    room = 24.2 * line_pitch_em() * MM_PER_PT  # one line of 24 pt
    assert fit_size_pt(paragraphs_of("urn"), 100, room, Size(pt=30.5, least_pt=12), "it") == 24
    room = 12.6 * line_pitch_em() * MM_PER_PT
    assert fit_size_pt(paragraphs_of("urn"), 100, room, Size(pt=30, least_pt=12.5), "it") == 12.5


def test_a_text_that_is_too_long_says_by_how_much():
    # One word "urn" and its space a line: 20 lines of 20 pt * 1.2 = 8.467 mm are 169.3 mm.
    width = line_width_mm("urn", 20) * 1.1
    with pytest.raises(
        FitError,
        match=r"^the caption of slide fill needs 70 mm more height at 20 pt, the least size that "
        r"the style allows\. Shorten it by about 9 words of its 20\.$",
    ):
        fit_size_pt(
            paragraphs_of("urn " * 20),
            width,
            100,
            Size(pt=24, least_pt=20),
            "the caption of slide fill",
        )


@given(texts, st.floats(40, 120), st.floats(10, 40))
@settings(max_examples=60)
def test_a_text_shortened_as_told_fits(text, width, height):
    size = Size(pt=12, least_pt=12)
    try:
        fit_size_pt(text, width, height, size, "the text")
        return
    except FitError as misfit:
        told = misfit.instead.removeprefix("Shorten it by about ").split()
    if not told[0].isdecimal():
        return
    spans, kept = [], int(told[-1]) - int(told[0])
    for paragraph in text:
        in_paragraph = paragraph.plain.split()[: max(kept, 0)]
        kept -= len(paragraph.plain.split())
        if in_paragraph:
            end = 0
            for word in in_paragraph:
                end = paragraph.plain.index(word, end) + len(word)
            shortened = cut_runs(paragraph.runs, (0, end))
            spans.append(Paragraph(shortened, paragraph.bullet, paragraph.space_before_pt))
    assert text_height_mm(spans, width, 12) <= height + 1e-6


def test_a_word_that_is_too_wide_is_named():
    with pytest.raises(
        FitError,
        match=r"^the title: the word 'Grubenbrandgrabsitte' is \d+ mm wider than its place at "
        r"40 pt, the least size that the style allows\. Use a shorter word, "
        r"or divide it by a space\.$",
    ):
        fit_size_pt(
            paragraphs_of("Die Grubenbrandgrabsitte"),
            80,
            500,
            Size(pt=40, least_pt=40),
            "the title",
        )


def test_a_place_without_room_for_a_line_says_so():
    with pytest.raises(
        FitError,
        match=r"^the note needs 6 mm more height at 20 pt, the least size that the style "
        r"allows\. There is no room for a single line of it: leave it out, or make its place "
        r"larger\.$",
    ):
        fit_size_pt(paragraphs_of("urn"), 80, 3, Size(pt=20, least_pt=20), "the note")


def test_a_placed_text_keeps_its_insets_free():
    look = TextLook("#FFFFFF", "caption", align="center", inset_mm=(5, 2), fill="#000000")
    text = place_text(Box(10, 10, 60, 12), paragraphs_of("a"), Size(pt=60, least_pt=10), look, "it")
    assert text.size_pt == 18  # floor of (12 - 2 * 2) mm / 1.2 in points: 8 / 1.2 / 0.35278 = 18.9
    assert (text.align, text.inset_mm, text.fill, text.role) == (
        "center",
        (5, 2),
        "#000000",
        "caption",
    )


def test_asterisks_set_italic_and_bold():
    [paragraph] = paragraphs_of("The *Bos taurus* bone is **burnt**.")
    assert paragraph.runs == (
        Run("The "),
        Run("Bos taurus", italic=True),
        Run(" bone is "),
        Run("burnt", bold=True),
        Run("."),
    )


@pytest.mark.parametrize(
    "text", ["3 * 4 * 5", "2*3*4", "* one", "a*", "**", "****", "note* and note*", "***both***"]
)
def test_other_asterisks_are_asterisks(text):
    [paragraph] = paragraphs_of(text)
    assert paragraph.runs == (Run(text),)


def test_emphasis_in_a_bold_text_is_bold_italic():
    [paragraph] = paragraphs_of("An *amphora*", bold=True)
    assert paragraph.runs == (Run("An ", bold=True), Run("amphora", bold=True, italic=True))


def test_lines_become_paragraphs_and_accents_are_composed():
    made = paragraphs_of(["one\ntwo", "", "  caf\u0065\u0301\t  x "], bullet=True)
    assert [p.plain for p in made] == ["one", "two", "caf\u00e9 x"]
    assert all(p.bullet for p in made)


@pytest.mark.parametrize("words", ["its width, 23.7 mm", "they differ by 72 HU", "seven, 11 %"])
def test_no_line_ends_between_a_number_and_its_unit(words):
    for width_mm in range(20, 60):
        lines = wrap_lines(paragraphs_of(words)[0], width_mm, 18)
        unit = words.rsplit(" ", 1)[1]
        assert "".join(run.text for run in lines[-1]) != unit


def test_a_number_is_bound_to_a_unit_and_to_no_other_word():
    assert unbroken("12 mm, 3 mm² and 5 mmol, 4 pots") == "12\xa0mm, 3\xa0mm² and 5 mmol, 4 pots"
