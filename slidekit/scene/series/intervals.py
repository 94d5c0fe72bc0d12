"""A dot on an axis from 0 to 100 % for each count, with its 95 % interval."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from slidekit.scene.model import Box, Group, Item, Polyline, Shape, Stroke, Text
from slidekit.scene.series.rows import Row, case_note, dot_and_line, sources_of
from slidekit.scene.series.track import Track, grid_color
from slidekit.scene.stacks import Sizes, Stack, named, quiet
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, line_width_mm
from slidekit.scene.type_units import line_mm
from slidekit.wording import phrase

LABEL_MM = 100.0  # what a row is called
FIGURES_MM = 64.0  # its numbers
COLUMN_GAP_MM = 8.0
TALLEST_ROW_MM = 30.0
ROW_GAP_MM = 4.0
FOOT_GAP_MM = 3.0
DROP_SHARE = 0.2  # of the room left over: a few rows stand lower than the first line
TICKS = (0, 25, 50, 75, 100)  # percent


@dataclass(frozen=True)
class IntervalChart:
    """The chart at one type size."""

    rows: Sequence[Row]
    room: Box
    sizes: Sizes
    style: Style

    @property
    def needed_mm(self) -> float:
        """The least height: rows, axis and foot."""
        return sum(map(self._row_mm, self.rows)) + self._below_mm

    @property
    def _below_mm(self) -> float:
        return self._axis_mm + FOOT_GAP_MM + self._foot.height_mm

    def items(self) -> tuple[Item, ...]:
        """Axis, then rows from the top down, then the foot."""
        spare = (self.room.height_mm - self.needed_mm) / len(self.rows)
        heights = [self._row_mm(row) for row in self.rows]
        heights = [one + min(spare, max(TALLEST_ROW_MM - one, 0.0)) for one in heights]
        left_over = self.room.height_mm - sum(heights) - self._below_mm
        first = top = self.room.top_mm + DROP_SHARE * left_over
        drawn: list[Item] = []
        for row, height in zip(self.rows, heights, strict=True):
            drawn.append(self._row(row, self.room._replace(top_mm=top, height_mm=height)))
            top += height
        foot_top = self.room.bottom_mm - self._foot.height_mm
        return (self._axis(first, top), *drawn, *self._foot.texts(self.room.left_mm, foot_top))

    @cached_property
    def _track(self) -> Track:
        left = self.room.left_mm + LABEL_MM + COLUMN_GAP_MM
        right = self.room.right_mm - FIGURES_MM - COLUMN_GAP_MM
        return Track(left, right - left, self.style)

    @property
    def _pitch_mm(self) -> float:
        return line_mm(self.sizes.small_pt)

    @property
    def _axis_mm(self) -> float:
        return self._pitch_mm + 4.0

    def _row_mm(self, row: Row) -> float:
        words = (self._label(row).height_mm, self._figures(row).height_mm)
        return max(*words, self._track.height_mm) + ROW_GAP_MM

    def _label(self, row: Row) -> Stack:
        words = as_written(row.called), as_written(row.notes)
        return named(*words, self.sizes, self.style.colors, LABEL_MM, "right")

    def _figures(self, row: Row) -> Stack:
        words = as_written(row.fraction, bold=True), as_written(row.percents)
        return named(*words, self.sizes, self.style.colors, FIGURES_MM)

    def _axis(self, top_mm: float, bottom_mm: float) -> Group:
        stroke = Stroke(grid_color(self.style), 1.0)
        x_mm = self._track.x_mm
        shapes: list[Shape | Text] = []
        for percent in TICKS:
            x = x_mm(percent / 100)
            shapes.append(Polyline(((x, top_mm), (x, bottom_mm + 1.5)), stroke=stroke))
        base = ((x_mm(0), bottom_mm), (x_mm(1), bottom_mm))
        shapes.append(Polyline(base, stroke=Stroke(self.style.colors.quiet, 1.5)))
        shapes += [self._tick(percent, bottom_mm + 2.0) for percent in TICKS]
        whole = dict.fromkeys(row.tally.table.cases_called for row in self.rows)
        alt = phrase("Axis from 0 to 100 % of the {cases}", cases=", ".join(whole))
        return Group("Axis", alt, tuple(shapes))

    def _tick(self, percent: int, top_mm: float) -> Text:
        words = f"{percent}\N{NO-BREAK SPACE}%"
        width = line_width_mm(words, self.sizes.small_pt) * 1.05 + 1.0
        box = Box(self._track.x_mm(percent / 100) - width / 2, top_mm, width, self._pitch_mm)
        quiet = self.style.colors.quiet
        return Text(box, as_written(words), self.sizes.small_pt, quiet, "caption", align="center")

    def _row(self, row: Row, box: Box) -> Group:
        y = box.center_mm[1]
        label, figures = self._label(row), self._figures(row)
        items = (
            *self._track.marks(row, y),
            *label.texts(box.left_mm, y - label.height_mm / 2),
            *figures.texts(self.room.right_mm - FIGURES_MM, y - figures.height_mm / 2),
        )
        return Group(f"Row {row.name}", row.alt, items, row.step)

    @cached_property
    def _foot(self) -> Stack:
        words = " ".join([sources_of(self.rows), dot_and_line(), *case_note(self.rows)])
        colors, width = self.style.colors, self.room.width_mm
        return quiet(words, self.sizes.small_pt, colors, width, name="Source of the series")
