"""Planes and outlines made by hand, for tests of what is measured on them."""

import numpy as np

from slidekit.scans.geometry import lps_from_pixel
from slidekit.scans.measures.outlines import Contour
from slidekit.scans.model import Grid, PlaneImage


def image_of(values: np.ndarray, grid: Grid | None = None, **changes) -> PlaneImage:
    rows, columns = values.shape
    grid = grid or Grid((0, 0, 0), (1, 0, 0), (0, 1, 0), 1.0, 1.0, rows, columns)
    fields = {
        "values": values,
        "absent": np.zeros(values.shape, bool),
        "grid": grid,
        "plane": "acquired",
        "at_mm": 0.0,
        "slice_number": 1,
        "slab_mm": 0.0,
        "slab": "mean",
        "unit": "HU",
        "inverted": False,
        "source_slices": (0,),
        "native_mm": (grid.column_mm, grid.row_mm),
    }
    return PlaneImage(**{**fields, **changes})


def polygon_on(grid: Grid, corners) -> Contour:
    return Contour("polygon", tuple(map(tuple, lps_from_pixel(grid, corners).tolist())))


def ellipse_on(grid: Grid, center, radii, turned=0.0) -> Contour:
    cos, sin = np.cos(np.radians(turned)), np.sin(np.radians(turned))
    spokes = np.array([(0, 0), (radii[0] * cos, radii[0] * sin), (-radii[1] * sin, radii[1] * cos)])
    return Contour("ellipse", tuple(map(tuple, lps_from_pixel(grid, spokes + center).tolist())))
