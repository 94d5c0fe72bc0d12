"""The stretch of CT numbers that a strip chart shows, and its ticks."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from slidekit.evidence.materials import Band, Range
from slidekit.scene.asides.plot_field import round_steps
from slidekit.scene.measured import exact
from slidekit.scene.model import Box, Group, Polyline, Shape, Stroke, Text
from slidekit.scene.sights.readings import Answer
from slidekit.scene.text import as_written, line_width_mm
from slidekit.scene.type_units import line_mm
from slidekit.wording import phrase

SHOWN_HU: Range = (-1100.0, 3400.0)
"""A chart shows no more than this, a little beyond the usual 12-bit scale: metals, which reach to
hundreds of thousands, would squeeze everything else into a line."""

LEAST_SPAN_HU = 120.0
MARGIN = 0.08  # of the span, on either side
STRETCH = 2.5  # how far the axis may grow for the sake of excluded candidates
MOST_TICKS = 7
TICK_MM = 1.6


def limits_of(answer: Answer, bands: Sequence[Band]) -> Range:
    """The CT numbers that a chart of some bands shows: all that was measured and all that remains
    possible, and excluded candidates as far as they do not squeeze those too much."""
    samples = answer.statistics
    low, high = samples.least, samples.greatest
    kept = [band.whole for band in bands if answer.may_be(band)]
    low, high = _within(min([low, *(one[0] for one in kept)]), max([high, *(b for _, b in kept)]))
    middle = (low + high) / 2
    half = max(high - low, LEAST_SPAN_HU) / 2
    low, high = middle - half, middle + half
    most = STRETCH * (high - low)
    others = [band.whole for band in bands if not answer.may_be(band)]
    for band in sorted(others, key=lambda one: max(one[0] - high, low - one[1])):
        wider = _within(min(low, band[0]), max(high, band[1]))
        if wider[1] - wider[0] <= most:
            low, high = wider
    spare = MARGIN * (high - low)
    return low - spare, high + spare


def _within(low: float, high: float) -> Range:
    return max(low, SHOWN_HU[0]), min(high, SHOWN_HU[1])


@dataclass(frozen=True)
class Axis:
    """CT numbers from the left edge of a field to its right one."""

    limits: Range
    field: Box
    size_pt: float

    def x_mm(self, hu: float) -> float:
        """Where a CT number stands; those beyond the limits stand at the edge."""
        low, high = self.limits
        share = (min(max(hu, low), high) - low) / (high - low)
        return self.field.left_mm + share * self.field.width_mm

    def is_beyond(self, band: Range) -> tuple[bool, bool]:
        """Whether a band goes on below the left edge, and above the right one."""
        return band[0] < self.limits[0], band[1] > self.limits[1]

    def shows(self, hu: float) -> bool:
        """Whether a CT number lies within the limits."""
        return self.limits[0] <= hu <= self.limits[1]

    @cached_property
    def ticks(self) -> tuple[float, ...]:
        """Round CT numbers, as many as have room for their figures."""
        for most in range(MOST_TICKS, 1, -1):
            ticks = round_steps(*self.limits, most)
            widest = max(line_width_mm(exact(hu), self.size_pt) for hu in ticks)
            if len(ticks) * widest * 1.6 < self.field.width_mm:
                break
        return ticks

    def compose(self, faint: str, plain: str) -> Group:
        """Grid lines over the field in `faint`, base line, ticks and figures in `plain`."""
        field = self.field
        items: list[Shape | Text] = []
        for hu in self.ticks:
            x = self.x_mm(hu)
            ends = ((x, field.top_mm), (x, field.bottom_mm + TICK_MM))
            items.append(Polyline(ends, stroke=Stroke(faint, 0.75)))
            width = line_width_mm(exact(hu), self.size_pt) * 1.05 + 1.0
            place = Box(x - width / 2, field.bottom_mm + TICK_MM, width, line_mm(self.size_pt))
            words = as_written(exact(hu))
            items.append(Text(place, words, self.size_pt, plain, "caption", align="center"))
        base = ((field.left_mm, field.bottom_mm), (field.right_mm, field.bottom_mm))
        items.append(Polyline(base, stroke=Stroke(plain, 1.5)))
        low, high = self.limits
        alt = phrase(
            "Axis of CT numbers from {low} to {high} HU",
            low=exact(round(low)),
            high=exact(round(high)),
        )
        return Group("Axis", alt, tuple(items))


def figures_of(band: Range) -> str:
    """A band in whole HU: "−121 to −32"."""
    return phrase("{low} to {high}", low=exact(_whole(band[0])), high=exact(_whole(band[1])))


def _whole(hu: float) -> float:
    """Whole numbers below a thousand, three digits that count above."""
    step = max(10.0 ** (len(str(int(abs(hu)))) - 3), 1.0)
    return round(hu / step) * step + 0.0
