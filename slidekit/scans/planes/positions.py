"""Where a plane that is asked for lies in its scan, or why it cannot."""

import math

import numpy as np

from slidekit.errors import ScanError
from slidekit.scans.geometry import AXES, position_range_mm, range_along_mm
from slidekit.scans.model import PlaneRequest
from slidekit.scans.planes.planning import Stack

_TYPED_MM = 0.05  # positions are typed as printed, with one decimal


def find_position(stack: Stack, request: PlaneRequest) -> float:
    """Where the plane lies along its normal; nan for a curved one, which has none.

    Raises
    ------
    ScanError
        If the scan cannot show what is asked; the message says what it can show.
    """
    _check_overlays(request)
    at_mm = _position(stack, request)
    _check_slab(stack, request, at_mm)
    return at_mm


def _check_overlays(request: PlaneRequest) -> None:
    if request.overlays and (request.plane != "acquired" or request.slab_mm):
        raise ScanError(
            "overlays: they belong to the slices as they were acquired",
            "Write plane: acquired, without slab_mm, or remove `overlays`",
        )


def _position(stack: Stack, request: PlaneRequest) -> float:
    """Where the plane lies along its normal; nan for a curved one, which has none."""
    if request.plane == "acquired":
        return _acquired_position(stack, request)
    _check_stack(stack)
    if request.pose is not None:
        pose = request.pose
        into = np.cross(pose.right_lps, pose.down_lps)
        return float(np.dot(pose.middle_lps, into)) + request.deeper_mm
    if request.surface is not None:
        return math.nan
    return _standard_position(stack, request)


def _check_stack(stack: Stack) -> None:
    series = stack.series
    if series.kind != "stack" or len(series.slices) < 2 or min(series.rows, series.columns) < 2:
        what = "localizer" if series.kind == "localizer" else "single slice"
        raise ScanError(f"A {what} cannot be cut along another plane", "Write plane: acquired")


def _standard_position(stack: Stack, request: PlaneRequest) -> float:
    plane = request.plane
    if request.slice_number is not None:
        raise ScanError(
            f"slice: {request.slice_number} has no meaning for a standard plane",
            f"Write at_mm, from {_range_text(stack, request)}, or plane: acquired",
        )
    if request.at_mm is None:
        raise ScanError(
            f"The {plane} plane needs a position",
            f"Write at_mm, from {_range_text(stack, request)}",
        )
    return _within_range(stack, request, request.at_mm)


def _within_range(stack: Stack, request: PlaneRequest, at_mm: float) -> float:
    """The position, moved onto the outermost samples when it was rounded past them."""
    low, high = position_range_mm(stack.series, request.plane)
    if not low - _TYPED_MM <= at_mm <= high + _TYPED_MM:
        axis = "the normal" if request.plane == "acquired" else "xyz"[AXES[request.plane]]
        raise ScanError(
            f"at_mm: {at_mm:g} lies outside the scan along {axis}",
            f"Write at_mm, from {_range_text(stack, request)}",
        )
    return min(max(at_mm, low), high)


def _range_text(stack: Stack, request: PlaneRequest) -> str:
    """The range of positions, rounded inwards so that both ends can be written."""
    return _between(*position_range_mm(stack.series, request.plane))


def _between(low: float, high: float) -> str:
    return f"{math.ceil(low * 10) / 10:.1f} to {math.floor(high * 10) / 10:.1f} mm"


def _acquired_position(stack: Stack, request: PlaneRequest) -> float:
    count = len(stack.nodes)
    if request.at_mm is not None and request.slice_number is not None:
        raise ScanError(
            f"Both slice: {request.slice_number} and at_mm: {request.at_mm:g} are given",
            "Write one of them",
        )
    if request.at_mm is not None:
        at_mm = _within_range(stack, request, request.at_mm)
        return float(stack.nodes[np.argmin(np.abs(stack.nodes - at_mm))])
    if request.slice_number is None and count > 1:
        raise ScanError(
            "The acquired plane needs a slice",
            f"Write slice, from 1 to {count}, or at_mm, from {_range_text(stack, request)}",
        )
    number = 1 if request.slice_number is None else request.slice_number
    if not 1 <= number <= count:
        raise ScanError(
            f"slice: {number} does not exist in a series of {count}",
            f"Write slice, from 1 to {count}",
        )
    return float(stack.nodes[number - 1])


def _check_slab(stack: Stack, request: PlaneRequest, at_mm: float) -> None:
    """A slab may reach past the outermost samples by half a sample distance, as voxels do."""
    if request.slab_mm == 0:
        return
    if not 0 < request.slab_mm < math.inf:
        raise ScanError(f"slab_mm: {request.slab_mm:g} is no thickness", "Write 0 or more")
    if len(stack.nodes) == 1:
        raise ScanError("A single slice has no slab", "Remove slab_mm")
    if request.surface is not None:
        return
    if request.plane == "acquired":
        direction = stack.normal
        low, high = position_range_mm(stack.series, request.plane)
    else:
        direction = np.zeros(3)
        if request.pose is not None:
            direction = np.cross(request.pose.right_lps, request.pose.down_lps)
        else:
            direction[AXES[request.plane]] = 1
        low, high = range_along_mm(stack.series, direction)
    half_sample = stack.sample_distance(direction) / 2
    largest = 2 * (min(at_mm - low, high - at_mm) + half_sample)
    if request.slab_mm > largest + _TYPED_MM:
        raise ScanError(
            f"A slab of {request.slab_mm:g} mm at {at_mm:g} mm reaches out of the scan"
            f" ({_between(low, high)})",
            f"Write slab_mm, up to {math.floor(largest * 10) / 10:.1f}, or move the plane inwards",
        )
