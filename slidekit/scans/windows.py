"""Windows: from values to 256 grey levels, by the functions of PS3.3 C.11.2.1.2 and C.11.2.1.3.

A value x becomes the level y, clipped to 0 and 255 and rounded half up, with centre c, width w:

    LINEAR        y = ((x - (c - 0.5)) / (w - 1) + 0.5) * 255
    LINEAR_EXACT  y = ((x - c) / w + 0.5) * 255
    SIGMOID       y = 255 / (1 + exp(-4 (x - c) / w))

Whole values go through a table. Those of the two straight curves are computed with integers, so
that a grey level never depends on a processor's rounding. A sigmoid is turned round: level k
begins at x = c - w / 4 * ln(255 / (k - 0.5) - 1). But for x = c, which begins level 128, no
number that can be written down lies on such a beginning (the logarithm of another fraction is
transcendental), so rounding has no ties there, and levels can never change order.
"""

import math
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from slidekit.scans.model import GreyScale, GreyWindow, LookupTable, Values

BACKGROUND = 0  # absent samples are black, for inverted pictures too
GRAPHICS = 255  # overlays are white

_PARTS = 10**6  # of a unit: finer parts of center and width are rounded
_LIMIT = 1e9  # center and width beyond it count as it, so that 64-bit integers hold every term
_WHOLE_VALUES = np.arange(65_536, dtype=np.uint16).view(np.int16).astype(np.int64)


def check_window(window: GreyWindow) -> None:
    """ValueError if the window cannot be: a LINEAR one needs a width of 1 or more, the others
    more than 0, and all a centre that is a number."""
    if window.curve == "linear" and not window.width >= 1:
        raise ValueError(f"the window width is {window.width:g}; a LINEAR window needs at least 1")
    if not window.width > 0:
        name = window.curve.upper()
        raise ValueError(f"the window width is {window.width:g}; a {name} window needs more than 0")
    if not math.isfinite(window.center):
        raise ValueError(f"the window center is {window.center:g}; it must be a number")


def black_up_to(scale: GreyScale) -> float:
    """The greatest value that is surely black; minus infinity where none is known to be."""
    if isinstance(scale, LookupTable) or scale.curve == "sigmoid":
        return -math.inf
    return scale.center - scale.width / 2 - 0.5


def window_lut(scale: GreyScale, *, inverted: bool = False) -> NDArray[np.uint8]:
    """Grey levels of all 16-bit values.

    Parameters
    ----------
    scale
        A window in the unit of the values, or a table of theirs.
    inverted
        Whether low values are bright (MONOCHROME1, PS3.3 C.7.6.3.1.2).

    Returns
    -------
    (65536,)
        The level of value v at index ``v & 0xFFFF``: index it with int16 values viewed as uint16.

    Raises
    ------
    ValueError
        As `check_window`.
    """
    if isinstance(scale, LookupTable):
        levels = _tabled(_WHOLE_VALUES, scale)
    else:
        check_window(scale)
        levels = _whole_levels(_WHOLE_VALUES, scale)
    return 255 - levels if inverted else levels


def _tabled(values: NDArray[np.int64], table: LookupTable) -> NDArray[np.uint8]:
    """Outputs of a table, from 0 to its highest possible one, as levels."""
    top = 2**table.bits - 1
    outputs = np.clip(np.array(table.entries, np.int64), 0, top)
    levels = ((2 * 255 * outputs + top) // (2 * top)).astype(np.uint8)
    places = np.clip(values - table.first_value, 0, len(outputs) - 1)
    return np.asarray(levels[places])


def _whole_levels(values: NDArray[np.int64], window: GreyWindow) -> NDArray[np.uint8]:
    if window.curve == "sigmoid":
        return _sigmoid_levels(values, window)
    center, width = _fraction(window.center), _fraction(window.width)
    if window.curve == "linear_exact":
        # the same line as a LINEAR window half a unit higher and a unit wider
        center, width = center + Fraction(1, 2), max(width, Fraction(1, _PARTS)) + 1
    return _exact_levels(values, center, width)


def _fraction(number: float) -> Fraction:
    """The decimal the author wrote: 0.1 as 1/10, not as its binary neighbour."""
    return Fraction(round(min(max(number, -_LIMIT), _LIMIT) * _PARTS), _PARTS)


def _exact_levels(
    values: NDArray[np.int64], center: Fraction, width: Fraction
) -> NDArray[np.uint8]:
    """floor(y + 1/2) with integers only, all terms multiplied by one denominator."""
    scale = math.lcm(center.denominator, width.denominator)
    c, w = int(center * scale), int(width * scale)
    if w == scale:  # width 1: a threshold, of which the ramp is never reached
        above = 2 * scale * values > 2 * c - scale
        return np.where(above, 255, 0).astype(np.uint8)
    ramp = 2 * (w - scale)
    levels = (255 * (2 * scale * values - 2 * c + w) + (w - scale)) // ramp
    return np.clip(levels, 0, 255).astype(np.uint8)


def _sigmoid_levels(
    values: NDArray[np.int64] | NDArray[np.float64], window: GreyWindow
) -> NDArray[np.uint8]:
    logs = [math.log(255 / (level - 0.5) - 1) for level in range(1, 256)]
    begins = window.center - window.width / 4 * np.array(logs)
    return np.searchsorted(begins, values, side="right").astype(np.uint8)


def apply_window(values: Values, scale: GreyScale, *, inverted: bool = False) -> NDArray[np.uint8]:
    """Turn an array of values into grey levels.

    Parameters
    ----------
    values : any shape
        int16 goes through `window_lut` and is exact. Fractional values are computed in double
        precision and rounded half up: they may differ from exact arithmetic only where y lies
        within 1e-9 of a half. A table gives them the level of the nearest whole value.
    scale, inverted
        As for `window_lut`.

    Returns
    -------
    same shape as `values`
        0 is black.

    Raises
    ------
    ValueError
        As `check_window`.
    """
    if values.dtype == np.int16:
        lut = window_lut(scale, inverted=inverted)
        return np.take(lut, values.view(np.uint16))
    if isinstance(scale, LookupTable):
        levels = _tabled(np.floor(values.astype(np.float64) + 0.5).astype(np.int64), scale)
    else:
        check_window(scale)
        levels = _fractional_levels(values.astype(np.float64), scale)
    return np.subtract(255, levels, dtype=np.uint8) if inverted else levels


def _fractional_levels(values: NDArray[np.float64], window: GreyWindow) -> NDArray[np.uint8]:
    """`values` is used up."""
    if window.curve == "sigmoid":
        return _sigmoid_levels(values, window)
    linear = window.curve == "linear"
    values -= window.center - 0.5 if linear else window.center
    if linear and window.width == 1:
        return np.where(values > 0, 255, 0).astype(np.uint8)
    values *= 255 / (window.width - 1 if linear else window.width)
    values += 128  # 0.5 * 255, and 0.5 to round half up
    return np.clip(values, 0, 255, out=values).astype(np.uint8)
