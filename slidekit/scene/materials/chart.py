"""A strip chart: for each candidate its band of CT numbers, crossed by what was measured."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import isinf

import numpy as np

from slidekit.evidence.materials import Band
from slidekit.scene.color import mix
from slidekit.scene.materials.axis import TICK_MM, Axis, figures_of, limits_of
from slidekit.scene.measured import exact
from slidekit.scene.model import (
    Box,
    Group,
    Item,
    Paragraph,
    Polyline,
    Rect,
    Shape,
    Stroke,
    Text,
)
from slidekit.scene.sights.readings import Answer
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, line_width_mm, text_height_mm
from slidekit.scene.type_units import em_mm, line_mm
from slidekit.wording import labelled, phrase, phrase_key

WIDEST_LABEL_MM = 88.0  # of the names
GAP_MM = 5.0
ROW_GAP_MM = 1.2
TALLEST_ROW_MM = 16.0
CURVE_MM = 15.0  # least height of the row of what was measured
TALLEST_CURVE_MM = 24.0
BAR_SHARE = 0.5  # of a row's height
TALLEST_BAR_MM = 6.0
THIN_MM = 0.8  # the least width of what was measured
ARROW_MM = 2.4
GRID_SHARE, STRIP_SHARE, CURVE_SHARE = 0.16, 0.16, 0.45  # of the text's colour in the ground
POINTS = 160  # of the curve
POSSIBLE, EXCLUDED = phrase_key("possible"), phrase_key("excluded")


@dataclass(frozen=True)
class StripChart:
    """The chart at one type size, with some of the candidates of an answer."""

    answer: Answer
    bands: Sequence[Band]  # by rising CT number, from the top down
    room: Box
    size_pt: float
    small_pt: float
    style: Style

    @property
    def needed_mm(self) -> float:
        """The least height."""
        rows = sum(self._name_mm(band.candidate.called) for band in self.bands)
        return self._least_curve_mm + rows + len(self.bands) * ROW_GAP_MM + self._axis_mm

    def items(self) -> tuple[Item, ...]:
        """What was measured behind all rows, the axis, then the rows."""
        return (self._strip(), self._axis(), self._curve(), *map(self._row, self.bands))

    @property
    def _line_mm(self) -> float:
        return line_mm(self.size_pt)

    @property
    def _axis_mm(self) -> float:
        return TICK_MM + line_mm(self.small_pt) + 1.0

    @property
    def _least_curve_mm(self) -> float:
        return max(CURVE_MM, text_height_mm(self._measured_words, self._label_mm, self.size_pt))

    @cached_property
    def _spare_mm(self) -> float:
        """Height for each row, the curve's among them, that they do not need."""
        return max(self.room.height_mm - self.needed_mm, 0.0) / (len(self.bands) + 1)

    @property
    def _curve_mm(self) -> float:
        return min(self._least_curve_mm + self._spare_mm, TALLEST_CURVE_MM)

    def _name_mm(self, called: str) -> float:
        return max(text_height_mm(as_written(called), self._label_mm, self.size_pt), self._line_mm)

    @cached_property
    def _label_mm(self) -> float:
        """Width of the column of names: that of the widest, within bounds."""
        names = [(band.candidate.called, False) for band in self.bands]
        names.append((self.answer.region_called, True))
        widest = max(line_width_mm(name, self.size_pt, bold=bold) for name, bold in names)
        return min(widest * 1.06 + 0.5, WIDEST_LABEL_MM)

    @cached_property
    def _verdict_mm(self) -> float:
        words = (phrase(POSSIBLE), phrase(EXCLUDED))
        return max(line_width_mm(word, self.size_pt, bold=True) for word in words) * 1.05 + 0.5

    @cached_property
    def _figures_mm(self) -> float:
        figures = [self._measured_figures, *(figures_of(band.whole) for band in self.bands)]
        return max(line_width_mm(one, self.small_pt) for one in figures) * 1.05 + 0.5

    @cached_property
    def _places(self) -> dict[str, Box]:
        """The box of each candidate's row across the whole width."""
        top = self.room.top_mm + self._curve_mm
        places = {}
        for band in self.bands:
            least = self._name_mm(band.candidate.called) + ROW_GAP_MM
            height = least + min(self._spare_mm, max(TALLEST_ROW_MM - least, 0.0))
            places[band.candidate.name] = self.room._replace(top_mm=top, height_mm=height)
            top += height
        return places

    @cached_property
    def _scale(self) -> Axis:
        left = self.room.left_mm + self._label_mm + GAP_MM
        right = self.room.right_mm - self._verdict_mm - self._figures_mm - 2 * GAP_MM
        bottom = max(place.bottom_mm for place in self._places.values())
        field = Box(left, self.room.top_mm, right - left, bottom - self.room.top_mm)
        return Axis(limits_of(self.answer, self.bands), field, self.small_pt)

    @property
    def has_arrows(self) -> bool:
        """Whether the axis does not show all bands whole."""
        return any(any(self._scale.is_beyond(band.whole)) for band in self.bands)

    def _tint(self, share: float) -> str:
        return mix(self.style.colors.ground, self.style.colors.ink, share)

    @cached_property
    def _measured_edges(self) -> tuple[float, float]:
        """Where what was measured begins and ends on the page."""
        left, right = map(self._scale.x_mm, self.answer.measured)
        spare = max(THIN_MM - (right - left), 0.0) / 2
        return left - spare, right + spare

    def _strip(self) -> Group:
        """The middle 90 % of the samples, from top to bottom, with an edge where it ends."""
        field, (left, right) = self._scale.field, self._measured_edges
        place = Box(left, field.top_mm, right - left, field.height_mm)
        edges: list[Shape | Text] = [Rect(place, fill=self._tint(STRIP_SHARE))]
        for x, end in zip((left, right), self.answer.measured, strict=True):
            if not isinf(end):
                line = ((x, field.top_mm), (x, field.bottom_mm))
                edges.append(Polyline(line, stroke=Stroke(self.style.colors.ink, 1.25)))
        alt = phrase("Middle 90 % of what was measured: {hu} HU", hu=self._measured_figures)
        return Group("Measured range", alt, tuple(edges))

    def _axis(self) -> Group:
        quiet, line = self.style.colors.quiet, line_mm(self.small_pt)
        axis = self._scale.compose(self._tint(GRID_SHARE), quiet)
        place = Box(self.room.left_mm, self._scale.field.bottom_mm + TICK_MM, self._label_mm, line)
        title = Text(
            place,
            as_written(phrase("CT number, HU")),
            self.small_pt,
            quiet,
            "caption",
            align="right",
        )
        return Group(axis.name, axis.alt, (*axis.items, title))

    @property
    def _measured_words(self) -> tuple[Paragraph, ...]:
        return as_written(self.answer.region_called, bold=True)

    @property
    def _measured_figures(self) -> str:
        low, high = self.answer.measured
        if isinf(high):
            return phrase("{number} or more", number=exact(round(low)))
        if isinf(low):
            return phrase("{number} or less", number=exact(round(high)))
        return figures_of((low, high))

    def _curve(self) -> Group:
        """How the samples are distributed, and what the strip stands for."""
        colors, field = self.style.colors, self._scale.field
        place = self.room._replace(height_mm=self._curve_mm)
        base, height = place.bottom_mm - 1.0, place.height_mm - 2.5
        places_hu = np.linspace(*self._scale.limits, POINTS)
        density = self.answer.group.density(places_hu)
        tops = base - height * density / (density.max() or 1.0)
        points = [(self._scale.x_mm(x), float(y)) for x, y in zip(places_hu, tops, strict=True)]
        outline = ((field.left_mm, base), *points, (field.right_mm, base))
        curve = Polyline(
            outline, closed=True, stroke=Stroke(colors.ink, 1.25), fill=self._tint(CURVE_SHARE)
        )
        figures = self._figures(place, self._measured_figures, colors.ink)
        verdict = self._verdict(place, phrase("measured"), colors.ink)
        label = self._label(place, self._measured_words, colors.ink)
        n = self.answer.statistics.n
        alt = phrase(
            "Measured in {region}: {n} samples, of which the middle 90 % are {hu} HU",
            region=self.answer.region_called,
            n=n,
            hu=self._measured_figures,
        )
        return Group("Measured", alt, (curve, label, verdict, figures))

    def _row(self, band: Band) -> Group:
        place, possible = self._places[band.candidate.name], self.answer.may_be(band)
        colors = self.style.colors
        color = colors.ink if possible else colors.quiet
        word = phrase(POSSIBLE if possible else EXCLUDED)
        figures = figures_of(band.whole)
        items = (
            *self._bar(band, place, possible=possible),
            self._label(place, as_written(band.candidate.called), color),
            self._verdict(place, word, color, bold=possible),
            self._figures(place, figures, color),
        )
        alt = labelled(band.candidate.called, f"{figures} HU, {word}")
        return Group(f"Candidate {band.candidate.name}", alt, items)

    def _bar(self, band: Band, place: Box, *, possible: bool) -> Iterator[Shape]:
        """A whisker over the whole band, a bar over what is calculated: filled if possible, hollow
        and dashed if excluded. An arrow where the axis does not reach."""
        y = place.center_mm[1]
        color = self.style.colors.accent if possible else self.style.colors.quiet
        half = min(BAR_SHARE * place.height_mm, TALLEST_BAR_MM) / 2
        stroke = Stroke(color, 1.5) if possible else Stroke(color, 1.5, "dash")
        fill = color if possible else self.style.colors.ground
        below, above = self._scale.is_beyond(band.whole)
        left, right = map(self._scale.x_mm, band.whole)
        if right > left:
            yield Polyline(((left, y), (right, y)), stroke=Stroke(color, 1.5))
        for x in (self._scale.x_mm(hu) for hu in band.whole if self._scale.shows(hu)):
            yield Polyline(((x, y - half / 2), (x, y + half / 2)), stroke=Stroke(color, 1.5))
        low, high = map(self._scale.x_mm, band.calculated)
        low += ARROW_MM if below else 0.0
        high -= ARROW_MM if above else 0.0
        if high - low > 0.2:
            box = Box(low, y - half, high - low, 2 * half)
            yield Rect(box, stroke=stroke, fill=fill)
        if below:
            yield _arrow(self._scale.field.left_mm, y, 1.0, (color, fill))
        if above:
            yield _arrow(self._scale.field.right_mm, y, -1.0, (color, fill))

    def _label(self, place: Box, words: tuple[Paragraph, ...], color: str) -> Text:
        height = text_height_mm(words, self._label_mm, self.size_pt)
        top = place.center_mm[1] - height / 2
        box = Box(place.left_mm, top, self._label_mm, height)
        return Text(box, words, self.size_pt, color, "caption", align="right")

    def _verdict(self, place: Box, word: str, color: str, *, bold: bool = False) -> Text:
        left = self._scale.field.right_mm + GAP_MM
        top = place.center_mm[1] - self._line_mm / 2
        box = Box(left, top, self._verdict_mm, self._line_mm)
        return Text(box, as_written(word, bold=bold), self.size_pt, color, "caption")

    def _figures(self, place: Box, figures: str, color: str) -> Text:
        line = line_mm(self.small_pt)
        left = self.room.right_mm - self._figures_mm
        # both lines of type stand on one base line
        top = place.center_mm[1] - self._line_mm / 2 + 0.78 * em_mm(self.size_pt - self.small_pt)
        box = Box(left, top, self._figures_mm, line)
        return Text(box, as_written(figures), self.small_pt, color, "caption", align="right")


def _arrow(x_mm: float, y_mm: float, inward: float, colors: tuple[str, str]) -> Polyline:
    """A tip at the edge of the field; `inward`: 1 at the left edge, -1 at the right one."""
    color, fill = colors
    base = x_mm + inward * ARROW_MM
    points = ((x_mm, y_mm), (base, y_mm - ARROW_MM * 0.75), (base, y_mm + ARROW_MM * 0.75))
    return Polyline(points, closed=True, stroke=Stroke(color, 1.5), fill=fill)
