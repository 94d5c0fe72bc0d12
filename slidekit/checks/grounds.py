"""Which colour lies behind each text of a page."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from slidekit.scene.model import Box, Group, Item, Page, Picture, Rect, Shape, Text


@dataclass(frozen=True)
class PlacedText:
    """A text and the colour that it stands on."""

    text: Text
    ground: str


def placed_texts(page: Page) -> Iterator[PlacedText]:
    """All texts of a page, back to front, but those that lie on a picture without a plate of their
    own: what is behind them has no one colour."""
    below: list[tuple[Box, str | None]] = []
    for item in _flat(page.items):
        if isinstance(item, Text):
            ground = item.fill or _ground_of(item.box, below, page.ground)
            if ground is not None:
                yield PlacedText(item, ground)
            if item.fill:
                below.append((item.box, item.fill))
        elif isinstance(item, Rect) and item.fill:
            below.append((item.box, item.fill))
        elif isinstance(item, Picture):
            below.append((item.box, None))


def _flat(items: Sequence[Item]) -> Iterator[Text | Picture | Shape]:
    for item in items:
        if isinstance(item, Group):
            yield from _flat(item.items)
        else:
            yield item


def _ground_of(box: Box, below: Sequence[tuple[Box, str | None]], page: str) -> str | None:
    """The last thing drawn that holds the middle of the text."""
    x, y = box.center_mm
    for under, fill in reversed(below):
        if under.left_mm <= x <= under.right_mm and under.top_mm <= y <= under.bottom_mm:
            return fill
    return page
