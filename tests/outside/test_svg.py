"""Pages as SVG, drawn and measured by a browser."""

import base64
import json
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from slidekit.scene.fonts import FONT_FILES
from slidekit.scene.model import (
    Box,
    Ellipse,
    Group,
    Page,
    Picture,
    Polyline,
    Rect,
    Stroke,
    Text,
)
from slidekit.scene.text import paragraphs_of
from slidekit.scene.typeset import set_lines
from slidekit.writers.figures.figure import page_pixels, write_svg
from tests.outside.chromium import chromium, open_tab

pytestmark = pytest.mark.skipif(chromium() is None, reason="needs Chromium")

DPI = 96  # CSS pixels
GREY = np.add.outer(3 * np.arange(48), np.arange(64)).astype(np.uint8)
TEXTS = tuple(
    Text(box, paragraphs_of(words, bullet=bullet), size, "#F2EFE8", "body", align=align)
    for words, box, size, align, bullet in (
        ("AVATAR: To *Bos taurus*, **burnt** – “Yes”", Box(10, 6, 180, 30), 30, "left", False),
        ("wrapped in the middle of *its* own box", Box(110, 50, 60, 60), 22, "center", False),
        ("ends at the right", Box(110, 100, 80, 20), 22, "right", False),
        ("one point of several words", Box(110, 115, 60, 30), 20, "left", True),
    )
)
PAGE = Page(
    "p",
    "A page",
    "title_only",
    (200.0, 150.0),
    "#12161C",
    (
        Picture(Box(10, 45, 80, 60), GREY, "A section", "fill"),
        Group(
            "Mark A",
            "",
            (
                Ellipse((50, 75), (25, 12), 30, stroke=Stroke("#000000", 6)),
                Ellipse((50, 75), (25, 12), 30, stroke=Stroke("#FF9524", 3, "dash")),
            ),
        ),
        Rect(Box(10, 112, 40, 20), 6, fill="#335577"),
        Polyline(((55, 112), (90, 120), (60, 135)), closed=True, stroke=Stroke("#66B2FF", 3)),
        *TEXTS,
    ),
)


@pytest.fixture(scope="module")
def drawn(tmp_path_factory):
    """The lines of letters as the browser measures them, and its picture of the page."""
    path = tmp_path_factory.mktemp("svg") / "page.svg"
    write_svg(PAGE, path)
    svg = path.read_text(encoding="utf-8").partition("?>")[2]
    html = f"<style>{_font_faces()} body {{ margin: 0 }} svg {{ display: block }}</style>{svg}"
    width, height = (round(side / 25.4 * DPI) for side in PAGE.size_mm)
    with open_tab() as tab:
        tab.send(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=1,
            mobile=False,
        )
        tab.evaluate(f"document.documentElement.innerHTML = {json.dumps(html)}")
        tab.evaluate("Promise.all([...document.fonts].map(font => font.load())).then(() => 1)")
        lines = tab.evaluate(
            "[...document.querySelectorAll('text > tspan')].map(line => [line.textContent,"
            " line.getStartPositionOfChar(0).x, line.getComputedTextLength()])"
        )
        shot = tab.send("Page.captureScreenshot", format="png")["data"]
    with Image.open(BytesIO(base64.b64decode(shot))) as image:
        return lines, np.asarray(image.convert("RGB"))


def _font_faces():
    """Arial is Arimo here, whose widths it shares, so that the comparison is of letters alike."""
    looks = {
        "Regular": "",
        "Bold": "font-weight: bold;",
        "Italic": "font-style: italic;",
        "BoldItalic": "font-weight: bold; font-style: italic;",
    }
    return "".join(
        f"@font-face {{ font-family: Arial; {looks[face]} src: "
        f"url(data:font/ttf;base64,{base64.b64encode(file.read_bytes()).decode()}) }}"
        for face, file in FONT_FILES.items()
    )


def test_a_browser_sets_the_lines_as_wide_and_where_we_do(drawn):
    """Independent shaping and kerning of the same font files."""
    expected = [line for text in TEXTS for line in set_lines(text)]
    for (words, left, width), line in zip(drawn[0], expected, strict=True):
        assert words == line.plain
        assert width == pytest.approx(line.width_mm, abs=0.05)
        assert left == pytest.approx(line.left_mm, abs=0.05)


def test_a_browser_and_our_picture_look_alike(drawn):
    theirs = drawn[1].astype(float) @ (0.299, 0.587, 0.114)
    ours = page_pixels(PAGE, DPI).astype(float) @ (0.299, 0.587, 0.114)
    assert theirs.shape == ours.shape
    apart = _tiles(theirs) - _tiles(ours)
    assert np.abs(apart).max() < 30
    assert np.abs(apart).mean() < 1


def _tiles(grey, side=10):
    """Means of 10 x 10 pixels, 2.6 mm."""
    rows, columns = (length // side * side for length in grey.shape)
    cut = grey[:rows, :columns].reshape(rows // side, side, columns // side, side)
    return cut.mean(axis=(1, 3))
