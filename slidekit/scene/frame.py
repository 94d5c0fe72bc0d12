"""What every slide shares: the page, its margins, the title, the footer and the page number."""

from dataclasses import dataclass

from slidekit.scene.cautions import short_caution
from slidekit.scene.model import Box, Item, Layout, Page, Text
from slidekit.scene.style import Style
from slidekit.scene.text import fit_size_pt, paragraphs_of, text_height_mm

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
    credit: str  # in the footer
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
    footer = (*_footer(heading.credit, style), _page_number(number, style))
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


def _footer(credit: str, style: Style) -> tuple[Text, ...]:
    line = " · ".join(filter(None, (credit, short_caution())))
    paragraphs = paragraphs_of(line)
    width = CONTENT_WIDTH_MM - NUMBER_WIDTH_MM
    size_pt = fit_size_pt(paragraphs, width, FOOTER_MM, style.sizes["footer"], "the credit line")
    box = Box(MARGIN_MM, PAGE_MM[1] - FOOTER_BOTTOM_MM - FOOTER_MM, width, FOOTER_MM)
    return (
        Text(
            box, paragraphs, size_pt, style.colors.quiet, "footer", anchor="middle", name="Footer"
        ),
    )


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
