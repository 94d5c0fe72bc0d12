"""How the path of a curved surface runs: whether it can be laid flat, and what that does to it."""

import numpy as np

from slidekit.errors import ScanError
from slidekit.scans.geometry import Array

_LARGEST_COSINE = np.cos(np.radians(30))  # between the path and the lines across it
_SEGMENTS = 200  # at most, of a path in which crossings are looked for
_TOUCHING = 1e-9


def tangents_of(path: Array) -> Array:
    """Unit vectors along a path, one for each place of it."""
    tangents = np.gradient(path, axis=0)
    return np.asarray(tangents / np.linalg.norm(tangents, axis=1, keepdims=True))


def check_course(path: Array, across: Array) -> None:
    """ScanError if the path runs nearly along the lines across it."""
    tangents = tangents_of(path)
    steepest = int(np.argmax(np.abs(tangents @ across)))
    if abs(tangents[steepest] @ across) > _LARGEST_COSINE:
        plain = np.eye(3)[np.argmin((tangents**2).sum(axis=0))]
        raise ScanError(
            f"The path runs nearly along across: {shown(across)} at {shown(path[steepest])},"
            " so that no surface is left to show",
            f"Write a direction across the path, as in {shown(plain)}",
        )


def lean_deg(path: Array, across: Array) -> float:
    """How far the lines across lean from a right angle to the path, where they do most."""
    return float(np.degrees(np.arcsin(min(np.abs(tangents_of(path) @ across).max(), 1.0))))


def crosses_itself(path: Array, across: Array) -> bool:
    """Whether two places of the path lie on one line across it: the surface then meets itself,
    and shows something twice. A path that ends where it began does not."""
    flat = path @ np.linalg.svd(across[None])[2][1:].T  # as seen along the lines
    flat = flat[np.linspace(0, len(flat) - 1, min(len(flat), _SEGMENTS + 1)).astype(int)]
    starts, steps = flat[:-1], np.diff(flat, axis=0)
    last = len(steps) - 1
    return any(
        _meets(starts[i], steps[i], starts[i + 2 :], steps[i + 2 :], ring=i == 0)
        for i in range(last - 1)
    )


def _meets(start: Array, step: Array, starts: Array, steps: Array, *, ring: bool) -> bool:
    """Whether a segment crosses or covers one of others; of a `ring` the last may touch it."""
    between = starts - start
    area = _cross(step, steps)
    size = np.linalg.norm(step)
    skew = np.abs(area) > _TOUCHING * size * np.linalg.norm(steps, axis=1)
    divisor = np.where(skew, area, 1.0)
    here, there = _cross(between, steps) / divisor, _cross(between, step) / divisor
    met = skew & (np.abs(here - 0.5) <= 0.5) & (np.abs(there - 0.5) <= 0.5)
    met |= ~skew & (np.linalg.norm(between, axis=1) < size / 2)
    return bool(met[:-1].any() if ring else met.any())


def _cross(one: Array, other: Array) -> Array:
    return np.asarray(one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0])


def shown(vector: Array) -> str:
    """A place or direction as an author writes it."""
    return f"[{', '.join(f'{value:g}' for value in np.round(vector, 1).tolist())}]"
