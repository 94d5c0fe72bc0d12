"""Where a picture lies, in the few words of its data line."""

import numpy as np

from slidekit.scans.model import Flattening, ScanPicture
from slidekit.scans.planes.poses import nearest_plane
from slidekit.wording import figures, phrase, phrase_key

PLANES = phrase_key("axial"), phrase_key("coronal"), phrase_key("sagittal")
SLABS = phrase_key("mean"), phrase_key("max"), phrase_key("min")
LEAST_LEAN_DEG = 5.0  # a right angle looks right until then

_AXIS_OF = {"axial": "z", "coronal": "y", "sagittal": "x"}


def place_in_words(picture: ScanPicture) -> str:
    """The plane and its position, so that another reader finds the same picture."""
    if picture.plane in _AXIS_OF:
        plane, axis = phrase(picture.plane), _AXIS_OF[picture.plane]
        return phrase("{plane} {axis} {at} mm", plane=plane, axis=axis, at=signed(picture.at_mm))
    if picture.flattening is not None:
        return _curved_in_words(picture.flattening)
    if picture.middle_lps is not None:
        return _oblique_in_words(picture)
    return phrase("acquired slice {number}", number=picture.slice_number)


def _curved_in_words(flattening: Flattening) -> str:
    """The path, and what laying it flat does to the picture."""
    length = f"{flattening.length_mm:.0f}"
    if flattening.smooth:
        parts = [phrase("curved, flattened along {mm} mm of a smooth path", mm=length)]
    else:
        parts = [phrase("curved, flattened along {mm} mm of a path of straight pieces", mm=length)]
    if flattening.lean_deg >= LEAST_LEAN_DEG:
        lean = f"{flattening.lean_deg:.0f}"
        parts.append(phrase("sheared, what lies across it leans up to {lean}°", lean=lean))
    if flattening.meets_itself:
        parts.append(phrase("it meets itself and shows something twice"))
    return "; ".join(parts)


def _oblique_in_words(picture: ScanPicture) -> str:
    into = np.cross(picture.grid.right_lps, picture.grid.down_lps)
    plane, degrees = nearest_plane(into)
    tilt = phrase("parallel to {plane}", plane=phrase(plane))
    if degrees >= 0.5:
        tilt = phrase("{angle}° from {plane}", angle=f"{degrees:.0f}", plane=phrase(plane))
    normal = ", ".join(signed(float(value), 2) for value in into)
    middle = ", ".join(signed(value) for value in picture.middle_lps or ())
    return phrase(
        "oblique, {tilt}: normal [{normal}] through [{middle}] mm",
        tilt=tilt,
        normal=normal,
        middle=middle,
    )


def slab_in_words(picture: ScanPicture) -> str:
    """Thickness and kind of a slab; the distance of its layers where they are not the scan's own
    samples."""
    slab = phrase(
        "slab {thickness} mm {kind}",
        thickness=figures(f"{picture.slab_mm:g}"),
        kind=phrase(picture.slab),
    )
    if not picture.slab_step_mm:
        return slab
    step = figures(f"{picture.slab_step_mm:.2g}")
    return phrase("{slab} in steps of {step} mm", slab=slab, step=step)


def signed(value: float, digits: int = 1) -> str:
    """A number with a true minus sign and no trailing zeros, by default to a tenth."""
    rounded = round(value, digits) + 0.0  # minus zero becomes zero
    written = f"{rounded:.{digits}f}"
    return figures(written.rstrip("0").rstrip(".").replace("-", "−"))
