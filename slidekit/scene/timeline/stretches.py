"""An axis of stretches: what matters is drawn larger, the rest is compressed."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from slidekit.errors import FitError
from slidekit.scene.timeline.places import Span

_LEAST_MM = 26.0  # of a compressed stretch: room for one year under it
_MOST_SHARE = 0.3  # of the axis, for all that is compressed
_LEAST_FACTOR = 1.4  # what is compressed less is not worth a break
_RIM = 0.04  # of what is zoomed at, on either side of it


@dataclass(frozen=True)
class Stretch:
    """A part of the axis in which years are equally long."""

    first: float  # astronomical years
    last: float
    left_mm: float
    width_mm: float
    compressed: bool = False

    @property
    def right_mm(self) -> float:
        return self.left_mm + self.width_mm

    @property
    def mm_per_year(self) -> float:
        return self.width_mm / (self.last - self.first)


@dataclass(frozen=True)
class Scale:
    """An axis of one stretch or several, from left to right, in `room`.

    At its ends the axis may reach beyond the years of its stretches; none is written there.
    """

    stretches: tuple[Stretch, ...]
    room: Span

    @property
    def left_mm(self) -> float:
        return self.room.left_mm

    @property
    def right_mm(self) -> float:
        return self.room.right_mm

    @property
    def compressed(self) -> tuple[Stretch, ...]:
        return tuple(one for one in self.stretches if one.compressed)

    @property
    def factors(self) -> tuple[float, ...]:
        """How many times closer years stand in each compressed stretch than in the others."""
        plain = max(one.mm_per_year for one in self.stretches)
        return tuple(plain / one.mm_per_year for one in self.compressed)

    def x_mm(self, year: float) -> float:
        """Where `year` stands, from the left edge of the page."""
        within = next((one for one in self.stretches if year <= one.last), self.stretches[-1])
        return within.left_mm + (year - within.first) * within.mm_per_year


def stretched(
    whole: tuple[float, float], zooms: Sequence[tuple[float, float]], room: Span
) -> tuple[Stretch, ...]:
    """The axis from the first to the last year of `whole` with `zooms` drawn larger.

    All that is zoomed at has one scale. Each compressed stretch has its own, in proportion to its
    years, but wide enough for a year to be written under it.

    Raises
    ------
    FitError
        If nothing is left that is worth compressing.
    """
    zoomed = _merged(whole, zooms)
    while True:
        gaps = _between(whole, zoomed)
        scale = Scale(_side_by_side(zoomed, gaps, room), room)
        pairs = zip(gaps, scale.factors, strict=True)
        close = [gap for gap, factor in pairs if factor < _LEAST_FACTOR]
        if not gaps or len(close) == len(gaps):
            raise FitError(
                "the periods of `zoom` already fill the timeline: there is nothing to compress",
                "Leave out `zoom`, or name fewer periods",
            )
        if not close:
            return scale.stretches
        zoomed = _joined([*zoomed, *close])


def _merged(
    whole: tuple[float, float], zooms: Sequence[tuple[float, float]]
) -> list[tuple[float, float]]:
    """What is zoomed at with a rim around it, in order and without overlaps."""
    rims = [(first, last, max(_RIM * (last - first), 1.0)) for first, last in zooms]
    return _joined(
        [(max(first - rim, whole[0]), min(last + rim, whole[1])) for first, last, rim in rims]
    )


def _joined(spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    joined: list[tuple[float, float]] = []
    for first, last in sorted(spans):
        if joined and first <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], last))
        else:
            joined.append((first, last))
    return joined


def _between(
    whole: tuple[float, float], zoomed: Sequence[tuple[float, float]]
) -> list[tuple[float, float]]:
    edges = [whole[0], *(edge for span in zoomed for edge in span), whole[1]]
    return [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1e-6]


def _side_by_side(
    zoomed: Sequence[tuple[float, float]], gaps: Sequence[tuple[float, float]], room: Span
) -> tuple[Stretch, ...]:
    lengths = {gap: gap[1] - gap[0] for gap in gaps}
    share = _MOST_SHARE * room.width_mm / max(sum(lengths.values()), 1e-9)
    widths = {gap: max(_LEAST_MM, length * share) for gap, length in lengths.items()}
    left_over = room.width_mm - sum(widths.values())
    per_year = max(left_over, 0.3 * room.width_mm) / sum(last - first for first, last in zoomed)
    widths |= {span: (span[1] - span[0]) * per_year for span in zoomed}
    shrink = room.width_mm / sum(widths.values())
    stretches = []
    left = room.left_mm
    for span in sorted(widths):
        stretches.append(Stretch(*span, left, widths[span] * shrink, span in lengths))
        left = stretches[-1].right_mm
    return tuple(stretches)


def breaks_mm(scale: Scale) -> tuple[float, ...]:
    """Where the scale changes."""
    pairs = pairwise(scale.stretches)
    return tuple(one.right_mm for one, other in pairs if one.compressed != other.compressed)
