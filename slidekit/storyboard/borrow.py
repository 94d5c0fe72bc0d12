"""Slides of other storyboards, brought with all that they rest on."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from slidekit.errors import Fault, StoryboardError
from slidekit.storyboard.account_names import SHOWING_STAGES
from slidekit.storyboard.chronology import CASE_NAME, Chronology
from slidekit.storyboard.date_names import DATED
from slidekit.storyboard.glossing import terms_in, texts_on
from slidekit.storyboard.lookup import (
    ACCOUNT,
    AGREEMENTS,
    COMPARISONS,
    CONTRASTS,
    COUNTS,
    EVENTS,
    FINDINGS,
    PERIODS,
    PRINTED,
    QUESTIONS,
    QUOTED,
    REGIONS,
    SCANS,
    SECTIONS,
    SHOWN,
    SOURCES,
    SPOKEN,
    STAGES,
    TABLES,
    TERMS,
    THIS_CASE,
    VIEWS,
    VOLUMES,
    Definitions,
    Section,
    definitions,
)
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.naming import listed, nearest
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.parts import Part
from slidekit.storyboard.places import FieldPath, Place, Places
from slidekit.storyboard.printed import placeholders_in
from slidekit.storyboard.showing import named_on
from slidekit.storyboard.slides import (
    BorrowedSlide,
    CompareSlide,
    FindingsSlide,
    GlossarySlide,
    MaterialsSlide,
    OwnSlide,
    ScanSlide,
    SeriesSlide,
    TimelineSlide,
    TitleSlide,
)
from slidekit.storyboard.source import Source
from slidekit.storyboard.views import ShownView, View
from slidekit.storyboard.waivers import Waiver
from slidekit.storyboard.windows import AutomaticWindow, halves_of
from slidekit.storyboard.words import clicks, parse_words, placeholders

_Need: TypeAlias = tuple[Section, str]


def resolve_borrowed(own: Source, lenders: Mapping[str, Source]) -> Source:
    """`own` with every borrowed slide in place, and with all that those rest on.

    `lenders` are the storyboards named in `borrow`, themselves resolved. Places of what is brought
    point into the lender's file, those of its changes into the borrower's.

    Raises
    ------
    StoryboardError
        Where a slide is not there, or two storyboards give one name to different things.
    """
    loan = _Loan(own, definitions(own.board), dict(own.places.known))
    slides: list[OwnSlide] = []
    for at, slide in enumerate(own.board.slides):
        if not isinstance(slide, BorrowedSlide):
            slides.append(slide)
        elif (lender := loan.lender_of(slide, at, lenders)) is not None:
            slides.append(loan.bring(slide, at, lender))
    if loan.faults:
        raise StoryboardError(loan.faults)
    return Source(
        board=loan.board(tuple(slides)),
        path=own.path,
        places=Places(own.places.top, loan.known),
        origins=loan.origins,
        untranslated=(*own.untranslated, *loan.untranslated),
        lenders=tuple(lenders.values()),
    )


@dataclass
class _Loan:
    """The board while it grows."""

    own: Source
    defined: dict[Section, Mapping[str, Part]]
    known: dict[FieldPath, Place]
    origins: dict[str, Source] = field(default_factory=dict)
    waive: list[Waiver] = field(default_factory=list)
    untranslated: list[FieldPath] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    era: str | None = None
    lanes: dict[int, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.account = self.own.board.account

    def lender_of(
        self, slide: BorrowedSlide, at: int, lenders: Mapping[str, Source]
    ) -> Source | None:
        """Who has the slide; a fault if nobody has."""
        lender = lenders.get(slide.origin)
        if lender is None:
            wrong = f"`{slide.origin}` is not a name in `borrow`"
            self._no_such(("slides", at, "origin"), wrong, slide.origin, list(lenders))
            return None
        ids = [one.id for one in lender.slides]
        if slide.slide in ids:
            return lender
        wrong = f"there is no slide `{slide.slide}` in {lender.path}"
        self._no_such(("slides", at, "slide"), wrong, slide.slide, ids)
        return None

    def _no_such(self, path: FieldPath, wrong: str, name: str, known: list[str]) -> None:
        meant = nearest(name, known)
        if not known:
            instead = "Add `borrow:` with a name and the path of the other storyboard"
        elif meant:
            instead = f"Write `{meant}` if you mean that; it has {listed(known)}"
        else:
            instead = f"Write one of {listed(known)}"
        self.faults.append(self.own.places.fault(path, wrong, instead))

    def bring(self, wish: BorrowedSlide, at: int, lender: Source) -> OwnSlide:
        """The wished slide with the borrower's changes; what it rests on joins the board."""
        position, slide = next(
            (i, slide) for i, slide in enumerate(lender.slides) if slide.id == wish.slide
        )
        self._bring_places(("slides", at), lender, ("slides", position))
        own_words = {key for key in ("title", "section", "say") if getattr(wish, key) is not None}
        for one in lender.untranslated:
            if one[:2] == ("slides", position) and one[2] not in own_words:
                self.untranslated.append(("slides", at, *one[2:]))
        changed = self._changed(slide, wish, at)
        if isinstance(changed, TimelineSlide):
            self._bring_lanes(at, lender)
        theirs = definitions(lender.board)
        needs = set(rests_on(changed, theirs, self.defined if wish.say is not None else {}))
        used = terms_in(texts_on(changed, lender.board), lender.board.glossary)
        needs |= {(TERMS, name) for name in used}
        for section in SECTIONS:
            for name in theirs[section]:
                if (section, name) in needs:
                    self._bring_definition((section, name), at, lender, theirs[section][name])
        self._bring_waivers(slide.id, lender)
        return changed

    def _bring_waivers(self, slide: str, lender: Source) -> None:
        """What the lender wants as it is on that slide stays so."""
        for j, waiver in enumerate(lender.board.waive):
            if waiver.slide == slide:
                path = ("waive", len(self.own.board.waive) + len(self.waive))
                self._bring_places(path, lender, ("waive", j))
                self.waive.append(waiver)

    def _bring_definition(self, need: _Need, at: int, lender: Source, part: Part) -> None:
        section, name = need
        if section == STAGES:
            self._bring_account(at, lender)
            return
        path = (*section, name)
        mine = self.defined[section].get(name)
        if mine is None:
            self.defined[section] = {**self.defined[section], name: part}
            self._bring_places(path, lender, path)
            depth = len(path)
            self.untranslated += [one for one in lender.untranslated if one[:depth] == path]
            if section == REGIONS:
                self.origins[name] = lender
            if section in DATED:
                self._bring_era(at, lender)
        elif mine != part:
            self._clash(path, at, lender)

    def _clash(
        self,
        path: FieldPath,
        at: int,
        lender: Source,
        instead: str = "Rename one of the two, or make them alike",
    ) -> None:
        here, there = self.known[path], lender.places.find(path)
        slide = self.own.board.slides[at]
        rests = f"the borrowed slide `{getattr(slide, 'slide', '')}` rests on"
        if path in self.own.places.known:
            wrong = f"is not the same in {there}, which {rests}"
            fault = self.own.places.fault(path, wrong, instead)
        else:
            wrong = f"`{path[-1]}`, which {rests}, is not the same in {here} and in {there}"
            fault = self.own.places.fault(("slides", at), wrong, instead)
        if fault not in self.faults:
            self.faults.append(fault)

    def _bring_era(self, at: int, lender: Source) -> None:
        """Dates are written as the borrower writes them, or as all lenders do."""
        if self.own.board.chronology is not None or lender.board.chronology is None:
            return
        era = lender.board.chronology.era
        if self.era is not None and era != self.era:
            wrong = f"the dates of this slide are written in {era}, those of another in {self.era}"
            instead = "Choose one of the two: add `chronology:` with `era:` to this storyboard"
            self.faults.append(self.own.places.fault(("slides", at), wrong, instead))
        self.era = self.era or era

    def _bring_account(self, at: int, lender: Source) -> None:
        """A talk has one account, the borrower's or that of all lenders."""
        theirs = lender.board.account
        if self.account is None and theirs is not None:
            self.account = theirs
            self.defined[STAGES] = theirs.stages
            self._bring_places(("account",), lender, ("account",))
        elif self.account != theirs:
            self._clash(("account",), at, lender, "Make them alike: a talk has one account")

    def _bring_lanes(self, at: int, lender: Source) -> None:
        own, theirs = (one.board.chronology or Chronology() for one in (self.own, lender))
        for lane, name in theirs.lanes.items():
            there = own.lanes.get(lane) or self.lanes.setdefault(lane, name)
            if there != name:
                wrong = f"lane {lane} of this timeline is called {name}, and elsewhere {there}"
                instead = "Call it by one name in both storyboards, or use another lane"
                self.faults.append(self.own.places.fault(("slides", at), wrong, instead))

    def _bring_places(self, path: FieldPath, lender: Source, lender_path: FieldPath) -> None:
        for rest, place in lender.places.below(lender_path):
            if rest or path not in self.known:  # the slide itself stays where it is asked for
                self.known[(*path, *rest)] = place

    def _changed(self, slide: OwnSlide, wish: BorrowedSlide, at: int) -> OwnSlide:
        changes: dict[str, Any] = {}
        for key in ("title", "section", "say", "keep"):
            value = getattr(wish, key)
            if value is not None:
                changes[key] = value
                self.known[("slides", at, key)] = self.own.places.find(("slides", at, key))
        here = {s.slide if isinstance(s, BorrowedSlide) else s.id for s in self.own.board.slides}
        changes["needs"] = tuple(name for name in slide.needs if name in here)
        if wish.captions:
            changes["views"] = self._captioned(slide, wish, at)
        return slide.model_copy(update=changes)

    def _captioned(self, slide: OwnSlide, wish: BorrowedSlide, at: int) -> tuple[Part, ...]:
        shown = slide.views if isinstance(slide, ScanSlide) else ()
        on_slide = [one.view for one in shown]
        for name in wish.captions:
            if name not in on_slide:
                wrong = f"the borrowed slide does not show the view `{name}`"
                path = ("slides", at, "captions", name)
                instead = f"Its views are {listed(on_slide)}" if on_slide else "Remove the caption"
                self.faults.append(self.own.places.fault(path, wrong, instead))
        for i, one in enumerate(shown):
            if one.view in wish.captions:
                place = self.own.places.find(("slides", at, "captions", one.view))
                self.known[("slides", at, "views", i, "caption")] = place
        return tuple(
            one.model_copy(update={"caption": wish.captions.get(one.view, one.caption)})
            for one in shown
        )

    def board(self, slides: tuple[OwnSlide, ...]) -> Storyboard:
        """The board with everything that was brought."""
        chronology = self.own.board.chronology
        if any(self.defined[section] for section in DATED):
            base = chronology or Chronology.model_validate({"era": self.era} if self.era else {})
            chronology = base.model_copy(
                update={
                    "periods": self.defined[PERIODS],
                    "events": self.defined[EVENTS],
                    "this_case": self.defined[THIS_CASE].get(CASE_NAME),
                    "lanes": {**self.lanes, **base.lanes},
                }
            )
        update = {
            "slides": slides,
            "chronology": chronology,
            "waive": (*self.own.board.waive, *self.waive),
            "account": self.account,
            **{
                section[0]: self.defined[section]
                for section in SECTIONS
                if len(section) == 1 and section != THIS_CASE
            },
        }
        return self.own.board.model_copy(update=update)


def rests_on(
    slide: OwnSlide,
    theirs: Definitions,
    mine: Definitions,
) -> Iterator[_Need]:
    """Everything of `theirs` that the slide needs, itself or through what it needs.

    Words of the borrower's own (`mine` is not empty) may name what the borrower defines.
    """
    waiting = [*_shown(slide, theirs), *_printed(slide)]
    said = parse_words(slide.say)
    named = [*(name for names in clicks(said) for name in names)]
    named += [name for place in placeholders(said) for name in place.names]
    own = {name for section in SPOKEN for name in mine.get(section, ())}
    waiting += [(section, name) for name in named if name not in own for section in SPOKEN]
    yield from _with_below(waiting, theirs)


def _with_below(needs: Iterable[_Need], theirs: Definitions) -> Iterator[_Need]:
    """Those that are defined, and what they rest on in turn."""
    waiting = list(needs)
    seen: set[_Need] = set()
    while waiting:
        need = waiting.pop()
        section, name = need
        if need not in seen and name in theirs[section]:
            seen.add(need)
            waiting += _below(section, theirs[section][name])
            if section == STAGES:  # an account is brought whole
                waiting += [(STAGES, other) for other in theirs[STAGES]]
                waiting += [(ACCOUNT, other) for other in theirs[ACCOUNT]]
    yield from seen


def cited_on_slides(board: Storyboard) -> frozenset[str]:
    """Names of the sources that the slides of a talk cite, in print, aloud or as evidence."""
    defined = definitions(board)
    slides = (slide for slide in board.slides if not isinstance(slide, BorrowedSlide))
    return _sources_among(need for slide in slides for need in rests_on(slide, defined, {}))


def cited_in(panel: Panel, board: Storyboard) -> frozenset[str]:
    """Names of the sources that a panel cites: in its words, and where its list of stages comes
    from."""
    cited = [*_printed(panel)]
    if panel.stages and board.account is not None:
        cited += _printed((board.account.called, board.account.source))
    return _sources_among(_with_below(cited, definitions(board)))


def _sources_among(needs: Iterable[_Need]) -> frozenset[str]:
    return frozenset(name for section, name in needs if section == SOURCES)


def _shown(slide: OwnSlide, theirs: Definitions) -> Iterator[_Need]:
    match slide:
        case ScanSlide(views=views):
            for shown in views:
                yield from _shown_on(shown)
            if slide.stage is not None:
                yield STAGES, slide.stage
        case TitleSlide(view=str(view)):
            yield VIEWS, view
        case TimelineSlide(tally=tally):
            yield from ((TABLES, one.table) for one in (tally,) if one is not None)
            yield from ((section, name) for section in DATED for name in theirs[section])
        case CompareSlide():
            yield from ((STAGES, name) for name in theirs[STAGES])
        case MaterialsSlide(question=question):
            yield QUESTIONS, question
        case SeriesSlide() | FindingsSlide() | GlossarySlide():
            _, names, section = named_on(slide)
            yield from ((section, name) for name in names)


def _shown_on(shown: ShownView) -> Iterator[_Need]:
    """What a view of a slide shows."""
    yield VIEWS, shown.view
    yield from ((REGIONS, name) for name in shown.regions)
    if shown.locator is not None:
        yield VIEWS, shown.locator
    if shown.contrast is not None:
        yield CONTRASTS, shown.contrast
    if shown.inset is not None and shown.inset.region is not None:
        yield REGIONS, shown.inset.region


def _printed(part: object) -> Iterator[_Need]:
    for name in placeholders_in(part):
        yield from ((section, name) for section in PRINTED)


_NAMED: Mapping[Section, tuple[str, Section]] = {
    VOLUMES: ("scan", SCANS),
    REGIONS: ("view", VIEWS),
    COMPARISONS: ("counts", COUNTS),
    AGREEMENTS: ("table", TABLES),
    QUESTIONS: ("region", REGIONS),
    CONTRASTS: ("regions", REGIONS),
}
"""Of parts that need what one field names: that field, and the section of its names."""

_PRINTING = (ACCOUNT, STAGES, QUOTED, FINDINGS)
"""Sections whose words are printed."""


def _below(section: Section, part: Any) -> Iterator[_Need]:
    if section in _PRINTING:
        yield from _printed(part)
    if section in _NAMED:
        key, under = _NAMED[section]
        names = getattr(part, key)
        yield from ((under, name) for name in ((names,) if isinstance(names, str) else names))
    elif section == VIEWS:
        yield from _below_view(part)
    elif section == FINDINGS:
        yield from ((under, name) for name in part.rests_on for under in SHOWN)
    elif section == STAGES:
        yield from ((under, name) for name in part.rests_on for under in SHOWING_STAGES)
        yield COUNTS, part.series or ""
    elif section == COUNTS:
        yield (COUNTS, part.of) if part.of else (TABLES, part.table)


def _below_view(view: View) -> Iterator[_Need]:
    yield SCANS, view.scan
    for _, window in halves_of(view.window):
        if isinstance(window, AutomaticWindow) and window.region:
            yield REGIONS, window.region
    if view.crop_around is not None:
        yield REGIONS, view.crop_around.region
