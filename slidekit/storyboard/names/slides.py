"""Faults of the slides and panels: what they name, show and say."""

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field

from slidekit.errors import Fault
from slidekit.storyboard.names.dates import DATED, complaints_about_tally
from slidekit.storyboard.names.lookup import (
    CONTRASTS,
    COUNTS,
    PRINTED,
    QUESTIONS,
    REGIONS,
    STAGES,
    VIEWS,
    Definitions,
    Section,
    complaint_about,
)
from slidekit.storyboard.names.motion import motion_complaints
from slidekit.storyboard.names.naming import with_article
from slidekit.storyboard.names.placeholders import complaints_about
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.regions import AREA_SHAPES
from slidekit.storyboard.showing import drawn_on, named_on
from slidekit.storyboard.slides import (
    CompareSlide,
    FindingsSlide,
    GlossarySlide,
    MaterialsSlide,
    NoticeSlide,
    OwnSlide,
    ScanSlide,
    SeriesSlide,
    TimelineSlide,
    TitleSlide,
)
from slidekit.storyboard.source import Source
from slidekit.storyboard.views import ShownView
from slidekit.storyboard.words import NAME_AND_PART, Click, Placeholder, parse_words

_SPOKEN = re.compile(rf"\[show [^\]]*\]|\{{{NAME_AND_PART}\}}")


_CLICKED: Mapping[str, tuple[Section, str, str]] = {
    "series": (COUNTS, "counts", "count"),
    "compare": (STAGES, "stages", "stage"),
}
"""Kind of slide: what its clicks bring on, in which field it lists them, and what one is called;
of the other kinds clicks bring on regions."""


def faults_of_pages(
    source: Source, defined: Definitions, marks: Collection[str]
) -> Iterator[Fault]:
    """Faults of every slide, in their order, and of every panel."""
    check = _Check(source, defined, len(marks))
    for at, slide in enumerate(source.slides):
        yield from check.slide(("slides", at), slide)
        yield from check.title(("slides", at, "title"), slide)
        printed, on_page = slide.model_dump(exclude={"say"}), _regions_on(slide)
        yield from _spoken_in_print(check, ("slides", at), printed, on_page)
    for name, panel in source.board.panels.items():
        yield from check.shown(("panels", name), panel.views)
        yield from check.listed(("panels", name, "counts"), panel.counts, (COUNTS,))
        yield from check.listed(("panels", name, "stages"), panel.stages, (STAGES,))
        on_page = tuple(region for shown in panel.views for region in shown.regions)
        yield from _spoken_in_print(check, ("panels", name), panel.model_dump(), on_page)
    for name, finding in source.board.findings.items():
        yield from _spoken_in_print(check, ("findings", name), finding.model_dump(), ())
    if (account := source.board.account) is not None:
        yield from _spoken_in_print(check, ("account",), account.model_dump(), ())


def _spoken_in_print(
    check: "_Check", path: FieldPath, part: object, on_page: tuple[str, ...]
) -> Iterator[Fault]:
    """Clicks and dates outside `say`, where they would be printed as they stand; numbers, and
    what is known of regions and volumes, are filled in there too."""
    if isinstance(part, str):
        for found in _SPOKEN.finditer(part):
            name = found[1] or ""
            if not any(name in check.defined[section] for section in PRINTED):
                wrong = f"{found[0]} is printed as it stands: clicks and marks are for `say`"
                instead = "Write the words themselves, without the brackets"
                yield check.source.places.fault(path, wrong, instead)
                return
            place = Placeholder(name, found[2] or "")
            board = check.source.board
            for flaw in complaints_about(place, on_page, board, check.defined):
                yield check.source.places.fault(path, *flaw)
    elif isinstance(part, dict):
        for key, inner in part.items():
            yield from _spoken_in_print(check, (*path, key), inner, on_page)
    elif isinstance(part, tuple):
        for at, inner in enumerate(part):
            yield from _spoken_in_print(check, (*path, at), inner, on_page)


@dataclass
class _Check:
    """One pass over the slides; a notice on an earlier one counts for later ones."""

    source: Source
    defined: Definitions
    mark_count: int
    noticed: bool = False
    titled: dict[str, str] = field(default_factory=dict)  # title: the slide that has it

    def slide(self, path: FieldPath, slide: OwnSlide) -> Iterator[Fault]:
        match slide:
            case ScanSlide(views=views):
                yield from self.shown(path, views)
                located = [shown.locator for shown in views if shown.locator is not None]
                yield from self._human_remains(path, [*(one.view for one in views), *located])
                yield from self._same_scale(path, slide)
                if slide.stage is not None:
                    yield from self._unknown((*path, "stage"), slide.stage, (STAGES,))
            case TitleSlide(view=str(view)):
                yield from self._unknown((*path, "view"), view, (VIEWS,))
                yield from self._human_remains(path, [view])
            case TimelineSlide():
                yield from self._timeline(path, slide)
            case CompareSlide(stages=names):
                yield from self._compared(path, names)
            case MaterialsSlide(question=question):
                yield from self._unknown((*path, "question"), question, (QUESTIONS,))
            case SeriesSlide() | FindingsSlide() | GlossarySlide():
                key, names, section = named_on(slide)
                yield from self.listed((*path, key), names, (section,))
            case NoticeSlide():
                self.noticed = True
        yield from self._words((*path, "say"), slide)

    def title(self, path: FieldPath, slide: OwnSlide) -> Iterator[Fault]:
        title = " ".join((slide.title or self.source.board.talk.title).split())
        other = self.titled.setdefault(title, slide.id)
        if other != slide.id:
            wrong = f"the slides `{other}` and `{slide.id}` have the same title"
            instead = "Give each its own: menus and screen readers find slides by their titles"
            yield self.source.places.fault(path, wrong, instead)

    def shown(self, path: FieldPath, views: tuple[ShownView, ...]) -> Iterator[Fault]:
        """Views with their regions, on a slide or panel."""
        for i, one in enumerate(views):
            here = (*path, "views", i)
            yield from self._unknown((*here, "view"), one.view, (VIEWS,))
            yield from self.listed((*here, "regions"), one.regions, (REGIONS,))
            yield from self._measured(here, one)
            yield from self._inlays(here, one)
            yield from self._motion(here, one)
        yield from self._colors(path, views)

    def _measured(self, path: FieldPath, shown: ShownView) -> Iterator[Fault]:
        """Tables, values and profiles are of regions that stand on the same view."""
        for key in ("table", "values"):
            yield from self._areas((*path, key), getattr(shown, key), shown)
        if shown.contrast is not None:
            yield from self._contrast((*path, "contrast"), shown.contrast, shown)
        name = shown.profile
        if name is None:
            return
        region = self.source.board.regions.get(name)
        if region is not None and region.shape != "line":
            wrong = f"`{name}` is {with_article(region.shape)}, and a profile runs along a line"
            instead = "Name a region of `shape: line`"
            yield self.source.places.fault((*path, "profile"), wrong, instead)
        elif name not in shown.regions:
            yield self._not_on_view((*path, "profile"), name)

    def _contrast(self, path: FieldPath, name: str, shown: ShownView) -> Iterator[Fault]:
        yield from self._unknown(path, name, (CONTRASTS,))
        contrast = self.source.board.contrasts.get(name)
        for region in contrast.regions if contrast is not None else ():
            if region in self.defined[REGIONS] and region not in shown.regions:
                yield self._not_on_view(path, region)

    def _areas(self, path: FieldPath, names: tuple[str, ...], shown: ShownView) -> Iterator[Fault]:
        for i, name in enumerate(names):
            region = self.source.board.regions.get(name)
            if region is not None and region.shape not in AREA_SHAPES:
                wrong = f"`{name}` is {with_article(region.shape)}, and holds no values"
                instead = "Name an ellipse, a rectangle or a polygon"
                yield self.source.places.fault((*path, i), wrong, instead)
            elif name not in shown.regions:
                yield self._not_on_view((*path, i), name)
            elif name in names[:i]:
                wrong = f"`{name}` is named twice"
                yield self.source.places.fault((*path, i), wrong, "Remove one of the two")

    def _not_on_view(self, path: FieldPath, name: str) -> Fault:
        wrong = f"`{name}` is not among the `regions` of this view"
        return self.source.places.fault(path, wrong, "List it there, or remove it here")

    def _motion(self, path: FieldPath, one: ShownView) -> Iterator[Fault]:
        """What a picture must be to move."""
        view = self.source.board.views.get(one.view)
        if view is None:
            return
        for part, (wrong, instead) in motion_complaints(one, view):
            yield self.source.places.fault((*path, part), wrong, instead)

    def _inlays(self, path: FieldPath, one: ShownView) -> Iterator[Fault]:
        """What is shown small or larger beside the picture."""
        if one.locator is not None:
            yield from self._unknown((*path, "locator"), one.locator, (VIEWS,))
            if one.locator == one.view:
                wrong = f"`{one.view}` cannot show where it lies itself"
                instead = "Name a view in another plane, or remove `locator`"
                yield self.source.places.fault((*path, "locator"), wrong, instead)
        if one.inset is not None and one.inset.region is not None:
            yield from self._unknown((*path, "inset", "region"), one.inset.region, (REGIONS,))

    def _unknown(
        self, path: FieldPath, name: str, sections: tuple[Section, ...]
    ) -> Iterator[Fault]:
        if complaint := complaint_about(name, sections, self.defined):
            yield self.source.places.fault(path, *complaint)

    def listed(
        self, path: FieldPath, names: tuple[str, ...], sections: tuple[Section, ...]
    ) -> Iterator[Fault]:
        for i, name in enumerate(names):
            yield from self._unknown((*path, i), name, sections)
            if name in names[:i]:
                wrong = f"`{name}` is named twice"
                yield self.source.places.fault((*path, i), wrong, "Remove one of the two")

    def _timeline(self, path: FieldPath, slide: TimelineSlide) -> Iterator[Fault]:
        if not any(self.defined[section] for section in DATED):
            wrong = "there is nothing to show on a timeline"
            instead = "Define `periods` or `events` under `chronology`"
            yield self.source.places.fault(path, wrong, instead)
        yield from self.listed((*path, "highlight"), slide.highlight, DATED)
        yield from self.listed((*path, "zoom"), slide.zoom, DATED)
        if slide.tally is not None:
            for field, *complaint in complaints_about_tally(slide.tally, self.defined):
                yield self.source.places.fault((*path, "tally", field), *complaint)

    def _compared(self, path: FieldPath, stages: tuple[str, ...]) -> Iterator[Fault]:
        yield from self.listed((*path, "stages"), stages, (STAGES,))
        if not stages and self.source.board.account is None:
            wrong, instead = "there is no account to compare with", "Add an `account` section"
            yield self.source.places.fault(path, wrong, instead)

    def _colors(self, path: FieldPath, views: tuple[ShownView, ...]) -> Iterator[Fault]:
        """On one slide the words "the orange ellipse" must mean one thing."""
        first: dict[str, str] = {}
        names: list[str] = []
        for i, shown in enumerate(views):
            for j, name in enumerate(shown.regions):
                if name in names or name not in self.defined[REGIONS]:
                    continue
                names.append(name)
                color = self.source.board.regions[name].color
                if color is not None and first.setdefault(color, name) != name:
                    wrong = f"`{first[color]}` and `{name}` are both {color}"
                    instead = "Give one of them another `color`, or leave it out"
                    yield self.source.places.fault(
                        (*path, "views", i, "regions", j), wrong, instead
                    )
        if len(names) > self.mark_count:
            wrong = f"{len(names)} regions are shown, and the style has {self.mark_count} marks"
            instead = "Show fewer on one page, or choose a style with more marks"
            yield self.source.places.fault((*path, "views"), wrong, instead)

    def _same_scale(self, path: FieldPath, slide: OwnSlide) -> Iterator[Fault]:
        if isinstance(slide, ScanSlide) and slide.same_scale and len(slide.views) == 1:
            wrong = "there is one view, and nothing to have the same scale as"
            yield self.source.places.fault(
                (*path, "same_scale"), wrong, "Show a second view, or remove `same_scale`"
            )

    def _human_remains(self, path: FieldPath, views: list[str]) -> Iterator[Fault]:
        board = self.source.board
        for name in views:
            view = board.views.get(name)
            scan = board.scans.get(view.scan) if view is not None else None
            if scan is not None and scan.human_remains and not self.noticed:
                self.noticed = True  # one fault is enough
                wrong = f"`{name}` shows human remains, and no notice comes before it"
                yield self.source.places.fault(
                    path, wrong, "Add a slide of `kind: notice` before it"
                )

    def _words(self, path: FieldPath, slide: OwnSlide) -> Iterator[Fault]:
        on_slide = _regions_on(slide)
        clicked: set[str] = set()
        for paragraph in parse_words(slide.say):
            for token in paragraph.tokens:
                if isinstance(token, Click):
                    complaints = self._click(token, slide, clicked)
                elif isinstance(token, Placeholder):
                    board = self.source.board
                    complaints = complaints_about(token, on_slide, board, self.defined)
                else:
                    continue
                for wrong, instead in complaints:
                    before = slide.say[: token.at]
                    yield self.source.places.fault_in_words(path, before, wrong, instead)

    def _click(self, click: Click, slide: OwnSlide, clicked: set[str]) -> Iterator[tuple[str, str]]:
        section, field, what = _CLICKED.get(slide.kind, (REGIONS, "", ""))
        drawn = drawn_on(slide, self.defined)
        for name in click.names:
            if complaint := complaint_about(name, (section,), self.defined):
                yield complaint
            elif name not in drawn and field:
                wrong = f"[show {name}] is said, and this slide does not have the {what}"
                yield wrong, f"List it under `{field}` of this slide, or remove the click"
            elif name not in drawn:
                wrong = f"[show {name}] is said, and no view of this slide has the region"
                yield wrong, "List it under `regions` of a view of this slide, or remove the click"
            elif name in clicked:
                yield f"[show {name}] is said twice on this slide", "Remove one of the two"
            clicked.add(name)


def _regions_on(slide: OwnSlide) -> tuple[str, ...]:
    views = slide.views if isinstance(slide, ScanSlide) else ()
    return tuple(name for shown in views for name in shown.regions)
