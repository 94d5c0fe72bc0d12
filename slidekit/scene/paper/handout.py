"""Slides on paper, one to six on a sheet, with the words, a summary, or lines to write on."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from slidekit.errors import FitError
from slidekit.scene.compose import Told
from slidekit.scene.enlarge import enlarged
from slidekit.scene.frame import PAGE_MM
from slidekit.scene.model import Box, Item, Page, Paragraph, Polyline, Rect, Stroke
from slidekit.scene.paper.sheet import (
    CONTENT,
    RULE,
    set_text,
)
from slidekit.scene.text import drawn_height_mm, paragraphs_of, spaced

Beside: TypeAlias = Literal["words", "summary", "lines"]
_Words: TypeAlias = tuple[Paragraph, ...]

GAP_MM = 6.0
ASPECT = PAGE_MM[0] / PAGE_MM[1]
WORDS_PT = (11.0, 10.0, 9.0, 8.5, 8.0)
PARAGRAPH_GAP = 0.4  # of the type size
LINE_PITCH_MM = 8.0
LEAST_LINES = 5
WIDTHS = (1.0, 0.9, 0.8, 0.7)  # of one of two slides on a sheet, as shares of the sheet's


@dataclass(frozen=True)
class _Place:
    """Where one slide and what belongs to it go on a sheet."""

    slide: Box
    beside: Box


def compose_handout(
    told: Sequence[Told], pages: Sequence[Page], per_sheet: int, beside: Beside
) -> Iterator[tuple[Item, ...]]:
    """The sheets, of 1, 2, 3 or 6 slides; `pages` are those of `told` with their pictures.

    Raises
    ------
    FitError
        If the words of a slide do not fit beside it.
    """
    words = [_words(one, beside) for one in told]
    places = _two_places(words, beside) if per_sheet == 2 else _places(per_sheet)
    turns = (turn for one in told for turn in (one, *[None] * len(one.more)))
    pairs = list(zip(turns, pages, strict=True))
    for first in range(0, len(pairs), per_sheet):
        items: list[Item] = []
        for (one, page), place in zip(pairs[first : first + per_sheet], places, strict=False):
            items += small_page(page, place.slide)
            if one is not None:  # a page on which it goes on has no words of its own
                items += _beside(one, place.beside, beside)
        yield tuple(items)


def small_page(page: Page, box: Box) -> Iterator[Item]:
    """The slide as it is after its last click, drawn small: letters stay letters."""
    factor = box.width_mm / page.size_mm[0]
    yield Rect(box, fill=page.ground, stroke=Stroke(RULE, 0.5))
    for item in page.items:
        yield enlarged(item, factor, (box.left_mm, box.top_mm))


def _places(per_sheet: int) -> list[_Place]:
    if per_sheet == 1:
        return [_below(CONTENT, CONTENT.width_mm, GAP_MM)]
    if per_sheet == 6:
        return [_below(cell, cell.width_mm, 1.5) for cell in _cells(3, 2)]
    return [_at_the_side(cell) for cell in _cells(per_sheet, 1)]


def _two_places(words: Sequence[_Words], beside: Beside) -> list[_Place]:
    """Two slides as wide as leaves room for the words of each below it; small, with the words
    beside them, if no width does."""
    cells = _cells(2, 1)
    for share in WIDTHS:
        places = [_below(cell, share * cell.width_mm, 3.0) for cell in cells]
        room = places[0].beside
        if beside == "lines":
            fits = room.height_mm >= LEAST_LINES * LINE_PITCH_MM
        else:
            fits = all(_height_mm(one, room, WORDS_PT[1]) <= room.height_mm for one in words)
        if fits:
            return places
    return [_at_the_side(cell) for cell in cells]


def _cells(rows: int, columns: int) -> list[Box]:
    width_mm = (CONTENT.width_mm - (columns - 1) * GAP_MM) / columns
    height_mm = (CONTENT.height_mm - (rows - 1) * GAP_MM) / rows
    return [
        Box(
            CONTENT.left_mm + column * (width_mm + GAP_MM),
            CONTENT.top_mm + row * (height_mm + GAP_MM),
            width_mm,
            height_mm,
        )
        for row in range(rows)
        for column in range(columns)
    ]


def _below(cell: Box, width_mm: float, gap_mm: float) -> _Place:
    slide = cell._replace(width_mm=width_mm, height_mm=width_mm / ASPECT)
    top_mm = slide.bottom_mm + gap_mm
    return _Place(slide, cell._replace(top_mm=top_mm, height_mm=cell.bottom_mm - top_mm))


def _at_the_side(cell: Box) -> _Place:
    slide = Box(cell.left_mm, cell.top_mm, 0.52 * cell.width_mm, 0.52 * cell.width_mm / ASPECT)
    left_mm = slide.right_mm + GAP_MM
    return _Place(slide, cell._replace(left_mm=left_mm, width_mm=cell.right_mm - left_mm))


def _words(told: Told, beside: Beside) -> _Words:
    """What is printed with a slide; nothing where lines are ruled."""
    text = told.summary if beside == "summary" else told.speech.text
    return paragraphs_of(text) if beside != "lines" else ()


def _height_mm(words: _Words, box: Box, size_pt: float) -> float:
    return drawn_height_mm(spaced(words, PARAGRAPH_GAP * size_pt), box.width_mm, size_pt)


def _beside(told: Told, box: Box, beside: Beside) -> tuple[Item, ...]:
    words = _words(told, beside)
    if not words:
        return tuple(_ruled(box)) if beside == "lines" else ()
    for size_pt in WORDS_PT:
        if _height_mm(words, box, size_pt) <= box.height_mm:
            place = (box.left_mm, box.top_mm, box.width_mm)
            return (set_text(spaced(words, PARAGRAPH_GAP * size_pt), place, size_pt),)
    raise FitError(
        f"the {beside} of slide `{told.slide.id}` do not fit beside it",
        "Put fewer slides on a sheet (--per-sheet 1), or take the summary (--beside summary)",
    )


def _ruled(box: Box) -> Iterator[Polyline]:
    top_mm = box.top_mm + LINE_PITCH_MM
    while top_mm <= box.bottom_mm:
        ends = (box.left_mm, top_mm), (box.right_mm, top_mm)
        yield Polyline(ends, stroke=Stroke(RULE, 0.5))
        top_mm += LINE_PITCH_MM
