"""From a storyboard's scans, views and regions to pictures and figures, faults in one go."""

from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor

from slidekit.errors import Fault, ScanError, StoryboardError
from slidekit.scans.model import Outline, Series
from slidekit.scans.viewing import planned_view
from slidekit.scene.sights.answering import answer_questions, place_contrasts
from slidekit.scene.sights.figures import figure_of, frame_of, outline_of
from slidekit.scene.sights.framing import check_crossing, framed_view, inset_view
from slidekit.scene.sights.measuring import measure_volumes
from slidekit.scene.sights.model import Sights
from slidekit.scene.sights.moving import make_movies
from slidekit.scene.sights.opening import Library
from slidekit.scene.sights.picturing import Part, PictureMaker, for_each_view
from slidekit.scene.sights.placing import place_regions
from slidekit.scene.sights.requests import blamed_field, plane_request
from slidekit.scene.sights.wanted import Wanted
from slidekit.scene.sights.windowing import Viewed, WantedWindow, wanted_windows
from slidekit.scene.style import Style
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.read import Source
from slidekit.storyboard.views import View

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

    windows = for_each_view(source, views, windows_of)
    with ThreadPoolExecutor(WORKERS) as pool:
        maker = PictureMaker(source, library, wanted, pool)
        sights = maker.make(views, windows, advance)
        sights |= maker.make_parts(parts, sights)
    regions = place_regions(source, library, wanted, (sights, style, maker.values))
    volumes = measure_volumes(source, library.series, wanted.volumes, verify=library.verify)
    shown = wanted.shown if wanted.moving else {}
    movies = make_movies(source, library.series, shown, sights, verify=library.verify)
    return Sights(
        sights,
        regions,
        volumes,
        movies=movies,
        renewed=maker.renewed,
        questions=answer_questions(source, library.series, regions, wanted.questions),
        contrasts=place_contrasts(source, sights, regions, wanted.contrasts()),
    )


def _framed_parts(
    source: Source, library: Library, wanted: Wanted, views: Mapping[str, View]
) -> dict[str, Part]:
    """The parts to show larger, by the names of their pictures; locators are looked over too."""
    parts: dict[str, Part] = {}
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


def _wanted_windows(
    source: Source, library: Library, view: View, style: Style
) -> tuple[WantedWindow, ...]:
    series = library.series[view.scan]
    plane = planned_view(series, plane_request(view))

    def region(name: str) -> tuple[str, Outline]:
        region = source.board.regions[name]
        return region.called, outline_of(figure_of(region, frame_of(plane, series)))

    return wanted_windows(view, Viewed(series, plane, region), style)


def _fault(source: Source, path: FieldPath, error: ScanError) -> Fault:
    return source.places.fault(path, error.wrong, error.instead)
