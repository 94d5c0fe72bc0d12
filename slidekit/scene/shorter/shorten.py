"""Slides and paragraphs chosen so that a talk fits into less time, and what goes for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from slidekit.errors import FitError
from slidekit.scene.clock.schedule import Schedule, Turn, clock
from slidekit.scene.shorter.options import options_of, shortened
from slidekit.scene.shorter.solve import Option, Options, choose, shortest
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.slides import OwnSlide
from slidekit.wording import phrase


@dataclass(frozen=True)
class Gone:
    """Something of the whole talk that the shorter one does not have."""

    slide: str  # its id
    title: str
    seconds: float
    begins: str  # the first words of a paragraph; "" if the whole slide goes

    def __str__(self) -> str:
        what = self.title
        if self.begins:
            what = phrase("from slide `{slide}`: “{words}…”", slide=self.slide, words=self.begins)
        return f"{what} ({clock(self.seconds)})"


@dataclass(frozen=True)
class Shorter:
    """The slides that stay, by their place in the storyboard, and what went."""

    slides: Mapping[int, OwnSlide]
    gone: tuple[Gone, ...]


def shorten(
    slides: Mapping[int, OwnSlide], schedule: Schedule, most_s: float, board: Storyboard
) -> Shorter:
    """The talk that takes at most `most_s` seconds and loses least: no word that should stay while
    enough may go, and then as few words as can be.

    Raises
    ------
    FitError
        If what must stay takes longer.
    """
    options = options_of(tuple(slides.values()), schedule.turns, board)
    chosen = choose(options, int(most_s * 1000))
    if chosen is None:
        raise FitError(
            f"{_least(tuple(slides.values()), options)}, and there is time for"
            f" {clock(max(most_s, 0))}",
            "Write `keep: should` or `keep: may` at slides that can go, or [should] or [may] at the"
            " head of paragraphs",
        )
    pairs = zip(slides.items(), chosen, schedule.turns, strict=True)
    kept: dict[int, OwnSlide] = {}
    gone: list[Gone] = []
    for (at, slide), option, turn in pairs:
        if option.kept and (shorter := shortened(slide, option.left_out, board)) is not None:
            kept[at] = shorter
        gone += _gone(option, turn)
    return Shorter(kept, tuple(gone))


def _least(slides: Sequence[OwnSlide], options: Sequence[Options]) -> str:
    """How long the talk is at its shortest, and which slides that may go hold it there."""
    chosen = shortest(options)
    loose = [
        f"`{slide.id}`"
        for slide, each, one in zip(slides, options, chosen, strict=True)
        if one.kept and not all(other.kept for other in each)
    ]
    leant_on = f", with what it rests on ({', '.join(loose)})," if loose else ""
    least_s = sum(one.ms for one in chosen) / 1000
    return f"what must stay{leant_on} takes at least {clock(least_s)}"


def _gone(option: Option, turn: Turn) -> list[Gone]:
    if not option.kept:
        return [Gone(turn.slide, turn.title, turn.seconds, "")]
    return [
        Gone(turn.slide, turn.title, turn.passages[i].seconds, turn.passages[i].begins)
        for i in sorted(option.left_out)
    ]
