"""Turning keeps every value at its place in the patient."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.scans.geometry import lps_from_pixel, pixel_from_lps
from slidekit.scans.model import Grid
from slidekit.scans.planes.turning import Turn, turn_to

GRID = Grid(
    origin_lps=(-20.0, 12.0, 7.0),
    right_lps=(0.8, 0.6, 0.0),
    down_lps=(0.0, 0.0, -1.0),
    column_mm=0.5,
    row_mm=0.9,
    rows=3,
    columns=4,
)
VALUES = np.arange(12).reshape(3, 4)


@given(turn=st.builds(Turn, *[st.booleans()] * 3))
def test_every_value_keeps_its_place(turn):
    turned, grid = turn.array(VALUES), turn.grid(GRID)
    assert turned.shape == (grid.rows, grid.columns)
    assert turned.flags.c_contiguous
    for row, column in np.ndindex(turned.shape):
        place = lps_from_pixel(grid, (column, row))
        (x, y), off_plane = pixel_from_lps(GRID, place)
        assert (x, y, off_plane) == pytest.approx((round(x), round(y), 0), abs=1e-9)
        assert VALUES[round(y), round(x)] == turned[row, column]


@pytest.mark.parametrize(
    ("right", "down"),
    [
        ((1, 0, 0), (0, 0, -1)),
        ((-1, 0, 0), (0, 0, 1)),
        ((0, 0, 1), (0, 1, 0)),
        ((0, 0, -1), (-1, 0, 0)),
    ],
)
def test_the_turned_grid_runs_the_wanted_way(right, down):
    grid = turn_to(GRID, right, down).grid(GRID)
    assert np.dot(grid.right_lps, right) > 0.5
    assert np.dot(grid.down_lps, down) > 0.5
