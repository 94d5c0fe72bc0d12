"""Talks in Hebrew, Arabic and Japanese, as readers that do not know this project show them.

Limits of their own: render-pptx breaks lines at spaces only, so Japanese is held against it line
by line; pptx-preview breaks them as the browser does; neither knows a paragraph that runs to the
left.
"""

from dataclasses import dataclass
from pathlib import Path

import pytest
from openxml_audit import FileFormat, OpenXmlValidator
from PIL import Image, ImageDraw
from pptx import Presentation
from pypdf import PdfReader
from render_pptx import renderer

from slidekit.build import Options, build_talk
from slidekit.errors import StoryboardError
from slidekit.panels import build_panels
from slidekit.scene.fonts import letter_with, stretches
from slidekit.scene.lettering.named import families_of
from slidekit.scene.model import Page, Run
from slidekit.scene.style import load_style
from slidekit.scene.text import wrap_lines
from tests.language_talks import STYLES, write_language_talk
from tests.outside.renderers import WIDTH_PX, open_preview, preview_missing, render_pptx
from tests.talks import no_progress

NAMES = ["HEBREW", "ARABIC", "JAPANESE"]
needs_browser = pytest.mark.skipif(bool(preview_missing()), reason=preview_missing() or "-")


@dataclass(frozen=True)
class Built:
    name: str
    storyboard: Path
    deck: Path
    pages: list[Page]

    def letter(self) -> None:
        """Letters are measured as in the talk again: each test leaves Arial behind."""
        if self.name in STYLES:
            letter_with(families_of(load_style(self.storyboard.parent / "own.yaml").fonts))


@pytest.fixture(scope="module", params=NAMES)
def built(request, tmp_path_factory) -> Built:
    folder = tmp_path_factory.mktemp(request.param)
    storyboard = write_language_talk(folder, request.param)
    show, _ = build_talk(storyboard, folder / "out", Options(), no_progress)
    pages = [page for told in show.told for page in (told.page, *told.more)]
    return Built(request.param, storyboard, folder / "out" / "deck.pptx", pages)


def test_the_deck_has_no_error(built):
    validator = OpenXmlValidator(file_format=FileFormat.MICROSOFT_365)
    assert validator.validate(str(built.deck)).errors == []


def test_paragraphs_run_and_begin_as_their_language_does(built):
    """ECMA-376 Part 1, 21.1.2.2.7: rtl and algn of a:pPr."""
    found = set()
    for slide in Presentation(str(built.deck)).slides:
        for paragraph in slide.shapes.title.text_frame.paragraphs:
            properties = paragraph._p.pPr
            found.add((properties.get("rtl"), properties.get("algn")))
    assert found == ({(None, "l")} if built.name == "JAPANESE" else {("1", "r")})


def test_runs_name_the_family_that_has_their_letters(built):
    family = {"HEBREW": "Arial"}.get(built.name) or STYLES[built.name][0]
    named = set()
    for slide in Presentation(str(built.deck)).slides:
        for run in slide.shapes.title.text_frame.paragraphs[0].runs:
            faces = run._r.rPr.findall("{*}latin") + run._r.rPr.findall("{*}ea")
            faces += run._r.rPr.findall("{*}cs")
            named |= {face.get("typeface") for face in faces}
            assert len(faces) == 3
    assert named == {family}


@needs_browser
def test_no_text_leaves_its_box_in_pptx_preview(built):
    """Every leaf of text against the box of the shapes on its slide that hold its words."""
    with open_preview(built.deck) as tab:
        leaves = tab.evaluate(
            "[...document.querySelectorAll('.pptx-preview-slide-wrapper')].map(slide => {"
            "const page = slide.getBoundingClientRect();"
            "return [...slide.querySelectorAll('span')]"
            ".filter(span => !span.children.length && span.textContent.trim())"
            ".map(span => { const box = span.getBoundingClientRect();"
            "return [span.textContent.trim(), box.left - page.left, box.top - page.top,"
            " box.right - page.left, box.bottom - page.top]})})"
        )
    deck = Presentation(str(built.deck))
    px = WIDTH_PX / deck.slide_width
    over = []
    for slide, drawn in zip(deck.slides, leaves, strict=True):
        shapes = list(_texts_of(slide.shapes))
        for words, left, top, right, bottom in drawn:
            boxes = [
                (one.left * px, one.top * px, (one.left + one.width) * px, one.bottom_emu * px)
                for one in shapes
                if words in one.text
            ]
            slack = 0.3 * (bottom - top)  # a font claims up to half more than its letters take
            if boxes and not any(
                left > box[0] - 2
                and right < box[2] + 2
                and top > box[1] - slack
                and bottom < box[3] + slack
                for box in boxes
            ):
                over.append((words, (left, top, right, bottom), boxes))
    assert sum(map(len, leaves)) > 20
    assert over == []


@dataclass(frozen=True)
class _Shape:
    left: int
    top: int
    width: int
    bottom_emu: int
    text: str


def _texts_of(shapes):
    for shape in shapes:
        if shape.shape_type == 6:  # a group: our groups have the coordinates of the slide
            yield from _texts_of(shape.shapes)
        elif shape.has_text_frame:
            bottom = shape.top + shape.height
            yield _Shape(shape.left, shape.top, shape.width, bottom, shape.text_frame.text)


def test_no_line_is_wider_than_its_box_as_render_pptx_measures_it(built):
    """Lines as we broke them, in the fonts and by the measure that render-pptx draws with."""
    built.letter()
    render_pptx(built.deck)  # makes the fonts known to it
    draw = ImageDraw.Draw(Image.new("L", (10, 10)))
    checked, over = 0, []
    for text in (text for page in built.pages for text in page.texts):
        room_mm = text.box.width_mm - 2 * text.inset_mm[0]
        for paragraph in text.paragraphs:
            for line in wrap_lines(paragraph, room_mm, text.size_pt):
                width_mm = sum(_drawn_mm(draw, run, text.size_pt) for run in line)
                checked += 1
                if width_mm > 1.02 * room_mm:
                    over.append((line, width_mm, room_mm))
    assert checked > 30
    assert over == []


def _drawn_mm(draw: ImageDraw.ImageDraw, run: Run, size_pt: float) -> float:
    px_per_mm = 20
    width_px = 0.0
    for stretch in stretches(run.text):
        font = renderer._font(
            round(size_pt * 25.4 / 72 * px_per_mm), run.bold, stretch.family.name, run.italic
        )
        width_px += renderer._tlen(draw, stretch.text, font)
    return width_px / px_per_mm


def test_a_talk_without_the_fonts_says_so_at_each_slide(tmp_path):
    storyboard = write_language_talk(tmp_path, "JAPANESE")
    words = storyboard.read_text(encoding="utf-8").replace("  style: own.yaml\n", "")
    storyboard.write_text(words, encoding="utf-8")
    with pytest.raises(StoryboardError) as told:
        build_talk(storyboard, tmp_path / "out", Options(), no_progress)
    faults = [str(fault) for fault in told.value.faults]
    assert len(faults) == 5
    assert all("name a font that has them in the style" in fault for fault in faults)
    assert "slides[4]: the letters have no glyph for '出' (U+51FA, cjk unified" in faults[4]


def test_printed_panels_hold_the_letters_of_their_language(built, tmp_path):
    """Japanese and Hebrew can be found in the PDF; joined Arabic is drawn as outlines."""
    files = build_panels(built.storyboard, tmp_path, None, no_progress).files
    [pdf] = [file for file in files if file.suffix == ".pdf"]
    found = PdfReader(pdf).pages[0].extract_text().replace(" ", "")
    fonts = {str(font["/BaseFont"]) for font in _fonts(pdf)}
    if built.name == "JAPANESE":
        assert "土の塊の中の針金" in found
        assert all("NotoSansJP" in font for font in fonts)
    elif built.name == "HEBREW":
        assert set("חוטכרוךבגושהאדמה") <= set(found)
        assert all("Arimo" in font for font in fonts)
    else:
        assert not set("ملفوف") & set(found)


def _fonts(pdf: Path):
    for page in PdfReader(pdf).pages:
        for font in page["/Resources"]["/Font"].values():
            yield font.get_object()
