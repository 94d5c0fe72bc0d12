"""From a storyboard's scans, views and regions to pictures and figures, faults in one go."""

from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from types import MappingProxyType
from typing import TypeAlias, TypeVar

from slidekit.errors import Fault, ScanError, StoryboardError
from slidekit.scans.kept_measures import Values
from slidekit.scans.kept_pictures import Begun, PictureRequest, begin_pictures
from slidekit.scans.model import Outline, PlaneImage, PlaneRequest, ScanPicture, Series
from slidekit.scans.viewing import planned_view
from slidekit.scene.answering import answer_questions, place_contrasts
from slidekit.scene.figures import figure_of, frame_of, outline_of
from slidekit.scene.framing import (
    check_crossing,
    framed_view,
    inset_view,
)
from slidekit.scene.halves import halves_of_part
from slidekit.scene.measuring import (
    measure_regions,
    measure_volumes,
)
from slidekit.scene.moving import make_movies
from slidekit.scene.opening import Library
from slidekit.scene.pictures import Sight, Sights
from slidekit.scene.placing import place_regions
from slidekit.scene.requests import blamed_field, plane_request
from slidekit.scene.style import Style
from slidekit.scene.wanted import Wanted
from slidekit.scene.windowing import UsedWindow, Viewed, WantedWindow, wanted_windows
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.read import Source
from slidekit.storyboard.views import View

_Found = TypeVar("_Found")

WORKERS = 2
"""Pictures made at once: resizing and decoding let go of the interpreter lock."""


def make_sights(
    source: Source,
    library: Library,
    wanted: Wanted,
    style: Style,
    advance: Callable[[str], None] = lambda _: None,
) -> Sights:
    """Read every wanted view in one pass over each series and place the regions.

    `advance` is called with the name of each view when its picture is ready.

    Raises
    ------
    StoryboardError
        With a fault for each view and region that cannot be shown.
    """
    views = _framed_views(source, library, wanted)
    parts = _framed_parts(source, library, wanted, views)

    def windows_of(name: str) -> tuple[WantedWindow, ...]:
        return _wanted_windows(source, library, views[name], style)

    windows = _for_each(source, views, windows_of)
    sizes = {name: _size_px(wanted, series) for name, series in library.series.items()}
    with ThreadPoolExecutor(WORKERS) as pool:
        begun: dict[str, Begun] = {}
        values: dict[str, Values] = {}
        for scan, of_scan in _by_scan(views).items():
            measured, at_hand = _measured_on(source, library, of_scan, wanted)
            values |= measured
            requests = {
                name: _picture_request(view, windows[name], sizes[scan])
                for name, view in of_scan.items()
            }
            begun |= _begin_pictures(source, library, scan, (requests, pool), at_hand)

        def finished(name: str) -> ScanPicture:
            picture = begun[name].picture.result()
            advance(name)
            return picture

        pictures = _for_each(source, begun, finished)
        sights = {
            name: _sight(source, name, (view, pictures[name]), windows[name])
            for name, view in views.items()
        }
        part_sights, begun_parts = _part_sights(source, library, (parts, sights), (sizes, pool))
        sights |= part_sights
    regions = place_regions(source, library, wanted, (sights, style, values))
    volumes = measure_volumes(source, library.series, wanted.volumes, verify=library.verify)
    shown = wanted.shown if wanted.moving else {}
    movies = make_movies(source, library.series, shown, sights, verify=library.verify)
    return Sights(
        sights,
        regions,
        volumes,
        movies=movies,
        renewed=tuple(name for name, one in (begun | begun_parts).items() if one.renewed),
        questions=answer_questions(source, library.series, regions, wanted.questions),
        contrasts=place_contrasts(source, sights, regions, wanted.contrasts()),
    )


def _measured_on(
    source: Source, library: Library, views: Mapping[str, View], wanted: Wanted
) -> tuple[dict[str, Values], dict[PlaneRequest, PlaneImage]]:
    """The values of the wanted regions that were drawn on views of one scan, and the planes that
    were read for them."""
    scan = next(iter(views.values())).scan
    names = [
        name for name in wanted.regions(source.board) if source.board.regions[name].view in views
    ]
    plotted = wanted.profiles()
    regions = {
        name: region
        for name in names
        if (region := source.board.regions[name]).shape != "line" or name in plotted
    }
    try:
        series = library.series[scan]
        return measure_regions(series, views, regions, verify=library.verify)
    except ScanError as error:
        raise StoryboardError([_fault(source, ("scans", scan), error)]) from error


_Part: TypeAlias = tuple[str, View]
"""A part of a picture that is shown larger: the name of the whole picture, and the part."""


def _framed_parts(
    source: Source, library: Library, wanted: Wanted, views: Mapping[str, View]
) -> dict[str, _Part]:
    """The parts to show larger, by the names of their pictures; locators are looked over too."""
    parts: dict[str, _Part] = {}
    faults: list[Fault] = []
    for name, (path, shown) in wanted.insets().items():
        try:
            part = inset_view(views[shown.view], shown, source.board, library.series)
            parts[name] = shown.view, part
        except ScanError as error:
            faults.append(_fault(source, (*path, "inset"), error))
    for path, shown in wanted.shown.items():
        try:
            if shown.locator is not None:
                check_crossing(views[shown.view], views[shown.locator], library.series)
        except ScanError as error:
            about = ScanError(f"view `{shown.locator}`: {error.wrong}", error.instead)
            faults.append(_fault(source, (*path, "locator"), about))
    if faults:
        raise StoryboardError(faults)
    return parts


def _part_sights(
    source: Source,
    library: Library,
    found: tuple[Mapping[str, _Part], Mapping[str, Sight]],
    how: tuple[Mapping[str, tuple[int, int]], ThreadPoolExecutor],
) -> tuple[dict[str, Sight], dict[str, Begun]]:
    """The parts in the greys of the pictures they are parts of."""
    (parts, sights), (sizes, pool) = found, how
    begun: dict[str, Begun] = {}
    windows: dict[str, tuple[UsedWindow, ...]] = {}
    for scan, of_scan in _by_scan({name: view for name, (_, view) in parts.items()}).items():
        requests = {}
        for name, view in of_scan.items():
            request, whole = plane_request(view), sights[parts[name][0]]
            grid = planned_view(library.series[scan], request).grid
            halves, seam_share = halves_of_part(whole.picture, grid)
            windows[name] = whole.windows[halves]
            scales = whole.picture.scales[halves]
            size = sizes[scan][max(len(scales) - 1, 0)]
            requests[name] = PictureRequest(request, scales, size, seam_share)
        begun |= _begin_pictures(source, library, scan, (requests, pool))
    made = {
        name: replace(
            sights[whole],
            name=name,
            view=view,
            picture=begun[name].picture.result(),
            windows=windows[name],
        )
        for name, (whole, view) in parts.items()
    }
    return made, begun


def _framed_views(source: Source, library: Library, wanted: Wanted) -> dict[str, View]:
    views: dict[str, View] = {}
    faults: list[Fault] = []
    for name in wanted.views(source):
        view = source.board.views[name]
        try:
            series = library.series[view.scan]
            planned_view(series, plane_request(view))
            _check_window(series, view)
            views[name] = framed_view(source.board, library.series, name)
        except ScanError as error:
            faults.append(_fault(source, ("views", name, blamed_field(error, view)), error))
    if faults:
        raise StoryboardError(faults)
    return views


def _check_window(series: Series, view: View) -> None:
    """Grey values need a window; levels of grey or colour cannot have one."""
    if view.plane != "picture":
        return
    if series.as_is and view.window is not None:
        raise ScanError(
            "the picture is shown as it is, and a window would change nothing", "Remove `window`"
        )
    if not series.as_is and view.window is None:
        own = "{stored: 1}" if series.stored_window else "{percentiles: [1, 99]}"
        raise ScanError(
            "the picture holds values, and no window says which are black and white",
            f"Add `window: {own}`, or center and width",
        )


def _by_scan(views: Mapping[str, View]) -> dict[str, dict[str, View]]:
    found: dict[str, dict[str, View]] = {}
    for name, view in views.items():
        found.setdefault(view.scan, {})[name] = view
    return found


def _begin_pictures(
    source: Source,
    library: Library,
    scan: str,
    what: tuple[Mapping[str, PictureRequest], ThreadPoolExecutor],
    at_hand: Mapping[PlaneRequest, PlaneImage] = MappingProxyType({}),
) -> dict[str, Begun]:
    """The requested pictures of one scan, made while the next scan is read. `at_hand`: planes of it
    that were read before."""
    requests, pool = what
    series = library.series[scan]
    try:
        begun = begin_pictures(
            series, list(requests.values()), pool, verify=library.verify, at_hand=at_hand
        )
    except ScanError as error:
        raise StoryboardError([_fault(source, ("scans", scan), error)]) from error
    return dict(zip(requests, begun, strict=True))


def _picture_request(
    view: View, windows: tuple[WantedWindow, ...], size_px: tuple[int, int]
) -> PictureRequest:
    scales = tuple(window.scale for window in windows)
    size = size_px[1] if view.plane == "picture" else size_px[len(scales) - 1]
    return PictureRequest(plane_request(view), scales, size)


def _size_px(wanted: Wanted, series: Series) -> tuple[int, int]:
    """Length of the longer side of a picture in one window, and in two: those cannot be enlarged
    later without blurring the seam. Plain pictures come as large as the latter."""
    native = wanted.native and series.kind != "page"
    return (1 if native else wanted.target_px), wanted.target_px


def _for_each(
    source: Source, views: Iterable[str], find: Callable[[str], _Found]
) -> dict[str, _Found]:
    """What is found for each view; a fault at its window for each that has none."""
    results: dict[str, _Found] = {}
    faults: list[Fault] = []
    for name in views:
        try:
            results[name] = find(name)
        except ScanError as error:
            faults.append(_fault(source, ("views", name, "window"), error))
    if faults:
        raise StoryboardError(faults)
    return results


def _wanted_windows(
    source: Source, library: Library, view: View, style: Style
) -> tuple[WantedWindow, ...]:
    series = library.series[view.scan]
    plane = planned_view(series, plane_request(view))

    def region(name: str) -> tuple[str, Outline]:
        region = source.board.regions[name]
        return region.called, outline_of(figure_of(region, frame_of(plane, series)))

    return wanted_windows(view, Viewed(series, plane, region), style)


def _sight(
    source: Source,
    name: str,
    made: tuple[View, ScanPicture],
    wanted: tuple[WantedWindow, ...],
) -> Sight:
    view, picture = made
    pairs = zip(wanted, picture.scales, strict=True)
    windows = tuple(window.used(scale) for window, scale in pairs)
    scan = source.board.scans[view.scan]
    owner = scan.credit, scan.statement.short
    return Sight(name, view, picture, windows, *owner, scan.human_remains)


def _fault(source: Source, path: FieldPath, error: ScanError) -> Fault:
    return source.places.fault(path, error.wrong, error.instead)
