"""Pages to an editable deck: a .pptx file after ECMA-376 (PresentationML).

python-pptx keeps the presentation: its parts, their names, types and links. What they show is
written by the `deck_*` modules beside, since it has no words for outlines, clicks or sections.
"""

from collections.abc import Sequence
from pathlib import Path

from slidekit.errors import WriteError
from slidekit.scene.model import Page, Text
from slidekit.scene.style import Style
from slidekit.writers.decks.base import Base
from slidekit.writers.decks.media import Media
from slidekit.writers.decks.package import save_package
from slidekit.writers.decks.presentation import DeckFacts, list_sections, new_presentation
from slidekit.writers.decks.shapes import shown_words
from slidekit.writers.decks.slide import add_slides
from slidekit.writers.files import replacing

__all__ = ["DeckFacts", "write_deck"]

_LEAST_MM, _MOST_MM = 25.4, 1422.4  # ST_SlideSizeCoordinate


def write_deck(
    pages: Sequence[Page], path: Path, style: Style, facts: DeckFacts, *, draft: bool = False
) -> None:
    """Write `pages` as the slides of a .pptx file at `path`, replacing it in one move.

    The same pages, style and facts give the same bytes. `draft` packs pictures less tightly, in
    less time; what is seen does not change.

    Raises
    ------
    WriteError
        If there are no pages, if they differ in size, share an id or a title, show no title, or
        link to a page that is not there; or if the file cannot be written.
    """
    _check(pages)
    base = Base(pages, style)
    deck = new_presentation(base, facts)
    add_slides(deck, base, Media(pages, deck.part.package, draft=draft))
    list_sections(deck, pages, facts.title or pages[0].title)
    with replacing(path) as beside:
        save_package(deck.part.package, beside)


def _check(pages: Sequence[Page]) -> None:
    if not pages:
        raise WriteError("The deck has no slides", "Give it at least one slide")
    for page in pages:
        if page.size_mm != pages[0].size_mm:
            raise WriteError(
                f"The slide {page.id!r} is {_size(page)}, the first one {_size(pages[0])}",
                "All slides of a deck have one size",
            )
    if not all(_LEAST_MM <= side <= _MOST_MM for side in pages[0].size_mm):
        raise WriteError(
            f"The slides are {_size(pages[0])}",
            f"A slide's width and height may be {_LEAST_MM:g} to {_MOST_MM:g} mm",
        )
    _check_unique("id", [(page.id, page.id) for page in pages])
    _check_unique("title", [(_shown_title(page), page.id) for page in pages])


def _size(page: Page) -> str:
    width, height = page.size_mm
    return f"{width:.4g} x {height:.4g} mm"


def _shown_title(page: Page) -> str:
    texts = (item for item in page.items if isinstance(item, Text) and item.role == "title")
    words = next((words for text in texts if (words := shown_words(text))), "")
    if not words:
        raise WriteError(
            f"The slide {page.id!r} shows no title",
            "Give it a text of the role title: readers and menus find slides by it",
        )
    return words


def _check_unique(what: str, named: Sequence[tuple[str, str]]) -> None:
    first: dict[str, str] = {}
    for value, page_id in named:
        if value in first:
            raise WriteError(
                f"The slides {first[value]!r} and {page_id!r} have the same {what} {value!r}",
                "No two slides may share it: readers and menus find slides by it",
            )
        first[value] = page_id
