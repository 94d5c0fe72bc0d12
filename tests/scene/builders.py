"""Small pictures, sights and regions made by hand, for tests of what is drawn from them."""

from pathlib import Path

import numpy as np

from slidekit.scans.measures.on_planes import AreaMeasure, Statistics
from slidekit.scans.model import GreyWindow, Grid, ScanPicture
from slidekit.scene.sights.figures import Figure
from slidekit.scene.sights.model import Cast, PlacedRegion, Sight
from slidekit.scene.sights.windowing import UsedWindow
from slidekit.scene.speech import spoken_mark, spoken_mark_itself
from slidekit.scene.style import load_style
from slidekit.storyboard.views import View

DARK = load_style("lecture-dark", Path())
LIGHT = load_style("lecture-light", Path())
AXIAL = Grid((-100, -80, 30), (1, 0, 0), (0, 1, 0), 0.5, 0.5, rows=320, columns=400)


def axial_picture(grid: Grid = AXIAL, **changes) -> ScanPicture:
    """An axial picture of `grid`; patient z is 30 mm, one grey."""
    fields = {
        "pixels": np.full((grid.rows, grid.columns), 90, np.uint8),
        "grid": grid,
        "plane": "axial",
        "at_mm": grid.origin_lps[2],
        "slice_number": None,
        "slab_mm": 0.0,
        "slab": "mean",
        "scales": (GreyWindow(40.0, 400.0),),
        "unit": "HU",
        "letters": ("R", "A", "L", "P"),
        "native_mm": (0.5, 0.5),
        "source_slices": (7,),
    }
    return ScanPicture(**{**fields, **changes})


def axial_sight(name: str = "base", picture: ScanPicture | None = None, **changes) -> Sight:
    picture = picture or axial_picture()
    view = View(scan="ct", plane="axial", at_mm=picture.at_mm, window="soft_tissue")
    fields = {
        "name": name,
        "view": view,
        "picture": picture,
        "windows": (UsedWindow(picture.scales[0], "style", "soft_tissue"),),
        "credit": "Made for a test",
        "rights": "CC0 1.0",
        "human_remains": False,
    }
    return Sight(**{**fields, **changes})


def placed(
    name: str, figure: Figure, shape: str, mark_key: str = "orange", **changes
) -> PlacedRegion:
    mark = DARK.marks[mark_key]
    fields = {
        "name": name,
        "called": f"the {name}",
        "spoken": spoken_mark(mark, shape),
        "spoken_itself": spoken_mark_itself(mark, shape),
        "mark": mark,
        "figure": figure,
        "note": "",
    }
    return PlacedRegion(**{**fields, **changes})


def round_region(name: str, x: float, y: float, radius: float = 8, **changes) -> PlacedRegion:
    """A circle on the plane z = 30 mm."""
    points = ((x, y, 30.0), (x + radius, y, 30.0), (x, y + radius, 30.0))
    return placed(name, Figure("ellipse", points), "ellipse", **changes)


def cast(*names: str, steps: dict[str, int] | None = None) -> Cast:
    return Cast({name: chr(65 + i) for i, name in enumerate(names)}, steps or {})


def measured_area(
    n: int = 500, mean: float = 40.0, sd: float | None = 12.0, **changes
) -> AreaMeasure:
    """What a region of 100 mm2 on pixels of 0.5 mm might measure."""
    spread = 2 * (sd or 0.0)
    ends = (mean - spread, mean + spread, mean - 40, mean + 40)
    values = Statistics(n, mean, sd, mean, *ends)
    fields = {
        "statistics": values,
        "unit": "HU",
        "area_mm2": 100.0,
        "perimeter_mm": 35.4,
        "feret_mm": (11.3, 11.3),
        "pixel_mm": 0.5,
        "edge_share": 0.1,
        "absent": 0,
        "clipped": 0,
        "slab_mm": 0.0,
        "slab": "mean",
    }
    return AreaMeasure(**{**fields, **changes})
