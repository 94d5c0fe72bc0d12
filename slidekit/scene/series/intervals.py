"""A dot on an axis from 0 to 100 % for each count, with its 95 % interval."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from slidekit.scene.color import mix
from slidekit.scene.marks import PT_MM
from slidekit.scene.model import Box, Ellipse, Group, Item, Paragraph, Polyline, Shape, Stroke, Text
from slidekit.scene.series.rows import Row, case_note, line, sources_of
from slidekit.scene.style import Style
from slidekit.scene.text import LINE_PITCH_EM, line_width_mm, text_height_mm

LABEL_MM = 100.0  # what a row is called
FIGURES_MM = 64.0  # its numbers
COLUMN_GAP_MM = 8.0
TALLEST_ROW_MM = 30.0
ROW_GAP_MM = 4.0
DROP_SHARE = 0.2  # of the room left over: a few rows stand lower than the first line
DOT_MM = 2.7  # radius
RING_MM = 4.6  # around the dot of a row that has the case of the talk
CAP_MM = 2.2  # half the height of an interval's ends
TICKS = (0, 25, 50, 75, 100)  # percent
QUIET_SHARE = 0.22  # of the text's colour in the lines of the grid


@dataclass(frozen=True)
class IntervalChart:
    """The chart at one type size."""

    rows: Sequence[Row]
    room: Box
    size_pt: float
    small_pt: float
    style: Style

    @property
    def needed_mm(self) -> float:
        """The least height: rows, axis and foot."""
        return sum(map(self._row_mm, self.rows)) + self._axis_mm + self._foot_mm

    def items(self) -> tuple[Item, ...]:
        """Axis, then rows from the top down, then the foot."""
        spare = (self.room.height_mm - self.needed_mm) / len(self.rows)
        heights = [self._row_mm(row) for row in self.rows]
        heights = [one + min(spare, max(TALLEST_ROW_MM - one, 0.0)) for one in heights]
        left_over = self.room.height_mm - sum(heights) - self._axis_mm - self._foot_mm
        first = top = self.room.top_mm + DROP_SHARE * left_over
        drawn: list[Item] = []
        for row, height in zip(self.rows, heights, strict=True):
            drawn.append(self._row(row, self.room._replace(top_mm=top, height_mm=height)))
            top += height
        return (self._axis(first, top), *drawn, self._foot())

    @cached_property
    def _plot(self) -> Box:
        left = self.room.left_mm + LABEL_MM + COLUMN_GAP_MM
        right = self.room.right_mm - FIGURES_MM - COLUMN_GAP_MM
        return Box(left, self.room.top_mm, right - left, self.room.height_mm)

    def _x_mm(self, share: float) -> float:
        return self._plot.left_mm + share * self._plot.width_mm

    @property
    def _pitch_mm(self) -> float:
        return LINE_PITCH_EM * self.small_pt * PT_MM

    @property
    def _axis_mm(self) -> float:
        return self._pitch_mm + 4.0

    @property
    def _grid(self) -> str:
        return mix(self.style.colors.ground, self.style.colors.ink, QUIET_SHARE)

    def _row_mm(self, row: Row) -> float:
        return max(*self._label_mm(row), *self._figures_mm(row), 2 * RING_MM) + ROW_GAP_MM

    def _label_mm(self, row: Row) -> tuple[float, float]:
        called, notes = self._label(row)
        above = text_height_mm(called, LABEL_MM, self.size_pt)
        below = text_height_mm(notes, LABEL_MM, self.small_pt) if notes else 0.0
        return above + below, above

    def _figures_mm(self, row: Row) -> tuple[float, float]:
        above = text_height_mm(line(row.fraction, bold=True), FIGURES_MM, self.size_pt)
        below = text_height_mm(line(row.percents), FIGURES_MM, self.small_pt)
        return above + below, above

    def _label(self, row: Row) -> tuple[tuple[Paragraph, ...], tuple[Paragraph, ...]]:
        return line(row.called), line(row.notes) if row.notes else ()

    def _axis(self, top_mm: float, bottom_mm: float) -> Group:
        stroke = Stroke(self._grid, 1.0)
        shapes: list[Shape | Text] = []
        for percent in TICKS:
            x = self._x_mm(percent / 100)
            shapes.append(Polyline(((x, top_mm), (x, bottom_mm + 1.5)), stroke=stroke))
        base = ((self._x_mm(0), bottom_mm), (self._x_mm(1), bottom_mm))
        shapes.append(Polyline(base, stroke=Stroke(self.style.colors.quiet, 1.5)))
        shapes += [self._tick(percent, bottom_mm + 2.0) for percent in TICKS]
        whole = dict.fromkeys(row.tally.table.cases for row in self.rows)
        alt = f"Axis from 0 to 100 % of the {', '.join(whole)}"
        return Group("Axis", alt, tuple(shapes))

    def _tick(self, percent: int, top_mm: float) -> Text:
        words = f"{percent}\N{NO-BREAK SPACE}%"
        width = line_width_mm(words, self.small_pt) * 1.05 + 1.0
        box = Box(self._x_mm(percent / 100) - width / 2, top_mm, width, self._pitch_mm)
        return Text(
            box, line(words), self.small_pt, self.style.colors.quiet, "caption", align="center"
        )

    def _row(self, row: Row, box: Box) -> Group:
        y = box.center_mm[1]
        texts = (*self._label_texts(row, box), *self._figure_texts(row, box))
        return Group(f"Row {row.name}", row.alt, (*self._marks(row, y), *texts), row.step)

    def _marks(self, row: Row, y: float) -> tuple[Shape, ...]:
        """A faint line across, the interval with its ends, the dot, and the ring."""
        colors = self.style.colors
        low, high = (self._x_mm(end) for end in row.proportion.interval)
        x = self._x_mm(float(row.proportion.share))
        across = Polyline(
            ((self._x_mm(0), y), (self._x_mm(1), y)), stroke=Stroke(self._grid, 0.75, "dash")
        )
        interval = Stroke(colors.ink, 2.5)
        spans = [((low, y), (high, y))]
        spans += [((end, y - CAP_MM), (end, y + CAP_MM)) for end in (low, high)]
        dot = Ellipse(
            (x, y), (DOT_MM, DOT_MM), stroke=Stroke(colors.ground, 1.0), fill=colors.accent
        )
        ring = Ellipse((x, y), (RING_MM, RING_MM), stroke=Stroke(colors.accent, 2.0))
        lines = (Polyline(span, stroke=interval) for span in spans)
        return (across, *lines, dot, *((ring,) if row.case else ()))

    def _label_texts(self, row: Row, box: Box) -> tuple[Text, ...]:
        called, notes = self._label(row)
        whole, above = self._label_mm(row)
        top = box.center_mm[1] - whole / 2
        place = Box(box.left_mm, top, LABEL_MM, above)
        first = Text(place, called, self.size_pt, self.style.colors.ink, "label", align="right")
        if not notes:
            return (first,)
        under = Box(box.left_mm, place.bottom_mm, LABEL_MM, whole - above)
        quiet = self.style.colors.quiet
        return first, Text(under, notes, self.small_pt, quiet, "caption", align="right")

    def _figure_texts(self, row: Row, box: Box) -> tuple[Text, ...]:
        whole, above = self._figures_mm(row)
        left = self.room.right_mm - FIGURES_MM
        place = Box(left, box.center_mm[1] - whole / 2, FIGURES_MM, above)
        under = Box(left, place.bottom_mm, FIGURES_MM, whole - above)
        ink, quiet = self.style.colors.ink, self.style.colors.quiet
        return (
            Text(place, line(row.fraction, bold=True), self.size_pt, ink, "label"),
            Text(under, line(row.percents), self.small_pt, quiet, "caption"),
        )

    @property
    def _foot_words(self) -> tuple[Paragraph, ...]:
        words = (
            f"{sources_of(self.rows)} Dot: share. Line: 95\N{NO-BREAK SPACE}% interval (Wilson)."
        )
        return line(words + case_note(self.rows))

    @property
    def _foot_mm(self) -> float:
        return text_height_mm(self._foot_words, self.room.width_mm, self.small_pt) + 3.0

    def _foot(self) -> Text:
        height = self._foot_mm - 3.0
        box = self.room._replace(top_mm=self.room.bottom_mm - height, height_mm=height)
        quiet = self.style.colors.quiet
        return Text(
            box, self._foot_words, self.small_pt, quiet, "caption", name="Source of the series"
        )
