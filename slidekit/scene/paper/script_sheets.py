"""The script in large type: the words at the right, at the left what is on the screen after each
click. Each slide begins a sheet; no sheet ends inside a sentence."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import FitError
from slidekit.scene.clock.schedule import Cue, Schedule, Turn, times_in_words
from slidekit.scene.frame import PAGE_MM
from slidekit.scene.model import Box, Item, Page, Paragraph, Picture, Rect, Run, Stroke, Text
from slidekit.scene.paper.sentences import Sentence, sentences_of
from slidekit.scene.paper.sheet import (
    ACCENT,
    MARGIN_MM,
    QUIET,
    RULE,
    Imprint,
    head_of,
    numbered,
    room_below,
    set_text,
)
from slidekit.scene.text import drawn_height_mm
from slidekit.scene.type_units import MM_PER_PT
from slidekit.scene.typeset import set_lines
from slidekit.wording import phrase

Thumbnail: TypeAlias = Callable[[int, int], NDArray[np.uint8]]
"""A small picture of a slide, by its number, after so many clicks."""

SIZE_PT = 20.0
PARAGRAPH_GAP_PT = 9.0
THUMB_WIDTH_MM = 54.0
THUMB_HEIGHT_MM = THUMB_WIDTH_MM * PAGE_MM[1] / PAGE_MM[0]
THUMB_GAP_MM = 3.0
GUTTER_MM = 7.0
LABEL_PT = 9.0


def compose_script(schedule: Schedule, imprint: Imprint, thumbnail: Thumbnail) -> tuple[Page, ...]:
    """The sheets of a talk.

    Raises
    ------
    FitError
        If a sentence is longer than a sheet.
    """
    sheets = [sheet for turn in schedule.turns for sheet in _sheets_of(turn, schedule, thumbnail)]
    return numbered(sheets, imprint)


def _sheets_of(turn: Turn, schedule: Schedule, thumbnail: Thumbnail) -> Iterator[tuple[Item, ...]]:
    sheet = _Sheet(turn, _head(turn, schedule), 0)
    for passage in turn.passages:
        fresh = True  # this sentence begins a paragraph
        for sentence in sentences_of(passage):
            longer = sheet.with_sentence(sentence, fresh)
            if not longer.fits and sheet.paragraphs:
                yield sheet.items(thumbnail)
                longer = sheet.following().with_sentence(sentence, True)
            if not longer.fits:
                raise FitError(
                    f"slide `{turn.slide}` has a sentence that does not fit on a sheet of paper",
                    "Make two sentences of it",
                )
            sheet, fresh = longer, False
    yield sheet.items(thumbnail)


def _head(turn: Turn, schedule: Schedule) -> tuple[Item, ...]:
    data = "\n".join((times_in_words(turn, schedule), *turn.asides))
    return head_of(f"{turn.number}. {turn.title}", data)


@dataclass(frozen=True)
class _Sheet:
    """One sheet while it fills; `clicks`: made before its first word."""

    turn: Turn
    head: tuple[Item, ...]
    clicks: int
    paragraphs: tuple[tuple[Sentence, ...], ...] = ()

    def with_sentence(self, sentence: Sentence, fresh: bool) -> "_Sheet":
        *before, last = self.paragraphs if self.paragraphs and not fresh else (*self.paragraphs, ())
        return replace(self, paragraphs=(*before, (*last, sentence)))

    def following(self) -> "_Sheet":
        """The next sheet of the same slide, empty."""
        made = self.clicks + len(self._cues)
        return _Sheet(
            self.turn, head_of(f"{self.turn.number}. {self.turn.title}", phrase("continued")), made
        )

    @property
    def fits(self) -> bool:
        bottom_mm = room_below(self.head).bottom_mm
        return max(box.bottom_mm for box in self._boxes) <= bottom_mm

    def items(self, thumbnail: Thumbnail) -> tuple[Item, ...]:
        thumbs = [
            item
            for (clicks, appears), top_mm in zip(self._states, self._tops_mm, strict=True)
            for item in _thumb(thumbnail(self.turn.number, clicks), top_mm, clicks, appears)
        ]
        return (*self.head, self._text, *thumbs)

    @property
    def _cues(self) -> list[Cue]:
        return [cue for row in self.paragraphs for sentence in row for cue in sentence.clicks]

    @property
    def _states(self) -> list[tuple[int, str]]:
        """What is to be seen: at the top of the sheet, and after each click."""
        return [(self.clicks, ""), *((cue.number, cue.appears) for cue in self._cues)]

    @cached_property
    def _text(self) -> Text:
        room = room_below(self.head)
        left_mm = room.left_mm + THUMB_WIDTH_MM + GUTTER_MM
        rows = tuple(
            Paragraph(
                tuple(run for sentence in row for run in sentence.runs),
                space_before_pt=PARAGRAPH_GAP_PT if at else 0.0,
            )
            for at, row in enumerate(self.paragraphs)
        )
        return set_text(rows, (left_mm, room.top_mm, room.right_mm - left_mm), SIZE_PT)

    @cached_property
    def _tops_mm(self) -> list[float]:
        """Where each state stands: at its line, or below the one before it."""
        marks = {f"[{cue.number}]": cue for cue in self._cues}
        lines_mm = {
            run.part_of.strip(): line.baseline_mm - SIZE_PT * MM_PER_PT
            for line in set_lines(self._text)
            for run in line.runs
            if run.part_of.strip() in marks
        }
        tops_mm = [room_below(self.head).top_mm]
        for (_, appears), cue in zip(self._states, self._cues, strict=False):
            below_mm = tops_mm[-1] + _height_mm(appears) + THUMB_GAP_MM
            tops_mm.append(max(lines_mm.get(f"[{cue.number}]", below_mm), below_mm))
        return tops_mm

    @property
    def _boxes(self) -> list[Box]:
        last_mm = _height_mm(self._states[-1][1])
        return [self._text.box, Box(0, self._tops_mm[-1], THUMB_WIDTH_MM, last_mm)]


def _thumb(pixels: NDArray[np.uint8], top_mm: float, clicks: int, appears: str) -> tuple[Item, ...]:
    box = Box(MARGIN_MM, top_mm, THUMB_WIDTH_MM, THUMB_HEIGHT_MM)
    picture = Picture(box, pixels, seen_after(clicks), f"After click {clicks}")
    frame = Rect(box, stroke=Stroke(RULE, 0.5))
    if not appears:
        return picture, frame
    place_mm = box.left_mm, box.bottom_mm + 0.5, THUMB_WIDTH_MM
    return picture, frame, set_text(_label(clicks, appears), place_mm, LABEL_PT, color=QUIET)


def seen_after(clicks: int) -> str:
    """What a small picture shows, for those who do not see it."""
    if clicks:
        return phrase("The slide after click {number}", number=clicks)
    return phrase("The slide before the first click")


def _label(clicks: int, appears: str) -> tuple[Paragraph, ...]:
    return (Paragraph((Run(f"[{clicks}] ", bold=True, color=ACCENT), Run(appears))),)


def _height_mm(appears: str) -> float:
    """Of a small picture and what is written below it."""
    if not appears:
        return THUMB_HEIGHT_MM
    return THUMB_HEIGHT_MM + 0.5 + drawn_height_mm(_label(99, appears), THUMB_WIDTH_MM, LABEL_PT)
