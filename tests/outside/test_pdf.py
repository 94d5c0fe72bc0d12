"""Printed pages, read by PDF libraries and programs that know nothing of this project."""

import os
import shutil
import subprocess
import sys
from io import BytesIO

import numpy as np
import pikepdf
import pypdf
import pytest
from PIL import Image

from slidekit.errors import WriteError
from slidekit.scene.model import (
    Box,
    Ellipse,
    Group,
    Page,
    Paragraph,
    Picture,
    Polyline,
    Rect,
    Run,
    Stroke,
    Text,
)
from slidekit.scene.panel.compose import compose_panel
from slidekit.scene.sights.model import Sights
from slidekit.scene.text import paragraphs_of
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.talk import Talk
from slidekit.writers.figures.figure import PdfFacts, page_pixels, write_pdf
from tests.scene.builders import DARK, axial_sight, round_region

FACTS = PdfFacts("The urn – opened", "A. Lecturer", "Panels", "en-GB")
GREY = np.add.outer(3 * np.arange(48), np.arange(64)).astype(np.uint8)  # differs when mirrored

# ISO 216 trimmed sizes in millimetres; the points are mm * 72 / 25.4.
ISO_216 = [
    pytest.param((210, 297), (595.276, 841.890), id="A4"),
    pytest.param((297, 420), (841.890, 1190.551), id="A3"),
    pytest.param((420, 594), (1190.551, 1683.780), id="A2"),
    pytest.param((594, 841), (1683.780, 2383.937), id="A1"),
    pytest.param((841, 1189), (2383.937, 3370.394), id="A0"),
]


def page(*items, size_mm=(420.0, 594.0)):
    return Page("p", "A page", "title_only", size_mm, "#12161C", items)


def text(words, top_mm, size_pt=40, **look):
    box = Box(30, top_mm, 360, 80)
    return Text(box, paragraphs_of(words), size_pt, "#F2EFE8", "body", **look)


@pytest.fixture(scope="module")
def panel():
    orange = Stroke("#FF9524", 3, "dash")
    pill = (Paragraph((Run("A", bold=True),)),)
    return page(
        text("The **urn** – seen “from within”", 30, 80),
        Picture(Box(30, 120, 320, 240), GREY, "A section", "fill"),
        Group(
            "Mark A",
            "",
            (
                Ellipse((150, 200), (60, 30), 30, stroke=Stroke("#000000", 6)),
                Ellipse((150, 200), (60, 30), 30, stroke=orange),
                Text(Box(220, 180, 16, 12), pill, 28, "#FF9524", "label", fill="#000000"),
            ),
            step=1,
        ),
        Rect(Box(30, 380, 100, 30), 8, fill="#1E242D"),
        Polyline(((140, 380), (200, 410), (240, 380)), stroke=Stroke("#66B2FF", 3, "lgDashDot")),
        text("5 × 3 ≥ 2 µm, *c.* 1200–1100 BCE, Żnin, Σ, š", 430),
        text("right", 500, align="right"),
    )


@pytest.fixture(scope="module")
def path(panel, tmp_path_factory):
    path = tmp_path_factory.mktemp("pdf") / "panel.pdf"
    write_pdf(panel, path, FACTS)
    return path


@pytest.mark.parametrize(("size_mm", "points"), ISO_216)
def test_pages_have_the_size_of_the_paper(size_mm, points, tmp_path):
    write_pdf(page(size_mm=size_mm), tmp_path / "p.pdf", FACTS)
    [sheet] = pypdf.PdfReader(tmp_path / "p.pdf").pages
    assert [float(side) for side in sheet.mediabox] == pytest.approx([0, 0, *points], abs=0.01)


def test_text_is_read_in_the_order_of_the_page(path):
    lines = pypdf.PdfReader(path).pages[0].extract_text().split("\n")
    assert [line.strip() for line in lines] == [
        "The urn – seen “from within”",
        "A",
        "5 × 3 ≥ 2 µm, c. 1200–1100 BCE, Żnin, Σ, š",
        "right",
    ]


def test_every_font_in_use_is_embedded_truetype(path):
    # ISO 32000-1 9.9: an embedded TrueType program stands in FontFile2 of the descriptor
    fonts = []
    with pikepdf.open(path) as pdf:
        for font in pdf.pages[0].Resources.Font.values():
            for descendant in font.get("/DescendantFonts", [font]):
                program = descendant.FontDescriptor.FontFile2.read_bytes()
                assert program[:4] in {b"\x00\x01\x00\x00", b"true"}
                fonts.append(str(font.BaseFont))
    assert {name.partition("+")[2] for name in fonts} == {
        "Arimo-Regular",
        "Arimo-Bold",
        "Arimo-Italic",
    }


@pytest.mark.skipif(shutil.which("pdffonts") is None, reason="needs pdffonts (poppler)")
def test_pdffonts_agrees_that_fonts_are_embedded_subsets_with_readable_text(path):
    listed = subprocess.run(["pdffonts", path], capture_output=True, text=True, check=True)
    rows = listed.stdout.splitlines()[2:]
    assert rows
    for row in rows:
        assert row.split()[-5:-2] == ["yes", "yes", "yes"]  # embedded, subset, Unicode map


def test_pictures_keep_their_own_pixels_upright(path):
    [image] = pypdf.PdfReader(path).pages[0].images
    with Image.open(BytesIO(image.data)) as decoded:
        assert (np.asarray(decoded.convert("L")) == GREY).all()
        assert (np.asarray(decoded.convert("RGB")).std(axis=2) == 0).all()


def test_the_document_says_what_it_is(path):
    with pikepdf.open(path) as pdf:
        assert not pdf.check_pdf_syntax()
        assert pdf.Root.Lang == "en-GB"
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        assert {key: str(value) for key, value in pdf.docinfo.items()} == {
            "/Title": "The urn – opened",
            "/Author": "A. Lecturer",
            "/Subject": "Panels",
        }
        assert len(pdf.trailer.ID) == 2


def test_no_program_and_no_date_is_named(path):
    content = path.read_bytes().lower()
    for word in (b"matplotlib", b"/creationdate", b"/moddate", b"/producer", b"/creator"):
        assert word not in content


def test_pages_of_several_sizes_make_one_document(tmp_path):
    write_pdf([page(), page(size_mm=(100.0, 60.0))], tmp_path / "p.pdf", FACTS)
    sheets = pypdf.PdfReader(tmp_path / "p.pdf").pages
    widths = [float(sheet.mediabox.width) for sheet in sheets]
    assert widths == pytest.approx([1190.551, 283.465], abs=0.01)


def test_a_document_without_pages_is_refused(tmp_path):
    with pytest.raises(WriteError, match=r"^p\.pdf has no pages\. Give it at least one\.$"):
        write_pdf([], tmp_path / "p.pdf", FACTS)
    assert not list(tmp_path.iterdir())


def test_a_folder_that_cannot_be_written_is_named(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(WriteError, match=r"^cannot write .*file/p\.pdf: "):
        write_pdf(page(), tmp_path / "file" / "p.pdf", FACTS)


def test_no_letter_of_a_printed_panel_is_below_24_points(tmp_path):
    # US National Park Service, exhibit text; read back from the file's own text matrices
    panel = Panel(
        size_mm=(420, 594),
        headline="Inside the urn",
        body=("It was scanned before anyone touched it. Dense things look bright.",),
        views=({"view": "fill", "regions": ("bone",), "caption": "A slice across the urn."},),
    )
    sights = Sights({"fill": axial_sight("fill")}, {"bone": round_region("bone", 0, 0)})
    made = compose_panel("urn", panel, sights, DARK, Talk(title="The urn", slot_min=20))
    write_pdf(made, tmp_path / "urn.pdf", FACTS)
    sizes = []

    def note(text, user_matrix, text_matrix, _font, size_pt):
        if text.strip():
            sizes.append(size_pt * abs(text_matrix[3]) * abs(user_matrix[3]))

    pypdf.PdfReader(tmp_path / "urn.pdf").pages[0].extract_text(visitor_text=note)
    assert len(sizes) > 10
    assert min(sizes) >= 24 - 1e-6


_AGAIN = """
import sys
from pathlib import Path
from slidekit.scene.model import Box, Page, Text
from slidekit.scene.panel.compose import compose_panel
from slidekit.scene.sights.model import Sights
from slidekit.scene.text import paragraphs_of
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.talk import Talk
from slidekit.writers.figures.figure import PdfFacts, write_pdf
words = paragraphs_of("The *urn* – **opened** š")
text = Text(Box(0, 0, 200, 50), words, 30, "#FFFFFF", "title")
page = Page("p", "t", "title_only", (210, 297), "#000000", (text,))
write_pdf(page, Path(sys.argv[1]), PdfFacts("t"))
"""


def test_another_run_gives_the_same_bytes(tmp_path):
    for seed in ("1", "2"):
        subprocess.run(
            [sys.executable, "-c", _AGAIN, tmp_path / f"{seed}.pdf"],
            env={**os.environ, "PYTHONHASHSEED": seed},
            check=True,
        )
    assert (tmp_path / "1.pdf").read_bytes() == (tmp_path / "2.pdf").read_bytes()


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="needs pdftoppm (poppler)")
def test_print_and_screen_look_alike(panel, path, tmp_path):
    """The PDF as an independent program draws it, against our own PNG."""
    dpi = 50
    subprocess.run(["pdftoppm", "-r", str(dpi), "-png", path, tmp_path / "page"], check=True)
    [drawn] = tmp_path.glob("page*.png")
    with Image.open(drawn) as image:
        printed = np.asarray(image.convert("L")).astype(float)
    shown = page_pixels(panel, dpi).astype(float) @ (0.299, 0.587, 0.114)
    rows, columns = (min(sides) for sides in zip(printed.shape, shown.shape, strict=True))
    assert abs(printed.shape[0] - shown.shape[0]) <= 1
    # means of 10 x 10 pixels (5 mm): letters, marks and grey values in the same places
    apart = _tiles(printed[:rows, :columns]) - _tiles(shown[:rows, :columns])
    assert np.abs(apart).max() < 25
    assert np.abs(apart).mean() < 1.5


def _tiles(grey, side=10):
    rows, columns = (length // side * side for length in grey.shape)
    cut = grey[:rows, :columns].reshape(rows // side, side, columns // side, side)
    return cut.mean(axis=(1, 3))
