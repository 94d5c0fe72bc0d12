"""Which of many things to leave out, so that the rest fits and the least is lost.

Each slide has several options, of which one is taken: whole, without some paragraphs, or gone. That
is a knapsack problem with multiple choices; what slides need of each other is held by branching on
what is broken. The result is exact.
"""

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
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
        broken = _first_broken_need(best)
        if broken is None:
            return best
        candidates = _ways_to_mend(options, *broken)


def _loss_of(chosen: Sequence[Option]) -> Loss:
    total = Loss(0, 0)
    for option in chosen:
        total = total.plus(option.loss)
    return total


def _first_broken_need(chosen: Sequence[Option]) -> tuple[int, str] | None:
    """The position of the first slide that needs what no earlier one offers, and what that is."""
    offered: set[str] = set()
    for at, option in enumerate(chosen):
        for name in sorted(option.needs - offered):
            return at, name
        offered |= option.offers
    return None


def _ways_to_mend(slides: tuple[Options, ...], at: int, name: str) -> Iterator[tuple[Options, ...]]:
    """The same slides with fewer options, such that slide `at` has `name` or does not need it. No
    choice is in two of them."""
    for earlier in range(at):
        offering = tuple(option for option in slides[earlier] if name in option.offers)
        if offering:
            yield (*slides[:earlier], offering, *slides[earlier + 1 :])
            others = tuple(option for option in slides[earlier] if name not in option.offers)
            slides = (*slides[:earlier], others, *slides[earlier + 1 :])
    free = tuple(option for option in slides[at] if name not in option.needs)
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
