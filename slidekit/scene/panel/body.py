"""The text of a panel in its columns, with what stands below it or beside it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from slidekit.scene.model import Box, Item, Paragraph, Text
from slidekit.scene.panel.gallery import Setting
from slidekit.scene.panel.supplements import Supplement, supplement_items, supplement_mm
from slidekit.scene.panel.text import SHORTEST_LINE, set_column, set_columns
from slidekit.scene.panel.type_sizes import measure_mm
from slidekit.scene.text import words_whole
from slidekit.scene.type_units import em_mm

GAP_EM = 1.2  # between the text and what stands below it, and among that

Way: TypeAlias = Literal["below", "beside"]
"""Where supplements stand, seen from the text."""

Halves: TypeAlias = tuple[Box, Box]


@dataclass(frozen=True)
class Words:
    """What a panel says below its headline, besides its pictures and their captions."""

    body: tuple[Paragraph, ...]
    supplements: tuple[Supplement, ...] = ()

    @property
    def ways(self) -> tuple[Way, ...]:
        return ("below", "beside") if self.supplements else ("below",)


@dataclass(frozen=True)
class Body:
    """Text and supplements in their places."""

    texts: tuple[Text, ...]
    placed: tuple[tuple[Supplement, Box], ...] = ()

    @property
    def bottom_mm(self) -> float:
        """Infinite where a supplement has too little width."""
        boxes = [*(text.box for text in self.texts), *(box for _, box in self.placed)]
        return max(box.bottom_mm for box in boxes)

    @property
    def columns(self) -> int:
        """How many columns stand beside each other."""
        boxes = [*(text.box for text in self.texts), *(box for _, box in self.placed)]
        return len({box.left_mm for box in boxes})

    @property
    def words_whole(self) -> bool:
        return all(words_whole(t.paragraphs, t.box.width_mm, t.size_pt) for t in self.texts)

    def items(self, setting: Setting) -> Iterator[Item]:
        """In reading order."""
        yield from self.texts
        for supplement, box in self.placed:
            yield from supplement_items(supplement, box, setting)


def body_in_column(words: Words, column: Box, setting: Setting) -> Body:
    """Everything in one column, from its top down."""
    texts = set_column(words.body, column, setting.type.body_pt, setting.style)
    return Body(texts, _stacked(words.supplements, _under(texts, column, setting), setting))


def body_in_halves(words: Words, halves: Halves, room: Box, setting: Setting, way: Way) -> Body:
    """The text in two columns if they hold lines of good length, with the supplements below it;
    or the text in the left half and the supplements in the right one."""
    size_pt, style = setting.type.body_pt, setting.style
    left, right = halves
    if way == "beside" and left.width_mm >= measure_mm(words.body, size_pt, SHORTEST_LINE):
        texts = set_column(words.body, left, size_pt, style)
        return Body(texts, _stacked(words.supplements, right, setting))
    texts = set_columns(words.body, halves, room, size_pt, style)
    below = _under(texts, room, setting)
    if len(words.supplements) == 2:
        one, other = words.supplements
        top_mm = below.top_mm
        sides = (_stacked([s], half._replace(top_mm=top_mm), setting)
                 for s, half in ((one, left), (other, right)))  # fmt: skip
        return Body(texts, tuple(placed for side in sides for placed in side))
    return Body(texts, _stacked(words.supplements, below, setting))


def _under(texts: Sequence[Text], room: Box, setting: Setting) -> Box:
    bottom_mm = max(text.box.bottom_mm for text in texts)
    return room._replace(top_mm=bottom_mm + GAP_EM * em_mm(setting.type.body_pt))


def _stacked(
    supplements: Sequence[Supplement], column: Box, setting: Setting
) -> tuple[tuple[Supplement, Box], ...]:
    """Supplements one below the other from the top of a column."""
    placed = []
    top_mm = column.top_mm
    for supplement in supplements:
        height_mm = supplement_mm(supplement, column.width_mm, setting)
        placed.append((supplement, column._replace(top_mm=top_mm, height_mm=height_mm)))
        top_mm += height_mm + GAP_EM * em_mm(setting.type.body_pt)
    return tuple(placed)
