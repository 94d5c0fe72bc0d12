"""The table of contents of a run: from a storyboard's path to the files beside it."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Literal

from slidekit.basis import Advance, Basis, Progress, read_basis
from slidekit.cache import trim_cache
from slidekit.errors import Fault, FitError, StoryboardError
from slidekit.scene.clock.schedule import (
    NOBODY,
    HandOver,
    Schedule,
    notes_of,
    schedule_talk,
    with_hand_over,
)
from slidekit.scene.compose import Stage, Told, compose_slide, stage_for
from slidekit.scene.links import Evidence, told_findings
from slidekit.scene.model import Page
from slidekit.scene.pictures.fineness import (
    DECK_PPI,
    DRAFT_PPI,
    fineness_of,
    refined,
    with_pictures,
)
from slidekit.scene.shorter import Gone, shorten
from slidekit.scene.sights.make import make_sights
from slidekit.scene.sights.model import Sights
from slidekit.scene.sights.opening import Library, open_library
from slidekit.scene.sights.wanted import wanted_by
from slidekit.scene.steps import spread
from slidekit.storyboard.glossing import glossed_slides
from slidekit.storyboard.read import Source
from slidekit.storyboard.slides import (
    OwnSlide,
    TimelineSlide,
)
from slidekit.wording import phrase, phrase_key
from slidekit.writers.decks.deck import DeckFacts, write_deck
from slidekit.writers.figures.figure import write_png, write_svg
from slidekit.writers.records.board import board_record
from slidekit.writers.records.findings import findings_record
from slidekit.writers.records.record import talk_record, write_record
from slidekit.writers.scripts.script import write_script

SLIDE_PX = 1000  # long side of a picture that comes as it is: half a wide slide at 150 to the inch
DRAFT_PX = 512
PREVIEW_DPI = 150
KEYWORDS = (
    phrase_key("lecture"),
    phrase_key("computed tomography"),
    phrase_key("teaching"),
    phrase_key("not for diagnosis"),
)


@dataclass(frozen=True)
class Options:
    """What the author may ask of a build, besides what the storyboard says."""

    style: str | None = None
    only: tuple[str, ...] = ()
    steps: Literal["clicks", "slides"] = "clicks"
    draft: bool = False
    verify: bool = False  # trust no time of change: hash the scan files behind every picture
    language: str | None = None  # of a talk whose texts are given in several
    slot_min: float | None = None  # leave out what may go until the talk fits into these minutes
    hand_over: HandOver = NOBODY  # who speaks before and after, in a programme


@dataclass(frozen=True)
class Show:
    """A talk laid out, ready to be written."""

    basis: Basis
    library: Library
    sights: Sights
    told: tuple[Told, ...]
    schedule: Schedule
    gone: tuple[Gone, ...] = ()
    """What a shorter slot leaves out."""

    @property
    def pages(self) -> tuple[Page, ...]:
        """The slides with their notes."""
        turns = self.schedule.turns
        return tuple(
            page
            for one, turn in zip(self.told, turns, strict=True)
            for page in (replace(one.page, notes=notes_of(turn)), *one.more)
        )


def build_talk(
    storyboard: Path, out: Path, options: Options, progress: Progress
) -> tuple[Show, tuple[Path, ...]]:
    """Write deck, script, timeline and record of a talk into the folder `out`.

    Raises
    ------
    SlidekitError
        With everything the author can mend, before anything is written.
    """
    show = compose_show(storyboard, options, progress)
    files = write_show(show, out, options)
    trim_cache()
    return show, files


def compose_show(storyboard: Path, options: Options, progress: Progress) -> Show:
    """Everything of a talk but its files."""
    basis = read_basis(storyboard, options.style, options.language)
    slides = chosen_slides(basis.source, options.only)
    target_px = DRAFT_PX if options.draft else SLIDE_PX
    wanted = wanted_by(basis.source.board, slides, target_px)
    advance = progress(len(wanted.views(basis.source)) + len(slides))
    library = open_library(basis.source, wanted.scans(basis.source), verify=options.verify)
    sights = make_sights(basis.source, library, wanted, basis.style, advance)
    told, schedule = _tell(basis, slides, sights, advance)
    gone: tuple[Gone, ...] = ()
    if options.slot_min is not None:
        basis = _with_slot(basis, options.slot_min)
        told, schedule, gone = _tell_shorter(basis, slides, sights, schedule)
    ppi = DRAFT_PPI if options.draft else DECK_PPI
    sights = refined(sights, fineness_of([one.page for one in told], sights, ppi))
    told = tuple(replace(one, page=with_pictures(one.page, sights)) for one in told)
    schedule = with_hand_over(schedule, options.hand_over)
    return Show(basis, library, sights, told, schedule, gone)


def _tell(
    basis: Basis, slides: Mapping[int, OwnSlide], sights: Sights, advance: Advance
) -> tuple[tuple[Told, ...], Schedule]:
    slides, board = glossed_slides(slides, basis.source.board, basis.source.explained)
    stage = stage_for(board, tuple(slides.values()), sights, basis.style, basis.tallies)
    told = _compose_slides(basis.source, slides, stage, advance)
    return told, schedule_talk(told, board.talk, sights)


def _with_slot(basis: Basis, slot_min: float) -> Basis:
    board = basis.source.board
    talk = board.talk.model_copy(update={"slot_min": slot_min})
    source = replace(basis.source, board=board.model_copy(update={"talk": talk}))
    return replace(basis, source=source)


def _tell_shorter(
    basis: Basis, slides: Mapping[int, OwnSlide], sights: Sights, schedule: Schedule
) -> tuple[tuple[Told, ...], Schedule, tuple[Gone, ...]]:
    """The talk without what may go, so that it fits into the slot that `basis` names now."""
    source = basis.source
    most_s = (source.board.talk.slot_min - source.board.talk.questions_min) * 60
    aim_s = most_s
    while True:
        try:
            shorter = shorten(slides, schedule, aim_s, source.board)
        except FitError as error:
            fault = source.places.fault(("talk", "slot_min"), error.wrong, error.instead)
            raise StoryboardError([fault]) from None
        told, shortened = _tell(basis, shorter.slides, sights, lambda _: None)
        # what goes may have explained a word that is then explained later, at more length
        if shortened.seconds <= most_s:
            return told, shortened, shorter.gone
        aim_s -= shortened.seconds - most_s


def chosen_slides(source: Source, only: tuple[str, ...]) -> dict[int, OwnSlide]:
    """The slides by their place in the storyboard; all of them if `only` is empty."""
    slides = dict(enumerate(source.slides))
    known = [slide.id for slide in slides.values()]
    unknown = [name for name in only if name not in known]
    if unknown:
        raise StoryboardError(
            [
                source.places.fault(
                    ("slides",), f"there is no slide `{name}`", f"Choose among {', '.join(known)}"
                )
                for name in unknown
            ]
        )
    return {i: slide for i, slide in slides.items() if not only or slide.id in only}


def _compose_slides(
    source: Source, slides: Mapping[int, OwnSlide], stage: Stage, advance: Advance
) -> tuple[Told, ...]:
    told: list[Told] = []
    faults: list[Fault] = []
    number = 1
    for i, slide in slides.items():
        try:
            told.append(compose_slide(slide, number, stage))
            number += 1 + len(told[-1].more)
        except FitError as error:
            faults.append(source.places.fault(("slides", i), error.wrong, error.instead))
        advance(slide.id)
    if faults:
        raise StoryboardError(faults)
    return tuple(told)


def write_show(show: Show, out: Path, options: Options) -> tuple[Path, ...]:
    """The files of a talk, in the order in which they are named to the author."""
    board = show.basis.source.board
    deck, script, record = out / "deck.pptx", out / "script.md", out / "record.json"
    write_talk_deck(show, deck, options)
    write_script(board.talk, show.schedule, script, tuple(map(str, show.gone)))
    series = show.library.series
    told, tallies = show.told, show.basis.tallies
    slides = [one.slide for one in told]
    evidence = Evidence(board, show.sights, tallies)
    facts = {
        **talk_record(show.basis.inputs, show.sights, series, told, show.schedule),
        "left_out": [asdict(one) for one in show.gone],
        **findings_record(told_findings(slides, board), evidence),
        **board_record(board, tallies, series, slides),
    }
    write_record(facts, record)
    return (deck, script, *_write_timeline(show, out), record)


def write_talk_deck(show: Show, deck: Path, options: Options) -> None:
    """The deck alone."""
    talk = show.basis.source.board.talk
    pages = spread(show.pages) if options.steps == "slides" else show.pages
    facts = DeckFacts(
        talk.title, talk.speaker, talk.subtitle, tuple(map(phrase, KEYWORDS)), talk.language
    )
    write_deck(pages, deck, show.basis.style, facts, draft=options.draft)


def _write_timeline(show: Show, out: Path) -> tuple[Path, ...]:
    """The first timeline slide as SVG and PNG; nothing if the talk has none."""
    pages = [one.page for one in show.told if isinstance(one.slide, TimelineSlide)]
    if not pages:
        return ()
    svg, png = out / "timeline.svg", out / "timeline.png"
    write_svg(pages[0], svg)
    write_png(pages[0], png, PREVIEW_DPI)
    return svg, png
