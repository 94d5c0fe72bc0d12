"""What closes a handout: terms in plain words, sources, whose the pictures are, cautions."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from slidekit.scene.cautions import cautions
from slidekit.scene.glossary import Entry
from slidekit.scene.model import Item, Paragraph, Run
from slidekit.scene.paper.sheet import CONTENT, HEAD_GAP_MM, head_of, room_below, set_text
from slidekit.scene.text import drawn_height_mm, paragraphs_of
from slidekit.wording import phrase

SIZE_PT = 10.5
ENTRY_GAP_MM = 1.6


@dataclass(frozen=True)
class Chapter:
    """A heading, and what stands below it."""

    heading: str
    entries: tuple[Paragraph, ...]


def chapters_of(terms: Sequence[Entry], owed: Sequence[tuple[str, str]]) -> Iterator[Chapter]:
    """The glossary, the lists of the credits (heading and entry), the cautions."""
    if terms:
        words = tuple(
            Paragraph((Run(entry.term, bold=True), Run(f": {entry.plain}"))) for entry in terms
        )
        yield Chapter(phrase("Terms"), words)
    for heading in dict.fromkeys(heading for heading, _ in owed):
        entries = (one for other, text in owed if other == heading for one in paragraphs_of(text))
        yield Chapter(heading, tuple(entries))
    yield Chapter(phrase("A word of caution"), paragraphs_of(cautions()))


def compose_back_matter(chapters: Sequence[Chapter]) -> Iterator[tuple[Item, ...]]:
    """The chapters one after another over as many sheets as they need; no entry is parted, and no
    heading stands alone at the foot of a sheet."""
    sheet: list[Item] = []
    top_mm = CONTENT.top_mm
    for chapter in chapters:
        for at, entry in enumerate(chapter.entries):
            height_mm = drawn_height_mm([entry], CONTENT.width_mm, SIZE_PT)
            head = _head(chapter, top_mm) if at == 0 else ()
            below_mm = room_below(head).top_mm if head else top_mm
            if sheet and below_mm + height_mm > CONTENT.bottom_mm:
                yield tuple(sheet)
                sheet = []
                head = _head(chapter, CONTENT.top_mm, continued=at > 0)
                below_mm = room_below(head).top_mm
            place_mm = CONTENT.left_mm, below_mm, CONTENT.width_mm
            sheet += [*head, set_text([entry], place_mm, SIZE_PT)]
            top_mm = below_mm + height_mm + ENTRY_GAP_MM
        top_mm += HEAD_GAP_MM
    yield tuple(sheet)


def _head(chapter: Chapter, top_mm: float, *, continued: bool = False) -> tuple[Item, ...]:
    return head_of(chapter.heading, phrase("continued") if continued else "", top_mm)
