"""Windows that follow from the values of a picture, rounded to numbers that can be said."""

import math

import numpy as np

from slidekit.errors import ScanError
from slidekit.scans.measures.outlines import on_image, outline_mask
from slidekit.scans.model import AutomaticWindow, Curve, GreyWindow, Outline, PlaneImage
from slidekit.scans.pixels import AIR_HU

FEWEST_SAMPLES = 16  # of which percentiles are taken
_STEPS = 50  # of the rounding, at least, to the whole width
_NARROW = 50.0  # below it, the unit that LINEAR cuts off a width would show


def find_window(image: PlaneImage, wanted: AutomaticWindow) -> GreyWindow:
    """The window from the lower to the upper percentile of a picture's values.

    Absent samples (padding, or outside the scan) do not count, nor do CT numbers below those of
    air: some scanners fill corners with such a value and do not declare it as padding. Centre
    and width are rounded to a step of 1, 2 or 5 times a power of ten that goes at least 50 times
    into the width.

    Parameters
    ----------
    image
        The values.
    wanted
        Two percentiles, as `numpy.percentile` finds them by linear interpolation; and an outline
        in the picture's plane, if only what lies inside counts. Without a curve, it is LINEAR,
        or LINEAR_EXACT for windows narrower than 50.

    Raises
    ------
    ScanError
        If there are too few values, or no difference between them.
    """
    present = ~image.absent
    if image.unit == "HU":
        present &= image.values >= AIR_HU
    if wanted.inside is not None:
        present &= outline_mask(image.grid, _laid_on(image, wanted.inside))
    values = image.values[present]
    if values.size < FEWEST_SAMPLES:
        where = "the picture has" if wanted.inside is None else "the region holds"
        raise ScanError(
            f"{where} {values.size} samples with values, too few for percentiles",
            f"Choose a region with at least {FEWEST_SAMPLES}, or write center and width",
        )
    low, high = (float(value) for value in np.percentile(values, wanted.percentiles))
    if not high > low:
        first, last = wanted.percentiles
        raise ScanError(
            f"the percentiles {first:g} and {last:g} of the values are both {low:g}",
            "Choose percentiles farther apart, or write center and width",
        )
    return _rounded(low, high, wanted.curve)


def _laid_on(image: PlaneImage, outline: Outline) -> Outline:
    return Outline(outline.kind, on_image(image, outline.points_lps))


def _rounded(low: float, high: float, curve: Curve | None) -> GreyWindow:
    if curve is None:
        curve = "linear" if high - low >= _NARROW else "linear_exact"
    # C.11.2.1.2.1 note 4: LINEAR maps low to high by a window half a unit higher, a unit wider
    more = 1.0 if curve == "linear" else 0.0
    step = _step((high - low) / _STEPS)
    center, width = (low + high + more) / 2, high - low + more
    return GreyWindow(_to_step(center, step), max(_to_step(width, step), more, step), curve)


def _step(most: float) -> float:
    """The largest of 1, 2, 5 times a power of ten up to `most`."""
    power = 10.0 ** math.floor(math.log10(most))
    return max(factor * power for factor in (1, 2, 5) if factor * power <= most * (1 + 1e-9))


def _to_step(value: float, step: float) -> float:
    """`value` as a multiple of `step`, with no digits beyond it."""
    digits = max(0, -math.floor(math.log10(step)))
    return round(round(value / step) * step, digits)
