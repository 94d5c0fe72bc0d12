"""Pictures that move by themselves: frames of one grid as a GIF, each grey level kept exactly.

A GIF holds 256 colours, so that grey pictures lose nothing (measured: as small as other lossless
forms, and shown wherever pictures are). Nothing but pixels, delays and the loop is written.
"""

import io
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from slidekit.errors import ScanError
from slidekit.scans.model import GreyScale, PlaneImage, PlaneRequest, Series
from slidekit.scans.pictures import make_picture
from slidekit.scans.planes.cropping import Window, crop_grid
from slidekit.scans.planes.read import planned_plane, read_planes

MOST_FRAMES = 240
MOST_MB = 12.0
AT_A_TIME = 48  # planes in memory: 60 MiB of 512 by 512 samples
Frames = Sequence[NDArray[np.uint8]]


@dataclass(frozen=True)
class Movie:
    """A picture that moves by itself and begins again. `gif` begins with the picture at rest."""

    gif: bytes
    frames: int
    frame_ms: int
    rows: int
    columns: int
    sop_uids: tuple[str, ...]  # of the images it was made of
    places: tuple[float, ...]  # mm along the way, or degrees of the turn, frame by frame


def way_through(at: float, first: float, last: float, step: float) -> tuple[float, ...]:
    """Places from `first` to `last` in steps, those that meet `at` exactly; `at` comes first, the
    rest in their order and around.

    Raises
    ------
    ScanError
        If `at` is not on the way, or the frames are too many or too few.
    """
    low, high = min(first, last), max(first, last)
    if not low - 1e-6 <= at <= high + 1e-6:
        raise ScanError(
            f"the view lies at {at:g}, which is not between {first:g} and {last:g}",
            "Let the way go through the view's own place, which is shown first and in print",
        )
    before, after = int((at - low) / step + 1e-6), int((high - at) / step + 1e-6)
    count = before + after + 1
    if count > MOST_FRAMES:
        raise ScanError(
            f"the way from {first:g} to {last:g} in steps of {step:g} has {count} frames, "
            f"and a moving picture holds {MOST_FRAMES}",
            f"Go a shorter way, or in steps of {(high - low) / (MOST_FRAMES - 2):.2g} or more",
        )
    if count < 2:
        raise ScanError("there is no second frame on the way", "Go a longer way")
    onward = 1 if last >= first else -1
    ahead, behind = (after, before) if onward > 0 else (before, after)
    steps = [*range(ahead + 1), *range(-behind, 0)]
    return tuple(at + onward * step * k for k in steps)


def scroll(
    series: Series, requests: Sequence[PlaneRequest], scales: tuple[GreyScale, ...]
) -> tuple[Frames, tuple[str, ...]]:
    """A frame for each request, at the scan's own size, and the UIDs of the slices they were made
    of. Some frames are made at a time, so that memory holds few planes.

    All are cut to one size: rows and columns of slices that do not lie straight above each other
    fall in and out of a crop by ones.

    Raises
    ------
    ScanError
        If a plane cannot be read, or the planes have not nearly the same size.
    """
    grids = [planned_plane(series, request).grid for request in requests]
    sizes = np.array([(grid.rows, grid.columns) for grid in grids])
    if np.ptp(sizes, axis=0).max() > 1:
        raise ScanError(
            "the pictures along the way are not of one size", "Crop the view, or go a shorter way"
        )
    rows, columns = sizes.min(axis=0).tolist()
    window = slice(0, rows), slice(0, columns)
    frames: list[NDArray[np.uint8]] = []
    used: set[int] = set()
    for start in range(0, len(requests), AT_A_TIME):
        images = read_planes(series, requests[start : start + AT_A_TIME])
        frames += [_frame(_cut(image, window), scales) for image in images]
        used |= {k for image in images for k in image.source_slices}
    return frames, _uids(series, used)


def _cut(image: PlaneImage, window: Window) -> PlaneImage:
    if image.values.shape == (window[0].stop, window[1].stop):
        return image
    return replace(
        image,
        values=np.ascontiguousarray(image.values[window]),
        absent=np.ascontiguousarray(image.absent[window]),
        overlay=None if image.overlay is None else image.overlay[window],
        grid=crop_grid(image.grid, window),
    )


def frames_of(
    series: Series, images: Sequence[PlaneImage], scales: tuple[GreyScale, ...]
) -> tuple[Frames, tuple[str, ...]]:
    """The images in grey levels, and the UIDs of the slices they were made of."""
    used = {k for image in images for k in image.source_slices}
    return [_frame(image, scales) for image in images], _uids(series, used)


def _frame(image: PlaneImage, scales: tuple[GreyScale, ...]) -> NDArray[np.uint8]:
    return make_picture(image, *scales, target_px=1).pixels


def _uids(series: Series, used: set[int]) -> tuple[str, ...]:
    return tuple(series.slices[k].sop_uid for k in sorted(used))


def make_movie(
    made: tuple[Frames, tuple[str, ...]],
    places: Sequence[float],
    fps: float,
    longest_px: int | None,
) -> Movie:
    """Pack frames; averaged to fewer pixels if their longer side is above `longest_px`.

    Raises
    ------
    ScanError
        If the file is too large; the message says what would make it smaller.
    """
    frames, used = made
    small = [_reduced(frame, longest_px) for frame in frames]
    frame_ms = round(100 / fps) * 10  # a GIF counts hundredths of a second
    gif = encode_gif(small, frame_ms)
    rows, columns = small[0].shape
    size_mb = len(gif) / 1e6
    if size_mb > MOST_MB:
        fitting = int(max(rows, columns) * (MOST_MB / size_mb) ** 0.5 * 0.95)
        raise ScanError(
            f"{len(frames)} frames of {columns} by {rows} pixels take {size_mb:.1f} MB, "
            f"and a moving picture may take {MOST_MB:g} MB",
            f"Go a shorter way or in larger steps, crop the view, or write longest_px: {fitting}",
        )
    return Movie(gif, len(frames), frame_ms, rows, columns, used, tuple(places))


def _reduced(frame: NDArray[np.uint8], longest_px: int | None) -> NDArray[np.uint8]:
    rows, columns = frame.shape
    if longest_px is None or max(rows, columns) <= longest_px:
        return frame
    share = longest_px / max(rows, columns)
    size = max(round(columns * share), 1), max(round(rows * share), 1)
    return np.asarray(Image.fromarray(frame).resize(size, Image.Resampling.BOX))


def encode_gif(frames: Frames, frame_ms: int) -> bytes:
    """The frames in their order, over and over."""
    first, *rest = (Image.fromarray(np.ascontiguousarray(frame)) for frame in frames)
    buffer = io.BytesIO()
    first.save(
        buffer, "GIF", save_all=True, append_images=rest, duration=frame_ms, loop=0, optimize=False
    )
    return buffer.getvalue()


def plane_at(request: PlaneRequest, at: float) -> PlaneRequest:
    """The request moved to another place: a slice number for one that counts slices; how far into
    its picture for an oblique or curved one."""
    if request.plane in ("oblique", "curved"):
        return replace(request, deeper_mm=at)
    if request.slice_number is not None:
        return replace(request, slice_number=round(at), at_mm=None)
    return replace(request, at_mm=at)
