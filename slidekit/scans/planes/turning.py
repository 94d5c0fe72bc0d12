"""Turning a picture by quarter turns and mirror images, with its grid: no value changes."""

from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from slidekit.scans.geometry import lps_from_pixel, to_vector
from slidekit.scans.model import Grid, Vector

Scalar = TypeVar("Scalar", bound=np.generic)


@dataclass(frozen=True)
class Turn:
    """Exchange rows and columns first, then reverse the order of rows or columns."""

    transposed: bool
    rows_reversed: bool
    columns_reversed: bool

    def array(self, values: NDArray[Scalar]) -> NDArray[Scalar]:
        """The turned array, contiguous."""
        turned = values.T if self.transposed else values
        turned = turned[::-1] if self.rows_reversed else turned
        turned = turned[:, ::-1] if self.columns_reversed else turned
        return np.ascontiguousarray(turned)

    def grid(self, grid: Grid) -> Grid:
        """The grid of the turned array."""
        if self.transposed:
            grid = replace(
                grid,
                right_lps=grid.down_lps,
                down_lps=grid.right_lps,
                column_mm=grid.row_mm,
                row_mm=grid.column_mm,
                rows=grid.columns,
                columns=grid.rows,
            )
        first = (
            grid.columns - 1 if self.columns_reversed else 0,
            grid.rows - 1 if self.rows_reversed else 0,
        )
        return replace(
            grid,
            origin_lps=to_vector(lps_from_pixel(grid, first)),
            right_lps=_negated(grid.right_lps) if self.columns_reversed else grid.right_lps,
            down_lps=_negated(grid.down_lps) if self.rows_reversed else grid.down_lps,
        )


def _negated(vector: Vector) -> Vector:
    return to_vector(0.0 - np.asarray(vector))


def turn_to(grid: Grid, right: Vector, down: Vector) -> Turn:
    """The turn after which `grid` runs along `right` and `down` as nearly as it can."""
    transposed = abs(np.dot(grid.right_lps, right)) < abs(np.dot(grid.right_lps, down))
    across, along = (
        (grid.down_lps, grid.right_lps) if transposed else (grid.right_lps, grid.down_lps)
    )
    return Turn(
        transposed=bool(transposed),
        rows_reversed=bool(np.dot(along, down) < 0),
        columns_reversed=bool(np.dot(across, right) < 0),
    )
