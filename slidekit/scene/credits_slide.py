"""The slide of credits: what is cited, in full; whose the pictures are; notes; the cautions.

It goes on over further pages when it is too long for one.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from operator import attrgetter
from typing import NamedTuple

from slidekit.errors import FitError
from slidekit.scene.cautions import cautions
from slidekit.scene.frame import GAP_MM, compose_title, content_below
from slidekit.scene.model import Box, Item, Paragraph, Text
from slidekit.scene.style import Style
from slidekit.scene.text import (
    as_written,
    line_width_mm,
    misfit,
    paragraphs_of,
    sentences,
    sizes_of,
    text_height_mm,
    words_whole,
)
from slidekit.storyboard.citations import Citations
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.needs import cited_in, cited_on_slides
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.slides import CreditsSlide
from slidekit.wording import phrase

LONGEST_MM = 270.0  # line of an entry: some ninety letters of small type
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
    lists = (
        (phrase("Sources"), references),
        (phrase("Pictures"), dict.fromkeys(pictures)),
        (phrase("Notes"), slide.points),
    )
    return tuple(Credit(heading, words) for heading, all_ in lists for words in all_)


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
    """The items of each page under its title; the cautions stand at the foot of the last."""
    room = content_below(head)
    small = style.sizes["caption"].least_pt
    closing = paragraphs_of(cautions())
    cautions_mm = text_height_mm(closing, room.width_mm, small)
    box = room._replace(top_mm=room.bottom_mm - cautions_mm, height_mm=cautions_mm)
    foot = Text(box, closing, small, style.colors.quiet, "caption", name="Cautions")
    pages = _fewest_pages(entries, room, cautions_mm + GAP_MM, style)
    items: list[list[Item]] = [list(page.texts(style)) for page in pages]
    items[-1].append(foot)
    return items


@dataclass(frozen=True)
class _Page:
    """Entries in the room of one page, at one type size."""

    entries: tuple[Credit, ...]
    room: Box
    size_pt: float
    headings_mm: float

    @property
    def _entries_mm(self) -> float:
        return min(self.room.width_mm - self.headings_mm, LONGEST_MM)

    @property
    def _lists(self) -> Iterator[tuple[str, tuple[Paragraph, ...], float]]:
        """Each heading, the entries beside it, which have air between them, and their height."""
        for heading, listed in groupby(self.entries, key=attrgetter("heading")):
            first, *others = (one for entry in listed for one in paragraphs_of(entry.words))
            gap_pt = ENTRY_GAP_EM * self.size_pt
            words = (first, *(replace(one, space_before_pt=gap_pt) for one in others))
            yield heading, words, text_height_mm(words, self._entries_mm, self.size_pt)

    def fits(self, but_mm: float) -> bool:
        """Whether it leaves so much of the room free, and breaks no word."""
        heights_mm = [height_mm for _, _, height_mm in self._lists]
        needed_mm = sum(heights_mm) + LIST_GAP_MM * (len(heights_mm) - 1)
        words = [one for _, words, _ in self._lists for one in words]
        whole = words_whole(words, self._entries_mm, self.size_pt)
        return whole and needed_mm <= self.room.height_mm - but_mm

    def texts(self, style: Style) -> Iterator[Text]:
        top_mm = self.room.top_mm
        for heading, words, height_mm in self._lists:
            box = Box(self.room.left_mm, top_mm, self.headings_mm, height_mm)
            label, color = as_written(heading, bold=True), style.colors.accent
            yield Text(box, label, self.size_pt, color, "caption", name=heading)
            box = box._replace(left_mm=box.right_mm, width_mm=self._entries_mm)
            name = f"{heading}, entries"
            yield Text(box, words, self.size_pt, style.colors.ink, "caption", name=name)
            top_mm += height_mm + LIST_GAP_MM


def _fewest_pages(
    entries: Sequence[Credit], room: Box, foot_mm: float, style: Style
) -> list[_Page]:
    """As few pages as can be, and on them the largest type that leaves it at that."""
    size = style.sizes["caption"]
    widths_mm = (line_width_mm(one.heading, size.pt, bold=True) for one in entries)
    headings_mm = max(widths_mm, default=0.0) + GAP_MM
    blanks = [_Page((), room, size_pt, headings_mm) for size_pt in sizes_of(size)]
    filled = [_filled(blank, entries, foot_mm) for blank in blanks]
    fitting = [pages for pages in filled if all(page.fits(0.0) for page in pages)]
    if not fitting:
        raise _misfit(entries, blanks[-1])
    return min(fitting, key=len)  # the first of them: the largest type


def _filled(blank: _Page, entries: Sequence[Credit], foot_mm: float) -> list[_Page]:
    """One page after the other; the last one, or one more, has room for the foot."""
    pages = [blank]
    for i, entry in enumerate(entries):
        longer = replace(pages[-1], entries=(*pages[-1].entries, entry))
        is_last = i == len(entries) - 1
        if pages[-1].entries and not longer.fits(foot_mm if is_last else 0.0):
            pages.append(replace(blank, entries=(entry,)))
        else:
            pages[-1] = longer
    return pages if pages[-1].fits(foot_mm) else [*pages, blank]


def _misfit(entries: Sequence[Credit], blank: _Page) -> FitError:
    width_mm = min(blank.room.width_mm - blank.headings_mm, LONGEST_MM)
    texts = [paragraphs_of(one.words) for one in entries]
    longest = max(texts, key=lambda text: text_height_mm(text, width_mm, blank.size_pt))
    room_mm = width_mm, blank.room.height_mm
    return misfit(longest, room_mm, blank.size_pt, "an entry")
