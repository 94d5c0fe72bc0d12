"""Which part of a plane a picture shows when the author names a region instead of corners.

Found from geometry alone, before any pixel is read.
"""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.geometry import crossing, lps_from_pixel, pixel_from_lps
from slidekit.scans.model import Grid, PlannedPlane, Series
from slidekit.scans.planes.cropping import Corners, crop_axes
from slidekit.scans.viewing import pixel_grid, planned_view
from slidekit.scene.sights.figures import Figure, extent_on, figure_of, frame_of
from slidekit.scene.sights.requests import plane_request
from slidekit.storyboard.insets import Around, Inset
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.regions import PointRegion
from slidekit.storyboard.views import ShownView, View

LEAST_PIXELS = 4  # of the scan, across and down a part shown larger


def framed_view(board: Storyboard, series: Mapping[str, Series], name: str) -> View:
    """The view with `crop_around` or `crop_px` turned into corners.

    Raises
    ------
    ScanError
        If the region cannot be found on the view, or the view has no pixels of the scan.
    """
    view = board.views[name]
    around = view.crop_around
    if around is None and view.crop_px is None:
        return view
    cut = planned_view(series[view.scan], plane_request(view))
    if around is not None:
        extent = _extent_around(board, series, (around.region, around), (view, cut))
    else:
        pixels = _pixels_of(cut, series[view.scan], "crop_px")
        extent = _on_plan(cut, pixels, np.sort(np.array(view.crop_px), axis=0))
    corners = _corners(cut, _clipped(extent, cut))
    return view.model_copy(update={"crop_mm": corners, "crop_px": None, "crop_around": None})


def inset_name(shown: ShownView) -> str:
    """What the part of a picture that is shown larger is called among the pictures."""
    return f"{shown.view}, {shown.inset.what}" if shown.inset is not None else shown.view


def inset_view(
    view: View, shown: ShownView, board: Storyboard, series: Mapping[str, Series]
) -> View:
    """The part of the framed `view` that is shown larger, as a view of its own; the framed view
    itself if nothing is.

    Raises
    ------
    ScanError
        If it does not lie on the view's picture, or does not fit beside it.
    """
    inset = shown.inset
    if inset is None:
        return view
    cut = planned_view(series[view.scan], plane_request(view))
    if inset.region is not None:
        extent = _extent_around(board, series, (inset.region, inset), (view, cut))
    else:
        extent = _extent_of_rectangle(inset, cut, series[view.scan])
    extent = _clipped(extent, cut)
    _check_times(inset, extent, cut)
    return view.model_copy(update={"crop_mm": _corners(cut, extent)})


def check_crossing(view: View, locator: View, series: Mapping[str, Series]) -> None:
    """Find out whether `view` is a line on `locator`; both are framed. ScanError if not."""
    check_shared_frame(series, view.scan, locator.scan)
    cut, seen = (planned_view(series[one.scan], plane_request(one)) for one in (view, locator))
    if cut.flattening is not None or seen.flattening is not None:
        raise ScanError("a curved surface is no line on a flat picture", "Remove `locator`")
    if {cut.grid.space, seen.grid.space} != {"patient"}:
        raise ScanError("one of the two has no place in the patient", "Remove `locator`")
    if crossing(cut.grid, seen.grid) is None:
        raise ScanError(
            "the cut does not pass through its picture", "Name another view, or crop it less"
        )


def check_shared_frame(series: Mapping[str, Series], own: str, other: str) -> None:
    """Patient coordinates carry over only within one frame of reference (PS3.3 C.7.4.1)."""
    first, second = series[own], series[other]
    if own == other:
        return
    if not first.frame_of_reference_uid or (
        first.frame_of_reference_uid != second.frame_of_reference_uid
    ):
        raise ScanError(
            f"its coordinates belong to scan `{own}`, and scan `{other}` has "
            "another frame of reference",
            "Define a second region on this view",
        )


def check_same_picture(own: View, other: View) -> None:
    """Pixels of one plain picture mean nothing on another, nor in a patient."""
    if "picture" not in (own.plane, other.plane):
        return
    fields = ("scan", "plane", "slice")
    if any(getattr(own, field) != getattr(other, field) for field in fields):
        raise ScanError(
            "its coordinates are pixels of another picture", "Define a second region on this view"
        )


def _check_scale(cut: PlannedPlane, field: str) -> None:
    if cut.grid.space == "pixels":
        in_px = field.replace("_mm", "_px")
        raise ScanError(
            f"`{field}`: millimetres mean nothing on a picture without a scale",
            f"Write `{in_px}`, or `mm_per_px` on its scan if it is known",
        )


def _pixels_of(cut: PlannedPlane, series: Series, field: str) -> Grid:
    """The stored pixels that an author counts; ScanError if the view has none."""
    pixels = pixel_grid(cut, series)
    if pixels is None:
        in_mm = field.replace("_px", "_mm")
        raise ScanError(
            f"`{field}` counts pixels, and a view with plane {cut.plane} has none of the scan",
            f"Write `{in_mm}`",
        )
    return pixels


def _on_plan(
    cut: PlannedPlane, pixels: Grid, points_xy: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Places counted in stored pixels, on a plan that may be cut already."""
    return pixel_from_lps(cut.grid, lps_from_pixel(pixels, points_xy))[0]


def _figure(board: Storyboard, series: Mapping[str, Series], name: str) -> Figure:
    region = board.regions[name]
    view = board.views[region.view]
    one = series[view.scan]
    whole = replace(plane_request(view), crop_mm=None)
    return figure_of(region, frame_of(planned_view(one, whole), one))


def _extent_around(
    board: Storyboard,
    series: Mapping[str, Series],
    around: tuple[str, Around | Inset],
    on: tuple[View, PlannedPlane],
) -> NDArray[np.float64]:
    """Lowest and highest pixel of a region with its rim, (2, 2)."""
    name, rim = around
    view, cut = on
    own = board.views[board.regions[name].view]
    try:
        check_same_picture(own, view)
        check_shared_frame(series, own.scan, view.scan)
        extent = extent_on(_figure(board, series, name), cut)
    except ScanError as error:
        raise ScanError(f"region `{name}`: {error.wrong}", error.instead) from error
    steps = np.array([cut.grid.column_mm, cut.grid.row_mm])
    if rim.margin_px is None:
        _check_scale(cut, "margin_mm")
        margin = rim.rim_mm / steps
    else:
        pixels = _pixels_of(cut, series[view.scan], "margin_px")
        margin = rim.margin_px * np.array([pixels.column_mm, pixels.row_mm]) / steps
    return np.asarray(extent + np.array([-margin, margin]))


def _extent_of_rectangle(inset: Inset, cut: PlannedPlane, series: Series) -> NDArray[np.float64]:
    if inset.center_px is not None:
        pixels = _pixels_of(cut, series, "center_px")
        half = np.array(inset.size_px) / 2
        return _on_plan(cut, pixels, np.array(inset.center_px) + np.array([-half, half]))
    _check_scale(cut, "center_mm")
    point = PointRegion(view="v", shape="point", at_mm=inset.center_mm, called="the middle")
    middle = extent_on(figure_of(point, frame_of(cut, series)), cut)
    half = np.array(inset.size_mm) / 2 / np.array([cut.grid.column_mm, cut.grid.row_mm])
    return np.asarray(middle + np.array([-half, half]))


def _clipped(extent: NDArray[np.float64], cut: PlannedPlane) -> NDArray[np.float64]:
    last = np.array([cut.grid.columns, cut.grid.rows]) - 0.5
    inside = np.clip(extent, -0.5, last)
    if (inside[1] - inside[0] < LEAST_PIXELS).any():
        raise ScanError(
            f"less than {LEAST_PIXELS} samples of the scan lie in the part it names",
            "Choose a larger part within the picture",
        )
    return inside


def _check_times(inset: Inset, extent: NDArray[np.float64], cut: PlannedPlane) -> None:
    """A part shown larger may be as tall as the picture, and half as wide again as that."""
    height_mm = cut.grid.rows * cut.grid.row_mm
    # the pixels at both ends are shown whole
    width, height = (extent[1] - extent[0] + 1) * np.array([cut.grid.column_mm, cut.grid.row_mm])
    most = min(height_mm / height, 1.5 * height_mm / width)
    unit = "pixels" if cut.grid.space == "pixels" else "mm"
    if inset.times > most:
        raise ScanError(
            f"{width:.0f} by {height:.0f} {unit} shown {inset.times:g} times larger "
            "do not fit beside the picture",
            f"Write times: {most:.1f} or less, or show a smaller part",
        )


def _corners(cut: PlannedPlane, extent: NDArray[np.float64]) -> Corners:
    if cut.middle_lps is not None:
        middle_xy, _ = pixel_from_lps(cut.grid, cut.middle_lps)
        low, high = ((extent - middle_xy) * (cut.grid.column_mm, cut.grid.row_mm)).tolist()
        return (low[0], low[1]), (high[0], high[1])
    first, second = lps_from_pixel(cut.grid, extent)[:, list(crop_axes(cut.grid, cut.plane))]
    return (float(first[0]), float(first[1])), (float(second[0]), float(second[1]))
