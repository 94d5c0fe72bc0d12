"""Slides of other storyboards, brought with all that they rest on."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from slidekit.errors import Fault, StoryboardError
from slidekit.storyboard.chronology import CASE_NAME, Chronology
from slidekit.storyboard.glossing import terms_in, texts_on
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.dates import DATED
from slidekit.storyboard.names.lookup import (
    EVENTS,
    PERIODS,
    REGIONS,
    SECTIONS,
    STAGES,
    TERMS,
    THIS_CASE,
    Section,
    definitions,
)
from slidekit.storyboard.names.naming import listed, nearest
from slidekit.storyboard.needs import Need, rests_on
from slidekit.storyboard.parts import Part
from slidekit.storyboard.places import FieldPath, Place, Places
from slidekit.storyboard.slides import (
    BorrowedSlide,
    OwnSlide,
    ScanSlide,
    TimelineSlide,
)
from slidekit.storyboard.source import Source
from slidekit.storyboard.waivers import Waiver


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
        own_words = _own_words(wish, slide)
        for one in lender.untranslated:
            if one[:2] == ("slides", position) and own_words.isdisjoint((one[2:3], one[2:])):
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

    def _bring_definition(self, need: Need, at: int, lender: Source, part: Part) -> None:
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
            self.untranslated += [one for one in lender.untranslated if one[0] == "account"]
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
        if isinstance(slide, ScanSlide) and not wish.stage_row:
            changes["stage"] = None
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


def _own_words(wish: BorrowedSlide, slide: OwnSlide) -> set[FieldPath]:
    """The places on a borrowed slide at which the borrower's words stand."""
    own: set[FieldPath] = {
        (key,) for key in ("title", "section", "say") if getattr(wish, key) is not None
    }
    shown = slide.views if isinstance(slide, ScanSlide) else ()
    return own | {
        ("views", i, "caption") for i, one in enumerate(shown) if one.view in wish.captions
    }
