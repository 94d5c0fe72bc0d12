"""Pictures without a place in the patient: pages, radiographs, localizers and photographs.

They are shown as they are, in their own pixels. What a pixel measures is known only when the
author says so: the spacing in a radiograph's header is that of the detector (PS3.3 10.7.1.3).
"""

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.dicom.decoding import decode_color
from slidekit.scans.dicom.overlays import read_overlays
from slidekit.scans.model import Grid, PlaneImage, PlaneRequest, PlannedPlane, Series, Values
from slidekit.scans.photographs import decode_photograph
from slidekit.scans.pixels import read_samples
from slidekit.scans.planes.cropping import Window, crop_grid, crop_window


def page_grid(series: Series) -> Grid:
    """The grid of a whole picture in its own space: the centre of the first pixel is (0, 0, 0)."""
    pixel = series.mm_per_px or 1.0
    return Grid(
        origin_lps=(0.0, 0.0, 0.0),
        right_lps=(1.0, 0.0, 0.0),
        down_lps=(0.0, 1.0, 0.0),
        column_mm=pixel,
        row_mm=pixel,
        rows=series.rows,
        columns=series.columns,
        space="scaled" if series.mm_per_px else "pixels",
    )


def check_page(series: Series, request: PlaneRequest) -> None:
    """Find out, before any pixel is read, whether a series can be shown as a picture.

    Raises
    ------
    ScanError
        If it cannot; the message says what to write.
    """
    if series.kind not in ("page", "localizer"):
        raise ScanError(
            "plane: picture leaves out where a picture lies, and these slices lie in a patient",
            "Write plane: acquired",
        )
    if request.at_mm is not None or request.slab_mm:
        raise ScanError(
            "A picture without a place has no at_mm and no slab_mm",
            "Remove them; `slice` chooses among several pictures",
        )
    _index(series, request)
    _cut_grid(series, request)


def planned_page(series: Series, request: PlaneRequest) -> PlannedPlane:
    """Which picture of a series it will be, before any pixel is read; ScanError as `check_page`."""
    check_page(series, request)
    index = _index(series, request)
    grid, _ = _cut_grid(series, request)
    native_mm = grid.column_mm, grid.row_mm
    return PlannedPlane("picture", 0.0, _number(series, index), 0.0, grid, native_mm, (index,))


def _cut_grid(series: Series, request: PlaneRequest) -> tuple[Grid, Window]:
    """The grid of what is shown of the picture, and its rows and columns. `crop_mm` are corners in
    the picture's own space."""
    grid = page_grid(series)
    if request.crop_mm is None:
        return grid, (slice(0, grid.rows), slice(0, grid.columns))
    window = crop_window(grid, request.crop_mm, "picture")
    return crop_grid(grid, window), window


def _number(series: Series, index: int) -> int | None:
    return index + 1 if len(series.slices) > 1 else None


def _index(series: Series, request: PlaneRequest) -> int:
    count = len(series.slices)
    if request.slice_number is None and count > 1:
        raise ScanError(
            f"The series holds {count} pictures", f"Write slice, from 1 to {count}, to choose one"
        )
    number = request.slice_number or 1
    if number > count:
        raise ScanError(
            f"slice: {number} does not exist in a series of {count}", f"Write slice, 1 to {count}"
        )
    return number - 1


def read_page(series: Series, request: PlaneRequest) -> PlaneImage:
    """Read one picture of a series.

    Returns
    -------
    PlaneImage
        Values in the series' unit for grey DICOM images; levels (uint8), grey or colour, where
        `series.as_is`.

    Raises
    ------
    ScanError
        If the request cannot be met (see `check_page`) or the file cannot be read.
    """
    check_page(series, request)
    index = _index(series, request)
    one = series.slices[index]
    absent: NDArray[np.bool_] | None = None
    values: Values
    if one.format == "picture":
        values = decode_photograph(one.path, one.frame)
    elif series.as_is:
        values = decode_color(one.path, one.frame)
    else:
        samples = read_samples(series, index)
        values, absent = samples.values, samples.absent
    if values.shape[:2] != (series.rows, series.columns):
        raise ScanError(
            f"{one.path.name} decodes to {values.shape[1]} × {values.shape[0]} pixels instead of"
            f" {series.columns} × {series.rows}",
            "Export the file again",
        )
    grid, window = _cut_grid(series, request)
    whole = np.zeros(values.shape[:2], np.bool_) if absent is None else absent
    return PlaneImage(
        values=np.ascontiguousarray(values[window]),
        absent=np.ascontiguousarray(whole[window]),
        grid=grid,
        plane="picture",
        at_mm=0.0,
        slice_number=_number(series, index),
        slab_mm=0.0,
        slab="mean",
        unit="" if series.as_is else series.unit,
        inverted=series.inverted,
        source_slices=(index,),
        native_mm=(grid.column_mm, grid.row_mm),
        overlay=read_overlays(series, index)[window] if request.overlays else None,
    )
