"""Pictures of the wanted views: begun scan by scan, made while the next scan is read."""

from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TypeAlias, TypeVar

from slidekit.errors import Fault, ScanError, StoryboardError
from slidekit.scans.kept.measures import Values
from slidekit.scans.kept.pictures import Begun, PictureRequest, begin_pictures
from slidekit.scans.model import (
    AutomaticWindow,
    GreyScale,
    PlaneImage,
    PlaneRequest,
    ScanPicture,
)
from slidekit.scans.viewing import planned_view
from slidekit.scene.pictures.halves import halves_of_part
from slidekit.scene.sights.measuring import measure_regions
from slidekit.scene.sights.model import Sight
from slidekit.scene.sights.opening import Library
from slidekit.scene.sights.requests import plane_request
from slidekit.scene.sights.wanted import Wanted
from slidekit.scene.sights.windowing import UsedWindow, WantedWindow
from slidekit.storyboard.source import Source
from slidekit.storyboard.views import View

_Found = TypeVar("_Found")

_Scale: TypeAlias = GreyScale | AutomaticWindow

Part: TypeAlias = tuple[str, View]
"""A part of a picture that is shown larger: the name of the whole picture, and the part."""


def for_each_view(
    source: Source, views: Iterable[str], find: Callable[[str], _Found]
) -> dict[str, _Found]:
    """What is found for each view; StoryboardError with a fault at its window for each that has
    none."""
    results: dict[str, _Found] = {}
    faults: list[Fault] = []
    for name in views:
        try:
            results[name] = find(name)
        except ScanError as error:
            path = ("views", name, "window")
            faults.append(source.places.fault(path, error.wrong, error.instead))
    if faults:
        raise StoryboardError(faults)
    return results


@dataclass(frozen=True)
class PictureMaker:
    """One run over the scans: what was begun, and the values measured on the way."""

    source: Source
    library: Library
    wanted: Wanted
    pool: ThreadPoolExecutor
    begun: dict[str, Begun] = field(default_factory=dict)  # by the name of the picture
    values: dict[str, Values] = field(default_factory=dict)  # by the name of the region

    @property
    def renewed(self) -> tuple[str, ...]:
        """The pictures that were kept of an earlier run, and made again."""
        return tuple(name for name, one in self.begun.items() if one.renewed)

    def make(
        self,
        views: Mapping[str, View],
        windows: Mapping[str, tuple[WantedWindow, ...]],
        advance: Callable[[str], None],
    ) -> dict[str, Sight]:
        """The framed views, and the values in the regions that were drawn on them, in one pass
        over each scan. `advance` is called with the name of each view that is ready.

        Raises
        ------
        StoryboardError
            With a fault for each scan that cannot be read, and each window that suits no value.
        """
        for scan, of_scan in _by_scan(views).items():
            at_hand = self._measure(scan, of_scan)
            requests = {
                name: self._request(view, tuple(window.scale for window in windows[name]))
                for name, view in of_scan.items()
            }
            self._begin(scan, requests, at_hand)

        def finished(name: str) -> ScanPicture:
            picture = self.begun[name].picture.result()
            advance(name)
            return picture

        pictures = for_each_view(self.source, views, finished)
        return {
            name: self._sight(name, view, pictures[name], windows[name])
            for name, view in views.items()
        }

    def make_parts(
        self, parts: Mapping[str, Part], sights: Mapping[str, Sight]
    ) -> dict[str, Sight]:
        """Parts of the pictures in `sights`, in the greys of these."""
        windows: dict[str, tuple[UsedWindow, ...]] = {}
        for scan, of_scan in _by_scan({name: view for name, (_, view) in parts.items()}).items():
            requests = {}
            for name, view in of_scan.items():
                whole = sights[parts[name][0]]
                grid = planned_view(self.library.series[scan], plane_request(view)).grid
                halves, seam_share = halves_of_part(whole.picture, grid)
                windows[name] = whole.windows[halves]
                request = self._request(view, whole.picture.scales[halves])
                requests[name] = replace(request, seam_share=seam_share)
            self._begin(scan, requests)
        return {
            name: replace(
                sights[whole],
                name=name,
                view=view,
                picture=self.begun[name].picture.result(),
                windows=windows[name],
            )
            for name, (whole, view) in parts.items()
        }

    def _measure(self, scan: str, views: Mapping[str, View]) -> dict[PlaneRequest, PlaneImage]:
        """Measure the wanted regions that were drawn on views of a scan; the planes that had to be
        read for them."""
        regions = self.source.board.regions
        plotted = self.wanted.profiles()
        drawn = {
            name: regions[name]
            for name in self.wanted.regions(self.source.board)
            if regions[name].view in views and (regions[name].shape != "line" or name in plotted)
        }
        series = self.library.series[scan]
        try:
            values, at_hand = measure_regions(series, views, drawn, verify=self.library.verify)
        except ScanError as error:
            raise self._fault(scan, error) from error
        self.values.update(values)
        return at_hand

    def _begin(
        self,
        scan: str,
        requests: Mapping[str, PictureRequest],
        at_hand: Mapping[PlaneRequest, PlaneImage] = MappingProxyType({}),
    ) -> None:
        """`at_hand`: planes of the scan that were read before."""
        series, verify = self.library.series[scan], self.library.verify
        try:
            begun = begin_pictures(
                series, list(requests.values()), self.pool, verify=verify, at_hand=at_hand
            )
        except ScanError as error:
            raise self._fault(scan, error) from error
        self.begun.update(zip(requests, begun, strict=True))

    def _request(self, view: View, scales: tuple[_Scale, ...]) -> PictureRequest:
        """A picture in one window comes at the scan's own size where it is enlarged later. Two
        windows cannot be enlarged without blurring the seam, and plain pictures shrink only."""
        page = self.library.series[view.scan].kind == "page" or view.plane == "picture"
        native = self.wanted.native and not page and len(scales) == 1
        return PictureRequest(plane_request(view), scales, 1 if native else self.wanted.target_px)

    def _sight(
        self, name: str, view: View, picture: ScanPicture, wanted: tuple[WantedWindow, ...]
    ) -> Sight:
        pairs = zip(wanted, picture.scales, strict=True)
        windows = tuple(window.used(scale) for window, scale in pairs)
        scan = self.source.board.scans[view.scan]
        owner = scan.credit, scan.statement.short
        return Sight(name, view, picture, windows, *owner, scan.human_remains)

    def _fault(self, scan: str, error: ScanError) -> StoryboardError:
        fault = self.source.places.fault(("scans", scan), error.wrong, error.instead)
        return StoryboardError([fault])


def _by_scan(views: Mapping[str, View]) -> dict[str, dict[str, View]]:
    found: dict[str, dict[str, View]] = {}
    for name, view in views.items():
        found.setdefault(view.scan, {})[name] = view
    return found
