"""A page of terms with their plain words, sorted, in two columns: for a slide or a handout."""

import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil
from typing import TypeAlias

from slidekit.errors import FitError
from slidekit.scene.model import Box, Item, Paragraph, Run, Text
from slidekit.scene.style import Size, Style
from slidekit.scene.text import sizes_of, spaced, text_height_mm, words_whole
from slidekit.storyboard.model import Storyboard
from slidekit.wording import phrase

COLUMN_GAP_MM = 16.0
ENTRY_GAP_EM = 0.5  # between entries, in type sizes
LONGEST_LINE_MM = 250.0  # about 60 letters of body text

Column: TypeAlias = tuple[Paragraph, ...]


@dataclass(frozen=True)
class Entry:
    """A term, what it means, and the slide that uses it first (number and id)."""

    term: str
    plain: str
    page: tuple[int, str] | None = None


def glossary_entries(
    names: Iterable[str], board: Storyboard, met_on: Mapping[str, tuple[int, str]]
) -> tuple[Entry, ...]:
    """The terms named, or all that are used if none is, in the order of the alphabet.

    A term that is not explained to this audience in the talk has its plainest words here: who looks
    it up wants to know.
    """
    terms = {name: board.glossary[name] for name in tuple(names) or met_on}
    found = [
        Entry(
            term.term,
            term.plain.words_for(board.talk.audience) or term.plain.any_words,
            met_on.get(name),
        )
        for name, term in terms.items()
    ]
    return tuple(sorted(found, key=lambda entry: _sorted_as(entry.term)))


def _sorted_as(term: str) -> str:
    """Without accents and large letters, as dictionaries sort."""
    letters = unicodedata.normalize("NFKD", term.casefold())
    return "".join(letter for letter in letters if not unicodedata.combining(letter))


def compose_glossary(box: Box, entries: Sequence[Entry], style: Style) -> list[Item]:
    """The entries from the top of `box`: in one column if they fit so at the size of body text,
    else in two of about one height, at the largest size that fits.

    Raises
    ------
    FitError
        If there is none, or they do not fit at the least size of captions.
    """
    if not entries:
        raise FitError(
            "no slide uses a term of the glossary", "Name its `terms`, or leave the slide out"
        )
    paragraphs = [_paragraph(entry, style) for entry in entries]
    size = Size(pt=style.sizes["body"].pt, least_pt=style.sizes["caption"].least_pt)
    one = (_Setting(min(box.width_mm, LONGEST_LINE_MM), size.pt, 1),)
    width_mm = (box.width_mm - COLUMN_GAP_MM) / 2
    two = (_Setting(width_mm, size_pt, 2) for size_pt in sizes_of(size))
    for setting in (*one, *two):
        columns = setting.columns_of(paragraphs)
        over_mm = setting.height_mm(columns) - box.height_mm
        if over_mm <= 0 and setting.words_whole(columns):
            return [
                Text(
                    box._replace(left_mm=left_mm, width_mm=setting.width_mm),
                    column,
                    setting.size_pt,
                    style.colors.ink,
                    "body",
                    name=f"Glossary {number}",
                )
                for number, (left_mm, column) in enumerate(
                    zip((box.left_mm, box.right_mm - width_mm), columns, strict=False), 1
                )
            ]
    raise FitError(
        f"the glossary needs {ceil(max(over_mm, 1))} mm more height at {size.least_pt:g} pt, the"
        " least size",
        "Name fewer `terms`, or shorten their plain words",
    )


def _paragraph(entry: Entry, style: Style) -> Paragraph:
    runs = [Run(entry.term, bold=True), Run(f" \N{EN DASH} {entry.plain}")]
    if entry.page is not None:
        number, page_id = entry.page
        words = phrase("slide {number}", number=number).replace(" ", "\N{NO-BREAK SPACE}")
        link = Run(words, color=style.colors.accent, link=page_id)
        runs += [Run("\N{NO-BREAK SPACE}\N{MIDDLE DOT}\N{NO-BREAK SPACE}"), link]
    return Paragraph(tuple(runs))


@dataclass(frozen=True)
class _Setting:
    """So many columns of one width and one type size."""

    width_mm: float
    size_pt: float
    most: int

    def columns_of(self, paragraphs: Sequence[Paragraph]) -> list[Column]:
        """One column, or as low as two can be, and the first no shorter."""
        gap_pt = ENTRY_GAP_EM * self.size_pt
        cuts = range(len(paragraphs), 0, -1) if self.most > 1 else (len(paragraphs),)
        tried = [
            [spaced(column, gap_pt) for column in (paragraphs[:cut], paragraphs[cut:]) if column]
            for cut in cuts
        ]
        return min(tried, key=self.height_mm)

    def height_mm(self, columns: Sequence[Column]) -> float:
        """Of the highest column."""
        return max(text_height_mm(column, self.width_mm, self.size_pt) for column in columns)

    def words_whole(self, columns: Sequence[Column]) -> bool:
        """Whether no word has to be broken."""
        return all(words_whole(column, self.width_mm, self.size_pt) for column in columns)
