"""Which of many things to leave out, so that the rest fits and the least is lost.

Each slide has several options, of which one is taken: whole, without some paragraphs, or gone. That
is a knapsack problem with multiple choices; what slides need of each other is held by branching on
what is broken. The result is exact.
"""

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count
from typing import NamedTuple, TypeAlias


class Loss(NamedTuple):
    """Words that go: those that should stay weigh more than any number of those that may go."""

    should: int
    may: int

    def plus(self, other: "Loss") -> "Loss":
        return Loss(self.should + other.should, self.may + other.may)


@dataclass(frozen=True)
class Option:
    """One way to give a slide. `kept` is False if it goes altogether."""

    kept: bool
    left_out: frozenset[int]  # paragraphs, from 0
    ms: int
    loss: Loss
    offers: frozenset[str]  # what later slides can build on
    needs: frozenset[str]  # what earlier slides must offer
    awaits: frozenset[str] = frozenset()  # what any slide must offer


Options: TypeAlias = tuple[Option, ...]


def choose(slides: Sequence[Options], most_ms: int) -> tuple[Option, ...] | None:
    """One option for each slide, in order: together at most `most_ms` long, each need met by an
    earlier slide, and the least lost. None if there is no such choice."""
    ticket = count()  # of two equal losses the one found first
    heap: list[tuple[Loss, int, tuple[Option, ...], tuple[Options, ...]]] = []
    candidates: Iterator[tuple[Options, ...]] = iter([tuple(slides)])
    while True:
        for options in candidates:
            if (best := _cheapest(options, most_ms)) is not None:
                heapq.heappush(heap, (_loss_of(best), next(ticket), best, options))
        if not heap:
            return None
        _, _, best, options = heapq.heappop(heap)
        broken = _first_broken(best)
        if broken is None:
            return best
        candidates = _ways_to_mend(options, broken)


def shortest(slides: Sequence[Options]) -> tuple[Option, ...]:
    """The options that take the least time together, with each need met by an earlier slide."""
    timed = [tuple(replace(one, loss=Loss(one.ms, 0)) for one in each) for each in slides]
    most_ms = sum(max(one.ms for one in each) for each in slides)
    chosen = choose(timed, most_ms)
    if chosen is None:
        raise ValueError("not even the whole talk has all that its slides need")
    return chosen


def _loss_of(chosen: Sequence[Option]) -> Loss:
    total = Loss(0, 0)
    for option in chosen:
        total = total.plus(option.loss)
    return total


@dataclass(frozen=True)
class _Broken:
    """A slide that lacks something, and the slides that could offer it."""

    at: int
    name: str
    helpers: range

    def lacks(self, option: Option) -> bool:
        """Whether an option of the slide lacks the same."""
        awaited = self.at < len(self.helpers)
        return self.name in (option.awaits if awaited else option.needs)


def _first_broken(chosen: Sequence[Option]) -> _Broken | None:
    """What is lacking first: something that no earlier slide offers, or that none does."""
    offered: set[str] = set()
    everything = {name for option in chosen for name in option.offers}
    for at, option in enumerate(chosen):
        for name in sorted(option.needs - offered):
            return _Broken(at, name, range(at))
        for name in sorted(option.awaits - everything):
            return _Broken(at, name, range(len(chosen)))
        offered |= option.offers
    return None


def _ways_to_mend(slides: tuple[Options, ...], broken: _Broken) -> Iterator[tuple[Options, ...]]:
    """The same slides with fewer options, such that what is lacking is there or not lacked. No
    choice is in two of them."""
    at, name = broken.at, broken.name
    for helper in broken.helpers:
        offering = tuple(option for option in slides[helper] if name in option.offers)
        if offering:
            yield (*slides[:helper], offering, *slides[helper + 1 :])
            others = tuple(option for option in slides[helper] if name not in option.offers)
            slides = (*slides[:helper], others, *slides[helper + 1 :])
    free = tuple(option for option in slides[at] if not broken.lacks(option))
    yield (*slides[:at], free, *slides[at + 1 :])


class _Partial(NamedTuple):
    """The first slides, decided. Sorted by time, the loss falls."""

    ms: int
    loss: Loss
    last: Option | None
    before: "_Partial | None"


def _cheapest(slides: Sequence[Options], most_ms: int) -> tuple[Option, ...] | None:
    """As `choose`, whatever the slides need of each other."""
    front = [_Partial(0, Loss(0, 0), None, None)]
    for options in slides:
        grown = (
            _Partial(one.ms + option.ms, one.loss.plus(option.loss), option, one)
            for one in front
            for option in options
            if one.ms + option.ms <= most_ms
        )
        front = _undominated(sorted(grown, key=lambda one: (one.ms, one.loss)))
    if not front:
        return None
    chosen: list[Option] = []
    partial: _Partial | None = front[-1]
    while partial is not None and partial.last is not None:
        chosen.append(partial.last)
        partial = partial.before
    return tuple(reversed(chosen))


def _undominated(ordered: list[_Partial]) -> list[_Partial]:
    """Those that lose less than every shorter one."""
    front: list[_Partial] = []
    for one in ordered:
        if not front or one.loss < front[-1].loss:
            front.append(one)
    return front
