"""Clicks spread over slides: for handouts, and for readers that show a deck without clicks."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from slidekit.scene.model import Group, Item, Page, Paragraph, Run, Text
from slidekit.scene.style import Size
from slidekit.scene.text import fit_size_pt
from slidekit.wording import phrase

_LEAST_SHARE = 0.8  # of the title's size, whatever room "(2 of 4)" needs


@dataclass(frozen=True)
class _Part:
    """Which of the slides made from one page."""

    number: int  # from 1
    of: int
    step: int  # the last click whose groups are there

    @property
    def mark(self) -> str:
        return phrase("({number} of {count})", number=self.number, count=self.of)


def spread(pages: Sequence[Page]) -> tuple[Page, ...]:
    """Each page as one page for each of its steps, the first before any click.

    Groups appear where their step says and stay. The first page of a row keeps the id (links lead
    to it), the section and the notes; the titles count the parts. Page numbers stay as they were
    composed, so that they still are the numbers of the script.

    Raises
    ------
    FitError
        If the count finds no room beside a title.
    """
    taken = {page.id for page in pages}
    return tuple(part for page in pages for part in _parts(page, taken))


def after_clicks(page: Page, clicks: int) -> Page:
    """The page as it is seen after so many clicks."""
    return replace(page, items=tuple(item for item in page.items if _is_there(item, clicks)))


def _parts(page: Page, taken: set[str]) -> Iterator[Page]:
    steps = [0, *sorted({item.step for item in page.items if isinstance(item, Group)} - {0})]
    if len(steps) == 1:
        yield page
        return
    for number, step in enumerate(steps, 1):
        part = _Part(number, len(steps), step)
        shown = replace(page, title=f"{page.title} {part.mark}", items=_items(page, part))
        if number == 1:
            yield shown
            continue
        notes = phrase("(continued)") if page.notes else ""
        yield replace(shown, id=_free_id(f"{page.id}-{number}", taken), notes=notes, section="")


def _free_id(wanted: str, taken: set[str]) -> str:
    while wanted in taken:
        wanted += "-"
    taken.add(wanted)
    return wanted


def _items(page: Page, part: _Part) -> tuple[Item, ...]:
    return tuple(_counted(item, page, part) for item in page.items if _is_there(item, part.step))


def _is_there(item: Item, step: int) -> bool:
    return not isinstance(item, Group) or item.step <= step


def _counted(item: Item, page: Page, part: _Part) -> Item:
    match item:
        case Group():
            return replace(item, step=0)
        case Text(role="title"):
            return _counted_title(item, page.id, part)
        case _:
            return item


def _counted_title(title: Text, page_id: str, part: _Part) -> Text:
    *before, last = title.paragraphs or (Paragraph(()),)
    look = replace(last.runs[-1], link=None) if last.runs else Run("")
    counted = replace(last, runs=(*last.runs, replace(look, text=f" {part.mark}")))
    paragraphs = (*before, counted)
    room = title.box.inset(*title.inset_mm)
    size_pt = fit_size_pt(
        paragraphs,
        room.width_mm,
        room.height_mm,
        Size(pt=title.size_pt, least_pt=ceil(_LEAST_SHARE * title.size_pt)),
        f"the title of slide {page_id}, followed by {part.mark},",
    )
    return replace(title, paragraphs=paragraphs, size_pt=size_pt)
