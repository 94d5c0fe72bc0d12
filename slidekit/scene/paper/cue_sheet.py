"""One sheet for the person who runs the slides: at which words to click, and what appears."""

from collections.abc import Iterator, Sequence

from slidekit.errors import FitError
from slidekit.scene.clock.schedule import Cue, Said, Schedule, Silence, Turn, balance, clock
from slidekit.scene.model import Box, Item, Page, Paragraph, Run
from slidekit.scene.paper.sheet import (
    ACCENT,
    QUIET,
    Imprint,
    head_of,
    numbered,
    room_below,
    set_text,
)
from slidekit.scene.text import drawn_height_mm
from slidekit.wording import figures, phrase

SIZES_PT = (11.0, 10.0, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5)
COLUMN_GAP_MM = 8.0
HEARD_WORDS = 4
"""So many words before a click are enough to know it by."""


def compose_cue_sheet(schedule: Schedule, imprint: Imprint, title: str) -> tuple[Page, ...]:
    """The sheet.

    Raises
    ------
    FitError
        If the clicks do not fit on one sheet.
    """
    head = head_of(phrase("Clicks: {title}", title=title), balance(schedule))
    room = room_below(head)
    blocks = list(_blocks(schedule))
    for size_pt in SIZES_PT:
        for columns in (1, 2):
            if items := _laid_out(blocks, room, size_pt, columns):
                return numbered([(*head, *items)], imprint)
    clicks = sum(len(turn.cues) for turn in schedule.turns)
    raise FitError(
        f"{clicks} clicks on {len(schedule.turns)} slides do not fit on one sheet for the person "
        "who runs the slides",
        "Let several regions appear at one click, or give the talk in two parts",
    )


def _laid_out(
    blocks: Sequence[tuple[Paragraph, ...]], room: Box, size_pt: float, columns: int
) -> tuple[Item, ...]:
    """The blocks in columns, none parted; nothing if they do not fit."""
    width_mm = (room.width_mm - (columns - 1) * COLUMN_GAP_MM) / columns
    items: list[Item] = []
    column, top_mm = 0, room.top_mm
    for block in blocks:
        height_mm = drawn_height_mm(block, width_mm, size_pt)
        if top_mm + height_mm > room.bottom_mm:
            column, top_mm = column + 1, room.top_mm
        if column >= columns or top_mm + height_mm > room.bottom_mm:
            return ()
        left_mm = room.left_mm + column * (width_mm + COLUMN_GAP_MM)
        items.append(set_text(block, (left_mm, top_mm, width_mm), size_pt))
        top_mm += height_mm + 0.18 * size_pt  # half a line
    return tuple(items)


def _blocks(schedule: Schedule) -> Iterator[tuple[Paragraph, ...]]:
    """For each slide its title and clock, then a line for each click, then the last words."""
    for turn in schedule.turns:
        head = (Run(f"{turn.number}  {turn.title}  ", bold=True), Run(clock(turn.start_s)))
        yield (Paragraph(head), *_lines(turn, last=turn is schedule.turns[-1]))


def _lines(turn: Turn, *, last: bool) -> Iterator[Paragraph]:
    heard: list[str] = []
    for piece in (piece for passage in turn.passages for piece in passage.pieces):
        match piece:
            case Said(text=text):
                heard += text.split()
            case Silence(seconds=seconds):
                heard.append(f"[{figures(f'{seconds:g}')} s]")
            case Cue(number=number, appears=appears):
                mark = Run(f"[{number}] ", bold=True, color=ACCENT)
                what = Run(f" {appears}", color=QUIET)
                yield Paragraph((mark, Run(_last(heard)), what))
    word = phrase("end") if last else phrase("next")
    yield Paragraph((Run(f"{word} ", bold=True, color=ACCENT), Run(_last(heard))))


def _last(heard: Sequence[str]) -> str:
    if not heard:
        return phrase("no words")
    return phrase("“… {words}”", words=" ".join(heard[-HEARD_WORDS:]))
