"""What a slide rests on: everything that is defined by name and that it shows, says or prints."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, TypeAlias

from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.account import SHOWING_STAGES
from slidekit.storyboard.names.dates import DATED
from slidekit.storyboard.names.lookup import (
    ACCOUNT,
    AGREEMENTS,
    COMPARISONS,
    CONTRASTS,
    COUNTS,
    FINDINGS,
    PRINTED,
    QUESTIONS,
    QUOTED,
    REGIONS,
    SCANS,
    SHOWN,
    SOURCES,
    SPOKEN,
    STAGES,
    TABLES,
    VIEWS,
    VOLUMES,
    Definitions,
    Section,
    definitions,
)
from slidekit.storyboard.panels import Panel
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
from slidekit.storyboard.views import ShownView, View
from slidekit.storyboard.windows import AutomaticWindow, halves_of
from slidekit.storyboard.words import clicks, parse_words, placeholders

Need: TypeAlias = tuple[Section, str]
"""A section, and a name in it."""


def rests_on(
    slide: OwnSlide,
    theirs: Definitions,
    mine: Definitions,
) -> Iterator[Need]:
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


def _with_below(needs: Iterable[Need], theirs: Definitions) -> Iterator[Need]:
    """Those that are defined, and what they rest on in turn."""
    waiting = list(needs)
    seen: set[Need] = set()
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


def _sources_among(needs: Iterable[Need]) -> frozenset[str]:
    return frozenset(name for section, name in needs if section == SOURCES)


def _shown(slide: OwnSlide, theirs: Definitions) -> Iterator[Need]:
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


def _shown_on(shown: ShownView) -> Iterator[Need]:
    """What a view of a slide shows."""
    yield VIEWS, shown.view
    yield from ((REGIONS, name) for name in shown.regions)
    if shown.locator is not None:
        yield VIEWS, shown.locator
    if shown.contrast is not None:
        yield CONTRASTS, shown.contrast
    if shown.inset is not None and shown.inset.region is not None:
        yield REGIONS, shown.inset.region


def _printed(part: object) -> Iterator[Need]:
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


def _below(section: Section, part: Any) -> Iterator[Need]:
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


def _below_view(view: View) -> Iterator[Need]:
    yield SCANS, view.scan
    for _, window in halves_of(view.window):
        if isinstance(window, AutomaticWindow) and window.region:
            yield REGIONS, window.region
    if view.crop_around is not None:
        yield REGIONS, view.crop_around.region
