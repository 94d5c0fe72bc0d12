"""Slides made of words: title, points, quotation, notice."""

from collections.abc import Sequence
from dataclasses import replace

from slidekit.scene.cautions import ethics
from slidekit.scene.frame import GAP_MM, MARGIN_MM, PAGE_MM, content_below
from slidekit.scene.model import Box, Item, Paragraph, Rect, Run, Text
from slidekit.scene.pictures.compose import compose_sight, data_line
from slidekit.scene.sights.model import Cast, Sight
from slidekit.scene.style import Size, Style
from slidekit.scene.text import (
    TextLook,
    fit_size_pt,
    paragraphs_of,
    place_text,
    spaced,
    text_height_mm,
)
from slidekit.scene.type_units import line_mm
from slidekit.storyboard.slides import NoticeSlide, QuoteSlide, TextSlide
from slidekit.storyboard.talk import Talk
from slidekit.wording import phrase

READING_WIDTH_MM = 250.0  # about 60 letters of body text: longer lines tire the reader
POINT_GAP_EM = 0.7  # between points, in type sizes
DROP_SHARE = 0.2  # of the room left over: a few points stand lower than the first line
RULE_MM = 1.2


def compose_title_slide(title: str, talk: Talk, sight: Sight | None, style: Style) -> list[Item]:
    """Talk title, subtitle, speaker and occasion at the left; a picture at the right, if any."""
    picture: list[Item] = []
    right = PAGE_MM[0] - MARGIN_MM
    if sight is not None:
        height = PAGE_MM[1] - 2 * MARGIN_MM - line_mm(style.sizes["data"].pt)
        width = min(height * sight.aspect, PAGE_MM[0] * 0.48)
        height = width / sight.aspect
        top = (PAGE_MM[1] - height) / 2 - line_mm(style.sizes["data"].pt) / 2
        box = Box(right - width, top, width, height)
        picture = [*compose_sight(sight, (), box, Cast({}, {}), style)]
        picture.append(_data_under(sight, box, style))
        right = box.left_mm - 2 * GAP_MM
    width = right - MARGIN_MM
    size = style.sizes["title"]
    big = Size(pt=size.pt + 12, least_pt=size.least_pt)
    room = Box(MARGIN_MM, 30.0, width, 75.0)
    look = TextLook(style.colors.ink, "title", anchor="bottom")
    heading = place_text(room, paragraphs_of(title, bold=True), big, look, "the title of the talk")
    rule = Rect(Box(MARGIN_MM, room.bottom_mm + 5, 36.0, RULE_MM), fill=style.colors.accent)
    lines = [line for line in (talk.subtitle, talk.speaker, talk.occasion) if line]
    below = Box(MARGIN_MM, room.bottom_mm + 11, width, 58.0)
    body = place_text(
        below,
        spaced(paragraphs_of(lines), POINT_GAP_EM * style.sizes["body"].pt),
        style.sizes["body"],
        TextLook(style.colors.quiet, "body"),
        "the text under the title (subtitle, speaker, occasion)",
    )
    return [replace(heading, name="Title"), rule, *([body] if lines else []), *picture]


def _data_under(sight: Sight, box: Box, style: Style) -> Text:
    size = style.sizes["data"].pt
    paragraphs = (Paragraph((Run(data_line(sight)),)),)
    height = text_height_mm(paragraphs, box.width_mm, size)
    place = Box(box.left_mm, box.bottom_mm + 1.2, box.width_mm, height)
    return Text(place, paragraphs, size, style.colors.quiet, "data")


def compose_points(title: Text, slide: TextSlide, style: Style) -> list[Item]:
    """Up to six points, one size, in the upper left of a quiet page."""
    room = content_below(title)._replace(width_mm=READING_WIDTH_MM)
    text = _points(slide.points, room, style, bullet=True)
    needed = text_height_mm(text.paragraphs, room.width_mm, text.size_pt)
    drop = (room.height_mm - needed) * DROP_SHARE
    box = Box(room.left_mm, room.top_mm + drop, room.width_mm, room.height_mm - drop)
    return [replace(text, box=box)]


def _points(points: Sequence[str], room: Box, style: Style, *, bullet: bool) -> Text:
    size = style.sizes["body"]
    paragraphs = spaced(paragraphs_of(points, bullet=bullet), POINT_GAP_EM * size.pt)
    return place_text(room, paragraphs, size, TextLook(style.colors.ink, "body"), "the text")


def compose_quote(title: Text, slide: QuoteSlide, style: Style) -> list[Item]:
    """The words of somebody else, large, with a rule at their left and their source below."""
    room = content_below(title)
    words = paragraphs_of(phrase("“{words}”", words=slide.quote.strip()))
    source = paragraphs_of(slide.source)
    source_pt = style.sizes["caption"].pt
    width = READING_WIDTH_MM
    source_mm = text_height_mm(source, width, source_pt)
    height = room.height_mm - source_mm - GAP_MM
    size_pt = fit_size_pt(words, width, height, style.sizes["quote"], "the quotation")
    words_mm = text_height_mm(words, width, size_pt)
    left = room.left_mm + 8
    top = room.top_mm + max((room.height_mm - words_mm - GAP_MM - source_mm) / 3, 0.0)
    quote = Text(
        Box(left, top, width, words_mm), words, size_pt, style.colors.ink, "quote", name="Quotation"
    )
    below = Box(left, quote.box.bottom_mm + GAP_MM, width, source_mm)
    credit = Text(below, source, source_pt, style.colors.quiet, "caption", name="Source")
    bar = Box(room.left_mm, top, RULE_MM, below.bottom_mm - top)
    return [Rect(bar, fill=style.colors.accent), quote, credit]


def compose_notice(
    title: Text, slide: NoticeSlide, style: Style, *, human_remains: bool
) -> list[Item]:
    """A calm word before the pictures, on a plate; names the code of ethics for human remains."""
    room = content_below(title)
    points = [*slide.points, *([ethics()] if human_remains else [])]
    inset = 9.0
    width = READING_WIDTH_MM
    size = style.sizes["body"]
    text_room = room._replace(width_mm=width).inset(inset, inset)
    text = _points(points, text_room, style, bullet=False)
    height = text_height_mm(text.paragraphs, text_room.width_mm, min(text.size_pt, size.pt))
    plate = Box(room.left_mm, room.top_mm, width, height + 2 * inset)
    text = replace(text, box=text_room._replace(height_mm=height))
    bar = Rect(plate._replace(width_mm=RULE_MM), fill=style.colors.accent)
    return [Rect(plate, fill=style.colors.plate), bar, text]
