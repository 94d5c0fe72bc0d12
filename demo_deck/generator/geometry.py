"""Where everything in the block is, in patient millimetres (DICOM LPS+).

The block lies on its side on the couch, so that an axial slice is a level cut through the urn: z
runs from the board under its foot up to the lid; x and y are level directions. The urn leans a
little, and its axis at height z stands at `axis_at(z)`.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from .draws import Floats

Meridian = NDArray[np.float64]  # points (radius, z), closed

BLOCK_BOTTOM = -101.0
BLOCK_TOP = 120.0
PLASTER_THICKNESS = 7.0
BOARD = (-113.5, -101.0)  # z of the plywood under the block

FOOT_Z, RIM_Z, LID_TOP_Z = -92.0, 92.0, 113.0
FLOOR_Z = -82.0  # inside


def axis_at(z: float) -> tuple[float, float]:
    """x and y of the urn's axis at height z."""
    return 0.030 * z - 1.0, -0.022 * z + 2.0


def _rounded(points: list[tuple[float, float]], times: int = 2) -> list[tuple[float, float]]:
    """Cut every corner `times` times (Chaikin); the two ends stay."""
    for _ in range(times):
        cut = [points[0]]
        for (r0, z0), (r1, z1) in pairwise(points):
            cut += [(0.75 * r0 + 0.25 * r1, 0.75 * z0 + 0.25 * z1)]
            cut += [(0.25 * r0 + 0.75 * r1, 0.25 * z0 + 0.75 * z1)]
        points = [*cut, points[-1]]
    return points


_LID_UNDER = _rounded([(76, 95.8), (56, 101), (24, 104.2), (0, 104.5)])
_OUTSIDE = _rounded(
    [
        (43, -92),
        (46, -91),
        (61, -72),
        (80, -47),
        (94, -22),
        (101, -3),
        (103, 10),
        (100, 24),
        (89, 36),
        (80, 43),
        (76.5, 52),
        (74.5, 64),
        (75.5, 74),
        (80, 83),
        (87, 89.5),
        (87.5, 92),
    ]
)
_INSIDE = _rounded(
    [
        (83.5, 92.6),
        (78.5, 87.5),
        (70, 79),
        (66.5, 72),
        (65.5, 63),
        (67.5, 52),
        (72, 42),
        (81, 34),
        (90, 23),
        (93.5, 10),
        (91.5, -3),
        (84, -22),
        (71, -46),
        (53, -70),
        (38, -81),
        (24, -82.5),
    ]
)
# the outlines run on past the axis, which is no surface
URN: Meridian = np.array([(-20, -89.5), (30, -90), *_OUTSIDE, *_INSIDE, (-20, FLOOR_Z)])
CAVITY: Meridian = np.array(
    [(-20, FLOOR_Z), *_INSIDE[::-1], (84, 93.3), (78, 95.2), *_LID_UNDER, (-20, 104.5)]
)
LID: Meridian = np.array(
    [
        (-20, 104.5),
        *_LID_UNDER[::-1],
        (78, 95.2),
        (84, 93.2),
        (96, 92.8),
        (97.8, 94),
        (98, 96.5),
        *_rounded([(96.5, 99.5), (84, 104.5), (56, 110.5), (24, 113), (-20, LID_TOP_Z)]),
    ]
)
SEAL: Meridian = np.array(
    [
        *_rounded([(83, 95), (85, 84), (86.5, 81.5), (91, 80.5), (95.5, 83), (97, 88), (97.2, 94)]),
        (97.2, 96),
        (83, 96),
    ]
)
SEAL_INSIDE: Meridian = np.array([(72, 81.5), (84, 91), (84, 94.5), (74, 96), (71.5, 92), (71, 86)])

WAX_TOWARDS = (0.70710678, 0.70710678)  # left and back
WAX_HALF_ARC_COS = 0.8910065  # 27 degrees to either side


@dataclass(frozen=True)
class Ball:
    """A sphere, to be added or taken away."""

    center: tuple[float, float, float]
    radius: float


CHIP = Ball((-84.0, -13.0, 101.0), 22.0)
"""What is struck from the rim lies inside this ball: a shell-shaped break on the right."""


@dataclass(frozen=True)
class Hole:
    """Drilled level through the wall, from `mouth` inwards along `inwards`."""

    mouth: tuple[float, float, float]
    inwards: tuple[float, float, float]
    radius: float
    plug_radius: float
    plug_from: float  # mm inwards of the mouth: the plug stands proud of the wall
    plug_to: float


HOLE = Hole((6.0, -85.5, -34.0), (-0.0995037, 0.9950372, 0.0), 4.6, 4.25, -1.6, 9.5)


@dataclass(frozen=True)
class Handle:
    """What is left of a strap handle: an oval bar, snapped off at `length`."""

    root: tuple[float, float, float]
    outwards: tuple[float, float, float]
    half_width: float  # level, across the bar
    half_height: float
    length: float


HANDLE = Handle((97.0, 6.0, 17.0), (0.9659258, 0.0, 0.2588190), 12.5, 6.0, 14.0)
SCAR = Ball((75.5, 5.0, 54.0), 6.0)  # where the other end of the handle sat on the neck


@dataclass(frozen=True)
class Coil:
    """A wire wound about a level axis."""

    center: tuple[float, float, float]
    along: tuple[float, float, float]
    radius: float
    wire_radius: float
    pitch: float
    length: float


COIL = Coil((15.0, -13.0, -62.5), (0.9510565, 0.3090170, 0.0), 11.5, 1.15, 3.8, 27.0)
CLOTH_THICKNESS = 4.2
CLOTH_REACH = (20.5, 17.6)  # half length along the coil, radius about it

GRAVEL_CENTER = (-24.0, -24.0, 8.0)
GRAVEL_RADII = (46.0, 40.0, 9.0)

PIT_FLOOR = -97.0  # the pit was dug to here, a little wider than the urn


def pit_radius(z: float) -> float:
    """Radius of the pit at height z, about the urn's axis."""
    return 66.0 + 0.52 * (z - PIT_FLOOR) - 0.0009 * (z - PIT_FLOOR) ** 2


CRACK_X = 5.0  # a crack stands up the back of the shoulder, near this x
CRACK_Z = (12.0, 76.0)


def charcoal_band(x: Floats, y: Floats, cloud: Floats) -> tuple[Floats, Floats]:
    """Height of the under and upper side of the charcoal-rich band."""
    under = np.float32(-21) + np.float32(0.06) * x - np.float32(0.03) * y + np.float32(1.6) * cloud
    across = x * x + y * y
    thickness = np.float32(10) - across * np.float32(0.00055) + np.float32(1.1) * cloud
    return under, under + np.maximum(thickness, np.float32(2.5))


def silt_slope(x: Floats, y: Floats, cloud: Floats) -> Floats:
    """Rise of the washed-in layers above their lowest: they slope away from the crack."""
    away = np.sqrt((x - np.float32(CRACK_X)) ** 2 + (y - np.float32(68)) ** 2)
    heap = np.maximum(np.float32(1) - away * np.float32(1 / 95), np.float32(0))
    return np.float32(0.10) * y + np.float32(17) * heap * heap + np.float32(0.9) * cloud


LAMINATED_FROM = 17.0  # height at which the washed-in layers begin, before their slope
SILT_TOP = 52.0


def meridian_distance(outline: Meridian, z: float, radii: NDArray[np.float64]) -> Floats:
    """Distance (mm) of the points (radius, z) from `outline`; negative inside it."""
    start, end = outline, np.roll(outline, -1, axis=0)
    edge = end - start
    square = np.maximum(edge[:, 0] * edge[:, 0] + edge[:, 1] * edge[:, 1], 1e-12)
    above = z - start[:, 1]
    outwards = radii[:, None] - start[:, 0]
    part = np.clip(outwards * (edge[:, 0] / square) + above * edge[:, 1] / square, 0, 1)
    off_r, off_z = outwards - part * edge[:, 0], above - part * edge[:, 1]
    distance = np.sqrt((off_r * off_r + off_z * off_z).min(axis=1))
    crosses = (start[:, 1] > z) != (end[:, 1] > z)
    with np.errstate(divide="ignore", invalid="ignore"):
        at = start[:, 0] + (z - start[:, 1]) * edge[:, 0] / edge[:, 1]
    inside = ((radii[:, None] < at) & crosses).sum(axis=1) % 2 == 1
    return np.where(inside, -distance, distance).astype(np.float32)
