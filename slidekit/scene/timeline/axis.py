"""The scale of a timeline: years to millimetres, and the years that are written on it.

Years are astronomical (see `evidence.years`), so the missing year 0 leaves no gap; the years
written are good numbers as people count them: 500 BCE, 1 CE, 500 CE. An axis may have stretches
that are compressed; within each, a millimetre stands for the same number of years throughout.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import count, dropwhile, pairwise
from math import ceil, floor

from slidekit.evidence.dates.spoken import say_date
from slidekit.evidence.dates.words import Manner
from slidekit.evidence.dates.years import Date, Day, astronomical_year, date_of_days, days_in
from slidekit.scene.timeline.places import Span
from slidekit.scene.timeline.stretches import Scale, Stretch, stretched

__all__ = ["Extent", "Scale", "Stretch", "Tick", "scale_for"]

_GAP_MM = 6.0  # between two years written on the axis
_GOOD_MONTHS = (1, 2, 3, 6)
_GOOD_YEARS = (1, 2, 5)
_LEAST_SPAN = {False: 10.0, True: 1.0}  # years of an axis; True: days are known
_ROUND_OUT = 0.06  # of the span: an end this near to a good number is moved out to it
_MARGIN = 0.015  # of the span: otherwise this much stays free at an end
_FUTURE = 2100  # years from here on are not written for the sake of a round end
_OPEN_MM = 10.0  # beyond the years that are known, for what goes on
_ZOOMED_MM = 3.0  # at an end that is compressed


@dataclass(frozen=True)
class Extent:
    """What the axis must show, as astronomical years: all of it, and what to show larger."""

    first: float
    last: float
    in_days: bool = False
    opens: tuple[bool, bool] = (False, False)  # whether something goes on beyond either end
    zooms: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Tick:
    """A year (or month) that is written on the axis."""

    year: float
    label: str
    label_mm: Span  # where it stands, without the gap to its neighbours


def scale_for(
    years: Extent, room: Span, manner: Manner, label_width_mm: Callable[[str], float]
) -> tuple[Scale, tuple[Tick, ...]]:
    """The axis that shows `years` across `room`, and its ticks.

    The ticks are as many as can be labelled, at the widths that `label_width_mm` says, with room
    to breathe between two labels.

    Raises
    ------
    FitError
        If there is nothing beside the zoomed years that could be compressed.
    """
    first, last = _widened(years)
    writer = _Writer(room, manner, label_width_mm, 1 if years.in_days else 12)
    pads = [_OPEN_MM if is_open else _ZOOMED_MM * bool(years.zooms) for is_open in years.opens]
    inner = Span(room.left_mm + pads[0], room.right_mm - pads[1])
    if years.zooms:
        scale = Scale(stretched((first, last), years.zooms, inner), room)
        return scale, writer.ticks_of_stretches(scale)
    for months in _steps_from(first, last, inner, writer.least_months):
        ends = _rounded_out(first, last, months)
        scale = Scale((Stretch(*ends, inner.left_mm, inner.width_mm),), room)
        ticks = tuple(writer.ticks(scale, scale.stretches[0], months))
        if not _crowded(ticks):
            return scale, ticks
    raise AssertionError("a step longer than the axis has no neighbours")


def _widened(years: Extent) -> tuple[float, float]:
    first, last = years.first, years.last
    lacking = _LEAST_SPAN[years.in_days] - (last - first)
    return (first - lacking / 2, last + lacking / 2) if lacking > 0 else (first, last)


def _steps_from(first: float, last: float, room: Span, least: int) -> Iterator[int]:
    """Good steps, in months, from the `least` on; those with which not even gaps would fit are
    left out."""
    hopeless = max((last - first) * 12 * _GAP_MM / room.width_mm, least)
    return dropwhile(lambda months: months < hopeless, _steps())


def _steps() -> Iterator[int]:
    yield from _GOOD_MONTHS
    for power in count():
        for step in _GOOD_YEARS:
            yield 12 * step * 10**power


def _rounded_out(first: float, last: float, months: int) -> tuple[float, float]:
    """The ends, moved to the next tick where that is near, else a little."""
    span = last - first
    margin, reach = _MARGIN * span, _ROUND_OUT * span
    before = max(_tick_years(first - reach, first, months), default=None)
    most = last + reach if last + reach < _FUTURE else max(last, _FUTURE)
    after = min(_tick_years(last, most, months), default=None)
    return (
        first - margin if before is None else before,
        last + margin if after is None else after,
    )


def _tick_years(first: float, last: float, months: int) -> Iterator[float]:
    """Good years of either era from `first` to `last`, ascending; 1 CE parts the eras."""
    if months < 12:
        for month in range(floor(first) * 12, ceil(last + 1) * 12, months):
            at = Day(month // 12, month % 12 + 1, 1).position
            if first <= at <= last:
                yield at
        return
    step = months // 12
    most_before = int((1 - first) // step)
    least_before = max(1, int(-((last - 1) // step)))
    for multiple in range(most_before, least_before - 1, -1):
        yield astronomical_year(multiple * step, before=True)
    if step > 1 and first <= 1 <= last:
        yield 1
    for multiple in range(max(1, int(-(-first // step))), int(last // step) + 1):
        yield multiple * step


def _crowded(ticks: Sequence[Tick]) -> bool:
    return any(one.label_mm.meets(other.label_mm, _GAP_MM) for one, other in pairwise(ticks))


@dataclass(frozen=True)
class _Writer:
    """Ticks with their labels."""

    room: Span
    manner: Manner
    label_width_mm: Callable[[str], float]
    least_months: int  # of a step

    def ticks(self, scale: Scale, stretch: Stretch, months: int) -> Iterator[Tick]:
        for year in _tick_years(stretch.first, stretch.last, months):
            label = self._label(year, months)
            yield Tick(year, label, self._span(scale.x_mm(year), self.label_width_mm(label)))

    def ticks_of_stretches(self, scale: Scale) -> tuple[Tick, ...]:
        """First those of what is zoomed at, with one step; then as many as fit between them."""
        zoomed = [one for one in scale.stretches if not one.compressed]
        widest = max(zoomed, key=lambda one: one.width_mm)
        for months in _steps_from(
            widest.first, widest.last, Span(0, widest.width_mm), self.least_months
        ):
            ticks = [tick for one in zoomed for tick in self.ticks(scale, one, months)]
            if not _crowded(ticks):
                break
        for stretch in scale.stretches:
            if stretch.compressed:
                ticks += self._between(scale, stretch, ticks)
        return tuple(sorted(ticks, key=lambda tick: tick.year))

    def _between(self, scale: Scale, stretch: Stretch, taken: Sequence[Tick]) -> list[Tick]:
        """The most ticks of a stretch that leave each other, and those `taken`, room."""
        best: list[Tick] = []
        room = Span(stretch.left_mm, stretch.left_mm + stretch.width_mm)
        for months in _steps_from(stretch.first, stretch.last, room, self.least_months):
            free = [
                tick
                for tick in self.ticks(scale, stretch, months)
                if not any(tick.label_mm.meets(other.label_mm, _GAP_MM) for other in taken)
            ]
            if not _crowded(free) and len(free) > len(best):
                best = free
            if months > 12 * max(stretch.last - stretch.first, 1):
                break
        return best

    def _label(self, year: float, months: int) -> str:
        if months >= 12:
            return say_date(Date(round(year), round(year)), self.manner)
        month = round((year - floor(year)) * 12) + 1
        first = Day(floor(year), month, 1)
        return say_date(
            date_of_days(first, first._replace(day=days_in(first.year, month))), self.manner
        )

    def _span(self, x_mm: float, width_mm: float) -> Span:
        """In the middle under its tick, pushed inside the ends of the axis."""
        most = max(self.room.left_mm, self.room.right_mm - width_mm)
        left = min(max(x_mm - width_mm / 2, self.room.left_mm), most)
        return Span(left, left + width_mm)
