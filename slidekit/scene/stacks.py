"""Texts of several sizes one below the other: measured together, placed together."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

from slidekit.scene.model import Box, Paragraph, Role, Text
from slidekit.scene.palette import Colors
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, text_height_mm, words_whole

SMALLER_PT = 6.0  # what stands below a name

Align: TypeAlias = Literal["left", "right"]


class Sizes(NamedTuple):
    """Type sizes in points: of names, and of what stands below them."""

    name_pt: float
    small_pt: float


def pairs_of_sizes(style: Style, least_pt: float) -> Iterator[Sizes]:
    """The sizes to try for rows of a slide, from those of its text down to `least_pt` for names."""
    small = style.sizes["caption"]
    for size_pt in range(round(style.sizes["body"].pt), round(least_pt) - 1, -1):
        yield Sizes(size_pt, max(min(size_pt - SMALLER_PT, small.pt), small.least_pt))


@dataclass(frozen=True)
class Layer:
    """One text of a stack; one without words takes no room."""

    paragraphs: Sequence[Paragraph]
    size_pt: float
    color: str
    role: Role


@dataclass(frozen=True)
class Stack:
    """Layers from the top down in one width."""

    layers: tuple[Layer, ...]
    width_mm: float
    align: Align = "left"
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

    @property
    def plain(self) -> str:
        return "\n".join(words.plain for one in self.layers for words in one.paragraphs)

    def texts(self, left_mm: float, top_mm: float) -> Iterator[Text]:
        """The layers with their top left corner there."""
        for layer, height in zip(self.layers, self.heights_mm, strict=True):
            if layer.paragraphs:
                box = Box(left_mm, top_mm, self.width_mm, height)
                yield Text(
                    box,
                    tuple(layer.paragraphs),
                    layer.size_pt,
                    layer.color,
                    layer.role,
                    align=self.align,
                    name=self.name,
                )
            top_mm += height


def named(
    name: Sequence[Paragraph],
    below: Sequence[Paragraph],
    sizes: Sizes,
    colors: Colors,
    width_mm: float,
    align: Align = "left",
) -> Stack:
    """What counts, and in small and quiet letters what belongs to it."""
    first = Layer(name, sizes.name_pt, colors.ink, "label")
    return Stack((first, Layer(below, sizes.small_pt, colors.quiet, "caption")), width_mm, align)


def quiet(text: str, size_pt: float, colors: Colors, width_mm: float, name: str = "") -> Stack:
    """Small print: heads, sources."""
    layer = Layer(as_written(text), size_pt, colors.quiet, "caption")
    return Stack((layer,), width_mm, name=name)
