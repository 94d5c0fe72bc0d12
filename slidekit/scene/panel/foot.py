"""The small print at the foot of a panel: whose pictures, what they are for, what they are not."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, pairwise
from typing import TypeAlias

from slidekit.scene.cautions import ethics, panel_caution
from slidekit.scene.model import Box, Item, Paragraph, Rect, Text
from slidekit.scene.sights.model import Sight
from slidekit.scene.style import Style
from slidekit.scene.text import drawn_height_mm, paragraphs_of, sentences, words_whole
from slidekit.scene.type_units import em_mm, line_mm

LEAST_COLUMN_EM = 13.0  # about 27 letters
LONGEST_LINE_EM = 32.0  # about 65 letters; longer lines must save a line of height
GAP_EM = 1.6  # between columns
RULE_EM = 0.05
RULE_GAP_EM = 0.8

Block: TypeAlias = tuple[Paragraph, ...]


def foot_blocks(sights: Iterable[Sight], references: Sequence[str] = ()) -> tuple[Block, ...]:
    """Credit and rights of each scan once, what is cited, for human remains the code of ethics,
    the cautions."""
    shown = list(sights)
    owners = dict.fromkeys(sentences(sight.credit, sight.rights) for sight in shown)
    remains = [ethics()] if any(sight.human_remains for sight in shown) else []
    texts = ["\n".join(owners), "\n".join(references), *remains, panel_caution()]
    return tuple(paragraphs_of(text) for text in texts if text)


def foot_height_mm(blocks: Sequence[Block], width_mm: float, size_pt: float) -> float:
    """Height of the foot with its rule."""
    columns = _columns(blocks, width_mm, size_pt)
    return (RULE_EM + RULE_GAP_EM) * em_mm(size_pt) + _tallest_mm(columns, size_pt)


def compose_foot(blocks: Sequence[Block], box: Box, size_pt: float, style: Style) -> Iterator[Item]:
    """A fine rule, and the blocks under it in columns."""
    em = em_mm(size_pt)
    yield Rect(box._replace(height_mm=RULE_EM * em), fill=style.colors.quiet)
    left_mm, top_mm = box.left_mm, box.top_mm + (RULE_EM + RULE_GAP_EM) * em
    for paragraphs, width_mm in _columns(blocks, box.width_mm, size_pt):
        place = Box(left_mm, top_mm, width_mm, box.bottom_mm - top_mm)
        yield Text(place, paragraphs, size_pt, style.colors.quiet, "footer")
        left_mm += width_mm + GAP_EM * em


_Column: TypeAlias = tuple[Block, float]  # paragraphs, width in mm


def _columns(blocks: Sequence[Block], width_mm: float, size_pt: float) -> tuple[_Column, ...]:
    """The blocks in order, in as many columns as make the foot low and its lines short."""
    pitch_mm = line_mm(size_pt)

    def cost_mm(columns: tuple[_Column, ...]) -> float:
        widest_mm = max(width_mm for _, width_mm in columns)
        too_long = widest_mm > LONGEST_LINE_EM * em_mm(size_pt)
        return _tallest_mm(columns, size_pt) + (0.9 * pitch_mm if too_long else 0.0)

    return min(_ways(blocks, width_mm, size_pt), key=cost_mm)


def _ways(
    blocks: Sequence[Block], width_mm: float, size_pt: float
) -> Iterator[tuple[_Column, ...]]:
    for breaks in range(len(blocks)):
        for cuts in combinations(range(1, len(blocks)), breaks):
            bounds = (0, *cuts, len(blocks))
            joined = [
                tuple(paragraph for block in blocks[start:end] for paragraph in block)
                for start, end in pairwise(bounds)
            ]
            for widths_mm in _widths(joined, width_mm, size_pt):
                columns = tuple(zip(joined, widths_mm, strict=True))
                if not breaks or all(words_whole(*column, size_pt) for column in columns):
                    yield columns


def _widths(
    columns: Sequence[Block], width_mm: float, size_pt: float
) -> Iterator[tuple[float, ...]]:
    """Alike, and by the length of the texts; one column is as wide as it is."""
    em = em_mm(size_pt)
    free_mm = width_mm - (len(columns) - 1) * GAP_EM * em
    letters = [sum(len(paragraph.plain) for paragraph in column) for column in columns]
    for weights in ([1] * len(columns), letters):
        widths_mm = tuple(free_mm * weight / sum(weights) for weight in weights)
        if len(columns) == 1 or min(widths_mm) >= LEAST_COLUMN_EM * em:
            yield widths_mm


def _tallest_mm(columns: Sequence[_Column], size_pt: float) -> float:
    return max(drawn_height_mm(paragraphs, width_mm, size_pt) for paragraphs, width_mm in columns)
