"""Small pictures that go with a picture: where its cut lies in another plane, and a part of it
shown larger. Here: where they stand.

All lengths are heights of the picture itself, so that they hold at any size on a page.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np

from slidekit.errors import ScanError
from slidekit.scans.movies import Movie
from slidekit.scene.model import Box
from slidekit.scene.pictures.letters import overlap_mm2
from slidekit.scene.sights.figures import page_points
from slidekit.scene.sights.model import PlacedRegion, Sight

LOCATOR_SHARE = 0.42  # longer side of a locator, of the picture's height
CORNER_SHARE = 0.36  # the same in a corner of the picture
LEAST_LOCATOR = 0.28  # of the height of the row
GAP = 0.035
CORNER_GAP = 0.02
FREE_GREY = 24  # a corner no brighter than this shows nothing
FREE_SHARE = 0.995  # of its pixels


@dataclass(frozen=True)
class Inlay:
    """A small picture and its box, in heights of the picture it goes with."""

    sight: Sight
    box: Box


@dataclass(frozen=True)
class Ensemble:
    """A picture with its small ones. The picture is at the left, one height high."""

    sight: Sight
    regions: tuple[PlacedRegion, ...]
    locator: Inlay | None = None
    inset: Inlay | None = None
    times: float = 1.0  # how much larger the inset is
    movie: Movie | None = None  # the picture in motion
    way_mm: tuple[float, ...] = ()  # both ends of its way, as the view's place is counted

    @property
    def aspect(self) -> float:
        """Width over height of all together."""
        inlays = [one.box.right_mm for one in (self.locator, self.inset) if one is not None]
        return max([self.sight.aspect, *inlays])

    def picture_in(self, box: Box) -> Box:
        """Where the picture itself is drawn when all together fill `box`."""
        return box._replace(width_mm=box.height_mm * self.sight.aspect)


def arrange(
    sight: Sight,
    regions: tuple[PlacedRegion, ...],
    locator: Sight | None,
    inset: tuple[Sight, float] | None,
    share: float = 1.0,
    *,
    moving: bool = False,
) -> Ensemble:
    """Small pictures in a corner of the picture where nothing is to be seen, else beside it.

    `inset`: the part shown larger, and how many times. `share`: the picture's height as a part of
    its row's; beside a low picture a locator may be taller than it. What is empty on a picture that
    is `moving` may not stay so.
    """
    larger = None if inset is None else Inlay(inset[0], _inset_box(sight, inset))
    times = inset[1] if inset else 1.0
    if locator is None:
        return Ensemble(sight, regions, None, larger, times)
    least = LEAST_LOCATOR / share
    cornered = larger is None and not moving and least < CORNER_SHARE
    box = _corner_box(sight, regions, locator) if cornered else None
    if box is None:
        box = _box_beside(sight, locator, larger, least)
    return Ensemble(sight, regions, Inlay(locator, box), larger, times)


def _inset_box(sight: Sight, inset: tuple[Sight, float]) -> Box:
    """Beside the picture, as large as the enlargement says."""
    part, times = inset
    grid, whole = part.picture.grid, sight.picture.grid
    height_mm = whole.rows * whole.row_mm
    width = grid.columns * grid.column_mm * times / height_mm
    height = grid.rows * grid.row_mm * times / height_mm
    return Box(sight.aspect + GAP, 0.0, width, height)


def _box_beside(sight: Sight, locator: Sight, larger: Inlay | None, least: float) -> Box:
    """At the foot of the column beside the picture, under the inset or right of it; its longer
    side is `least` or more."""
    width, height = _sized(locator, max(LOCATOR_SHARE, least))
    left, shrink = sight.aspect + GAP, 1.0
    if larger is not None:
        room = 1.0 - larger.box.bottom_mm - GAP
        shrink = min(room / height, 1.0)
        if max(width, height) * shrink < least:
            left, shrink = larger.box.right_mm + GAP, 1.0
    return Box(left, 1.0 - height * shrink, width * shrink, height * shrink)


def _sized(locator: Sight, share: float) -> tuple[float, float]:
    aspect = locator.aspect
    return (share, share / aspect) if aspect > 1 else (share * aspect, share)


def _corner_box(sight: Sight, regions: Sequence[PlacedRegion], locator: Sight) -> Box | None:
    """The corner, upper ones first, in which neither a mark lies nor anything is to be seen."""
    width, height = _sized(locator, CORNER_SHARE)
    if width > 0.42 * sight.aspect:
        return None
    picture = Box(0, 0, sight.aspect, 1)
    marked = list(_extents(sight, regions, picture))
    for box in _corners(picture, width, height):
        roomy = box.inset(-CORNER_GAP, -CORNER_GAP)
        if not any(overlap_mm2(roomy, extent) for extent in marked) and _is_empty(sight, box):
            return box
    return None


def _corners(picture: Box, width: float, height: float) -> Iterator[Box]:
    for top in (CORNER_GAP, picture.bottom_mm - CORNER_GAP - height):
        for left in (picture.right_mm - CORNER_GAP - width, CORNER_GAP):
            yield Box(left, top, width, height)


def _extents(sight: Sight, regions: Sequence[PlacedRegion], picture: Box) -> Iterator[Box]:
    """Around the marks on a picture of one height, with a rim for what is drawn of them."""
    for region in regions:
        points = page_points(region.figure, sight.picture, picture)
        if region.figure.kind == "ellipse":
            (x, y), *ends = points
            half_x = hypot(*(end[0] - x for end in ends))
            half_y = hypot(*(end[1] - y for end in ends))
            points = ((x - half_x, y - half_y), (x + half_x, y + half_y))
        xs, ys = zip(*points, strict=True)
        around = Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
        yield around.inset(-CORNER_GAP, -CORNER_GAP)


def _is_empty(sight: Sight, box: Box) -> bool:
    rows, columns = sight.picture.pixels.shape[:2]
    across, down = columns / sight.aspect, float(rows)
    part = sight.picture.pixels[
        int(box.top_mm * down) : int(np.ceil(box.bottom_mm * down)),
        int(box.left_mm * across) : int(np.ceil(box.right_mm * across)),
    ]
    return bool((part <= FREE_GREY).mean() >= FREE_SHARE)


def regions_within(regions: Sequence[PlacedRegion], part: Sight) -> tuple[PlacedRegion, ...]:
    """The regions that lie wholly in a part shown larger."""
    found = []
    for region in regions:
        try:
            page_points(region.figure, part.picture, Box(0, 0, 1, 1))
        except ScanError:
            continue
        found.append(region)
    return tuple(found)
