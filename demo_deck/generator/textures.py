"""Endless textures: small blocks that repeat, sampled in millimetres.

A texture belongs to the thing and not to the picture: two series of the same block, with voxels of
different size, show the same grains in the same places.
"""

from dataclasses import dataclass
from functools import cached_property
from math import comb

import numpy as np

from .draws import Draws, Floats, random_bytes


@dataclass(frozen=True)
class Tile:
    """A periodic block of values, (plane, row, column), `step_mm` apart."""

    values: Floats
    step_mm: tuple[float, float, float]

    def plane(self, z_mm: float, y_mm: Floats, x_mm: Floats) -> Floats:
        """Values on a grid of rows at `y_mm` and columns at `x_mm`, linear in between."""
        plane = _between(self.values, 0, np.array([z_mm / self.step_mm[0]]))[0]
        wide = _between(plane, 1, x_mm.ravel() / np.float32(self.step_mm[2]))
        return _between(wide, 0, y_mm.ravel() / np.float32(self.step_mm[1]))  # whole rows: fast

    def at(self, z_mm: Floats, y_mm: Floats, x_mm: Floats) -> Floats:
        """Values at single points, linear in between."""
        corners, parts = [], []
        for length, at, step in zip(
            self.values.shape, (z_mm, y_mm, x_mm), self.step_mm, strict=True
        ):
            place = at / np.float32(step)
            low = np.floor(place)
            index = low.astype(np.int32) % length
            corners.append((index, (index + 1) % length))
            parts.append((place - low).astype(np.float32))
        (z0, z1), (y0, y1), (x0, x1) = corners
        fz, fy, fx = parts
        v = self.values
        low_plane = _mix(
            _mix(v[z0, y0, x0], v[z0, y0, x1], fx), _mix(v[z0, y1, x0], v[z0, y1, x1], fx), fy
        )
        high_plane = _mix(
            _mix(v[z1, y0, x0], v[z1, y0, x1], fx), _mix(v[z1, y1, x0], v[z1, y1, x1], fx), fy
        )
        return _mix(low_plane, high_plane, fz)


def _mix(a: Floats, b: Floats, part: Floats) -> Floats:
    return a + (b - a) * part


def _between(values: Floats, axis: int, place: Floats) -> Floats:
    low = np.floor(place)
    index = low.astype(np.int32) % values.shape[axis]
    part = (place - low).astype(np.float32)
    shape = [1] * values.ndim
    shape[axis] = part.size
    first = values.take(index, axis)
    second = values.take((index + 1) % values.shape[axis], axis)
    return _mix(first, second, part.reshape(shape))


def _smooth_noise(seed: int, shape: tuple[int, int, int], passes: int) -> Floats:
    """Periodic noise of about unit spread after `passes` binomial filters along every axis."""
    noise = random_bytes(seed, *shape)
    for axis in range(3):
        for _ in range(passes):
            noise = (np.roll(noise, 1, axis) + np.roll(noise, -1, axis)) * np.float32(
                0.25
            ) + noise * np.float32(0.5)
    # variance of uniform noise, times the sum of the squared weights along each axis
    spread = (1 / 3 * (comb(4 * passes, 2 * passes) / 16**passes) ** 3) ** 0.5
    return noise * np.float32(1 / spread)


def _stamped(
    seed: int, count: int, low_mm: tuple[float, float, float], high_mm: tuple[float, float, float]
) -> Tile:
    """Angular grains strewn in a block of 80 mm (z) x 80 mm (along) x 16 mm (deep)."""
    shape, step = (160, 160, 32), 0.5
    block = np.zeros(shape, np.float32)
    draws = Draws(seed)
    for _ in range(count):
        half = [draws.between(a, b) for a, b in zip(low_mm, high_mm, strict=True)]
        axes = draws.lying(1.0) if max(high_mm) < 2 else ((1, 0, 0), (0, 1, 0), (0, 0, 1))
        reach = int(max(half) * 1.5 / step) + 1
        centre = [draws.between(0, n) for n in shape]
        indices = [np.arange(int(c) - reach, int(c) + reach + 1) for c in centre]
        away = np.ix_(
            *[((i - c) * step).astype(np.float32) for i, c in zip(indices, centre, strict=True)]
        )
        sides = [
            np.abs(a[0] * away[0] + a[1] * away[1] + a[2] * away[2]) - h
            for a, h in zip(axes, half, strict=True)
        ]
        cut = sides[0] + sides[1] + sides[2] + np.float32(0.55 * sum(half))
        distance = np.maximum(
            np.maximum(sides[0], sides[1]), np.maximum(sides[2], cut * np.float32(0.58))
        )
        place = np.ix_(*[i % n for i, n in zip(indices, shape, strict=True)])
        block[place] = np.maximum(block[place], np.clip(0.5 - distance / 0.5, 0, 1))
    return Tile(block, (step,) * 3)


class Textures:
    """All textures of the block, each made when first asked for."""

    @cached_property
    def cloud(self) -> Tile:
        """Slow variation, most of it over three centimetres, some over one."""
        values = _smooth_noise(11, (64,) * 3, 16) + _smooth_noise(16, (64,) * 3, 3) * np.float32(
            0.35
        )
        return Tile(values, (3.6,) * 3)

    @cached_property
    def grain(self) -> Tile:
        """Sandy grain of a millimetre or two."""
        return Tile(_smooth_noise(12, (96, 176, 176), 2), (0.8,) * 3)

    @cached_property
    def sponge(self) -> Tile:
        """Its zero surface is the network of struts in spongy bone."""
        return Tile(_smooth_noise(13, (96,) * 3, 3), (0.32,) * 3)

    @cached_property
    def temper(self) -> Tile:
        """1 inside a grain of temper; axes are height, way round the wall, depth."""
        return _stamped(14, 3600, (0.3, 0.3, 0.3), (1.6, 1.4, 1.2))

    @cached_property
    def pores(self) -> Tile:
        """1 inside a pore; long ones lie along the wall, as coiled clay is drawn out."""
        return _stamped(15, 520, (0.3, 0.6, 0.2), (0.8, 4.0, 0.5))
