"""What a talk or a panel shows of its scans: which views, with which regions, where it says so."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from slidekit.scene.sights.framing import inset_name
from slidekit.storyboard.account import Stages
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.printed import placeholders_in
from slidekit.storyboard.slides import (
    CompareSlide,
    FindingsSlide,
    MaterialsSlide,
    OwnSlide,
    ScanSlide,
    TitleSlide,
)
from slidekit.storyboard.source import Source
from slidekit.storyboard.views import ShownView
from slidekit.storyboard.words import parse_words, placeholders


@dataclass(frozen=True)
class Wanted:
    """Views to make visible, and where in the storyboard each page shows which regions."""

    shown: Mapping[FieldPath, ShownView]
    alone: tuple[str, ...] = ()  # views shown without regions, beside a title
    target_px: int = 1000
    native: bool = False  # pictures at the scan's own size, to be enlarged when laid out
    named: tuple[str, ...] = ()  # regions that words speak of
    volumes: tuple[str, ...] = ()  # volumes that words speak of
    questions: tuple[str, ...] = ()  # materials questions shown or spoken of
    spoken_contrasts: tuple[str, ...] = ()
    moving: bool = False  # for what can show pictures that move

    def regions(self, board: Storyboard) -> tuple[str, ...]:
        """Every region shown, spoken of, or asked about."""
        shown = (name for view in self.shown.values() for name in view.regions)
        asked = (board.materials[name].region for name in self.questions)
        pairs = (name for one in self.contrasts() for name in board.contrasts[one].regions)
        return tuple(dict.fromkeys([*shown, *self.named, *asked, *pairs]))

    def contrasts(self) -> tuple[str, ...]:
        """Every contrast shown or spoken of."""
        shown = (view.contrast for view in self.shown.values() if view.contrast is not None)
        return tuple(dict.fromkeys([*shown, *self.spoken_contrasts]))

    def profiles(self) -> frozenset[str]:
        """The lines along which a page plots the values."""
        return frozenset(view.profile for view in self.shown.values() if view.profile)

    def views(self, source: Source) -> tuple[str, ...]:
        """Every view shown, and those on which shown regions were written."""
        shown = [view.view for view in self.shown.values()]
        located = [view.locator for view in self.shown.values() if view.locator is not None]
        written_on = [source.board.regions[name].view for name in self.regions(source.board)]
        return tuple(dict.fromkeys([*shown, *located, *self.alone, *written_on]))

    def insets(self) -> dict[str, tuple[FieldPath, ShownView]]:
        """Every part shown larger, by the name of its picture, and where it is asked for."""
        found: dict[str, tuple[FieldPath, ShownView]] = {}
        for path, view in self.shown.items():
            if view.inset is not None:
                found.setdefault(inset_name(view), (path, view))
        return found

    def scans(self, source: Source) -> tuple[str, ...]:
        """The scans of all those views, of the regions that pictures are cut to, and of volumes."""
        board = source.board
        views = list(self.views(source))
        around = [view.inset.region for view in self.shown.values() if view.inset is not None]
        crops = [board.views[name].crop_around for name in views]
        around += [crop.region for crop in crops if crop is not None]
        views += [board.regions[name].view for name in around if name is not None]
        scans = [board.views[name].scan for name in views]
        scans += [board.volumes[name].scan for name in self.volumes]
        return tuple(dict.fromkeys(scans))


def with_measured(wanted: Wanted, board: Storyboard, named: Iterable[str]) -> Wanted:
    """What is wanted, and what among names is measured."""
    known = tuple(dict.fromkeys(named))
    return replace(
        wanted,
        named=tuple(name for name in known if name in board.regions),
        volumes=tuple(name for name in known if name in board.volumes),
        questions=tuple(name for name in known if name in board.materials),
        spoken_contrasts=tuple(name for name in known if name in board.contrasts),
    )


def shown_in(path: FieldPath, views: tuple[ShownView, ...]) -> dict[FieldPath, ShownView]:
    """Views as they are shown, by their places in the storyboard; `path`: the slide or panel."""
    return {(*path, "views", j): view for j, view in enumerate(views)}


def wanted_by(board: Storyboard, slides: Mapping[int, OwnSlide], target_px: int) -> Wanted:
    """The views and regions that `slides` show, and what their words have measured."""
    named: list[str] = []
    shown: dict[FieldPath, ShownView] = {}
    alone: list[str] = []
    for i, slide in slides.items():
        named += [place.name for place in placeholders(parse_words(slide.say))]
        named += placeholders_in(slide)
        if isinstance(slide, FindingsSlide):
            for finding in (board.findings[name] for name in slide.findings):
                named += [*placeholders_in(finding), *_measured_in(finding.evidence, board)]
        if isinstance(slide, CompareSlide):
            named += placeholders_in(board.account)
        if isinstance(slide, ScanSlide):
            shown |= shown_in(("slides", i), slide.views)
        if isinstance(slide, TitleSlide) and slide.view:
            alone.append(slide.view)
        if isinstance(slide, MaterialsSlide):
            named.append(slide.question)
    wanted = Wanted(shown, tuple(alone), target_px, native=True, moving=True)
    return with_measured(wanted, board, named)


def _measured_in(evidence: Iterable[str], board: Storyboard) -> Iterator[str]:
    """Regions whose values count, volumes and contrasts, among evidence and behind its stages."""
    stages = Stages(board.account)
    for written in evidence:
        name, _, part = written.partition(".")
        if part or name in board.volumes or name in board.contrasts:
            yield name
        if name in stages:
            yield from _measured_in(stages.known[name].by, board)
