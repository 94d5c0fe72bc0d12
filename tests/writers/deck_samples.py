"""Pages with every kind of item, for the tests of the deck writer, its lint and its looks."""

import zipfile
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import lxml.etree
import numpy as np
from numpy.typing import NDArray
from openxml_audit import FileFormat, OpenXmlValidator

from slidekit.scene.model import (
    Box,
    Dash,
    Ellipse,
    Group,
    Item,
    Page,
    Paragraph,
    Picture,
    Point,
    Polyline,
    Rect,
    Run,
    Stroke,
    Text,
)
from slidekit.scene.style import Style, load_style
from slidekit.writers.decks.deck import DeckFacts, write_deck

SIZE_MM = (12_192_000 / 36_000, 6_858_000 / 36_000)
INK, QUIET, GROUND = "#F2EFE8", "#B9BEC6", "#12161C"
FACTS = DeckFacts("Inside the urn", "A. Lecturer", "A demonstration", ("urn", "CT"), "en-GB")
NS = {
    "a": "http://schemas.openxmlformats.org/drawingml/2006/main",
    "p": "http://schemas.openxmlformats.org/presentationml/2006/main",
    "r": "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
    "p14": "http://schemas.microsoft.com/office/powerpoint/2010/main",
}


@cache
def style() -> Style:
    return load_style("lecture-dark", Path())


def text(words: str | tuple[Paragraph, ...], box: Box, role: str = "caption", **look: Any) -> Text:
    paragraphs = words if isinstance(words, tuple) else (Paragraph((Run(words),)),)
    size_pt = look.pop("size_pt", 18.0)
    return Text(box, paragraphs, size_pt, look.pop("color", INK), role, **look)  # type: ignore[arg-type]  # roles as plain words


def title(words: str) -> Text:
    return text(words, Box(14, 9, 310, 14), "title", size_pt=32)


def page(id_: str, items: Sequence[Item] = (), layout: str = "title_only", **rest: Any) -> Page:
    """A page with a title of its own, `items`, footer and number."""
    words = rest.pop("title", f"Title of {id_}")
    number = str(rest.pop("number", 1))
    every = (
        title(words),
        *items,
        text("Urn 12 · not for diagnosis", Box(14, 179, 200, 6), "footer", size_pt=11),
        text(number, Box(300, 179, 24, 6), "page_number", size_pt=11, align="right"),
    )
    return Page(id_, words, layout, SIZE_MM, GROUND, every, **rest)  # type: ignore[arg-type]  # layouts as plain words


def grey_pixels(rows: int = 24, columns: int = 24) -> NDArray[np.uint8]:
    down, across = np.mgrid[0:rows, 0:columns]
    return ((down * 7 + across * 3) % 256).astype(np.uint8)


def finding(
    letter: str, center_mm: Point, step: int, color: str = "#FF9524", dash: Dash = "dash"
) -> Group:
    """Halo, outline and label, as one group."""
    outline = Ellipse(center_mm, (30, 15), 20, Stroke("#000000", 6), name="Halo")
    pill = Box(center_mm[0] + 30, center_mm[1] - 24, 9, 9)
    return Group(
        f"Finding {letter}",
        f"Finding {letter}: the {dash} ellipse",
        (
            outline,
            replace(outline, stroke=Stroke(color, 3, dash), name="Outline"),
            text(letter, pill, "label", color=color, fill="#000000", corner_mm=2, align="center"),
        ),
        step,
    )


def sample_pages() -> tuple[Page, ...]:
    """Four pages that use all layouts, all items, clicks, notes, sections and a link."""
    pixels = grey_pixels()
    opening = page(
        "opening",
        (text("What a scan shows", Box(14, 90, 310, 30), "body", size_pt=26),),
        "title",
        section="Opening",
        notes="Good evening.\n\nThank you for coming.",
    )
    points = (
        Paragraph((Run("A point with "), Run("weight", bold=True)), bullet=True),
        Paragraph((Run("See "), Run("the fill", link="fill")), bullet=True, space_before_pt=8),
    )
    listed = page(
        "points", (text(points, Box(14, 40, 310, 90), "body", size_pt=26),), "text", number=2
    )
    arrow = ((200, 120), (230, 140), (228, 143), (240, 143), (234, 133), (232, 137), (203, 117))
    fill = page(
        "fill",
        (
            Picture(Box(14, 30, 140, 140), pixels, "Axial slice of the urn", "Slice"),
            Picture(Box(180, 30, 60, 60), np.dstack([pixels] * 3), "In colour", "Colour"),
            finding("A", (80, 100), 1),
            finding("B", (60, 70), 2, "#66B2FF", "solid"),
            Group("Finding C", "An arrow", (Polyline(arrow, True, None, "#FFE95C"),), 2),
            Polyline(((20, 163), (20, 165), (70, 165), (70, 163)), stroke=Stroke(INK, 1)),
            Polyline(((300, 40), (250, 80)), stroke=Stroke(INK, 1)),
            text("A plate", Box(180, 100, 140, 12), fill="#1E242D", corner_mm=3, inset_mm=(3, 2)),
        ),
        "pictures",
        number=3,
        section="Fill & base",
        notes="Look at the charcoal.",
    )
    timeline = page(
        "timeline",
        (Rect(Box(50, 60, 100, 20), 4, Stroke("#FFFFFF", 1), "#C9A66B"), Rect(Box(50, 90, 9, 9))),
        number=4,
        language="de",
    )
    return opening, listed, fill, timeline


def written(folder: Path, pages: Sequence[Page], facts: DeckFacts = FACTS) -> Path:
    path = folder / "deck.pptx"
    write_deck(pages, path, style(), facts)
    return path


def part(path: Path, name: str) -> Any:
    """The root element of a part."""
    with zipfile.ZipFile(path) as archive:
        return lxml.etree.fromstring(archive.read(name))


def slide_xml(path: Path, number: int = 1) -> Any:
    return part(path, f"ppt/slides/slide{number}.xml")


def audit(path: Path) -> list[str]:
    """The errors of the schema validator."""
    validator = OpenXmlValidator(file_format=FileFormat.MICROSOFT_365)
    return [str(error) for error in validator.validate(str(path)).errors]
