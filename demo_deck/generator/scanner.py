"""From ideal CT numbers to measured ones: blur, cupping, streaks, noise, the end of the scale."""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from .canvas import Canvas, Frame
from .draws import Floats, random_bytes

ANGLES = 150
STREAK_GRID = 2.0  # mm
TAPS = 24  # of the ramp filter to either side


@dataclass(frozen=True)
class Kernel:
    """What the reconstruction does to edges and noise."""

    blur_passes: int
    noise_hu: float  # spread at the middle of the block
    overshoot: float  # of an edge; sharp kernels have some


def measured(canvas: Canvas, kernel: Kernel, seed: int) -> NDArray[np.uint16]:
    """Stored values 0..4095; CT number is the stored value less 1024."""
    frame = canvas.frame
    hu = canvas.hu
    for _ in range(kernel.blur_passes):
        hu = _blurred(hu)
    if kernel.overshoot:
        hu = hu + np.float32(kernel.overshoot) * (hu - _blurred(_blurred(hu)))
    middle = np.float32(1) - np.minimum(
        (frame.x * frame.x + frame.y * frame.y) * np.float32(1 / 130**2), np.float32(1.2)
    )
    hu = hu - middle * np.float32(9)  # a little cupping is left
    if canvas.metal.any():
        hu = hu + streaks(canvas.metal, frame)
    spread = np.float32(kernel.noise_hu) * (
        np.float32(0.52) + np.float32(0.48) * np.maximum(middle, 0)
    )
    hu = hu + spread * _noise(seed, canvas.hu.shape)
    return np.clip(np.floor(hu + np.float32(1024.5)), 0, 4095).astype(np.uint16)


def _blurred(values: Floats) -> Floats:
    """One binomial pass along rows and columns; the rim stays."""
    out = values.copy()
    out[1:-1] = values[1:-1] * np.float32(0.5) + (values[:-2] + values[2:]) * np.float32(0.25)
    across = out.copy()
    across[:, 1:-1] = out[:, 1:-1] * np.float32(0.5) + (out[:, :-2] + out[:, 2:]) * np.float32(0.25)
    return across


def _noise(seed: int, shape: tuple[int, ...]) -> Floats:
    """Grain as a filtered back-projection leaves it: middling frequencies, little of the low.

    Its spread is about 1: the factor is that of the filter used.
    """
    fine = _blurred(random_bytes(seed, *shape))
    coarse = _blurred(_blurred(_blurred(fine)))
    return (fine - coarse * np.float32(0.9)) * np.float32(7.1)


@cache
def _directions() -> tuple[Floats, Floats]:
    """Cosine and sine of the directions of projection, one column each."""
    turns = [math.pi * (k + 0.5) / ANGLES for k in range(ANGLES)]
    # rounded, because the last bit of a cosine is a matter of the machine's library
    cosines, sines = ([round(f(a), 6) for a in turns] for f in (math.cos, math.sin))
    return np.array(cosines, np.float32)[:, None], np.array(sines, np.float32)[:, None]


def streaks(metal: Floats, frame: Frame) -> Floats:
    """Error of a slice in which the rays through metal are measured too weak (beam hardening).

    The path length of bronze is projected along every direction, its error grows with the square
    of the path, and the error is projected back through a ramp filter.
    """
    cosines, sines = _directions()
    count = int(frame.size * frame.pixel_mm / STREAK_GRID) + 2
    rows, columns = np.nonzero(metal > np.float32(0.05))
    weight = metal[rows, columns].astype(np.float64) * (frame.pixel_mm**2 / STREAK_GRID)
    scale = np.float32(frame.pixel_mm / STREAK_GRID)
    place = columns.astype(np.float32) * scale * cosines + rows.astype(np.float32) * scale * sines
    bins = 3 * count  # the projection falls in its middle, wherever the direction
    index = np.rint(place).astype(np.int64) + count + bins * np.arange(ANGLES)[:, None]
    path = np.bincount(index.ravel(), np.tile(weight, ANGLES), bins * ANGLES).reshape(ANGLES, bins)
    errors = _ramp(_softened(-path * path / (path + 9.0))).astype(np.float32)
    grid = np.arange(count, dtype=np.float32)
    total = np.zeros((count, count), np.float32)
    for error, cosine, sine in zip(errors, cosines, sines, strict=True):
        back = grid[None, :] * cosine + (grid[:, None] * sine + np.float32(count))
        low = back.astype(np.int32)
        before = error.take(low)
        total += before + (error.take(low + 1) - before) * (back - low)
    return _magnified(np.clip(total * np.float32(230), -420, 380), frame)


def _softened(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Two binomial passes along the detector, whose elements are no lines."""
    for _ in range(2):
        values = values * 0.5 + (np.roll(values, 1, 1) + np.roll(values, -1, 1)) * 0.25
    return values


def _ramp(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """The ramp filter along the detector, in space, cut off after some taps."""
    out = values * 0.25
    for k in range(1, TAPS, 2):
        share = 1 / (9.8696 * k * k)
        out[:, k:] -= share * values[:, :-k]
        out[:, :-k] -= share * values[:, k:]
    return out


def _magnified(coarse: Floats, frame: Frame) -> Floats:
    at = np.arange(frame.size, dtype=np.float32) * np.float32(frame.pixel_mm / STREAK_GRID)
    low = at.astype(np.int32)
    part = at - low.astype(np.float32)
    rows = coarse[low] + (coarse[low + 1] - coarse[low]) * part[:, None]
    return rows[:, low] + (rows[:, low + 1] - rows[:, low]) * part[None, :]
