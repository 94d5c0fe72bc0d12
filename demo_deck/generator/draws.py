"""Chance that is the same on every machine.

The raw stream of a NumPy bit generator is fixed for a given seed (NEP 19); the distributions built
on it are not. So everything here is made from raw words by integer arithmetic, and the rest of the
generator keeps to the operations that IEEE 754 fixes to the last bit: + - * / and square root.
"""

import math

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Vector = tuple[float, float, float]
Turn = tuple[Vector, Vector, Vector]
"""Three unit vectors: the axes of a thing, in the block's millimetres."""


def random_bytes(seed: int, *shape: int) -> Floats:
    """Uniform numbers in -1..1, of one byte each."""
    count = int(np.prod(shape))
    words = np.random.PCG64(seed).random_raw(-(-count // 8))
    octets = words.astype("<u8").view(np.uint8)[:count].reshape(shape)
    return octets.astype(np.float32) * np.float32(2 / 255) - np.float32(1)


class Draws:
    """Single numbers from one seed."""

    def __init__(self, seed: int) -> None:
        self._bits = np.random.PCG64(seed)

    def between(self, low: float, high: float) -> float:
        unit = (int(self._bits.random_raw()) >> 11) * 2.0**-53
        return low + (high - low) * unit

    def direction(self) -> Vector:
        """A unit vector, every direction as likely as any other."""
        while True:
            x, y, z = (self.between(-1, 1) for _ in range(3))
            square = x * x + y * y + z * z
            if 0.01 < square < 1:
                length = math.sqrt(square)
                return x / length, y / length, z / length

    def lying(self, upright: float = 0.35) -> Turn:
        """Axes of a thing that fell: its third axis lies within `upright` of the horizontal."""
        x, y, z = self.direction()
        return axes_along((x, y, z * upright), self.direction())


def axes_along(along: Vector, beside: Vector = (0.12, 0.31, 0.94)) -> Turn:
    """Three axes of which the third points along `along`; `beside` settles the turn about it."""
    third = _unit(along)
    share = _dot(beside, third)
    first = (
        beside[0] - share * third[0],
        beside[1] - share * third[1],
        beside[2] - share * third[2],
    )
    if _dot(first, first) < 1e-6:
        return axes_along(along, (beside[1] + 0.5, beside[2] + 0.3, beside[0] - 0.7))
    x, y, z = _unit(first)
    second = (third[1] * z - third[2] * y, third[2] * x - third[0] * z, third[0] * y - third[1] * x)
    return (x, y, z), second, third


def _unit(vector: Vector) -> Vector:
    length = math.sqrt(_dot(vector, vector))
    return vector[0] / length, vector[1] / length, vector[2] / length


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def distance(a: Vector, b: Vector) -> float:
    """Between two places, mm."""
    x, y, z = a[0] - b[0], a[1] - b[1], a[2] - b[2]
    return math.sqrt(x * x + y * y + z * z)
