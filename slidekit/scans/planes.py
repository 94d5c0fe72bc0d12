"""Planes of a series: whether a request can be met, and all requests in one pass over the files."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.cropping import Window, crop_grid
from slidekit.scans.geometry import AXES, position_range_mm, range_along_mm
from slidekit.scans.model import Grid, PlaneImage, PlaneRequest, PlannedPlane, Series
from slidekit.scans.overlays import read_overlays
from slidekit.scans.pixels import Samples, read_samples
from slidekit.scans.planning import Layout, Stack, lay_out, window_of
from slidekit.scans.samplers import Sampled, Sampler
from slidekit.scans.scale_ends import Ends, at_ends, scale_ends

_TYPED_MM = 0.05  # positions are typed as printed, with one decimal


def check_request(series: Series, request: PlaneRequest) -> None:
    """Find out, before any pixel is read, whether a series can show what is asked.

    Raises
    ------
    ScanError
        If it cannot; the message says what it can show.
    """
    _plan(_stack(series), request)


@lru_cache(maxsize=1024)  # a view is planned when it is framed, windowed, measured and shown
def planned_plane(series: Series, request: PlaneRequest) -> PlannedPlane:
    """Where a plane will lie and which slices it needs, before any pixel is read.

    Raises
    ------
    ScanError
        As `check_request`.
    """
    stack = _stack(series)
    plan = _plan(stack, request)
    acquired = request.plane == "acquired"
    return PlannedPlane(
        request.plane,
        plan.layout.at_mm,
        _slice_number(stack, plan.layout) if acquired else None,
        request.slab_mm,
        plan.grid,
        _native_mm(stack, plan.grid),
        tuple(plan.layout.sampler.needs),
        plan.layout.middle_lps,
        plan.layout.flattening,
    )


def read_planes(
    series: Series, requests: Sequence[PlaneRequest], *, find_ends: bool = False
) -> tuple[PlaneImage, ...]:
    """Read planes of a series in one pass over its files.

    Each slice is read at most once, and two at most are in memory. Standard planes are laid out
    as is usual in the trade: axial seen from the feet, coronal from the front, sagittal from the
    patient's left. `acquired` shows the pixels as stored. `oblique` and `curved` planes are seen
    as the standard plane that they are nearest to.

    Parameters
    ----------
    series
        From `choose_series`.
    requests
        Any number of planes.
    find_ends
        Find out which interpolated samples have something of a voxel at an end of the scale in
        them (`PlaneImage.at_end`). Slices of such planes are read once more where there are any.

    Returns
    -------
    tuple of PlaneImage
        In the order of the requests. Values are int16 where whole values were not interpolated,
        else float32.

    Raises
    ------
    ScanError
        If a request cannot be met (see `check_request`) or a file cannot be read.
    """
    stack = _stack(series)
    plans = [_plan(stack, request) for request in requests]
    ends = scale_ends(series)
    ending: set[int] = set()
    for index, samples in _pour(series, plans, lambda samples: samples):
        if find_ends and at_ends(samples.values, series.unit, ends) is not None:
            ending.add(index)
    images = [_image(stack, plan) for plan in plans]
    if ending:
        blends = [i for i, image in enumerate(images) if _blends(image, ending)]
        again = [_plan(stack, requests[i]) for i in blends]
        for _ in _pour(series, again, lambda samples: _flags(samples, series.unit, ends)):
            pass
        for i, plan in zip(blends, again, strict=True):
            shares, _ = _turned_and_cropped(plan)
            images[i] = replace(images[i], at_end=shares > LEAST_SHARE)
    return tuple(images)


LEAST_SHARE = 0.01  # of a voxel at an end of the scale in a sample: less changes nothing


def _blends(image: PlaneImage, ending: set[int]) -> bool:
    """Whether samples of a plane are means, in which a voxel of one of these slices may hide."""
    blended = image.slab == "mean" and image.values.dtype == np.float32
    return blended and not ending.isdisjoint(image.source_slices)


def _flags(samples: Samples, unit: str, ends: Ends | None) -> Samples:
    """1 where a value lies at an end of the scale, else 0."""
    found = at_ends(samples.values, unit, ends)
    flags = np.zeros(samples.values.shape, np.int16) if found is None else found.astype(np.int16)
    return replace(samples, values=flags)


def _pour(
    series: Series, plans: Sequence["_Plan"], change: Callable[[Samples], Samples]
) -> Iterator[tuple[int, Samples]]:
    """Read the slices that the plans need, in order, and let each sampler take its own; they come
    by as they were read."""
    samplers = [plan.layout.sampler for plan in plans]
    needs = [frozenset(sampler.needs) for sampler in samplers]
    for index in sorted(frozenset().union(*needs)):
        wanting = [s for s, needed in zip(samplers, needs, strict=True) if index in needed]
        samples = read_samples(series, index, _rows_of(wanting))
        changed = change(samples)
        for sampler in wanting:
            sampler.take(index, changed)
        yield index, samples


def _rows_of(samplers: Sequence[Sampler]) -> range | None:
    """The rows between the first and the last that any of the samplers looks at; None for all."""
    rows = [sampler.rows for sampler in samplers]
    known = [one for one in rows if one is not None]
    if len(known) < len(rows):
        return None
    return range(min(one.start for one in known), max(one.stop for one in known))


@dataclass(frozen=True)
class _Plan:
    request: PlaneRequest
    layout: Layout
    grid: Grid  # turned and cropped
    window: Window | None


@lru_cache(maxsize=16)
def _stack(series: Series) -> Stack:
    if series.kind == "page":
        raise ScanError(
            "The series holds pages (colour, screen captures) without a place in the patient",
            "Write plane: picture, or use a series of slices",
        )
    return Stack(series)


def _plan(stack: Stack, request: PlaneRequest) -> _Plan:
    _check_overlays(request)
    at_mm = _position(stack, request)
    _check_slab(stack, request, at_mm)
    layout = lay_out(stack, request, at_mm)
    grid = layout.turn.grid(layout.grid)
    if request.crop_mm is None:
        return _Plan(request, layout, grid, None)
    window = window_of(grid, request, layout.middle_lps)
    return _Plan(request, layout, crop_grid(grid, window), window)


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


def _image(stack: Stack, plan: _Plan) -> PlaneImage:
    layout, request, series = plan.layout, plan.request, stack.series
    values, absent = _turned_and_cropped(plan)
    if absent.all():
        raise _shows_nothing(layout, request)
    return PlaneImage(
        values=values,
        absent=absent,
        grid=plan.grid,
        plane=request.plane,
        at_mm=layout.at_mm,
        slice_number=_slice_number(stack, layout) if request.plane == "acquired" else None,
        slab_mm=request.slab_mm,
        slab=request.slab,
        unit=series.unit,
        inverted=series.inverted,
        source_slices=tuple(layout.sampler.needs),
        native_mm=_native_mm(stack, plan.grid),
        slab_step_mm=layout.slab_step_mm,
        middle_lps=layout.middle_lps,
        flattening=layout.flattening,
        overlay=_overlay(series, plan) if request.overlays else None,
    )


def _overlay(series: Series, plan: _Plan) -> NDArray[np.bool_]:
    drawn = read_overlays(series, plan.layout.sampler.needs[0])
    return drawn if plan.window is None else drawn[plan.window]


def _turned_and_cropped(plan: _Plan) -> Sampled:
    """What the sampler of a plan has gathered, as the picture lies."""
    values, absent = plan.layout.sampler.finish()
    values, absent = plan.layout.turn.array(values), plan.layout.turn.array(absent)
    if plan.window is None:
        return values, absent
    return np.ascontiguousarray(values[plan.window]), np.ascontiguousarray(absent[plan.window])


def _shows_nothing(layout: Layout, request: PlaneRequest) -> ScanError:
    if layout.flattening is not None:
        return ScanError(
            "The curved view shows nothing: its path runs outside the scan, in a gap or on padding",
            "Move the points of path_mm",
        )
    at_mm = "" if request.pose is not None else f" at {layout.at_mm:g} mm"
    return ScanError(
        f"The {request.plane} plane{at_mm} shows nothing: it only touches the"
        " edge of the scan, or lies in a gap or on padding",
        "Move the plane, or widen its crop",
    )


def _native_mm(stack: Stack, grid: Grid) -> tuple[float, float]:
    return stack.sample_distance(grid.right_lps), stack.sample_distance(grid.down_lps)


def _slice_number(stack: Stack, layout: Layout) -> int:
    return int(np.argmin(np.abs(stack.nodes - layout.at_mm))) + 1
