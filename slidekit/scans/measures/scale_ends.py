"""Where the scale of values ends: what lies there may be more, or less, than it says."""

import numpy as np
from numpy.typing import NDArray

from slidekit.scans.model import Series, Values

USUAL_ENDS_HU = (-1024.0, 3071.0)  # of the 12-bit scale, kept by many scanners in wider files

Ends = tuple[float, float]


def scale_ends(series: Series) -> Ends | None:
    """The lowest and highest value that the stored bits can hold, in the unit of the series.

    None when slices are scaled differently: the ends then differ from slice to slice.
    """
    first = series.slices[0]
    if any((s.slope, s.intercept) != (first.slope, first.intercept) for s in series.slices):
        return None
    span = 2**first.pixels.bits_stored
    low = -span // 2 if first.pixels.signed else 0
    ends = (low * first.slope + first.intercept, (low + span - 1) * first.slope + first.intercept)
    return min(ends), max(ends)


def at_ends(values: Values, unit: str, ends: Ends | None) -> NDArray[np.bool_] | None:
    """Which values lie at an end of the scale: of the stored bits, or where CT scales usually end.

    A usual end counts only if nothing lies beyond it. Magnitudes (MR) begin at 0 by nature, so
    low ends count for HU alone. None when no value does.
    """
    if not values.size:
        return None
    known = [ends] if ends else []
    lowest = [low for low, _ in (*known, USUAL_ENDS_HU)] if unit == "HU" else []
    highest = [high for _, high in ((*known, USUAL_ENDS_HU) if unit == "HU" else known)]
    top, bottom = float(values.max()), float(values.min())
    found: NDArray[np.bool_] | None = None
    if any(abs(top - end) < 0.5 for end in highest):
        found = values > top - 0.5
    if any(abs(bottom - end) < 0.5 for end in lowest):
        low = values < bottom + 0.5
        found = low if found is None else found | low
    return found
