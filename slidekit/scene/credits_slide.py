"""The slide of credits: what is cited, in full; whose the pictures are; notes; the cautions.

It goes on over further pages when it is too long for one.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from operator import attrgetter
from typing import NamedTuple

from slidekit.scene.cautions import cautions
from slidekit.scene.frame import GAP_MM, compose_title, content_below
from slidekit.scene.model import Box, Item, Paragraph, Text
from slidekit.scene.style import Style
from slidekit.scene.text import (
    as_written,
    fit_size_pt,
    paragraphs_of,
    sentences,
    sizes_of,
    text_height_mm,
)
from slidekit.storyboard.borrow import cited_in, cited_on_slides
from slidekit.storyboard.citations import Citations
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.slides import CreditsSlide

HEADINGS_MM = 32.0  # column of the headings
ENTRIES_MM = 270.0  # column of the entries: some ninety letters of small type
ENTRY_GAP_EM = 0.45
LIST_GAP_MM = 5.0


class Credit(NamedTuple):
    """One entry, and the heading of the list that it stands in."""

    heading: str
    words: str


def credits_of(slide: CreditsSlide, board: Storyboard, citations: Citations) -> tuple[Credit, ...]:
    """Everything that the talk owes: works, pictures, and what the slide itself says."""
    references = citations.bibliography.references(cited_on_slides(board))
    scans = (board.scans[name] for name in dict.fromkeys(v.scan for v in board.views.values()))
    pictures = (sentences(s.credit, s.statement.full, s.permission_in_words) for s in scans)
    lists = {"Sources": references, "Pictures": dict.fromkeys(pictures), "Notes": slide.points}
    return tuple(Credit(heading, words) for heading, all_ in lists.items() for words in all_)


def references_in(panel: Panel, board: Storyboard, citations: Citations) -> tuple[str, ...]:
    """What a panel cites, in full."""
    return citations.bibliography.references(cited_in(panel, board))


def compose_credits(
    title: str, entries: Sequence[Credit], style: Style
) -> tuple[tuple[str, list[Item]], ...]:
    """The pages: the title of each, counted when there are several, and its items.

    Raises
    ------
    FitError
        If one entry alone is longer than a page.
    """
    pages = _below(compose_title(title, style), entries, style)
    titles = [title]
    if len(pages) > 1:
        titles = [f"{title} ({i}/{len(pages)})" for i in range(1, len(pages) + 1)]
        pages = _below(compose_title(titles[-1], style), entries, style)
    heads = (compose_title(one, style) for one in titles)
    return tuple(
        (one, [head, *items]) for one, head, items in zip(titles, heads, pages, strict=True)
    )


def _below(head: Text, entries: Sequence[Credit], style: Style) -> list[list[Item]]:
    """The items of each page under its title; the cautions stand at the foot of each."""
    room = content_below(head)
    small = style.sizes["caption"].least_pt
    closing = paragraphs_of(cautions())
    cautions_mm = text_height_mm(closing, room.width_mm, small)
    upper = room._replace(height_mm=room.height_mm - cautions_mm - GAP_MM)
    box = Box(room.left_mm, upper.bottom_mm + GAP_MM, room.width_mm, cautions_mm)
    foot = Text(box, closing, small, style.colors.quiet, "caption", name="Cautions")
    size_pt, pages = _pages(entries, upper.height_mm, style)
    return [[*_stacked(page, upper, size_pt, style), foot] for page in pages]


def _pages(
    entries: Sequence[Credit], room_mm: float, style: Style
) -> tuple[float, list[list[Credit]]]:
    """As few pages as can be, and on them the largest type that leaves it at that."""
    size = style.sizes["caption"]
    most_pt = min(
        (
            fit_size_pt(paragraphs_of(one.words), ENTRIES_MM, room_mm, size, "an entry")
            for one in entries
        ),
        default=size.pt,
    )
    sizes_pt = (size_pt for size_pt in sizes_of(size) if size_pt <= most_pt)
    filled = ((size_pt, _filled(entries, room_mm, size_pt)) for size_pt in sizes_pt)
    return min(filled, key=lambda one: len(one[1]))  # the first of them: the largest type


def _filled(entries: Sequence[Credit], room_mm: float, size_pt: float) -> list[list[Credit]]:
    """One page after the other."""
    pages: list[list[Credit]] = [[]]
    for entry in entries:
        if pages[-1] and _height_mm([*pages[-1], entry], size_pt) > room_mm:
            pages.append([])
        pages[-1].append(entry)
    return pages


def _height_mm(page: Sequence[Credit], size_pt: float) -> float:
    heights = [text_height_mm(words, ENTRIES_MM, size_pt) for _, words in _lists(page, size_pt)]
    return sum(heights) + LIST_GAP_MM * (len(heights) - 1)


def _lists(page: Sequence[Credit], size_pt: float) -> Iterator[tuple[str, tuple[Paragraph, ...]]]:
    """Each heading with the entries beside it, which have air between them."""
    for heading, listed in groupby(page, key=attrgetter("heading")):
        first, *others = (one for entry in listed for one in paragraphs_of(entry.words))
        gap_pt = ENTRY_GAP_EM * size_pt
        yield heading, (first, *(replace(one, space_before_pt=gap_pt) for one in others))


def _stacked(page: Sequence[Credit], room: Box, size_pt: float, style: Style) -> Iterator[Text]:
    top_mm = room.top_mm
    for heading, words in _lists(page, size_pt):
        height_mm = text_height_mm(words, ENTRIES_MM, size_pt)
        box = Box(room.left_mm, top_mm, HEADINGS_MM, height_mm)
        label = as_written(heading, bold=True)
        yield Text(box, label, size_pt, style.colors.accent, "caption", name=heading)
        box = box._replace(left_mm=box.right_mm, width_mm=ENTRIES_MM)
        yield Text(box, words, size_pt, style.colors.ink, "caption", name=f"{heading}, entries")
        top_mm += height_mm + LIST_GAP_MM
