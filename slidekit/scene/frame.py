"""What every slide shares: the page, its margins, the title, the footer and the page number."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from slidekit.scene.cautions import short_caution
from slidekit.scene.model import Box, Item, Layout, Page, Paragraph, Text
from slidekit.scene.style import Style
from slidekit.scene.text import fit_size_pt, paragraphs_of, sizes_of, text_fits, text_height_mm

PAGE_MM = (12192000 / 36000, 6858000 / 36000)  # 16:9; 13.333 by 7.5 inches in EMU
MARGIN_MM = 14.0
TITLE_TOP_MM = 9.0
TITLE_MAX_MM = 30.0  # two lines
GAP_MM = 6.0
FOOTER_MM = 6.0
FOOTER_BOTTOM_MM = 5.0
CONTENT_WIDTH_MM = PAGE_MM[0] - 2 * MARGIN_MM
NUMBER_WIDTH_MM = 20.0


@dataclass(frozen=True)
class Heading:
    """What a slide says of itself, outside its content."""

    id: str
    title: str
    section: str
    credits: tuple[str, ...]  # in the footer
    language: str


def compose_title(title: str, style: Style) -> Text:
    """The title at the top left, as tall as its one or two lines need; FitError beyond that."""
    paragraphs = paragraphs_of(title)
    size_pt = fit_size_pt(
        paragraphs, CONTENT_WIDTH_MM, TITLE_MAX_MM, style.sizes["title"], "the title"
    )
    height = text_height_mm(paragraphs, CONTENT_WIDTH_MM, size_pt)
    box = Box(MARGIN_MM, TITLE_TOP_MM, CONTENT_WIDTH_MM, height)
    return Text(box, paragraphs, size_pt, style.colors.ink, "title", name="Title")


def content_below(title: Text) -> Box:
    """The room between a title and the footer."""
    top = title.box.bottom_mm + GAP_MM
    bottom = PAGE_MM[1] - FOOTER_BOTTOM_MM - FOOTER_MM - 3.0
    return Box(MARGIN_MM, top, CONTENT_WIDTH_MM, bottom - top)


def compose_page(
    heading: Heading, layout: Layout, items: tuple[Item, ...], number: int, style: Style
) -> Page:
    """A slide of `items` (the title among them), with footer and page number behind them."""
    footer = (_footer(heading.credits, style), _page_number(number, style))
    return Page(
        heading.id,
        heading.title,
        layout,
        PAGE_MM,
        style.colors.ground,
        (*items, *footer),
        section=heading.section,
        language=heading.language,
    )


def _footer(owners: Sequence[str], style: Style) -> Text:
    """One line if it can be, else two of the least size. What needs more is cut alike from all
    credits, and the cut is seen: the slide of credits has them in full."""
    width, size = CONTENT_WIDTH_MM - NUMBER_WIDTH_MM, style.sizes["footer"]
    line = _footer_words(owners)
    for size_pt in sizes_of(size):
        if text_fits(line, width, FOOTER_MM, size_pt):
            return _footer_text(line, FOOTER_MM, size_pt, style)
    height = text_height_mm(paragraphs_of("Two\nlines"), width, size.least_pt)
    for line in (_footer_words(shorter) for shorter in _ever_shorter(owners)):
        if text_fits(line, width, height, size.least_pt):
            break
    fit_size_pt(line, width, height, size, "the credit line")
    return _footer_text(line, height, size.least_pt, style)


def _footer_words(owners: Sequence[str]) -> tuple[Paragraph, ...]:
    return paragraphs_of(" · ".join((*owners, short_caution())))


def _ever_shorter(owners: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """The credits in full, and with fewer and fewer words, down to one of each."""
    words = [credit.split() for credit in owners]
    for count in range(max(map(len, words), default=1), 0, -1):
        yield tuple(
            " ".join(one) if len(one) <= count else " ".join(one[:count]).rstrip(",;:") + "…"
            for one in words
        )


def _footer_text(
    line: tuple[Paragraph, ...], height_mm: float, size_pt: float, style: Style
) -> Text:
    """In the middle of the strip that the page number stands in, whatever its height."""
    middle = PAGE_MM[1] - FOOTER_BOTTOM_MM - FOOTER_MM / 2
    width = CONTENT_WIDTH_MM - NUMBER_WIDTH_MM
    box = Box(MARGIN_MM, middle - height_mm / 2, width, height_mm)
    return Text(box, line, size_pt, style.colors.quiet, "footer", anchor="middle", name="Footer")


def _page_number(number: int, style: Style) -> Text:
    box = Box(
        PAGE_MM[0] - MARGIN_MM - NUMBER_WIDTH_MM,
        PAGE_MM[1] - FOOTER_BOTTOM_MM - FOOTER_MM,
        NUMBER_WIDTH_MM,
        FOOTER_MM,
    )
    return Text(
        box,
        paragraphs_of(str(number)),
        style.sizes["page_number"].pt,
        style.colors.quiet,
        "page_number",
        align="right",
        anchor="middle",
        name="Page number",
    )
