"""A page as a picture file: PNG at a given resolution, PDF for print.

Both are drawn from the same lines of letters and the same millimetres; all groups are visible,
whatever click they appear on, and links to other pages are plain text. The same page gives the
same bytes. (SVG: see `svg`.)
"""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from slidekit.errors import WriteError
from slidekit.scene.model import Page
from slidekit.writers.figures.canvas import MM_PER_INCH, figure_of, own_settings
from slidekit.writers.figures.pdf import with_catalogue
from slidekit.writers.figures.svg import write_svg
from slidekit.writers.files import write_drawing

__all__ = ["PdfFacts", "page_pixels", "write_pdf", "write_png", "write_svg"]

_MOST_PIXELS = 160_000_000  # 640 MB while it is drawn


@dataclass(frozen=True)
class PdfFacts:
    """What a PDF says of itself."""

    title: str
    author: str = ""
    subject: str = ""
    language: str = "en"  # BCP 47


def write_png(page: Page, path: Path, dpi: float) -> None:
    """Write the page as an RGB picture of `dpi` pixels an inch, which the file states.

    WriteError if it would have more pixels than can be drawn, or cannot be written.
    """

    def draw() -> bytes:
        png = io.BytesIO()
        Image.fromarray(page_pixels(page, dpi)).save(png, "PNG", dpi=(dpi, dpi))
        return png.getvalue()

    write_drawing(path, ("PNG", page, dpi), draw)


def page_pixels(page: Page, dpi: float) -> NDArray[np.uint8]:
    """The page as (rows, columns, 3); millimetre x lies x / 25.4 * dpi pixels from the left edge
    of the first column."""
    columns, rows = (max(round(side / MM_PER_INCH * dpi), 1) for side in page.size_mm)
    if columns * rows > _MOST_PIXELS:
        bearable = int(dpi * sqrt(_MOST_PIXELS / (columns * rows)))
        raise WriteError(
            f"{page.id} at {dpi:g} dpi would be a picture of {columns} x {rows} pixels, "
            "which is too large to draw",
            f"Lower png_dpi to {bearable} or less",
        )
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    # a hair more than whole pixels, since the canvas rounds down
    size_inches = ((columns + 1e-3) / dpi, (rows + 1e-3) / dpi)
    with own_settings():
        canvas: Any = FigureCanvasAgg(figure_of(page, size_inches, dpi, "hanning"))
        canvas.draw()
        return np.asarray(canvas.buffer_rgba())[..., :3].copy()


def write_pdf(pages: Page | Sequence[Page], path: Path, facts: PdfFacts) -> None:
    """Write one or more pages, each at its own size, with embedded fonts and native pictures.

    WriteError if the file cannot be written.
    """
    sheets = [pages] if isinstance(pages, Page) else list(pages)
    if not sheets:
        raise WriteError(f"{path.name} has no pages", "Give it at least one")
    write_drawing(path, ("PDF", sheets, facts), lambda: _pdf(sheets, facts))


def _pdf(sheets: Sequence[Page], facts: PdfFacts) -> bytes:
    from matplotlib.backends.backend_pdf import PdfPages

    information = {
        "Title": facts.title,
        "Author": facts.author or None,
        "Subject": facts.subject or None,
        "Creator": None,  # None leaves the entry out: no program's name, no date
        "Producer": None,
        "CreationDate": None,
    }
    pdf = io.BytesIO()
    with own_settings(), PdfPages(pdf, metadata=information) as document:
        for page in sheets:
            width, height = (side / MM_PER_INCH for side in page.size_mm)
            document.savefig(figure_of(page, (width, height), 72, "none"))
    return with_catalogue(pdf.getvalue(), facts.language)
