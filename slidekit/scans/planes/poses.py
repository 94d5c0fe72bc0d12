"""How an oblique plane lies, and which way round its picture is seen.

A picture is seen from the side from which the nearest standard plane is seen, so that the
patient's left never changes sides when a plane is tilted a little.
"""

from collections.abc import Sequence

import numpy as np

from slidekit.errors import ScanError
from slidekit.scans.geometry import Array, to_vector, unit_vector
from slidekit.scans.model import Plane, Pose

LOOKS_ALONG: dict[Plane, tuple[float, float, float]] = {
    "axial": (0.0, 0.0, 1.0),  # seen from the feet
    "coronal": (0.0, 1.0, 0.0),  # from the front
    "sagittal": (-1.0, 0.0, 0.0),  # from the patient's left
}
"""Into the picture of each standard plane, right × down; common practice."""

_UP: dict[Plane, tuple[float, float, float]] = {
    "axial": (0.0, -1.0, 0.0),
    "coronal": (0.0, 0.0, 1.0),
    "sagittal": (0.0, 0.0, 1.0),
}
_EVEN = 1e-6  # components this close are equally large: the plane named first counts
_LEAST_MM = 0.1  # points closer than this give no direction
_LEAST_SINE = 0.1  # 6 degrees: directions closer than this to the normal name no way up
_HALF_WAY = np.sqrt(0.5) + _EVEN  # the cosine of 45 degrees

Numbers = Sequence[float]


def nearest_plane(normal: Numbers | Array) -> tuple[Plane, float]:
    """The standard plane that a normal is nearest to, and the angle between them in degrees."""
    shares = np.abs(unit_vector(normal))
    planes: tuple[Plane, ...] = ("axial", "coronal", "sagittal")
    along = [float(shares @ np.abs(LOOKS_ALONG[plane])) for plane in planes]
    nearest = next(i for i in range(3) if along[i] >= max(along) - _EVEN)
    return planes[nearest], float(np.degrees(np.arccos(min(along[nearest], 1.0))))


def pose_across(normal: Numbers, middle: Numbers, up: Numbers | None = None) -> Pose:
    """The plane through `middle` at right angles to `normal`.

    Parameters
    ----------
    normal, middle : (3,)
        Patient x, y, z; the length and the sign of `normal` do not count.
    up : (3,)
        What points up on the picture, as nearly as it lies on the plane; by default the head, on
        planes nearest to axial the front.

    Raises
    ------
    ScanError
        If the normal has no length, or `up` runs along it.
    """
    if np.linalg.norm(normal) < _EVEN:
        raise ScanError(
            f"normal: {_shown(normal)} has no direction", "Write patient x, y, z, as in [0, 1, 1]"
        )
    into = _seen(unit_vector(normal))
    right, down = _sides(into, up)
    return Pose(to_vector(middle), to_vector(right), to_vector(down))


def _seen(normal: Array) -> Array:
    """The normal, pointing into the picture."""
    usual = np.array(LOOKS_ALONG[nearest_plane(normal)[0]])
    return normal if normal @ usual > 0 else -normal


def _sides(into: Array, up: Numbers | None) -> tuple[Array, Array]:
    """Right and down on the picture that is seen along `into`."""
    wanted = np.asarray(_UP[nearest_plane(into)[0]] if up is None else up, dtype=float)
    length = float(np.linalg.norm(wanted))
    flat = wanted - (wanted @ into) * into
    if length < _EVEN or np.linalg.norm(flat) < _LEAST_SINE * length:
        raise ScanError(
            f"up: {_shown(wanted)} points out of the picture, not up on it",
            "Write a direction that lies along the plane, or remove `up`",
        )
    down = -flat / np.linalg.norm(flat)
    return np.cross(down, into), down


def pose_of_points(points: Sequence[Numbers], up: Numbers | None = None) -> Pose:
    """The plane through three points; its middle is their mean. Further as `pose_across`.

    Raises
    ------
    ScanError
        If the points lie on one line.
    """
    first, second, third = np.asarray(points, dtype=float)
    spokes = second - first, third - first
    across = np.cross(*spokes)
    longest = max(np.linalg.norm(second - third), *map(np.linalg.norm, spokes))
    if longest < _LEAST_MM or np.linalg.norm(across) / longest < _LEAST_MM:
        raise ScanError(
            "The three points of through_mm lie on one line, and many planes pass through it",
            "Move one of them aside, or write along_mm and facing",
        )
    return pose_across(across.tolist(), np.mean(points, axis=0).tolist(), up)


def pose_along(start: Numbers, end: Numbers, facing: Plane, up: Numbers | None = None) -> Pose:
    """The plane that holds the line from `start` to `end` and is nearest to a standard plane.

    The line runs straight across the picture or straight down it, whichever turns it less; the
    middle of the line is that of the plane.

    Raises
    ------
    ScanError
        If the two points are one, or the line runs too steeply through `facing` planes for one
        of them to be near.
    """
    ends = np.array([start, end], dtype=float)
    line = ends[1] - ends[0]
    if np.linalg.norm(line) < _LEAST_MM:
        raise ScanError(
            f"The two points of along_mm are one place, {_shown(start)}", "Write two places"
        )
    line /= np.linalg.norm(line)
    usual = np.array(LOOKS_ALONG[facing])
    if abs(line @ usual) > _HALF_WAY:
        others = [p for p, n in LOOKS_ALONG.items() if abs(line @ np.array(n)) <= _HALF_WAY]
        raise ScanError(
            f"The line of along_mm crosses {facing} planes steeply: no plane along it is near one",
            f"Write facing: {' or '.join(others)}",
        )
    into = unit_vector(usual - (usual @ line) * line)
    right, down = _sides(into, up)
    if abs(line @ right) >= abs(line @ down):
        right = line * np.sign(line @ right)
        down = np.cross(into, right)
    else:
        down = line * np.sign(line @ down)
        right = np.cross(down, into)
    return Pose(to_vector(ends.mean(axis=0)), to_vector(right), to_vector(down))


def _shown(vector: Numbers | Array) -> str:
    return f"[{', '.join(f'{value:g}' for value in vector)}]"
