"""Loose things in the block, each with a place, a turn and a shape: stones, bone, coal, roots."""

import math
from dataclasses import dataclass, field
from functools import cache, cached_property
from itertools import pairwise
from typing import Literal

import numpy as np

from . import materials as hu
from .draws import Draws, Turn, Vector, axes_along, distance
from .geometry import (
    BLOCK_BOTTOM,
    BLOCK_TOP,
    CAVITY,
    COIL,
    GRAVEL_CENTER,
    GRAVEL_RADII,
    LID,
    SEAL,
    URN,
    axis_at,
    meridian_distance,
)

Kind = Literal["pebble", "charcoal", "shaft", "vault", "joint", "tooth", "root"]


@dataclass(frozen=True)
class Thing:
    """`size` in mm, per kind: pebble and charcoal, half axes; shaft, half length, outer radius and
    thickness; vault, half width, radius of the curve and thickness; joint, radius of the ball;
    tooth, half length and radius; root, radius of a bead of it."""

    kind: Kind
    center: Vector
    turn: Turn
    size: Vector
    hu: float
    cuts: tuple[tuple[Vector, float], ...] = field(default=())  # planes: normal, distance
    name: str = ""

    @cached_property
    def reach(self) -> float:
        """No part of it lies further from its centre."""
        a, b, c = self.size
        match self.kind:
            case "pebble" | "charcoal":
                return max(self.size) * 1.2
            case "shaft":
                return math.sqrt(a * a + b * b) + 1
            case "vault":
                return a * 1.5 + c
            case "tooth":
                return a + 1
            case "joint" | "root":
                return a + 1


def _cuts(draws: Draws, count: int, near: float, far: float) -> tuple[tuple[Vector, float], ...]:
    return tuple((draws.direction(), draws.between(near, far)) for _ in range(count))


def _radius(x: float, y: float, z: float) -> float:
    ax, ay = axis_at(z)
    return math.sqrt((x - ax) * (x - ax) + (y - ay) * (y - ay))


def _depth_in(outline: np.ndarray, x: float, y: float, z: float) -> float:
    return -float(meridian_distance(outline, z, np.array([_radius(x, y, z)]))[0])


def _pebbles(draws: Draws) -> list[Thing]:
    """In the soil round the urn, clear of it."""
    found: list[Thing] = []
    while len(found) < 190:
        x, y = draws.between(-122, 122), draws.between(-122, 122)
        z = draws.between(BLOCK_BOTTOM + 3, BLOCK_TOP - 3)
        size = draws.between(1.2, 3.2) if draws.between(0, 1) < 0.85 else draws.between(3.2, 8.0)
        clear = min(-_depth_in(outline, x, y, z) for outline in (URN, CAVITY, LID, SEAL))
        if clear < size * 1.25 + 0.8 or x * x + y * y > (116 - size) * (116 - size):
            continue
        axes = (
            size * draws.between(0.9, 1.25),
            size * draws.between(0.75, 1.0),
            size * draws.between(0.5, 0.8),
        )
        found.append(Thing("pebble", (x, y, z), draws.lying(), axes, draws.between(1750, 2250)))
    return found


def _gravel(draws: Draws) -> list[Thing]:
    found: list[Thing] = []
    (cx, cy, cz), (rx, ry, rz) = GRAVEL_CENTER, GRAVEL_RADII
    tries = 0
    while len(found) < 260 and (tries := tries + 1) < 6000:
        u, v, w = draws.between(-1, 1), draws.between(-1, 1), draws.between(-1, 1)
        if u * u + v * v + w * w > 0.86:
            continue
        x, y, z = cx + rx * u, cy + ry * v, cz + rz * w
        size = draws.between(2.4, 5.2) if len(found) < 70 else draws.between(1.1, 2.6)
        if _depth_in(CAVITY, x, y, z) < size + 0.5 or _crowded(found, (x, y, z), size * 0.95, 0.88):
            continue
        axes = (size * draws.between(0.95, 1.2), size, size * draws.between(0.6, 0.85))
        found.append(Thing("pebble", (x, y, z), draws.lying(0.25), axes, draws.between(1650, 2050)))
    return found


def _crowded(found: list[Thing], center: Vector, reach: float, share: float) -> bool:
    for other in found:
        gap = distance(center, other.center)
        other_reach = other.reach if other.kind != "pebble" else max(other.size) * 0.9
        if gap < share * (reach + other_reach):
            return True
    return False


NAMED_BONES = (
    Thing(
        "vault",
        (-30.0, 26.0, -31.0),
        axes_along((-0.25, 0.20, 0.95)),
        (19.0, 62.0, 6.2),
        hu.BONE,
        (((0.97, 0.2, 0.1), 15.0), ((-0.6, 0.8, 0.0), 14.0), ((-0.3, -0.95, 0.0), 13.0)),
        "vault",
    ),
    Thing(
        "shaft",
        (-33.0, -20.0, -44.0),
        axes_along((0.32, 0.93, 0.16)),
        (23.0, 12.5, 4.4),
        hu.BONE,
        (((-0.35, -0.86, 0.36), 5.5), ((0.3, 0.2, 0.93), 19.0), ((0.5, -0.3, -0.81), 19.0)),
        "shaft",
    ),
    Thing(
        "joint",
        (12.0, 40.0, -40.0),
        axes_along((0.35, 0.25, 0.9)),
        (15.5, 15.5, 15.5),
        hu.BONE,
        (((0.1, -0.35, -0.93), 5.0), ((-0.85, 0.5, 0.15), 11.0)),
        "joint",
    ),
    Thing(
        "tooth",
        (46.0, 14.0, -35.5),
        axes_along((0.75, 0.6, 0.28)),
        (7.5, 2.9, 0.9),
        1980.0,
        (),
        "tooth",
    ),
)
"""Pieces that the talk speaks of."""


def _bones(draws: Draws) -> list[Thing]:
    found = list(NAMED_BONES)
    tries = 0
    while len(found) < 190 and (tries := tries + 1) < 6000:
        x, y, z = draws.between(-66, 66), draws.between(-66, 66), draws.between(-77, -25)
        which = draws.between(0, 1)
        scale = draws.between(0.6, 1.25) if len(found) < 60 else draws.between(0.25, 0.6)
        if which < 0.55:
            kind: Kind = "shaft"
            size = (15.0 * scale, draws.between(5.5, 12.0) * scale, draws.between(2.8, 4.8) * scale)
            cuts = _cuts(draws, 2, 0.1 * size[1], 0.5 * size[1]) + _cuts(
                draws, 2, 0.5 * size[0], 0.9 * size[0]
            )
        elif which < 0.91:
            kind, size = (
                "vault",
                (15.0 * scale, draws.between(45, 70), draws.between(3.6, 6.0) * (0.5 + scale / 2)),
            )
            cuts = _cuts(draws, 3, 0.45 * size[0], 0.95 * size[0])
        else:
            kind, size = "joint", (12.0 * scale, 10.0 * scale, 9.0 * scale)
            cuts = _cuts(draws, 3, 0.0, 0.55 * size[0])
        thing = Thing(kind, (x, y, z), draws.lying(), size, draws.between(1350, 1750), cuts)
        cloth = Thing("joint", COIL.center, thing.turn, (15.0,) * 3, 0)
        room = _depth_in(CAVITY, x, y, z)
        if room < 0.75 * thing.reach + 1.5 or _crowded(
            [*found, cloth], thing.center, thing.reach, 0.5
        ):
            continue
        found.append(thing)
    return found


def _charcoal(draws: Draws) -> list[Thing]:
    found: list[Thing] = []
    while len(found) < 125:
        x, y = draws.between(-86, 86), draws.between(-86, 86)
        middle = -16.5 + 0.06 * x - 0.03 * y
        low = len(found) > 105  # a few lie among the bone
        z = draws.between(-60, -26) if low else middle + draws.between(-4.0, 4.0)
        size = draws.between(1.6, 3.2) if len(found) % 4 else draws.between(3.2, 7.0)
        if _depth_in(CAVITY, x, y, z) < size * 1.2 + 1 or _crowded(found, (x, y, z), size, 0.75):
            continue
        axes = (
            size * draws.between(0.9, 1.5),
            size * draws.between(0.6, 0.9),
            size * draws.between(0.4, 0.7),
        )
        found.append(
            Thing(
                "charcoal",
                (x, y, z),
                draws.lying(0.2),
                axes,
                draws.between(-620, -380),
                _cuts(draws, 4, 0.4 * size, 0.9 * size),
            )
        )
    return found


ROOTS: tuple[tuple[tuple[Vector, ...], float], ...] = (
    (
        (
            (-112, 40, 108),
            (-111, 30, 80),
            (-106, 22, 40),
            (-104, 10, 5),
            (-101, -8, -35),
            (-88, -30, -75),
            (-70, -44, -103),
        ),
        1.9,
    ),
    (
        (
            (70, -86, 110),
            (82, -78, 70),
            (93, -62, 44),
            (106, -48, 20),
            (110, -30, -10),
            (104, -8, -52),
            (92, 12, -98),
        ),
        1.5,
    ),
    (
        (
            (20, 112, 109),
            (14, 105, 88),
            (9, 99, 62),
            (6, 96, 42),
            (5, 84, 33),
            (3, 70, 44),
            (-6, 52, 47),
            (-22, 40, 44),
            (-34, 33, 36),
        ),
        1.3,
    ),
    (
        (
            (-60, -98, 104),
            (-66, -92, 60),
            (-74, -84, 30),
            (-80, -80, -6),
            (-78, -70, -50),
            (-60, -66, -90),
        ),
        1.1,
    ),
    (
        ((112, 36, 96), (104, 44, 50), (104, 40, 8), (92, 58, -34), (70, 62, -70), (30, 70, -100)),
        1.7,
    ),
    (
        (
            (-30, 112, 100),
            (-44, 108, 62),
            (-52, 102, 20),
            (-48, 98, -24),
            (-30, 92, -60),
            (4, 84, -98),
        ),
        1.0,
    ),
)
"""Polylines and the radius (mm) at their upper end. The third comes in by the crack."""


def _roots() -> list[Thing]:
    """Each stretch in pieces of about 9 mm, thinner from stretch to stretch."""
    pieces = []
    for points, top_radius in ROOTS:
        for number, (a, b) in enumerate(pairwise(points)):
            radius = top_radius * (1 - 0.5 * number / (len(points) - 2))
            count = max(int(distance(a, b) / 9), 1)
            size = (distance(a, b) / count / 2 + 0.6, radius, radius)
            turn = axes_along((b[0] - a[0], b[1] - a[1], b[2] - a[2]))
            pieces += [
                Thing("root", _part_way(a, b, (k + 0.5) / count), turn, size, hu.ROOT)
                for k in range(count)
            ]
    return pieces


def _part_way(a: Vector, b: Vector, share: float) -> Vector:
    x, y, z = (p + (q - p) * share for p, q in zip(a, b, strict=True))
    return x, y, z


@cache
def strewn() -> dict[str, tuple[Thing, ...]]:
    """All loose things by where they belong; the same every time."""
    return {
        "soil": tuple(_pebbles(Draws(21))),
        "fill": (*_gravel(Draws(22)), *_charcoal(Draws(24)), *_bones(Draws(23))),
        "roots": tuple(_roots()),
    }
