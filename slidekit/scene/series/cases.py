"""One mark for each case of a series: those that have it, those that have not, and this one."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil

from slidekit.evidence.counts.tables import Case
from slidekit.scene.color import mix
from slidekit.scene.model import Box, Ellipse, Group, Item, Shape, Stroke, Text
from slidekit.scene.series.rows import Row, sources_of
from slidekit.scene.stacks import Layer, Sizes, Stack, quiet
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, line_width_mm
from slidekit.scene.type_units import line_mm
from slidekit.wording import phrase

LARGEST_PITCH_MM = 15.0  # from mark to mark
LEAST_PITCH_MM = 4.0  # smaller marks cannot be counted from the back row
TEN_GAP_SHARE = 0.5  # of the pitch, after every tenth mark
MARK_SHARE = 0.38  # of the pitch: radius of a mark
RING_SHARE = 1.25  # of a mark's radius: the ring around the case of the talk
STRIP_GAP_MM = 7.0
FIGURES_SHARE = 0.55  # of the width, at most, at the right of the head of a strip
QUIET_SHARE = 0.24  # of the text's colour in the marks of cases that have it not
SAMPLE_MM = 2.2  # radius in the legend


@dataclass(frozen=True)
class CaseChart:
    """The chart at one type size."""

    rows: Sequence[Row]
    room: Box
    sizes: Sizes
    style: Style

    @property
    def needed_mm(self) -> float:
        """The least height: heads, marks and foot."""
        marks = sum(self._marks_mm(row, LEAST_PITCH_MM) for row in self.rows)
        return self._texts_mm + marks

    def items(self) -> tuple[Item, ...]:
        """A strip for each count, then the legend."""
        pitch = self._pitch_mm()
        drawn: list[Item] = []
        top = self.room.top_mm
        for row in self.rows:
            drawn.append(self._strip(row, top, pitch))
            top += self._head_mm(row) + self._marks_mm(row, pitch) + STRIP_GAP_MM
        return (*drawn, *self._foot())

    def _pitch_mm(self) -> float:
        """The largest at which all marks have room."""
        for tenths in range(int(LARGEST_PITCH_MM * 10), int(LEAST_PITCH_MM * 10), -1):
            marks = sum(self._marks_mm(row, tenths / 10) for row in self.rows)
            if self._texts_mm + marks <= self.room.height_mm:
                return tenths / 10
        return LEAST_PITCH_MM

    @property
    def _texts_mm(self) -> float:
        heads = sum(self._head_mm(row) + STRIP_GAP_MM for row in self.rows)
        return heads + self._foot_mm

    def _per_line(self, pitch_mm: float) -> int:
        """Whole tens with a gap between them, so that a line can be counted at a glance."""
        gap = TEN_GAP_SHARE * pitch_mm
        return int((self.room.width_mm + gap) / (10 * pitch_mm + gap)) * 10

    def _marks_mm(self, row: Row, pitch_mm: float) -> float:
        sorting = row.tally.sorting
        count = len(sorting.known) + len(sorting.unknown)
        return ceil(count / self._per_line(pitch_mm)) * pitch_mm

    def _head_mm(self, row: Row) -> float:
        """What the strip is called at the left, its numbers at the right."""
        return max(stack.height_mm for stack in self._head(row)) + 1.5

    def _head(self, row: Row) -> tuple[Stack, Stack]:
        left, right = self._head_widths_mm
        notes = f" ({row.notes})" if row.notes else ""
        called, figures = as_written(f"{row.called}{notes}"), as_written(_figures(row), bold=True)
        size_pt, ink = self.sizes.name_pt, self.style.colors.ink
        return (
            Stack((Layer(called, size_pt, ink, "label"),), left),
            Stack((Layer(figures, size_pt, ink, "label"),), right, "right"),
        )

    @cached_property
    def _head_widths_mm(self) -> tuple[float, float]:
        figures = [_figures(row) for row in self.rows]
        widest = max(line_width_mm(words, self.sizes.name_pt, bold=True) for words in figures)
        right = min(widest * 1.03 + 1.0, FIGURES_SHARE * self.room.width_mm)
        return self.room.width_mm - right - 4.0, right

    def _strip(self, row: Row, top_mm: float, pitch_mm: float) -> Group:
        called, figures = self._head(row)
        texts = (
            *called.texts(self.room.left_mm, top_mm),
            *figures.texts(self.room.right_mm - figures.width_mm, top_mm),
        )
        marks = self._marks(row, top_mm + self._head_mm(row), pitch_mm)
        return Group(f"Cases {row.name}", row.alt, (*texts, *marks), row.step)

    def _marks(self, row: Row, top_mm: float, pitch_mm: float) -> Iterator[Shape]:
        """Those that have it first; the case of the talk first of all that are like it."""
        this_case = row.tally.table.this_case
        at = 0
        for kind, cases in _kinds_of(row).items():
            for case in sorted(cases, key=lambda case: case.name != this_case):
                across, down = at % self._per_line(pitch_mm), at // self._per_line(pitch_mm)
                tens = across // 10 * TEN_GAP_SHARE
                center = (
                    self.room.left_mm + (across + tens + 0.5) * pitch_mm,
                    top_mm + (down + 0.5) * pitch_mm,
                )
                yield from self._mark(
                    kind, center, MARK_SHARE * pitch_mm, ringed=case.name == this_case
                )
                at += 1

    def _mark(
        self, kind: str, center: tuple[float, float], radius_mm: float, *, ringed: bool
    ) -> tuple[Shape, ...]:
        colors = self.style.colors
        pale = mix(colors.ground, colors.ink, QUIET_SHARE)
        radii = (radius_mm, radius_mm)
        if kind == "unknown":
            inner = (radius_mm - 0.3, radius_mm - 0.3)
            mark = Ellipse(center, inner, stroke=Stroke(colors.quiet, 1.0))
        else:
            mark = Ellipse(center, radii, fill=colors.accent if kind == "having" else pale)
        if not ringed:
            return (mark,)
        around = radius_mm * RING_SHARE
        return mark, Ellipse(center, (around, around), stroke=Stroke(colors.ink, 2.25))

    @property
    def _legend(self) -> list[tuple[str, bool, str]]:
        """Kind of mark, whether ringed, and what it means."""
        entries = [("having", False, phrase("has it")), ("lacking", False, phrase("has it not"))]
        if any(row.proportion.missing for row in self.rows):
            entries.append(("unknown", False, phrase("not known")))
        rings = {case: kind for row in self.rows for kind, case in _ring_of(row)}
        entries += [
            (kind, True, phrase("{case} of this talk", case=case)) for case, kind in rings.items()
        ]
        return entries

    @property
    def _legend_mm(self) -> float:
        return line_mm(self.sizes.small_pt)

    @property
    def _source(self) -> Stack:
        brackets = phrase("In brackets: 95\N{NO-BREAK SPACE}% interval (Wilson).")
        words = f"{sources_of(self.rows)} {brackets}"
        colors, width = self.style.colors, self.room.width_mm
        return quiet(words, self.sizes.small_pt, colors, width, name="Source of the series")

    @property
    def _foot_mm(self) -> float:
        return self._source.height_mm + self._legend_mm + 2.0

    def _foot(self) -> Iterator[Item]:
        color = self.style.colors.quiet
        top = self.room.bottom_mm - self._foot_mm
        x = self.room.left_mm + SAMPLE_MM * 1.3
        samples: list[Shape | Text] = []
        for kind, ringed, words in self._legend:
            center = (x, top + self._legend_mm / 2)
            samples += self._mark(kind, center, SAMPLE_MM, ringed=ringed)
            width = line_width_mm(words, self.sizes.small_pt) * 1.03 + 1.0
            box = Box(x + SAMPLE_MM * RING_SHARE + 2.0, top, width, self._legend_mm)
            samples.append(Text(box, as_written(words), self.sizes.small_pt, color, "caption"))
            x = box.right_mm + 8.0
        meanings = "; ".join(words for _, _, words in self._legend)
        yield Group("Legend", phrase("Legend: {meanings}", meanings=meanings), tuple(samples))
        source = self._source
        yield from source.texts(self.room.left_mm, self.room.bottom_mm - source.height_mm)


def _figures(row: Row) -> str:
    return f"{row.fraction} · {row.percents}"


def _kinds_of(row: Row) -> dict[str, tuple[Case, ...]]:
    sorting = row.tally.sorting
    return {"having": sorting.having, "lacking": sorting.lacking, "unknown": sorting.unknown}


def _ring_of(row: Row) -> Iterator[tuple[str, str]]:
    """The kind and the name of the case of the talk, if the row has it."""
    for kind, cases in _kinds_of(row).items():
        yield from ((kind, case.name) for case in cases if case.name == row.tally.table.this_case)
