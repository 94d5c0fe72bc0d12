"""Regions as figures in patient space, and where they fall on a picture.

A figure is a few points in LPS millimetres, so that carrying it to another plane, or to a page,
is one affine map of its points and nothing else.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.geometry import lps_from_pixel
from slidekit.scans.model import (
    PLANE_AXES,
    Flattening,
    Grid,
    Outline,
    Plane,
    PlannedPlane,
    ScanPicture,
    Series,
    Space,
    Vector,
)
from slidekit.scans.planes.curves import flat_from_lps, lps_from_flat
from slidekit.scans.viewing import pixel_grid
from slidekit.scene.model import Box, Point
from slidekit.scene.sights.flat_places import line_along, lps_from_middle, project, ring_of
from slidekit.storyboard.regions import (
    AngleRegion,
    ArrowRegion,
    EllipseRegion,
    LineRegion,
    PointRegion,
    PolygonRegion,
    RectangleRegion,
    Region,
)

FigureKind: TypeAlias = Literal["ellipse", "polygon", "arrow", "line", "angle", "point"]

LEAST_REACH_MM = 1.0
"""A figure this near to a plane counts as lying on it, whatever the sampling."""


@dataclass(frozen=True)
class Figure:
    """A region in patient space.

    `points_lps`: the corners of a polygon; tail and tip of an arrow; the ends of a line; one arm's
    end, the vertex and the other arm's end of an angle; a point;
    for an ellipse its centre and the ends of two conjugate half diameters, from which the curve
    is centre + u cos t + v sin t.
    """

    kind: FigureKind
    points_lps: tuple[Vector, ...]
    along: tuple[Flattening, float] | None = None
    """The curved surface that a line was measured along, and its length on it, mm."""
    space: Space = "patient"  # else of a plain picture, whose own coordinates the points have

    @property
    def length_mm(self) -> float:
        """Distance from the first to the last point (arrows and lines)."""
        if self.along is not None:
            return self.along[1]
        ends = np.array([self.points_lps[0], self.points_lps[-1]])
        return float(np.linalg.norm(ends[1] - ends[0]))


@dataclass(frozen=True)
class PictureFrame:
    """The coordinates in which a region of a picture is written."""

    plane: Plane
    at_mm: float
    grid: Grid  # of the picture: directions right and down
    pixels: Grid | None  # of the stored image, when pixel coordinates make sense
    middle_lps: Vector | None = None  # of an oblique or curved view
    flattening: Flattening | None = None  # of a curved view


def frame_of(picture: ScanPicture | PlannedPlane, series: Series) -> PictureFrame:
    """The frame of `picture`; pixel coordinates belong to stored images only."""
    pixels = pixel_grid(picture, series)
    free = picture.middle_lps, picture.flattening
    return PictureFrame(picture.plane, picture.at_mm, picture.grid, pixels, *free)


def figure_of(region: Region, frame: PictureFrame) -> Figure:
    """`region` in patient space, or in that of its plain picture.

    ScanError if its coordinates cannot be read on this picture.
    """
    return replace(_figure_of(region, frame), space=frame.grid.space)


def _figure_of(region: Region, frame: PictureFrame) -> Figure:
    reader = _Reader(frame)
    match region:
        case EllipseRegion():
            return _ellipse(region, reader)
        case RectangleRegion():
            width, height = region.size_mm or region.size_px or (0.0, 0.0)
            corners = [(width / 2 * i, height / 2 * j) for i, j in _CORNERS]
            turned = _turned(corners, region.rotation_deg)
            return Figure("polygon", reader.around(region.center_mm, region.center_px, turned))
        case PolygonRegion():
            return Figure("polygon", reader.points(region.points_mm, region.points_px))
        case LineRegion():
            reader.check_scale()
            ends = reader.ends(region.from_mm, region.to_mm, region.from_px, region.to_px)
            return _line(ends, frame.flattening)
        case AngleRegion() if frame.flattening is not None:
            raise _no_angle()
        case ArrowRegion() | AngleRegion() | PointRegion():
            return Figure(region.shape, _pointed(region, reader))


def _pointed(
    region: ArrowRegion | AngleRegion | PointRegion, reader: "_Reader"
) -> tuple[Vector, ...]:
    match region:
        case ArrowRegion():
            return reader.ends(region.tail_mm, region.tip_mm, region.tail_px, region.tip_px)
        case AngleRegion():
            first, last = reader.points(region.arms_mm, region.arms_px)
            return first, reader.point(region.vertex_mm, region.vertex_px), last
        case PointRegion():
            return (reader.point(region.at_mm, region.at_px),)


def _ellipse(region: EllipseRegion, reader: "_Reader") -> Figure:
    """On a curved view a polygon: no ellipse in the patient is one when laid flat."""
    across, down = region.radii_mm or region.radii_px or (0.0, 0.0)
    spokes = _turned(((across, 0.0), (0.0, down)), region.rotation_deg)
    if reader.frame.flattening is not None:
        ring = reader.around(region.center_mm, region.center_px, ring_of(spokes))
        return Figure("polygon", ring)
    points = reader.around(region.center_mm, region.center_px, ((0.0, 0.0), *spokes))
    return Figure("ellipse", points)


def _line(ends: tuple[Vector, Vector], flattening: Flattening | None) -> Figure:
    if flattening is None:
        return Figure("line", ends)
    bent, length = line_along(flattening, ends)
    return Figure("line", _vectors(bent), (flattening, length))


def outline_of(figure: Figure) -> Outline:
    """The curve of an ellipse or polygon; ScanError for a figure that has no inside."""
    if figure.kind not in ("ellipse", "polygon"):
        raise ScanError(
            f"it is drawn as {figure.kind}, which has no inside",
            "Name an ellipse, a rectangle or a polygon",
        )
    return Outline(figure.kind, figure.points_lps)


_CORNERS = ((-1, -1), (1, -1), (1, 1), (-1, 1))


def _turned(points: Sequence[Point], degrees: float) -> tuple[Point, ...]:
    """`points` about (0, 0), clockwise for y that runs down."""
    cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return tuple((float(x * cos - y * sin), float(x * sin + y * cos)) for x, y in points)


@dataclass(frozen=True)
class _Reader:
    """Author's coordinates to LPS on one picture."""

    frame: PictureFrame

    def check_scale(self) -> None:
        if self.frame.grid.space == "pixels":
            raise ScanError(
                "a line shows a length, and the picture has no scale",
                "Write `mm_per_px` on its scan if it is known, or use an arrow",
            )

    def point(self, mm: Sequence[float] | None, px: Point | None) -> Vector:
        if mm is not None:
            return self._from_mm(mm)
        if px is None:
            raise ScanError("a coordinate is missing", "Write it in millimetres or in pixels")
        return _vectors(lps_from_pixel(self._pixel_grid(), np.array([px])))[0]

    def points(
        self, mm: Sequence[Sequence[float]] | None, px: Sequence[Point] | None
    ) -> tuple[Vector, ...]:
        if mm is not None:
            return tuple(self._from_mm(point) for point in mm)
        return tuple(self.point(None, point) for point in px or ())

    def ends(
        self,
        first_mm: Sequence[float] | None,
        last_mm: Sequence[float] | None,
        first_px: Point | None,
        last_px: Point | None,
    ) -> tuple[Vector, Vector]:
        return self.point(first_mm, first_px), self.point(last_mm, last_px)

    def around(
        self, mm: Sequence[float] | None, px: Point | None, offsets: Sequence[Point]
    ) -> tuple[Vector, ...]:
        """Points at `offsets` (right, down) from a centre, in the centre's own unit."""
        if mm is None and px is not None:
            shifted = np.array(offsets) + np.array(px)
            return _vectors(lps_from_pixel(self._pixel_grid(), shifted))
        center = np.array(self.point(mm, None))
        if self.frame.flattening is not None:
            flat, _ = flat_from_lps(self.frame.flattening, center[None])
            return _vectors(lps_from_flat(self.frame.flattening, flat + np.array(offsets)))
        right, down = np.array(self.frame.grid.right_lps), np.array(self.frame.grid.down_lps)
        steps = np.array(offsets)
        return _vectors(center + steps[:, :1] * right + steps[:, 1:] * down)

    def _from_mm(self, mm: Sequence[float]) -> Vector:
        if len(mm) == 3:
            return float(mm[0]), float(mm[1]), float(mm[2])
        if self.frame.middle_lps is not None:
            free = self.frame.middle_lps, self.frame.grid, self.frame.flattening
            return _vectors(lps_from_middle([(mm[0], mm[1])], *free))[0]
        if self.frame.plane not in PLANE_AXES:
            raise ScanError(
                f"{list(mm)} has two numbers, and an acquired slice may lie anyhow in the patient",
                "Write all three patient coordinates [x, y, z], or pixels",
            )
        axes = PLANE_AXES[self.frame.plane]
        known = dict(zip(axes, mm, strict=True))
        x, y, z = (float(known.get(axis, self.frame.at_mm)) for axis in "xyz")
        return x, y, z

    def _pixel_grid(self) -> Grid:
        if self.frame.pixels is None:
            raise ScanError(
                f"the coordinates are pixels, and a view with plane {self.frame.plane} "
                "has none of the scan",
                "Write millimetres, or give the region a view with `plane: acquired`",
            )
        return self.frame.pixels


def _vectors(points_lps: NDArray[np.float64]) -> tuple[Vector, ...]:
    return tuple((float(x), float(y), float(z)) for x, y, z in points_lps)


def reach_mm(picture: ScanPicture | PlannedPlane) -> float:
    """How far from the picture's plane a figure may lie and still be shown on it."""
    return max(picture.slab_mm / 2, *picture.native_mm, LEAST_REACH_MM)


def page_points(figure: Figure, picture: ScanPicture, box: Box) -> tuple[Point, ...]:
    """The figure's points in page millimetres, on `picture` drawn into `box`.

    Raises ScanError if the figure does not lie on the picture's plane, or falls outside it.
    """
    points_xy = _points_on(figure, picture)
    spans = np.array([picture.grid.columns, picture.grid.rows])
    _check_inside(_extent(figure.kind, points_xy), spans, picture)
    scale = np.array([box.width_mm, box.height_mm]) / spans
    placed = (points_xy + 0.5) * scale + np.array([box.left_mm, box.top_mm])
    return tuple((float(x), float(y)) for x, y in placed)


def extent_on(figure: Figure, picture: ScanPicture | PlannedPlane) -> NDArray[np.float64]:
    """Lowest and highest column and row of the figure on a picture, (2, 2), not clipped.

    Raises ScanError if the figure does not lie on the picture's plane.
    """
    return _extent(figure.kind, _points_on(figure, picture))


def _points_on(figure: Figure, picture: ScanPicture | PlannedPlane) -> NDArray[np.float64]:
    _check_length_is_true(figure, picture)
    points_xy, off_plane = project(picture, figure.points_lps)
    away = float(np.abs(off_plane).max())
    if away > reach_mm(picture) + 1e-6:
        raise ScanError(
            f"it lies {away:.1f} mm away from the plane of this view, "
            f"which shows what is within {reach_mm(picture):.1f} mm",
            "Choose a view whose plane touches it, or make the slab thicker",
        )
    return points_xy


def _check_length_is_true(figure: Figure, picture: ScanPicture | PlannedPlane) -> None:
    """A line shows its length only where it can be seen, an angle its degrees."""
    if figure.kind == "angle" and picture.flattening is not None:
        raise _no_angle()
    own = None if figure.along is None else figure.along[0]
    if figure.kind == "line" and own != picture.flattening:
        where = "on a flat view" if own is None else "along another view's curve"
        raise ScanError(
            f"its length was measured {where}, and is not what this view shows",
            "Define a line on this view",
        )


def _no_angle() -> ScanError:
    return ScanError(
        "on a curved view only distances along the path are true, and no angle is",
        "Measure the angle on a flat view",
    )


def _extent(kind: FigureKind, points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Lowest and highest x and y of a projected figure, (2, 2)."""
    if kind == "ellipse":
        half = np.hypot(*(points[1:] - points[0]))  # of u cos t + v sin t, per axis
        return np.array([points[0] - half, points[0] + half])
    return np.array([points.min(axis=0), points.max(axis=0)])


def _check_inside(
    extent: NDArray[np.float64], spans: NDArray[np.int_], picture: ScanPicture
) -> None:
    over = np.maximum(-0.5 - extent[0], extent[1] - (spans - 0.5)).max()
    if over > 1e-6:
        unit = "pixels" if picture.grid.space == "pixels" else "mm"
        raise ScanError(
            f"it reaches {over * picture.grid.column_mm:.1f} {unit} beyond the edge of the picture",
            "Mend the coordinates (see `slidekit look`), or crop the view less",
        )


def ellipse_axes(points_mm: Sequence[Point]) -> tuple[Point, Point, float]:
    """Centre, half axes (long, short) and clockwise rotation of the long one, degrees, of the
    ellipse given by its centre and the ends of two conjugate half diameters."""
    center, *ends = np.array(points_mm)
    axes, lengths, _ = np.linalg.svd((np.array(ends) - center).T)
    rotation = float(np.degrees(np.arctan2(axes[1, 0], axes[0, 0])))
    return (
        (float(center[0]), float(center[1])),
        (float(lengths[0]), float(lengths[1])),
        (rotation + 90) % 180 - 90,
    )
