"""Windows: from values to 256 grey levels, by the LINEAR function of PS3.3 C.11.2.1.2.1.

Whole values go through a table built with integers, so that a grey level never depends on a
processor's rounding. Levels are rounded half up; a LINEAR window maps x to

    y = ((x - (c - 0.5)) / (w - 1) + 0.5) * 255, clipped to 0 and 255.
"""

import math
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from slidekit.scans.model import Values

BACKGROUND = 0  # absent samples are black, for inverted pictures too

_PARTS = 10**6  # of a unit: finer parts of center and width are rounded
_LIMIT = 1e9  # center and width beyond it count as it, so that 64-bit integers hold every term


def window_lut(center: float, width: float, *, inverted: bool = False) -> NDArray[np.uint8]:
    """Grey levels of all 16-bit values.

    Parameters
    ----------
    center, width
        Of the window, in the unit of the values.
    inverted
        Whether low values are bright (MONOCHROME1, PS3.3 C.7.6.3.1.2).

    Returns
    -------
    (65536,)
        The level of value v at index ``v & 0xFFFF``: index it with int16 values viewed as uint16.

    Raises
    ------
    ValueError
        If the width is below 1, or the center no number.
    """
    _check_window(center, width)
    values = np.arange(65_536, dtype=np.uint16).view(np.int16).astype(np.int64)
    levels = _exact_levels(values, _fraction(center), _fraction(width))
    return 255 - levels if inverted else levels


def _check_window(center: float, width: float) -> None:
    if not width >= 1:
        raise ValueError(f"the window width is {width:g}; a LINEAR window needs at least 1")
    if not math.isfinite(center):
        raise ValueError(f"the window center is {center:g}; it must be a number")


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


def apply_window(
    values: Values,
    center: float,
    width: float,
    *,
    inverted: bool = False,
) -> NDArray[np.uint8]:
    """Window an array of values.

    Parameters
    ----------
    values : any shape
        int16 goes through `window_lut` and is exact. Fractional values are computed in double
        precision and rounded half up: they may differ from exact arithmetic only where y lies
        within 1e-9 of a half.
    center, width, inverted
        As for `window_lut`.

    Returns
    -------
    same shape as `values`
        0 is black.

    Raises
    ------
    ValueError
        If the width is below 1, or the center no number.
    """
    if values.dtype == np.int16:
        lut = window_lut(center, width, inverted=inverted)
        return np.take(lut, values.view(np.uint16))
    _check_window(center, width)
    shifted = values.astype(np.float64)
    shifted -= center - 0.5
    if width == 1:
        levels = np.where(shifted > 0, 255, 0).astype(np.uint8)
    else:
        shifted *= 255 / (width - 1)
        shifted += 128  # 0.5 * 255, and 0.5 to round half up
        levels = np.clip(shifted, 0, 255, out=shifted).astype(np.uint8)
    return np.subtract(255, levels, dtype=np.uint8) if inverted else levels
