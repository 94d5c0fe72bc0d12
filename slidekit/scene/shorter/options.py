"""In which ways each slide can be given when there is less time, and what each way would cost."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, combinations

from slidekit.scene.clock.schedule import Passage, Turn
from slidekit.scene.shorter.solve import Loss, Option, Options
from slidekit.storyboard.account import Stages
from slidekit.storyboard.keeping import Keep
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.lookup import definitions
from slidekit.storyboard.showing import shown_by
from slidekit.storyboard.slides import (
    CompareSlide,
    FindingsSlide,
    NoticeSlide,
    OwnSlide,
    ScanSlide,
    SeriesSlide,
)
from slidekit.storyboard.views import ShownView
from slidekit.storyboard.words import mentioned, parse_words, references, without_paragraphs

MOST_PARAGRAPHS = 10
"""Of one slide may be judged singly; of more, the shortest stay or go with the slide."""


def options_of(
    slides: Sequence[OwnSlide], turns: Sequence[Turn], board: Storyboard
) -> tuple[Options, ...]:
    """For each slide: whole first, then without paragraphs, then without the slide."""
    shown: set[str] = set()  # what an earlier slide of the whole talk offers
    found: list[Options] = []
    for slide, turn in zip(slides, turns, strict=True):
        leans_on = frozenset(_leans_on(slide, board) & shown)
        found.append(tuple(_options(slide, turn, leans_on, board)))
        shown |= found[-1][0].offers
    return tuple(found)


def shortened(slide: OwnSlide, left_out: frozenset[int], board: Storyboard) -> OwnSlide | None:
    """The slide without some paragraphs, and without what only they spoke of; None if something
    would be left on it that nobody speaks of."""
    if not left_out:
        return slide
    say = without_paragraphs(slide.say, left_out)
    unsaid = _mentioned(slide.say, board) - _mentioned(say, board)
    shorter = slide.model_copy(update={"say": say})
    if isinstance(shorter, ScanSlide):
        if any(_held(view) & unsaid for view in shorter.views):
            return None
        views = tuple(_without(view, unsaid) for view in shorter.views)
        return shorter.model_copy(update={"views": views})
    if isinstance(shorter, SeriesSlide):
        counts = tuple(name for name in shorter.counts if name not in unsaid)
        return shorter.model_copy(update={"counts": counts}) if counts else None
    if isinstance(shorter, CompareSlide):
        every = Stages(board.account).chosen(shorter.stages)
        stages = tuple(name for name in every if name not in unsaid)
        return shorter.model_copy(update={"stages": stages}) if stages else None
    return shorter


def _options(
    slide: OwnSlide, turn: Turn, leans_on: frozenset[str], board: Storyboard
) -> Iterator[Option]:
    defined = definitions(board)
    ranks = [_weaker(slide.keep, passage.keep) for passage in turn.passages]
    spoken_s = sum(passage.seconds for passage in turn.passages)
    for left_out in _subsets(turn.passages):
        shorter = shortened(slide, left_out, board)
        if shorter is None:
            continue
        gone_s = sum(turn.passages[i].seconds for i in left_out)
        # a moving picture may keep the slide longer than its words do
        seconds = spoken_s - gone_s if turn.seconds == spoken_s else turn.seconds
        loss = _loss((ranks[i], turn.passages[i].words) for i in left_out)
        offers = frozenset(shown_by(shorter, defined)) | {_as_slide(slide.id)}
        referred = _referred(shorter)
        needs = leans_on | referred["earlier"]
        yield Option(True, left_out, _ms(seconds), loss, offers, needs, referred["later"])
    if slide.keep != "must" and not isinstance(slide, NoticeSlide):
        words = [passage.words for passage in turn.passages]
        loss = _loss([*zip(ranks, words, strict=True), (slide.keep, 1)])
        every = frozenset(range(len(turn.passages)))
        yield Option(False, every, 0, loss, frozenset(), frozenset())


def _leans_on(slide: OwnSlide, board: Storyboard) -> set[str]:
    """What the slide says something about, or refers back to."""
    names = {_as_slide(one) for one in slide.needs}
    if isinstance(slide, FindingsSlide):
        names |= {one for name in slide.findings for one in board.findings[name].rests_on}
    if isinstance(slide, CompareSlide):
        stages = Stages(board.account)
        for name in stages.chosen(slide.stages):
            names |= set(stages.known[name].rests_on)
    return names


def _referred(slide: OwnSlide) -> dict[str, frozenset[str]]:
    """The slides of this talk to which the words refer, earlier and later ones."""
    found = [one for one in references(parse_words(slide.say)) if not one.talk]
    return {
        when: frozenset(_as_slide(one.slide) for one in found if one.when == when)
        for when in ("earlier", "later")
    }


def _as_slide(name: str) -> str:
    return f"slide {name}"  # no region or count can be called so


def _subsets(passages: Sequence[Passage]) -> Iterator[frozenset[int]]:
    """Sets of paragraphs that can go while something is still said."""
    loose = [i for i, passage in enumerate(passages) if passage.keep != "must"]
    loose = sorted(sorted(loose, key=lambda i: -passages[i].seconds)[:MOST_PARAGRAPHS])
    sizes = range(len(loose) + 1)
    for chosen in chain.from_iterable(combinations(loose, size) for size in sizes):
        if not chosen or len(chosen) < len(passages):
            yield frozenset(chosen)


def _weaker(one: Keep, other: Keep) -> Keep:
    order: tuple[Keep, ...] = ("may", "should", "must")
    return min(one, other, key=order.index)


def _loss(gone: Iterable[tuple[Keep, int]]) -> Loss:
    total = Loss(0, 0)
    for keep, words in gone:
        total = total.plus(Loss(0, words) if keep == "may" else Loss(words, 0))
    return total


def _ms(seconds: float) -> int:
    return round(seconds * 1000)


def _mentioned(say: str, board: Storyboard) -> set[str]:
    """Names that the words bring up, and those of counts that they compare."""
    names = mentioned(parse_words(say))
    compared = [board.comparisons[name].counts for name in names if name in board.comparisons]
    return names.union(*compared)


def _held(view: ShownView) -> set[str]:
    """Regions that stand in something beside the picture."""
    inset = view.inset.region if view.inset else None
    return {*view.table, *view.values, *filter(None, (view.profile, inset))}


def _without(view: ShownView, names: set[str]) -> ShownView:
    kept = tuple(name for name in view.regions if name not in names)
    return view.model_copy(update={"regions": kept})
