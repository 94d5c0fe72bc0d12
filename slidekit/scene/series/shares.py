"""The shares of a series for a column of a printed panel: name and numbers above each axis."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf

from slidekit.scene.asides.column import Lettering
from slidekit.scene.model import Box, Group, Shape, Text
from slidekit.scene.series.rows import Row, case_note, dot_and_line, sources_of
from slidekit.scene.series.track import Track
from slidekit.scene.stacks import Sizes, Stack, named, quiet
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, line_width_mm
from slidekit.scene.type_units import line_mm
from slidekit.wording import phrase

ROW_GAP_MM = 3.5
FIGURES_GAP_MM = 5.0
LEAST_NAME_SHARE = 0.4  # of the width


@dataclass(frozen=True)
class Shares:
    """Rows one below the other, the two ends of the axis, and where the cases come from."""

    rows: tuple[Row, ...]

    def height_mm(self, width_mm: float, lettering: Lettering, style: Style) -> float:
        """Height at these sizes; infinite where a name has too little width beside its numbers."""
        set_ = _SetShares(self.rows, width_mm, lettering, style)
        return set_.height_mm if set_.is_wide_enough else inf

    def compose(self, box: Box, lettering: Lettering, style: Style) -> Sequence[Group]:
        """A group for each row, and one for what explains them."""
        return tuple(_SetShares(self.rows, box.width_mm, lettering, style).groups(box))


@dataclass(frozen=True)
class _SetShares:
    rows: tuple[Row, ...]
    width_mm: float
    lettering: Lettering
    style: Style

    @property
    def is_wide_enough(self) -> bool:
        names = [self._name(row) for row in self.rows]
        enough = self._name_mm >= LEAST_NAME_SHARE * self.width_mm
        return enough and all(name.words_whole for name in names) and self._source.words_whole

    @property
    def height_mm(self) -> float:
        rows = sum(map(self._row_mm, self.rows)) + ROW_GAP_MM * len(self.rows)
        return rows + self._line_mm + self._source.height_mm

    def groups(self, box: Box) -> Iterator[Group]:
        track = Track(box.left_mm, self.width_mm, self.style)
        top = box.top_mm
        for row in self.rows:
            name, figures = self._name(row), self._figures(row)
            y = top + self._words_mm(row) + track.height_mm / 2
            items = (
                *name.texts(box.left_mm, top),
                *figures.texts(box.left_mm + self._name_mm + FIGURES_GAP_MM, top),
                *track.marks(row, y),
            )
            yield Group(f"Row {row.name}", row.alt, items)
            top += self._row_mm(row) + ROW_GAP_MM
        yield Group("Axis and source", self._alt, tuple(self._foot(box, top - ROW_GAP_MM)))

    def _foot(self, box: Box, top_mm: float) -> Iterator[Shape | Text]:
        quiet, small = self.style.colors.quiet, self.lettering.small_pt
        place = Box(box.left_mm, top_mm, self.width_mm, self._line_mm)
        first, last = (as_written(f"{percent}\N{NO-BREAK SPACE}%") for percent in (0, 100))
        yield Text(place, first, small, quiet, "caption")
        yield Text(place, last, small, quiet, "caption", align="right")
        yield from self._source.texts(box.left_mm, top_mm + self._line_mm + ROW_GAP_MM)

    @property
    def _alt(self) -> str:
        return f"{phrase('Axis: 0 to 100 %.')} {self._source.plain}"

    @property
    def _line_mm(self) -> float:
        return line_mm(self.lettering.small_pt)

    def _row_mm(self, row: Row) -> float:
        return self._words_mm(row) + Track(0.0, self.width_mm, self.style).height_mm

    def _words_mm(self, row: Row) -> float:
        return max(self._name(row).height_mm, self._figures(row).height_mm)

    @cached_property
    def _figures_mm(self) -> float:
        size, small = self.lettering.size_pt, self.lettering.small_pt
        widths = [
            width
            for row in self.rows
            for width in (
                line_width_mm(row.fraction, size, bold=True),
                line_width_mm(row.percents, small),
            )
        ]
        return max(widths) * 1.03 + 0.4

    @property
    def _name_mm(self) -> float:
        return self.width_mm - self._figures_mm - FIGURES_GAP_MM

    @property
    def _sizes(self) -> Sizes:
        return Sizes(self.lettering.size_pt, self.lettering.small_pt)

    def _name(self, row: Row) -> Stack:
        words = as_written(row.called), as_written(row.notes)
        return named(*words, self._sizes, self.style.colors, self._name_mm)

    def _figures(self, row: Row) -> Stack:
        words = as_written(row.fraction, bold=True), as_written(row.percents)
        return named(*words, self._sizes, self.style.colors, self._figures_mm, "right")

    @property
    def _source(self) -> Stack:
        note = case_note(self.rows, on_panel=True)
        words = " ".join([sources_of(self.rows), dot_and_line(), *note])
        return quiet(words, self.lettering.small_pt, self.style.colors, self.width_mm)
