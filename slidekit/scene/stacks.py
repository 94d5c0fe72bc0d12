"""Texts of several sizes one below the other: measured together, placed together."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from slidekit.scene.model import Box, Paragraph, Role, Run, Text
from slidekit.scene.text import text_height_mm, words_whole


@dataclass(frozen=True)
class Layer:
    """One text of a stack; an empty one takes no room."""

    paragraphs: Sequence[Paragraph]
    size_pt: float
    color: str
    role: Role


@dataclass(frozen=True)
class Stack:
    """Layers from the top down in one width."""

    layers: tuple[Layer, ...]
    width_mm: float
    align: Literal["left", "right"] = "left"
    name: str = ""

    @property
    def heights_mm(self) -> tuple[float, ...]:
        return tuple(
            text_height_mm(one.paragraphs, self.width_mm, one.size_pt) for one in self.layers
        )

    @property
    def height_mm(self) -> float:
        return sum(self.heights_mm)

    @property
    def words_whole(self) -> bool:
        """Whether no word has to be broken in this width."""
        return all(words_whole(one.paragraphs, self.width_mm, one.size_pt) for one in self.layers)

    def texts(self, left_mm: float, top_mm: float) -> Iterator[Text]:
        """The layers with their top left corner there."""
        for layer, height in zip(self.layers, self.heights_mm, strict=True):
            if layer.paragraphs:
                box = Box(left_mm, top_mm, self.width_mm, height)
                paragraphs = tuple(layer.paragraphs)
                yield Text(
                    box,
                    paragraphs,
                    layer.size_pt,
                    layer.color,
                    layer.role,
                    align=self.align,
                    name=self.name,
                )
            top_mm += height


def line(text: str, *, bold: bool = False) -> tuple[Paragraph, ...]:
    """One paragraph; none for no words."""
    return (Paragraph((Run(text, bold=bold),)),) if text else ()
