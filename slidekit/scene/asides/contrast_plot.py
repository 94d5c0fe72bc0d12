"""How the values of two regions are distributed, as a plot of native shapes: a dark field like the
picture's, a curve for each region in its mark, and the difference in numbers below."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import inf

import numpy as np

from slidekit.scene.asides.column import Lettering
from slidekit.scene.asides.plot_field import (
    ASPECT,
    AXIS_PT,
    CURVE_PT,
    GRID,
    HALO_PT,
    LEAST_EM,
    LOWEST_EM,
    TICK_MM,
    TICKS_ACROSS,
    round_steps,
    ticks_below,
)
from slidekit.scene.model import (
    Box,
    Group,
    Paragraph,
    Point,
    Polyline,
    Rect,
    Run,
    Shape,
    Stroke,
    Text,
)
from slidekit.scene.sights.model import Cast, PlacedRegion
from slidekit.scene.sights.readings import PlacedContrast
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, line_width_mm, text_height_mm
from slidekit.scene.type_units import em_mm, line_mm
from slidekit.wording import phrase

POINTS = 128  # of a curve
TALL = 0.78  # of the field's height: the taller curve; its letter stands above
FIRST, SECOND = "\N{OBJECT REPLACEMENT CHARACTER}", "\N{REPLACEMENT CHARACTER}"
"""Where letters stand in a translated title."""


@dataclass(frozen=True)
class ContrastPlot:
    """Two measured regions and what their comparison says."""

    contrast: PlacedContrast
    regions: tuple[PlacedRegion, PlacedRegion]  # as in the contrast

    @property
    def names(self) -> tuple[str, ...]:
        """No region: the key explains them."""
        return ()

    def height_mm(self, cast: Cast, width_mm: float, lettering: Lettering) -> float:
        """Height at these sizes; infinite where the width is too small."""
        em = em_mm(lettering.size_pt)
        if width_mm < LEAST_EM * em:
            return inf
        field = min(ASPECT * width_mm, LOWEST_EM * em)
        return self._head_mm(cast, width_mm, lettering) + field + self._foot_mm(width_mm, lettering)

    def _head_mm(self, cast: Cast, width_mm: float, lettering: Lettering) -> float:
        title = text_height_mm(self._title(cast), width_mm, lettering.small_pt)
        return title + 0.3 * em_mm(lettering.size_pt)

    def _foot_mm(self, width_mm: float, lettering: Lettering) -> float:
        line = line_mm(lettering.small_pt)
        return TICK_MM + line + 1.2 + text_height_mm(self._summary, width_mm, lettering.small_pt)

    def _title(self, cast: Cast) -> tuple[Paragraph, ...]:
        unit = self.contrast.unit
        places = {"first": FIRST, "second": SECOND}
        words = phrase("Values in {first} and {second}", **places)
        if unit == "HU":
            words = phrase("CT numbers in {first} and {second}", **places)
        before, rest = words.split(FIRST)
        between, after = rest.split(SECOND)
        first, second = (Run(cast.letters[one.name], bold=True) for one in self.regions)
        end = Run(f"{after}, {unit}" if unit else after)
        return (Paragraph((Run(before), first, Run(between), second, end)),)

    @cached_property
    def _summary(self) -> tuple[Paragraph, ...]:
        say = self.contrast.say
        overlap = phrase("{effect}; overlap {share}", effect=say("effect"), share=say("overlap"))
        lines = (phrase("Difference {difference}", difference=say("")), overlap)
        return tuple(Paragraph((Run(line[0].upper() + line[1:]),)) for line in lines)

    def compose(
        self, cast: Cast, box: Box, lettering: Lettering, style: Style
    ) -> tuple[Group, ...]:
        """One group, on the click of the later region."""
        small = lettering.small_pt
        head = self._head_mm(cast, box.width_mm, lettering)
        foot = self._foot_mm(box.width_mm, lettering)
        height = min(box.height_mm - head - foot, ASPECT * box.width_mm)
        field = Box(box.left_mm, box.top_mm + head, box.width_mm, height)
        said = text_height_mm(self._summary, box.width_mm, small)
        below = Box(box.left_mm, field.bottom_mm + foot - said, box.width_mm, said)
        title = box._replace(height_mm=head)
        items = (
            Text(title, self._title(cast), small, style.colors.ink, "key"),
            *self._axis(field, small, style),
            *self._curves(cast, field, lettering, style),
            Text(below, self._summary, small, style.colors.ink, "key"),
        )
        letters = [cast.letters[one.name] for one in self.regions]
        step = max(cast.steps.get(one.name, 0) for one in self.regions)
        name = f"Contrast {' and '.join(letters)}: {self.contrast.called}"
        return (Group(name, self._alt(letters), items, step),)

    def _alt(self, letters: list[str]) -> str:
        pairs = zip(letters, self.regions, strict=True)
        first, second = (f"{letter}, {region.called}" for letter, region in pairs)
        return phrase(
            "Plot of how the values in {first} and {second} are distributed. {said}",
            first=first,
            second=second,
            said="; ".join(line.plain for line in self._summary),
        )

    @cached_property
    def _ends(self) -> tuple[float, float]:
        contrast = self.contrast.contrast
        ends = (*contrast.first.reach, *contrast.second.reach)
        return min(ends), max(ends)

    def _x_mm(self, value: float, field: Box) -> float:
        low, high = self._ends
        return field.left_mm + (value - low) / (high - low) * field.width_mm

    def _axis(self, field: Box, size_pt: float, style: Style) -> Iterator[Shape | Text]:
        yield Rect(field, fill=style.colors.halo)
        ticks = round_steps(*self._ends, TICKS_ACROSS)
        for value in ticks:
            x = self._x_mm(value, field)
            yield Polyline(((x, field.top_mm), (x, field.bottom_mm)), stroke=GRID)
        ends = ((field.left_mm, field.bottom_mm), (field.right_mm, field.bottom_mm))
        yield Polyline(ends, stroke=Stroke(style.colors.quiet, AXIS_PT))
        yield from ticks_below(
            ticks, lambda x: self._x_mm(x, field), field, field.left_mm, size_pt, style
        )

    def _curves(
        self, cast: Cast, field: Box, lettering: Lettering, style: Style
    ) -> Iterator[Shape | Text]:
        """Each curve over its halo, and its letter above its peak."""
        values = np.linspace(*self._ends, POINTS)
        groups = (self.contrast.contrast.first, self.contrast.contrast.second)
        densities = [group.density(values) for group in groups]
        tallest = max(float(density.max()) for density in densities)
        line = line_mm(lettering.size_pt)
        for region, density in zip(self.regions, densities, strict=True):
            heights = TALL * field.height_mm * density / tallest
            points: tuple[Point, ...] = tuple(
                (self._x_mm(value, field), float(field.bottom_mm - height))
                for value, height in zip(values, heights, strict=True)
            )
            color, dash = region.mark.color, region.mark.dash
            yield Polyline(points, stroke=Stroke(style.colors.halo, HALO_PT))
            yield Polyline(points, stroke=Stroke(color, CURVE_PT, dash))
            x, y = points[int(density.argmax())]
            letter = cast.letters[region.name]
            width = line_width_mm(letter, lettering.size_pt, bold=True) * 1.1 + 0.6
            left = min(max(x - width / 2, field.left_mm), field.right_mm - width)
            place = Box(left, max(y - line - 0.4, field.top_mm), width, line)
            words = as_written(letter, bold=True)
            yield Text(place, words, lettering.size_pt, color, "key", align="center")
