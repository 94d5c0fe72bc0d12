"""From a storyboard's scans, views and regions to pictures and figures, faults in one go."""

from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import TypeVar

from slidekit.errors import Fault, ScanError, StoryboardError
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.demo import demo_series_folder
from slidekit.scans.kept_pictures import PictureRequest, begin_pictures
from slidekit.scans.model import Outline, ScanPicture, Series
from slidekit.scans.planes import check_request, planned_plane
from slidekit.scene.figures import figure_of, frame_of, outline_of, page_points
from slidekit.scene.model import Box
from slidekit.scene.pictures import PlacedRegion, Sight, Sights, plane_request
from slidekit.scene.speech import length_in_words, spoken_mark
from slidekit.scene.style import Mark, Style
from slidekit.scene.windowing import Viewed, WantedWindow, wanted_windows
from slidekit.storyboard.marks import assign_marks
from slidekit.storyboard.model import Scan, ShownView, View
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.read import Source
from slidekit.storyboard.regions import LineRegion

_Found = TypeVar("_Found")

WORKERS = 2
"""Pictures made at once: resizing and decoding let go of the interpreter lock."""


@dataclass(frozen=True)
class Wanted:
    """Views to make visible, and where in the storyboard each page shows which regions."""

    shown: Mapping[FieldPath, ShownView]
    alone: tuple[str, ...] = ()  # views shown without regions, beside a title
    target_px: int = 1000

    def regions(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(name for view in self.shown.values() for name in view.regions))

    def views(self, source: Source) -> tuple[str, ...]:
        """Every view shown, and those on which shown regions were written."""
        shown = [view.view for view in self.shown.values()]
        written_on = [source.board.regions[name].view for name in self.regions()]
        return tuple(dict.fromkeys([*shown, *self.alone, *written_on]))

    def scans(self, source: Source) -> tuple[str, ...]:
        """The scans of all those views."""
        return tuple(dict.fromkeys(source.board.views[name].scan for name in self.views(source)))


@dataclass(frozen=True)
class Library:
    """The opened series of a storyboard, by scan name."""

    series: Mapping[str, Series]
    verify: bool = False  # hash the files instead of trusting their size and time of change


def open_library(source: Source, names: Iterable[str], *, verify: bool = False) -> Library:
    """Index the folders of the named scans and choose their series.

    `verify` reads every header and file again, whatever was kept of an earlier run.

    Raises
    ------
    StoryboardError
        With a fault for every scan that cannot be opened.
    """
    series: dict[str, Series] = {}
    faults: list[Fault] = []
    catalogue_of = cache(partial(index_folder, fresh=verify))  # a folder may hold several scans
    for name in dict.fromkeys(names):
        scan = source.board.scans[name]
        try:
            series[name] = choose_series(catalogue_of(_folder(scan)), scan.series)
        except ScanError as error:
            faults.append(_fault(source, ("scans", name), error))
    if faults:
        raise StoryboardError(faults)
    return Library(series, verify)


def _folder(scan: Scan) -> Path:
    if scan.demo is not None:
        return demo_series_folder(scan.demo)
    if scan.folder is None:
        raise ScanError("the scan names no folder", "Add `folder`")
    return Path(scan.folder)


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
    views = {name: source.board.views[name] for name in wanted.views(source)}
    _check_views(source, library, views)
    windows = _for_each(source, views, lambda name: _wanted_windows(source, library, name, style))
    with ThreadPoolExecutor(WORKERS) as pool:
        begun: dict[str, Future[ScanPicture]] = {}
        for names in _by_scan(views):
            of_scan = {name: windows[name] for name in names}
            begun |= _begin_pictures(source, library, of_scan, (wanted.target_px, pool))

        def finished(name: str) -> ScanPicture:
            picture = begun[name].result()
            advance(name)
            return picture

        pictures = _for_each(source, begun, finished)
    sights = {name: _sight(source, name, pictures[name], windows[name]) for name in views}
    regions = _place_regions(source, library, wanted, (sights, style))
    return Sights(sights, regions)


def _check_views(source: Source, library: Library, views: Mapping[str, View]) -> None:
    faults = []
    for name, view in views.items():
        try:
            check_request(library.series[view.scan], plane_request(view))
        except ScanError as error:
            faults.append(_fault(source, ("views", name, _blamed_field(error, view)), error))
    if faults:
        raise StoryboardError(faults)


def _blamed_field(error: ScanError, view: View) -> str:
    """The field whose line a complaint about a view should point to."""
    if "crop" in error.wrong:
        return "crop_mm"
    return "slice" if view.slice is not None else "at_mm"


def _by_scan(views: Mapping[str, View]) -> list[dict[str, View]]:
    scans = dict.fromkeys(view.scan for view in views.values())
    return [{n: view for n, view in views.items() if view.scan == scan} for scan in scans]


def _begin_pictures(
    source: Source,
    library: Library,
    wanted: Mapping[str, tuple[WantedWindow, ...]],
    how: tuple[int, ThreadPoolExecutor],
) -> dict[str, Future[ScanPicture]]:
    """The pictures of views of one scan in the wanted windows, made while the next scan is read."""
    target_px, pool = how
    views = {name: source.board.views[name] for name in wanted}
    scan = next(iter(views.values())).scan
    requests = [
        PictureRequest(
            plane_request(view), tuple(window.scale for window in wanted[name]), target_px
        )
        for name, view in views.items()
    ]
    try:
        futures = begin_pictures(library.series[scan], requests, pool, verify=library.verify)
    except ScanError as error:
        raise StoryboardError([_fault(source, ("scans", scan), error)]) from error
    return dict(zip(views, futures, strict=True))


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
    source: Source, library: Library, name: str, style: Style
) -> tuple[WantedWindow, ...]:
    view = source.board.views[name]
    series = library.series[view.scan]
    plane = planned_plane(series, plane_request(view))

    def region(name: str) -> tuple[str, Outline]:
        region = source.board.regions[name]
        return region.called, outline_of(figure_of(region, frame_of(plane, series)))

    return wanted_windows(view, Viewed(series, plane, region), style)


def _sight(
    source: Source, name: str, picture: ScanPicture, wanted: tuple[WantedWindow, ...]
) -> Sight:
    view = source.board.views[name]
    pairs = zip(wanted, picture.scales, strict=True)
    windows = tuple(window.used(scale) for window, scale in pairs)
    scan = source.board.scans[view.scan]
    return Sight(name, view, picture, windows, scan.credit, scan.rights, scan.human_remains)


def _place_regions(
    source: Source, library: Library, wanted: Wanted, look: tuple[Mapping[str, Sight], Style]
) -> dict[str, PlacedRegion]:
    sights, style = look
    placed: dict[str, PlacedRegion] = {}
    faults: list[Fault] = []
    marks = marks_of(source, style)
    for name in wanted.regions():
        sight = sights[source.board.regions[name].view]
        try:
            placed[name] = place_region(source, name, (sight, library), marks[name])
        except ScanError as error:
            faults.append(_fault(source, ("regions", name), error))
    faults += _misplaced(source, library, wanted, (sights, placed))
    if faults:
        raise StoryboardError(faults)
    return placed


def marks_of(source: Source, style: Style) -> dict[str, Mark]:
    """The mark of every region, the same on all slides and panels."""
    keys = assign_marks(source.board, tuple(style.marks), source.origins)
    return {name: style.marks[key] for name, key in keys.items()}


def place_region(
    source: Source, name: str, seen: tuple[Sight, Library], mark: Mark
) -> PlacedRegion:
    """A region in patient space. `seen`: the region's own view, and the opened series.

    Raises
    ------
    ScanError
        If its coordinates cannot be read on that view.
    """
    region = source.board.regions[name]
    sight, library = seen
    figure = figure_of(region, frame_of(sight.picture, library.series[sight.view.scan]))
    note = length_in_words(figure) if isinstance(region, LineRegion) else ""
    spoken = spoken_mark(mark, region.shape)
    return PlacedRegion(name, region.called, spoken, mark, figure, note)


def _misplaced(
    source: Source,
    library: Library,
    wanted: Wanted,
    found: tuple[Mapping[str, Sight], Mapping[str, PlacedRegion]],
) -> list[Fault]:
    """Regions that a page shows on a view where they cannot be."""
    sights, placed = found
    faults: dict[tuple[str, str], Fault] = {}
    for path, shown in wanted.shown.items():
        for j, name in enumerate(shown.regions):
            if name not in placed or (name, shown.view) in faults:
                continue
            own_view = source.board.regions[name].view
            blamed = ("regions", name) if own_view == shown.view else (*path, "regions", j)
            try:
                _check_frame_of_reference(library, sights[own_view], sights[shown.view])
                page_points(placed[name].figure, sights[shown.view].picture, Box(0, 0, 1, 1))
            except ScanError as error:
                about = ScanError(
                    f"region `{name}` on view `{shown.view}`: {error.wrong}", error.instead
                )
                faults[name, shown.view] = _fault(source, blamed, about)
    return list(faults.values())


def _check_frame_of_reference(library: Library, own: Sight, other: Sight) -> None:
    """Patient coordinates carry over only within one frame of reference (PS3.3 C.7.4.1)."""
    first, second = (library.series[sight.view.scan] for sight in (own, other))
    if own.view.scan == other.view.scan:
        return
    if not first.frame_of_reference_uid or (
        first.frame_of_reference_uid != second.frame_of_reference_uid
    ):
        raise ScanError(
            f"its coordinates belong to scan `{own.view.scan}`, and scan `{other.view.scan}` has "
            "another frame of reference",
            "Define a second region on this view",
        )


def _fault(source: Source, path: FieldPath, error: ScanError) -> Fault:
    return source.places.fault(path, error.wrong, error.instead)
