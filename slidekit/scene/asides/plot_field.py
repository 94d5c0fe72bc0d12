"""What plots beside a picture share: their proportions, their lines, and the figures below them."""

from collections.abc import Callable, Iterator, Sequence
from math import ceil, floor, log10

from slidekit.scene.measured import exact
from slidekit.scene.model import Box, Polyline, Shape, Stroke, Text
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, line_width_mm
from slidekit.scene.type_units import line_mm

ASPECT = 0.5  # height of the field over the width of the whole, at most
LOWEST_EM = 4.5  # height of the field, at least; it grows where there is room
LEAST_EM = 11.0  # of the whole's width
TICKS_ACROSS = 6
TICK_MM = 1.4
CURVE_PT = 2.25
HALO_PT = 4.5
AXIS_PT = 1.0
GRID = Stroke("#4A4F57", 0.5)  # on the dark field of either style


def ticks_below(
    ticks: Sequence[float],
    x_mm: Callable[[float], float],
    field: Box,
    least_mm: float,
    size_pt: float,
    style: Style,
) -> Iterator[Shape | Text]:
    """Short lines below a field with their figures. `x_mm`: where a value stands. No figure begins
    left of `least_mm` or ends right of the field."""
    for value in ticks:
        x, text = x_mm(value), exact(value)
        ends = ((x, field.bottom_mm), (x, field.bottom_mm + TICK_MM))
        yield Polyline(ends, stroke=Stroke(style.colors.quiet, AXIS_PT))
        width = line_width_mm(text, size_pt) * 1.03 + 0.6
        left = min(max(x - width / 2, least_mm), field.right_mm - width)
        box = Box(left, field.bottom_mm + TICK_MM + 0.3, width, line_mm(size_pt))
        words, color = as_written(text), style.colors.quiet
        yield Text(box, words, size_pt, color, "key", align="center")


def round_steps(low: float, high: float, most: int) -> tuple[float, ...]:
    """Round values from `low` to `high`, 1, 2 or 5 times a power of ten apart, at most `most`."""
    rough = (high - low) / most
    power = 10.0 ** floor(log10(rough))
    step = next(s * power for s in (1, 2, 5, 10) if s * power >= rough * (1 - 1e-9))
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return tuple(round(k * step, 10) + 0.0 for k in range(first, last + 1))
