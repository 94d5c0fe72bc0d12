"""One storyboard slide to one page."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias, assert_never, get_args

from slidekit.errors import FitError
from slidekit.scene.account.compare import compose_compare
from slidekit.scene.account.entries import Spot, entries_of
from slidekit.scene.account.stage_row import compose_stage_row
from slidekit.scene.credits_slide import compose_credits, credits_of
from slidekit.scene.dated import calendar_of, count_periods
from slidekit.scene.exhibits import exhibits_of
from slidekit.scene.findings_slide import Grounds, compose_findings
from slidekit.scene.frame import Heading, compose_page, compose_title, content_below
from slidekit.scene.glossary import compose_glossary, glossary_entries
from slidekit.scene.materials import compose_materials
from slidekit.scene.mirroring import mirrored_for_language
from slidekit.scene.model import Box, Item, Layout, Page, Text
from slidekit.scene.scan_slide import compose_exhibits
from slidekit.scene.series import compose_series
from slidekit.scene.sights.model import Sights, letters_for
from slidekit.scene.speech import Resolver, Speech, compose_speech
from slidekit.scene.style import Style
from slidekit.scene.text_slides import (
    compose_notice,
    compose_points,
    compose_quote,
    compose_title_slide,
)
from slidekit.scene.timeline import Wish, compose_timeline
from slidekit.storyboard.account import Stages
from slidekit.storyboard.findings import grounds_of
from slidekit.storyboard.glossing import first_uses
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.lookup import definitions
from slidekit.storyboard.printed import with_numbers
from slidekit.storyboard.showing import shown_by
from slidekit.storyboard.slides import (
    CompareSlide,
    CreditsSlide,
    FindingsSlide,
    GlossarySlide,
    MaterialsSlide,
    NoticeSlide,
    OwnSlide,
    QuoteSlide,
    ScanSlide,
    SeriesSlide,
    TextSlide,
    TimelineSlide,
    TitleSlide,
)
from slidekit.storyboard.tallies import Tallies

LAYOUTS: dict[str, Layout] = {
    "title": "title",
    "text": "text",
    "quote": "title_only",
    "scan": "pictures",
    "timeline": "title_only",
    "series": "title_only",
    "materials": "title_only",
    "findings": "title_only",
    "compare": "title_only",
    "glossary": "title_only",
    "credits": "title_only",
    "notice": "text",
}
"""Slide kind: the deck layout whose placeholders it fills."""


WordSlide: TypeAlias = TextSlide | QuoteSlide | NoticeSlide | FindingsSlide | GlossarySlide
OF_WORDS = (*get_args(WordSlide), TitleSlide)
"""Kinds that are made of words alone."""


@dataclass(frozen=True)
class Told:
    """A slide as it is drawn and as it is spoken."""

    slide: OwnSlide
    page: Page
    speech: Speech
    more: tuple[Page, ...] = ()
    """Pages on which it goes on; nothing is said there that was not said before."""
    summary: str = ""  # with its numbers


@dataclass(frozen=True)
class Stage:
    """What every composer may look at: the storyboard, its pictures, the look, and where each
    piece of evidence is first shown and each term first met (number and id of the slide)."""

    board: Storyboard
    sights: Sights
    style: Style
    shown_on: Mapping[str, tuple[int, str]]
    tallies: Tallies = field(default_factory=Tallies)
    letters: Mapping[str, str] = field(default_factory=dict)
    """Region: its letter on the slide that first shows it."""
    met_on: Mapping[str, tuple[int, str]] = field(default_factory=dict)

    @property
    def spots(self) -> Mapping[str, Spot]:
        """Where each piece of evidence is first shown, with its letter there."""
        letters = self.letters
        return {name: Spot(*at, letters.get(name, "")) for name, at in self.shown_on.items()}


_OnePage: TypeAlias = (
    WordSlide | TitleSlide | ScanSlide | TimelineSlide | SeriesSlide | MaterialsSlide | CompareSlide
)
_NO_NUMBERS = Tallies()


def stage_for(
    board: Storyboard,
    slides: Sequence[OwnSlide],
    sights: Sights,
    style: Style,
    tallies: Tallies = _NO_NUMBERS,
) -> Stage:
    """The stage for a deck of `slides`."""
    shown_on: dict[str, tuple[int, str]] = {}
    letters: dict[str, str] = {}
    defined = definitions(board)
    number = 1
    for slide in slides:
        for name in shown_by(slide, defined):
            shown_on.setdefault(name, (number, slide.id))
        if isinstance(slide, ScanSlide):
            letters = {**letters_for(slide.views), **letters}
        number += _page_count(slide, board, style, tallies)
    met_on = first_uses(slides, board)
    return Stage(board, sights, style, shown_on, tallies, letters, met_on)


def _page_count(slide: OwnSlide, board: Storyboard, style: Style, tallies: Tallies) -> int:
    if not isinstance(slide, CreditsSlide):
        return 1
    lists = credits_of(slide, board, tallies.citations)
    try:
        return len(compose_credits(slide.title, lists, style))
    except FitError:  # told when the slide itself is composed, with its place in the storyboard
        return 1


def compose_slide(slide: OwnSlide, number: int, stage: Stage) -> Told:
    """The page of `slide`; FitError or ScanError if it cannot be laid out."""
    board, style = stage.board, stage.style
    speech = compose_speech(slide, board, stage.sights, stage.tallies)
    resolver = Resolver(board, stage.sights, speech.cast, stage.tallies)
    printed = with_numbers(slide, resolver)
    heading = Heading(
        slide.id,
        printed.title or board.talk.title,
        printed.section,
        _credits(slide, stage),
        board.talk.language,
    )
    if isinstance(printed, CreditsSlide):
        page, *more = _pages_of_credits(printed, heading, number, stage)
        return Told(slide, page, speech, tuple(more), printed.summary)
    items = _items(printed, heading.title, (speech, resolver), stage)
    page = compose_page(heading, LAYOUTS[slide.kind], tuple(items), number, style)
    page = mirrored_for_language(page, words_only=isinstance(printed, OF_WORDS))
    return Told(slide, page, speech, summary=printed.summary)


def _pages_of_credits(
    slide: CreditsSlide, heading: Heading, number: int, stage: Stage
) -> Iterator[Page]:
    """The first page has the slide's id and section; the others follow it."""
    lists = credits_of(slide, stage.board, stage.tallies.citations)
    for i, (title, items) in enumerate(compose_credits(heading.title, lists, stage.style)):
        here = replace(heading, title=title)
        if i:
            here = replace(here, id=f"{heading.id}.{i + 1}", section="")  # no id has a full stop
        page = compose_page(here, LAYOUTS[slide.kind], tuple(items), number + i, stage.style)
        yield mirrored_for_language(page, words_only=True)


def _items(slide: _OnePage, title: str, words: tuple[Speech, Resolver], stage: Stage) -> list[Item]:
    """`slide` with its printed words filled in."""
    board, style = stage.board, stage.style
    speech, resolver = words
    if isinstance(slide, TitleSlide):
        sight = stage.sights.views[slide.view] if slide.view else None
        return compose_title_slide(title, board.talk, sight, style)
    head = compose_title(title, style)
    items: Sequence[Item]
    match slide:
        case TimelineSlide() | SeriesSlide() | MaterialsSlide():
            items = _chart(slide, content_below(head), speech.cast.steps, stage)
        case ScanSlide():
            exhibits = exhibits_of(slide.views, stage.sights, same_scale=slide.same_scale)
            row, room = _stage_row(slide, head, resolver.stages, style)
            items = (*row, *compose_exhibits(exhibits, room, speech.cast, style))
        case CompareSlide():
            items = _compare(head, slide, words, stage)
        case _:
            items = _of_words(slide, head, resolver, stage)
    return [head, *items]


def _of_words(slide: WordSlide, head: Text, resolver: Resolver, stage: Stage) -> Sequence[Item]:
    board, style = stage.board, stage.style
    match slide:
        case TextSlide():
            return compose_points(head, slide, style)
        case QuoteSlide():
            return compose_quote(head, slide, style)
        case NoticeSlide():
            remains = any(scan.human_remains for scan in board.scans.values())
            return compose_notice(head, slide, style, human_remains=remains)
        case FindingsSlide(findings=names):
            findings = {name: with_numbers(board.findings[name], resolver) for name in names}
            grounds = {name: _grounds(name, slide.id, stage) for name in names}
            return compose_findings(head, findings, grounds, style)
        case GlossarySlide(terms=names):
            entries = glossary_entries(names, board, stage.met_on)
            return compose_glossary(content_below(head), entries, style)
        case _:
            assert_never(slide)


def _stage_row(
    slide: ScanSlide, head: Text, stages: Stages, style: Style
) -> tuple[tuple[Item, ...], Box]:
    """The row of stages below the title, if the slide has one, and the room that is left."""
    room = content_below(head)
    if slide.stage is None:
        return (), room
    row, below = compose_stage_row(stages, slide.stage, room, style)
    return (row,), below


def _compare(
    head: Text, slide: CompareSlide, words: tuple[Speech, Resolver], stage: Stage
) -> tuple[Item, ...]:
    speech, resolver = words
    account = stage.board.account
    if account is None:
        raise FitError("there is no account", "Add an `account` section to the storyboard")
    names = resolver.stages.chosen(slide.stages)
    entries = entries_of(names, stage.spots, resolver, speech.cast.steps)
    told = with_numbers(account, resolver)
    return compose_compare(told, entries, content_below(head), stage.style)


def _grounds(finding: str, slide: str, stage: Stage) -> Grounds:
    """What a finding rests on: the slides of this deck that first show it, in order, and what this
    slide alone names, the sources."""
    names = tuple(grounds_of(finding, stage.board.findings))
    pages = sorted({stage.shown_on[name] for name in names if name in stage.shown_on})
    citations = stage.tallies.citations
    cited = (citations.say(name, "cite") for name in names if name in citations)
    return Grounds([page for page in pages if page[1] != slide], "; ".join(dict.fromkeys(cited)))


def _chart(
    slide: TimelineSlide | SeriesSlide | MaterialsSlide,
    room: Box,
    steps: Mapping[str, int],
    stage: Stage,
) -> Sequence[Item]:
    """What is drawn from the evidence itself."""
    match slide:
        case SeriesSlide():
            return compose_series(slide, room, stage.tallies, steps, stage.style)
        case MaterialsSlide():
            return compose_materials(stage.sights.questions[slide.question], room, stage.style)
    if stage.board.chronology is None:
        raise FitError("there is no chronology", "Add a `chronology` section to the storyboard")
    calendar = calendar_of(stage.board)
    counted = count_periods(slide.tally, stage.board, stage.tallies) if slide.tally else None
    wish = Wish(slide.highlight, slide.zoom, counted, calendar.manner)
    return compose_timeline(calendar.chronology, wish, room, stage.style)


def _credits(slide: OwnSlide, stage: Stage) -> tuple[str, ...]:
    """The credit lines of all scans on the slide, each once."""
    names: list[str] = []
    if isinstance(slide, ScanSlide):
        names = [view.view for view in slide.views]
        names += [view.locator for view in slide.views if view.locator is not None]
    if isinstance(slide, TitleSlide) and slide.view:
        names = [slide.view]
    if isinstance(slide, MaterialsSlide):
        names = [stage.board.regions[stage.sights.questions[slide.question].region].view]
    return tuple(dict.fromkeys(stage.sights.views[name].credit for name in names))
