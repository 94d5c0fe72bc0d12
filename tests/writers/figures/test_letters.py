"""Letters of named families, and from right to left, in PNG, PDF and SVG."""

import io
from dataclasses import replace

import numpy as np
import pytest
import uharfbuzz as hb
from lxml import etree
from PIL import Image, ImageDraw

from slidekit.scene.fonts import families_now, letter_with
from slidekit.scene.lettering.named import NamedFont, families_of
from slidekit.scene.model import Box, Paragraph, Run, Text
from slidekit.scene.typeset import SetRun, set_lines
from slidekit.writers.figures.figure import page_pixels, write_svg
from slidekit.writers.figures.letters import as_drawn, needs_outlines
from tests.language_talks import FONTS
from tests.writers.deck_samples import page

SVG = "{http://www.w3.org/2000/svg}"
ARABIC = NamedFont(
    family="Noto Sans Arabic",
    regular=str(FONTS / "NotoSansArabic-Regular.ttf"),
    bold=str(FONTS / "NotoSansArabic-Bold.ttf"),
)


def one_text(words: str, language: str, **look):
    text = Text(Box(20, 40, 200, 60), (Paragraph((Run(words),)),), 40, "#000000", "body", **look)
    return replace(page("p", (text,)), items=(text,), ground="#FFFFFF", language=language)


def ink_mm(drawn) -> tuple[float, float]:
    """From where to where anything dark stands, across the page."""
    columns = np.nonzero((drawn.min(axis=2) < 128).any(axis=0))[0]
    return columns[0] * 25.4 / 100, columns[-1] * 25.4 / 100


@pytest.mark.parametrize(("words", "language"), [("הכד השרוף", "he"), ("the urn", "en")])
def test_letters_stand_where_they_were_set(words, language):
    drawn = one_text(words, language)
    [line] = set_lines(drawn.items[0], language)
    left, right = ink_mm(page_pixels(drawn, 100))
    assert left == pytest.approx(line.left_mm, abs=1.5)
    assert right == pytest.approx(line.left_mm + line.width_mm, abs=1.5)


def outlines_of(words: str, size_px: float) -> Image.Image:
    """The words by HarfBuzz's own glyph positions and outlines, joined by nothing of ours."""
    face = hb.Face(hb.Blob.from_file_path(ARABIC.regular))
    font = hb.Font(face)
    buffer = hb.Buffer()
    buffer.add_str(words)
    buffer.guess_segment_properties()
    hb.shape(font, buffer)
    scale = size_px / face.upem
    width = sum(one.x_advance for one in buffer.glyph_positions)
    image = Image.new("L", (round(width * scale) + 40, round(3 * size_px)), 255)
    draw, x = ImageDraw.Draw(image), 0
    for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        box = font.get_glyph_extents(info.codepoint)
        left = (x + place.x_offset + box.x_bearing) * scale + 20
        top = 2 * size_px - (place.y_offset + box.y_bearing) * scale
        draw.rectangle((left, top, left + box.width * scale, top - box.height * scale), 0)
        x += place.x_advance
    return image


def test_arabic_is_as_wide_as_harfbuzz_sets_it_and_inks_every_glyph():
    letter_with(families_of([ARABIC]))
    words = "سلك ملفوف قرب القاع"
    drawn = one_text(words, "ar")
    left, right = ink_mm(page_pixels(drawn, 100))
    boxes = np.asarray(outlines_of(words, 40 * 100 / 72))
    columns = np.nonzero((boxes < 128).any(axis=0))[0]
    assert right - left == pytest.approx((columns[-1] - columns[0]) * 25.4 / 100, abs=0.6)


def test_what_joins_is_drawn_as_outlines_and_nothing_else():
    family = families_now()[0]
    assert needs_outlines(SetRun("سلك", "Regular", "#000000", 0, family, leftward=True))
    assert not needs_outlines(SetRun("הכד", "Regular", "#000000", 0, family, leftward=True))
    assert not needs_outlines(SetRun("urn", "Regular", "#000000", 0, family))


def test_a_stretch_of_signs_is_turned_round_and_letters_are_not():
    family = families_now()[0]
    assert as_drawn(SetRun(" (", "Regular", "#000000", 0, family, leftward=True)) == ") "
    assert as_drawn(SetRun("(הכד", "Regular", "#000000", 0, family, leftward=True)) == "(הכד"
    assert as_drawn(SetRun(" (", "Regular", "#000000", 0, family)) == " ("


def test_a_drawing_says_where_its_lines_begin_and_keeps_the_words_in_order(tmp_path):
    letter_with(families_of([ARABIC]))
    write_svg(one_text("سلك (CT) ملفوف", "ar"), tmp_path / "p.svg")
    root = etree.parse(io.BytesIO((tmp_path / "p.svg").read_bytes())).getroot()
    assert root.get("font-family") == "'Noto Sans Arabic', Arial, Arimo, sans-serif"
    [text] = root.iter(f"{SVG}text")
    assert text.get("direction") == "rtl"
    assert "".join(text.itertext()) == "سلك (CT) ملفوف"
    [line] = text
    assert line.get("text-anchor") is None  # it starts at the right
    assert float(line.get("x")) == pytest.approx(220, abs=0.01)
