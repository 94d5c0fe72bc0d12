"""The slice being painted."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from .draws import Floats
from .geometry import Meridian, axis_at, meridian_distance
from .materials import AIR
from .textures import Textures, Tile

RADIUS_STEP = 0.1  # mm, of the table of distances from an outline of revolution
FAR = 116.0  # mm from the axis: nothing turned about it reaches as far


@dataclass(frozen=True)
class Frame:
    """The grid of a series. Pixel (row 0, column 0) is centred at (`left_mm`, `front_mm`)."""

    left_mm: float
    front_mm: float
    pixel_mm: float
    size: int  # rows and columns
    edge_mm: float  # over which an edge fades

    @cached_property
    def x(self) -> Floats:
        steps = np.arange(self.size, dtype=np.float32)
        return (np.float32(self.left_mm) + np.float32(self.pixel_mm) * steps)[None, :]

    @cached_property
    def y(self) -> Floats:
        steps = np.arange(self.size, dtype=np.float32)
        return (np.float32(self.front_mm) + np.float32(self.pixel_mm) * steps)[:, None]


class Canvas:
    """CT numbers of one slice, and what every painter needs to know of it.

    Arrays are (row, column). A cover is the share (0..1) of a voxel that a material fills.
    """

    def __init__(self, frame: Frame, z: float, textures: Textures) -> None:
        self.frame, self.z, self.textures = frame, z, textures
        self.x, self.y = frame.x, frame.y
        self.hu: Floats = np.full((frame.size, frame.size), AIR, np.float32)
        self._planes: dict[tuple[int, float], Floats] = {}
        self.metal: Floats = np.zeros_like(self.hu)  # cover of bronze, for its streaks

    def texture(self, tile: Tile, shift_mm: float = 0.0) -> Floats:
        """`tile` over the slice; a shift makes another pattern of the same kind."""
        key = id(tile), shift_mm
        if key not in self._planes:
            self._planes[key] = tile.plane(self.z + shift_mm, self.y + np.float32(shift_mm), self.x)
        return self._planes[key]

    @cached_property
    def cloud(self) -> Floats:
        return self.texture(self.textures.cloud)

    @cached_property
    def grain(self) -> Floats:
        return self.texture(self.textures.grain)

    @cached_property
    def radius(self) -> Floats:
        """Distance from the urn's axis, drawn in and out a little: it was built by hand."""
        ax, ay = axis_at(self.z)
        dx, dy = self.x - np.float32(ax), self.y - np.float32(ay)
        radius = np.sqrt(dx * dx * np.float32(1.012) + dy * dy * np.float32(0.988))
        return radius + np.float32(0.45) * self.cloud

    @cached_property
    def _radius_index(self) -> NDArray[np.int32]:
        near = np.clip(self.radius, 0, np.float32(FAR - 2 * RADIUS_STEP))
        return (near * np.float32(1 / RADIUS_STEP) + np.float32(0.5)).astype(np.int32)

    def distance(self, outline: Meridian) -> Floats:
        """Distance (mm) from a body of revolution, negative inside it."""
        radii = np.arange(0, FAR, RADIUS_STEP)
        return meridian_distance(outline, self.z, radii)[self._radius_index]

    def cover(self, distance: Floats) -> Floats:
        """Share of each voxel inside the surface at `distance` 0."""
        return np.clip(np.float32(0.5) - distance * np.float32(1 / self.frame.edge_mm), 0, 1)

    def paint(self, cover: Floats, value: Floats | float) -> None:
        self.hu += cover * (np.float32(value) - self.hu)

    def window(
        self, center: tuple[float, float, float], reach: float
    ) -> tuple[slice, slice] | None:
        """Rows and columns within `reach` of a centre; None when this slice misses it."""
        if abs(center[2] - self.z) > reach:
            return None
        f = self.frame
        spans = []
        for at, first in ((center[1], f.front_mm), (center[0], f.left_mm)):
            low = max(int((at - reach - first) / f.pixel_mm), 0)
            high = min(int((at + reach - first) / f.pixel_mm) + 2, f.size)
            if low >= high:
                return None
            spans.append(slice(low, high))
        return spans[0], spans[1]


def fade(low: float, high: float, at: Floats) -> Floats:
    """0 below `low`, 1 above `high`, straight in between."""
    return np.clip((at - np.float32(low)) * np.float32(1 / (high - low)), 0, 1)


def zigzag(at: Floats) -> Floats:
    """A triangular wave between -1 and 1 with period 1."""
    part = at - np.floor(at)
    return np.abs(part * np.float32(4) - np.float32(2)) - np.float32(1)


def turn_of(y: Floats, x: Floats) -> Floats:
    """Angle of (x, y) in turns, -0.5..0.5, to about 0.0002 of a turn."""
    ax, ay = np.abs(x), np.abs(y)
    ratio = np.minimum(ax, ay) / np.maximum(np.maximum(ax, ay), np.float32(1e-6))
    square = ratio * ratio
    # odd polynomial for the arc tangent on 0..1, over one turn
    turn = ratio * (
        np.float32(0.15899)
        + square
        * (np.float32(-0.05113) + square * (np.float32(0.02428) + square * np.float32(-0.00714)))
    )
    turn = np.where(ay > ax, np.float32(0.25) - turn, turn)
    turn = np.where(x < 0, np.float32(0.5) - turn, turn)
    return np.where(y < 0, -turn, turn)
