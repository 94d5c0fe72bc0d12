"""Where a picture lies, in the few words of its data line."""

import numpy as np

from slidekit.scans.model import Flattening, ScanPicture
from slidekit.scans.poses import nearest_plane

LEAST_LEAN_DEG = 5.0  # a right angle looks right until then

_AXIS_OF = {"axial": "z", "coronal": "y", "sagittal": "x"}


def place_in_words(picture: ScanPicture) -> str:
    """The plane and its position, so that another reader finds the same picture."""
    if picture.plane in _AXIS_OF:
        return f"{picture.plane} {_AXIS_OF[picture.plane]} {signed(picture.at_mm)} mm"
    if picture.flattening is not None:
        return _curved_in_words(picture.flattening)
    if picture.middle_lps is not None:
        return _oblique_in_words(picture)
    return f"acquired slice {picture.slice_number}"


def _curved_in_words(flattening: Flattening) -> str:
    """The path, and what laying it flat does to the picture."""
    course = "a smooth path" if flattening.smooth else "a path of straight pieces"
    parts = [f"curved, flattened along {flattening.length_mm:.0f} mm of {course}"]
    if flattening.lean_deg >= LEAST_LEAN_DEG:
        parts.append(f"sheared, what lies across it leans up to {flattening.lean_deg:.0f}°")
    if flattening.meets_itself:
        parts.append("it meets itself and shows something twice")
    return "; ".join(parts)


def _oblique_in_words(picture: ScanPicture) -> str:
    into = np.cross(picture.grid.right_lps, picture.grid.down_lps)
    plane, degrees = nearest_plane(into)
    tilt = f"{degrees:.0f}° from {plane}" if degrees >= 0.5 else f"parallel to {plane}"
    normal = ", ".join(signed(float(value), 2) for value in into)
    middle = ", ".join(signed(value) for value in picture.middle_lps or ())
    return f"oblique, {tilt}: normal [{normal}] through [{middle}] mm"


def slab_in_words(picture: ScanPicture) -> str:
    """Thickness and kind of a slab; the distance of its layers where they are not the scan's own
    samples."""
    step = f" in steps of {picture.slab_step_mm:.2g} mm" if picture.slab_step_mm else ""
    return f"slab {picture.slab_mm:g} mm {picture.slab}{step}"


def signed(value: float, digits: int = 1) -> str:
    """A number with a true minus sign and no trailing zeros, by default to a tenth."""
    rounded = round(value, digits) + 0.0  # minus zero becomes zero
    return f"{rounded:.{digits}f}".rstrip("0").rstrip(".").replace("-", "−")
