"""What the positions of a stack's slices say: order, spacing, gaps, tilt. Arrays in, words out.

Only Image Position and Image Orientation count (PS3.3 C.7.6.2). Slice Location, Spacing Between
Slices, Instance Number, file names and the tilt attribute are never consulted: on tilted and
shuffled series all of them are wrong.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

SAME_PLACE_MM = 0.01  # and 1 % of the spacing: slices closer than this are doubles
EVEN_MM = 0.02  # and 1 % of the spacing: rounding in the header jitters by 0.003 mm
TILT_DEG = 0.1
STRAIGHT_MM = 0.1  # positions further from the line first to last: not one shear
MISSING_PART = 0.05  # of a spacing: a step this close to a whole number is missing slices
SPARSE = 2.0  # thicknesses: nothing is interpolated between slices farther apart
COVER_PART = 0.02  # of the thickness: steps this close to it are neither apart nor overlap
MOST_GAPS = 0.25  # of the steps; with more of them the scan has no usual spacing


@dataclass(frozen=True)
class StackShape:
    """What is unusual about a sorted stack."""

    remarks: tuple[str, ...]
    gaps: tuple[int, ...]  # k: nothing was scanned between slices k and k + 1


def median(values: NDArray[Any]) -> float:
    """The middle value, or the mean of both; numpy's own loads 10 ms of masked arrays for it."""
    ordered = np.sort(np.asarray(values, np.float64), axis=None)
    return float(ordered[(ordered.size - 1) // 2] + ordered[ordered.size // 2]) / 2


def typical_step(distances: Array) -> float:
    """The median spacing of sorted distances, doubles left out; 0 when there is none."""
    steps = np.diff(distances)
    steps = steps[steps > 1e-3]
    return median(steps) if steps.size else 0.0


def doubled(distances: Array) -> NDArray[np.intp]:
    """Indices k of sorted distances at which slices k and k + 1 lie in the same place."""
    limit = max(SAME_PLACE_MM, 0.01 * typical_step(distances))
    return np.flatnonzero(np.diff(distances) <= limit)


def describe_stack(positions: Array, normal: Array, thicknesses: Array) -> StackShape:
    """Find gaps, uneven spacing, tilt and jogs.

    Parameters
    ----------
    positions : (slices, 3)
        Image Position (Patient) in mm, sorted along `normal`, without doubles.
    normal : (3,)
        Unit vector.
    thicknesses : (slices,)
        Nominal thickness of each slice in mm; 0 where unknown.
    """
    if len(positions) < 2:
        return StackShape((), ())
    steps = np.diff(positions @ normal)
    covers = np.maximum(thicknesses[:-1], thicknesses[1:])
    missing = _find_gaps(steps, covers)
    sparse = np.setdiff1d(np.flatnonzero((covers > 0) & (steps > SPARSE * covers)), missing)
    gaps = np.union1d(missing, sparse)
    remarks = [
        *_gap_remarks(steps, missing),
        *_sparse_remarks(steps[sparse], covers[sparse]),
        *_spacing_remarks(np.delete(steps, missing)),
        *_cover_remarks(np.delete(steps, gaps), np.delete(covers, gaps)),
        *_course_remarks(positions, normal),
    ]
    return StackShape(tuple(remarks), tuple(map(int, gaps)))


def _find_gaps(steps: Array, covers: Array) -> NDArray[np.intp]:
    """Steps that nothing was scanned for, so that nothing may be interpolated over them.

    They are wider by half than the usual spacing and than the slices beside them (where their
    thickness is unknown, nearly twice the usual spacing), and few: when many steps are wide, the
    spacing is uneven and the scan has no usual spacing.
    """
    usual = median(steps)
    gaps = np.flatnonzero(
        steps > np.where(covers > 0, 1.5 * np.maximum(usual, covers), (2 - MISSING_PART) * usual)
    )
    return gaps if len(gaps) <= MOST_GAPS * len(steps) or len(gaps) == 1 else gaps[:0]


def _gap_remarks(steps: Array, gaps: NDArray[np.intp]) -> list[str]:
    usual = median(steps)
    remarks = []
    for k in gaps:
        count = round(steps[k] / usual) - 1
        whole = abs(steps[k] / usual - (count + 1)) <= MISSING_PART
        what = f"nothing was scanned between slices {k + 1} and {k + 2}"
        if whole and 1 <= count <= len(steps):
            are = "slice is" if count == 1 else "slices are"
            what = f"{count} {are} missing after slice {k + 1}"
        remarks.append(
            f"{what} ({steps[k]:.2f} mm instead of {usual:.2f} mm);"
            " reformatted pictures stay black there"
        )
    return remarks


def _sparse_remarks(steps: Array, covers: Array) -> list[str]:
    if not steps.size:
        return []
    return [
        f"slices {covers.max():g} mm thick lie up to {steps.max():.2f} mm apart; reformatted"
        " pictures stay black between them"
    ]


def _spacing_remarks(steps: Array) -> list[str]:
    usual = median(steps) if steps.size else 0.0
    if not np.any(np.abs(steps - usual) > max(EVEN_MM, 0.01 * usual)):
        return []
    return [
        f"the spacing of the slices is uneven, {steps.min():.2f} to {steps.max():.2f} mm;"
        " pictures are sampled where the slices really lie"
    ]


def _cover_remarks(steps: Array, covers: Array) -> list[str]:
    """How the slices' thickness goes with their spacing: room between them, or overlap."""
    steps, covers = steps[covers > 0], covers[covers > 0]
    if not steps.size:
        return []
    apart = steps > (1 + COVER_PART) * covers
    if apart.any():
        return [
            f"slices {covers[apart].max():g} mm thick lie up to {steps[apart].max():.2f} mm"
            " apart; what a reformatted picture shows between them is interpolated"
        ]
    if median(steps / covers) < 1 - COVER_PART:
        return [
            f"slices {median(covers):g} mm thick lie {median(steps):.2f} mm apart and"
            " overlap: each shows part of what its neighbours show"
        ]
    return []


def _course_remarks(positions: Array, normal: Array) -> list[str]:
    """Tilt of the gantry, or a table that did not move straight."""
    steps = np.diff(positions, axis=0)
    along = steps @ normal
    across = np.linalg.norm(steps - np.outer(along, normal), axis=1)
    angles = np.degrees(np.arctan2(across, along))
    line = positions[-1] - positions[0]
    line /= np.linalg.norm(line)
    offsets = positions - positions[0]
    astray = np.linalg.norm(offsets - np.outer(offsets @ line, line), axis=1).max()
    if astray > STRAIGHT_MM:
        return [
            f"the slices do not lie on one straight line (up to {astray:.2f} mm off);"
            " pictures are sampled where the slices really lie"
        ]
    if median(angles) > TILT_DEG:
        return [
            f"the gantry was tilted by {median(angles):.1f} degrees;"
            " pictures are sampled where the slices really lie"
        ]
    return []
