"""Planes of a series: whether a request can be met, and all requests in one pass over the files."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.dicom.overlays import read_overlays
from slidekit.scans.measures.scale_ends import Ends, at_ends, scale_ends
from slidekit.scans.model import Grid, PlaneImage, PlaneRequest, PlannedPlane, Series
from slidekit.scans.pixels import Samples, read_samples
from slidekit.scans.planes.cropping import Window, crop_grid
from slidekit.scans.planes.planning import Layout, Stack, lay_out, window_of
from slidekit.scans.planes.positions import find_position
from slidekit.scans.planes.samplers import Sampled, Sampler


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
    layout = lay_out(stack, request, find_position(stack, request))
    grid = layout.turn.grid(layout.grid)
    if request.crop_mm is None:
        return _Plan(request, layout, grid, None)
    window = window_of(grid, request, layout.middle_lps)
    return _Plan(request, layout, crop_grid(grid, window), window)


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
