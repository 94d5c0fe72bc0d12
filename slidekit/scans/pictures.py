"""Planes to pictures: windowed first, then scaled to square pixels of a useful number.

Scaling the values instead would let the filter's overshoot invent values at hard edges; a
windowed picture stays within its 256 levels.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from slidekit.errors import ScanError
from slidekit.scans.automatic import find_window
from slidekit.scans.geometry import edge_letters, lps_from_pixel, to_vector
from slidekit.scans.model import AutomaticWindow, GreyScale, Grid, PlaneImage, ScanPicture
from slidekit.scans.planes.curves import flat_letters
from slidekit.scans.windows import BACKGROUND, GRAPHICS, apply_window

LARGEST_EXCESS = 1.5  # times the wanted length that a plain picture keeps of its own pixels
LARGEST_FACTOR = 3  # beyond three times, scaling adds bytes and no detail
MOST_PIXELS = 2**26  # of a picture: 64 MiB; printed at 300 to the inch it would be 69 cm wide
_WHOLE = 1e-6  # of a pixel: keeps a whole number whole after division


def make_picture(
    image: PlaneImage,
    *scales: GreyScale | AutomaticWindow,
    target_px: int,
    seam_share: float = 0.5,
) -> ScanPicture:
    """Turn a plane into grey levels and scale it to square pixels.

    Parameters
    ----------
    image
        The values; not modified.
    scales
        One window or table, in the unit of the values; or two, for what lies left and right of a
        seam. Each part is that of the whole picture in its scale. An automatic window is found
        from the whole picture.
    target_px
        Wanted length of the longer side, reached to within the next whole enlargement.
    seam_share
        How much of the width lies left of the seam between two scales.

    Raises
    ------
    ValueError
        If a window cannot be (see `check_window`), `target_px` is below 1, or there are not one
        or two scales.
    ScanError
        If the values suit no automatic window.
    """
    if len(scales) not in (1, 2):
        raise ValueError(f"{len(scales)} scales are given; a picture has one, or one for each half")
    found = tuple(
        find_window(image, scale) if isinstance(scale, AutomaticWindow) else scale
        for scale in scales
    )
    wholes = [_picture(image, _levels(image, scale), found, target_px) for scale in found]
    if len(wholes) == 1:
        return wholes[0]
    return _joined(*(replace(whole, seam_share=seam_share) for whole in wholes))


def _levels(image: PlaneImage, scale: GreyScale) -> NDArray[np.uint8]:
    grey = apply_window(image.values, scale, inverted=image.inverted)
    if image.absent.any():
        grey[image.absent] = BACKGROUND
    return _overlaid(image, grey)


def _overlaid(image: PlaneImage, levels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    if image.overlay is not None:
        levels[image.overlay] = GRAPHICS
    return levels


def _joined(left: ScanPicture, right: ScanPicture) -> ScanPicture:
    """What is left of the seam of one picture, and right of it of another."""
    seam = left.seam_column
    joined = np.concatenate((left.pixels[:, :seam], right.pixels[:, seam:]), axis=1)
    return replace(left, pixels=joined)


def widened_picture(picture: ScanPicture, columns: int) -> ScanPicture:
    """The picture with as many black columns more at its left and at its right."""
    grid = picture.grid
    origin = to_vector(lps_from_pixel(grid, (-columns, 0)))
    return replace(
        picture,
        pixels=np.pad(picture.pixels, ((0, 0), (columns, columns)), constant_values=BACKGROUND),
        grid=replace(grid, origin_lps=origin, columns=grid.columns + 2 * columns),
    )


def make_plain_picture(image: PlaneImage, *, target_px: int) -> ScanPicture:
    """Scale levels that are shown as they are; parameters as for `make_picture`."""
    levels = np.array(image.values, np.uint8, copy=image.overlay is not None or None)
    return _picture(image, _overlaid(image, levels), (), target_px)


def _picture(
    image: PlaneImage,
    levels: NDArray[np.uint8],
    scales: tuple[GreyScale, ...],
    target_px: int,
) -> ScanPicture:
    if target_px < 1:
        raise ValueError(f"target_px is {target_px}; a picture needs at least 1 pixel")
    grid = square_grid(image.grid, target_px)
    _check_size(grid, image.grid)
    return ScanPicture(
        pixels=_resample(levels, image.grid, grid),
        grid=grid,
        plane=image.plane,
        at_mm=image.at_mm,
        slice_number=image.slice_number,
        slab_mm=image.slab_mm,
        slab=image.slab,
        scales=scales,
        unit=image.unit,
        letters=_letters(image, grid),
        native_mm=image.native_mm,
        source_slices=image.source_slices,
        slab_step_mm=image.slab_step_mm,
        middle_lps=image.middle_lps,
        flattening=image.flattening,
    )


def _check_size(grid: Grid, sampled: Grid) -> None:
    """Samples that lie far closer one way than the other make a picture of absurd length."""
    if not 0 < grid.columns * grid.rows <= MOST_PIXELS:
        raise ScanError(
            f"A picture of samples {sampled.column_mm:g} × {sampled.row_mm:g} mm apart would be"
            f" {grid.columns} × {grid.rows} pixels large",
            "Look whether the spacing in the header is right, or show another plane",
        )


def _letters(image: PlaneImage, grid: Grid) -> tuple[str, str, str, str] | None:
    if grid.space != "patient":
        return None
    return edge_letters(grid) if image.flattening is None else flat_letters(image.flattening)


def square_grid(grid: Grid, target_px: int) -> Grid:
    """The grid of square pixels that covers `grid` from its outer edge at top and left.

    Its pixel is a whole part (1 to `LARGEST_FACTOR`) of the finer sample distance of `grid`, so
    that the longer side comes near `target_px`. Less than one pixel is cut at right and bottom.
    Plain pictures, which cameras make far larger than any page shows them, also shrink.
    """
    finest_mm = min(grid.column_mm, grid.row_mm)
    width_mm, height_mm = grid.columns * grid.column_mm, grid.rows * grid.row_mm
    wanted = round(target_px * finest_mm / max(width_mm, height_mm))
    pixel_mm = finest_mm / min(max(wanted, 1), LARGEST_FACTOR)
    if grid.space != "patient":
        pixel_mm = max(pixel_mm, max(width_mm, height_mm) / (LARGEST_EXCESS * target_px))
    # the first pixels of both grids share their outer corner, not their centres
    first = (pixel_mm / grid.column_mm - 1) / 2, (pixel_mm / grid.row_mm - 1) / 2
    return replace(
        grid,
        origin_lps=to_vector(lps_from_pixel(grid, first)),
        column_mm=pixel_mm,
        row_mm=pixel_mm,
        columns=max(int(width_mm / pixel_mm + _WHOLE), 1),
        rows=max(int(height_mm / pixel_mm + _WHOLE), 1),
    )


def _resample(levels: NDArray[np.uint8], old: Grid, new: Grid) -> NDArray[np.uint8]:
    if new == old:
        return levels
    right = new.columns * new.column_mm / old.column_mm
    bottom = new.rows * new.row_mm / old.row_mm
    resized = Image.fromarray(levels).resize(
        (new.columns, new.rows),
        Image.Resampling.LANCZOS,
        box=(0, 0, min(right, old.columns), min(bottom, old.rows)),
    )
    return np.asarray(resized)
