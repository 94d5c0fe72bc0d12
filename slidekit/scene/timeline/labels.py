"""The labels of a timeline: their words, and how wide and high they are in so many lines."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from slidekit.scene.fonts import kept_with_fonts
from slidekit.scene.model import Paragraph, Run
from slidekit.scene.text import line_width_mm, text_height_mm
from slidekit.scene.type_units import line_mm

_RESERVE = 1.02  # the same that `text_height_mm` keeps for other programs' rounding
_SLACK_MM = 0.3
_NARROWER_MM = 0.25  # the search for a width ends here


@dataclass(frozen=True)
class Label:
    """Words, and the box they need."""

    paragraphs: tuple[Paragraph, ...]
    width_mm: float
    height_mm: float

    def padded(self, across_mm: float, down_mm: float) -> "Label":
        """With so much free on all sides, for a plate under the words."""
        return replace(
            self,
            width_mm=self.width_mm + 2 * across_mm,
            height_mm=self.height_mm + 2 * down_mm,
        )


def words_of(name: str, date: str, *, bold: bool, date_color: str | None) -> tuple[Paragraph, ...]:
    """The name, and under it the date, which stays on one line; "" leaves it out."""
    words = (Paragraph((Run(" ".join(name.split()), bold=bold),)),)
    if not date:
        return words
    unbroken = date.replace(" ", "\N{NO-BREAK SPACE}")
    return (*words, Paragraph((Run(unbroken, color=date_color),)))


@kept_with_fonts(4096)
def label_in(paragraphs: tuple[Paragraph, ...], size_pt: float, most_lines: int) -> Label | None:
    """The narrowest box in which the words take at most so many lines; None if they take more.

    No word is broken.
    """
    if len(paragraphs) > most_lines:
        return None
    most_mm = most_lines * line_mm(size_pt) + 1e-6
    wide = _RESERVE * max(_width_mm(one, size_pt) for one in paragraphs) + _SLACK_MM
    narrow = _RESERVE * max(_widest_word_mm(one, size_pt) for one in paragraphs) + _SLACK_MM
    if text_height_mm(paragraphs, narrow, size_pt) <= most_mm:
        wide = narrow
    while wide - narrow > _NARROWER_MM:
        tried = (narrow + wide) / 2
        if text_height_mm(paragraphs, tried, size_pt) <= most_mm:
            wide = tried
        else:
            narrow = tried
    return Label(paragraphs, wide, text_height_mm(paragraphs, wide, size_pt))


def labels_in(
    texts: Sequence[tuple[Paragraph, ...]], size_pt: float, most_lines: int
) -> list[Label] | None:
    """A label for each text, or None if one of them takes more lines."""
    labels = [label_in(text, size_pt, most_lines) for text in texts]
    found = [label for label in labels if label is not None]
    return found if len(found) == len(labels) else None


def _width_mm(paragraph: Paragraph, size_pt: float) -> float:
    return sum(line_width_mm(run.text, size_pt, bold=run.bold) for run in paragraph.runs)


def _widest_word_mm(paragraph: Paragraph, size_pt: float) -> float:
    return max(
        line_width_mm(word, size_pt, bold=run.bold)
        for run in paragraph.runs
        for word in run.text.split(" ")
    )
