"""Letters of families that a style names."""

import itertools

import pytest
from fontTools.ttLib import TTFont
from matplotlib.ft2font import FT2Font, LoadFlags

from slidekit.errors import FitError
from slidekit.scene.fonts import (
    ARIMO,
    advances_em,
    family_for,
    kerned_width_em,
    letter_with,
    line_pitch_em,
    stretches,
)
from slidekit.scene.lettering.named import NamedFont, families_of
from slidekit.scene.model import Box, Paragraph, Run, Text
from slidekit.scene.text import line_width_mm, text_height_mm
from slidekit.scene.typeset import set_lines
from tests.language_talks import FONTS


def named(family: str) -> NamedFont:
    stem = FONTS / family.replace(" ", "")
    return NamedFont(family=family, regular=f"{stem}-Regular.ttf", bold=f"{stem}-Bold.ttf")


JAPANESE, ARABIC = named("Noto Sans JP"), named("Noto Sans Arabic")


def letter(*fonts: NamedFont) -> None:
    letter_with(families_of(fonts))


def pieces(text: str) -> list[tuple[str, str]]:
    return [(one.text, one.family.name) for one in stretches(text)]


def test_each_letter_is_of_the_first_family_that_has_it():
    letter(JAPANESE)
    assert pieces("壺 jar הכד") == [("壺 jar ", "Noto Sans JP"), ("הכד", "Arial")]
    letter(ARABIC, JAPANESE)
    assert pieces("جرة壺א") == [("جرة", "Noto Sans Arabic"), ("壺", "Noto Sans JP"), ("א", "Arial")]


def test_without_named_families_all_is_arimo():
    assert [one.family for one in stretches("jar הכד")] == [ARIMO]
    assert family_for("あ") is ARIMO


def test_an_accent_is_of_the_family_of_its_letter():
    letter(ARABIC)
    assert pieces("q\u0303")[0][0] == "q\u0303"


def test_letters_that_no_font_has_are_all_named_with_the_text_and_what_to_write():
    letter(ARABIC)
    with pytest.raises(
        FitError,
        match=r"^no font of the style has a glyph for '壺' \(U\+58FA, cjk unified "
        r"ideograph-58fa\), nor for の in '壺の jar'\. Write it with other letters or leave "
        r"it out, or name a font "
        r'that has them in the style: `fonts: \{family: "Its Name", regular: FILE\.ttf, '
        r"bold: FILE\.ttf\}`\.$",
    ):
        line_width_mm("壺の jar", 20)


@pytest.mark.parametrize("face", ["Regular", "Bold"])
def test_advances_are_those_of_the_hmtx_table(face):
    letter(JAPANESE)
    font = TTFont(FONTS / f"NotoSansJP-{face}.ttf")
    glyphs, widths = font.getBestCmap(), font["hmtx"].metrics
    text = "壺の内側 (CT) 12"
    expected = [widths[glyphs[ord(one)]][0] / font["head"].unitsPerEm for one in text]
    assert advances_em(text, face) == pytest.approx(expected)


@pytest.mark.parametrize("text", ["سلك ملفوف", "الجرة", "صُنع", "لا إله", "AVATAR", "壺の内側"])
def test_joined_and_kerned_widths_are_those_that_matplotlib_draws(text):
    """matplotlib shapes with its own copy of HarfBuzz, by way of libraqm."""
    font = JAPANESE if text[0] in "A壺" else ARABIC
    letter(font)
    drawn = FT2Font(font.regular)
    drawn.set_size(1000, 72)
    drawn.set_text(text, flags=LoadFlags.NO_HINTING)
    ours = kerned_width_em(text, "Regular", families_of([font])[0])
    width_px = drawn.get_width_height()[0] / 64
    assert ours * 1000 == pytest.approx(width_px, abs=90)  # of ink: without the side bearings


def test_joined_letters_are_narrower_than_letters_that_stand_alone():
    letter(ARABIC)
    word = "ملفوف"
    assert sum(advances_em(word, "Regular")) < sum(advances_em(one, "Regular")[0] for one in word)


def test_lines_of_a_named_family_stand_as_far_apart_as_its_letters_ask():
    letter(JAPANESE)
    japanese = line_pitch_em()
    letter(ARABIC)
    assert 1.2 < japanese < line_pitch_em() < 1.7


def test_what_was_measured_is_forgotten_with_the_fonts():
    paragraph = Paragraph((Run("jar " * 40),))
    before = text_height_mm((paragraph,), 60, 12)
    letter(JAPANESE)
    assert text_height_mm((paragraph,), 60, 12) > before
    letter()
    assert text_height_mm((paragraph,), 60, 12) == before


def test_slanted_letters_of_a_family_without_italics_are_bold():
    letter(JAPANESE)
    run = Run("片", italic=True)
    [line] = set_lines(Text(Box(0, 0, 100, 20), (Paragraph((run,)),), 20, "#000000", "body"))
    assert line.runs[0].face == "Bold"


def body(words: str, **look) -> Text:
    return Text(Box(10, 10, 100, 80), (Paragraph((Run(words),)),), 20, "#000000", "body", **look)


def test_a_line_of_hebrew_begins_at_the_right():
    [line] = set_lines(body("הכד (CT) בן 12"), "he")
    assert line.direction == "rtl"
    assert line.left_mm + line.width_mm == pytest.approx(110)
    starts = {run.text.strip(): run.left_mm for run in line.runs}
    assert starts["12"] < starts["CT"] < max(starts.values())


def test_runs_of_a_line_do_not_overlap_whatever_their_direction():
    letter(ARABIC)
    [line] = set_lines(body("سلك (CT) ملفوف 12 mm, جرة"), "ar")
    widths = {
        run.left_mm: kerned_width_em(run.text, run.face, run.family) * 20 * 25.4 / 72
        for run in line.runs
    }
    for (left, width), (following, _) in itertools.pairwise(sorted(widths.items())):
        assert left + width == pytest.approx(following)


def test_a_bullet_of_a_line_that_runs_to_the_left_hangs_at_the_right():
    paragraph = Paragraph((Run("הכד"),), bullet=True)
    text = Text(Box(10, 10, 100, 80), (paragraph,), 20, "#000000", "body")
    bullet, line = set_lines(text, "he")
    assert bullet.left_mm + bullet.width_mm == pytest.approx(110)
    assert line.left_mm + line.width_mm < bullet.left_mm


def test_a_label_stays_beside_what_it_names():
    text = Text(Box(10, 10, 100, 80), (Paragraph((Run("הכד"),)),), 20, "#000000", "key")
    [line] = set_lines(text, "he")
    assert line.left_mm == pytest.approx(10)
