"""The scale of a timeline: years to millimetres, and the years that are written on it.

Years are astronomical (see `evidence.years`), so the missing year 0 leaves no gap; the years
written are good numbers as people count them: 500 BCE, 1 CE, 500 CE.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import count, dropwhile, pairwise

from slidekit.evidence.dates import Date, Era, say_date
from slidekit.evidence.years import astronomical_year
from slidekit.scene.timeline.places import Span

_GAP_MM = 6.0  # between two years written on the axis
_GOOD_STEPS = (1, 2, 5)
_LEAST_SPAN_YEARS = 10
_ROUND_OUT = 0.06  # of the span: an end this near to a good number is moved out to it
_MARGIN = 0.015  # of the span: otherwise this much stays free at an end


@dataclass(frozen=True)
class Tick:
    """A year that is written on the axis."""

    year: int  # astronomical
    label: str
    label_mm: Span  # where it stands, without the gap to its neighbours


@dataclass(frozen=True)
class Scale:
    """A straight axis: `first` and `last` (astronomical years) stand at its two ends."""

    first: float
    last: float
    left_mm: float
    width_mm: float

    def x_mm(self, year: float) -> float:
        """Where `year` stands, from the left edge of the page."""
        share = (year - self.first) / (self.last - self.first)
        return self.left_mm + share * self.width_mm


def scale_for(
    years: tuple[int, int], room: Span, era: Era, label_width_mm: Callable[[str], float]
) -> tuple[Scale, tuple[Tick, ...]]:
    """The axis that shows `years` (first and last) across `room`, and its ticks.

    The ticks are as many as can be labelled, at the widths that `label_width_mm` says, with room
    to breathe between two labels.
    """
    first, last = _widened(*years)
    hopeless = (last - first) * _GAP_MM / room.width_mm  # even gaps alone would not fit
    for step in dropwhile(lambda step: step < hopeless, _steps()):
        ends = _rounded_out(first, last, step)
        scale = Scale(*ends, room.left_mm, room.width_mm)
        ticks = tuple(_ticks(scale, step, era, label_width_mm))
        if not any(one.label_mm.meets(other.label_mm, _GAP_MM) for one, other in pairwise(ticks)):
            return scale, ticks
    raise AssertionError("a step longer than the axis has no neighbours")


def _widened(first: int, last: int) -> tuple[float, float]:
    lacking = _LEAST_SPAN_YEARS - (last - first)
    return (first - lacking / 2, last + lacking / 2) if lacking > 0 else (first, last)


def _steps() -> Iterator[int]:
    for power in count():
        for step in _GOOD_STEPS:
            yield step * 10**power


def _rounded_out(first: float, last: float, step: int) -> tuple[float, float]:
    """The ends, moved to the next tick where that is near, else a little."""
    span = last - first
    margin, reach = _MARGIN * span, _ROUND_OUT * span
    before = max((year for year in _tick_years(first - reach, first, step)), default=None)
    after = min((year for year in _tick_years(last, last + reach, step)), default=None)
    return (
        first - margin if before is None else before,
        last + margin if after is None else after,
    )


def _tick_years(first: float, last: float, step: int) -> Iterator[int]:
    """Good years of either era from `first` to `last`, ascending; 1 CE parts the eras."""
    most_before = int((1 - first) // step)
    least_before = max(1, int(-((last - 1) // step)))
    for multiple in range(most_before, least_before - 1, -1):
        yield astronomical_year(multiple * step, before=True)
    if step > 1 and first <= 1 <= last:
        yield 1
    for multiple in range(max(1, int(-(-first // step))), int(last // step) + 1):
        yield multiple * step


def _ticks(
    scale: Scale, step: int, era: Era, label_width_mm: Callable[[str], float]
) -> Iterator[Tick]:
    for year in _tick_years(scale.first, scale.last, step):
        label = say_date(Date(year, year), era)
        yield Tick(year, label, _label_span(scale, year, label_width_mm(label)))


def _label_span(scale: Scale, year: int, width_mm: float) -> Span:
    """In the middle under its tick, pushed inside the ends of the axis."""
    most = max(scale.left_mm, scale.left_mm + scale.width_mm - width_mm)
    left = min(max(scale.x_mm(year) - width_mm / 2, scale.left_mm), most)
    return Span(left, left + width_mm)
