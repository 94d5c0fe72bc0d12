"""Regions and volumes of a storyboard measured on the scans they were drawn on."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from slidekit.errors import Fault, ScanError, StoryboardError
from slidekit.scans.kept.measures import (
    MeasureRequest,
    Values,
    kept_volume,
    measure_on_planes,
)
from slidekit.scans.measures.on_planes import (
    AngleMeasure,
    LineMeasure,
    Measure,
    measure_angle,
    measure_line,
)
from slidekit.scans.measures.volumes import Solid
from slidekit.scans.model import PlaneImage, PlaneRequest, ScanPicture, Series, Vector
from slidekit.scans.planes.curves import stand_in_lps
from slidekit.scans.viewing import planned_view
from slidekit.scene.measured import Quantity, spoken_measure
from slidekit.scene.sights.figures import Figure, figure_of, frame_of, outline_of
from slidekit.scene.sights.model import PlacedRegion, PlacedVolume
from slidekit.scene.sights.requests import plane_request
from slidekit.storyboard.regions import Region
from slidekit.storyboard.source import Source
from slidekit.storyboard.views import View


def measure_regions(
    series: Series, views: Mapping[str, View], regions: Mapping[str, Region], *, verify: bool
) -> tuple[dict[str, Values], dict[PlaneRequest, PlaneImage]]:
    """The values in closed regions and along lines, each on its own view, all of one scan.

    A region that cannot be placed is left out: placing it says why. Also gives the planes that
    had to be read.
    """
    requests: dict[str, MeasureRequest] = {}
    for name, region in regions.items():
        try:
            request = _request(series, plane_request(views[region.view]), region)
        except ScanError:
            continue
        if request is not None:
            requests[name] = request
    values, images = measure_on_planes(series, list(requests.values()), verify=verify)
    return dict(zip(requests, values, strict=True)), images


def _request(series: Series, plane: PlaneRequest, region: Region) -> MeasureRequest | None:
    planned = planned_view(series, plane)
    figure = figure_of(region, frame_of(planned, series))
    if planned.grid.space == "pixels":
        return None  # no millimetres, and levels of grey are no values
    if figure.kind in ("ellipse", "polygon"):
        return MeasureRequest(plane, outline=outline_of(figure))
    if figure.kind == "line":
        return MeasureRequest(plane, ends_lps=(figure.points_lps[0], figure.points_lps[-1]))
    return None


def measure_figure(figure: Figure, picture: ScanPicture) -> Measure | None:
    """The length of a line or the degrees of an angle on its own view; None for others, and where
    there are no millimetres."""
    if picture.grid.space == "pixels":
        return None
    points = _laid_flat(figure.points_lps, picture)
    if figure.kind == "line":
        line = measure_line((points[0], points[-1]), picture.grid, picture.native_mm)
        return replace(line, length_mm=figure.length_mm)
    if figure.kind == "angle":
        return measure_angle(points, picture.grid, picture.native_mm)
    return None


def _laid_flat(points_lps: tuple[Vector, ...], picture: ScanPicture) -> tuple[Vector, ...]:
    if picture.flattening is None or picture.middle_lps is None:
        return points_lps
    return stand_in_lps(picture.flattening, picture.grid, picture.middle_lps, points_lps)


def note_of(measure: Measure | None) -> str:
    """What stands beside the letter of a line or an angle; "" for others."""
    match measure:
        case LineMeasure():
            return spoken_measure(measure, "length", "")
        case AngleMeasure():
            return f"{Quantity(measure.angle_deg, measure.error_deg, 0.1).written}°"
    return ""


def with_values(region: PlacedRegion, values: Values) -> PlacedRegion:
    """The region with what was measured in it or along it."""
    if values.area is not None:
        return replace(region, measure=values.area)
    return replace(region, profile=values.profile)


def measure_volumes(
    source: Source, series: Mapping[str, Series], names: Iterable[str], *, verify: bool
) -> dict[str, PlacedVolume]:
    """The named volumes, each in one pass over the slices it touches unless it was kept.

    Raises
    ------
    StoryboardError
        With a fault for each that reaches out of its scan, or across a gap in it.
    """
    placed: dict[str, PlacedVolume] = {}
    faults: list[Fault] = []
    for name in names:
        volume = source.board.volumes[name]
        solid = Solid(volume.shape, volume.center_mm, volume.half_mm)
        try:
            values = volume.from_value, volume.to_value
            scan, seed = series[volume.scan], volume.seed_mm
            measure = kept_volume(scan, solid, values, seed, verify=verify)
            placed[name] = PlacedVolume(name, volume.called, measure)
        except ScanError as error:
            faults.append(source.places.fault(("volumes", name), error.wrong, error.instead))
    if faults:
        raise StoryboardError(faults)
    return placed
