"""The words of a slide once everything in them is known: marks, letters, lengths, dates.

One place gives each of them, so that what is said, drawn and listed cannot differ.
"""

from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

from slidekit.errors import FitError
from slidekit.evidence.certainty import certainty_in_words
from slidekit.scene.dated import calendar_of
from slidekit.scene.measured import spoken_measure, spoken_volume
from slidekit.scene.series.rows import appearance
from slidekit.scene.sights.model import Cast, Sights, letters_for
from slidekit.scene.style import Mark
from slidekit.storyboard.account import Stages
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.slides import CompareSlide, OwnSlide, ScanSlide, SeriesSlide
from slidekit.storyboard.tallies import Tallies
from slidekit.storyboard.views import ShownView
from slidekit.storyboard.words import Paragraph, clicks, parse_words, plain, speak
from slidekit.wording import phrase

SPOKEN_SHAPES = {
    "ellipse": "ellipse",
    "rectangle": "rectangle",
    "polygon": "outline",
    "arrow": "arrow",
    "line": "line",
    "angle": "angle",
    "point": "cross",
}
"""What a region's shape is called aloud."""


_NO_NUMBERS = Tallies()


@dataclass(frozen=True)
class Speech:
    """What is said on one slide, and what its clicks bring on."""

    paragraphs: tuple[Paragraph, ...]  # words and clicks only
    cast: Cast
    rows: Mapping[str, str] = field(default_factory=dict)
    """Counts and stages that come on at a click, as the script names them."""

    @property
    def text(self) -> str:
        return plain(self.paragraphs)


def spoken_mark(mark: Mark, shape: str) -> str:
    """How a mark is called aloud: "orange ellipse"."""
    return phrase(f"{mark.spoken} {SPOKEN_SHAPES[shape]}")


def spoken_mark_itself(mark: Mark, shape: str) -> str:
    """With its article: "the orange ellipse"."""
    return phrase(f"the {mark.spoken} {SPOKEN_SHAPES[shape]}")


def compose_speech(
    slide: OwnSlide, board: Storyboard, sights: Sights, tallies: Tallies = _NO_NUMBERS
) -> Speech:
    """Words and cast of `slide`; every name in it is known to exist."""
    shown = slide.views if isinstance(slide, ScanSlide) else ()
    paragraphs = parse_words(slide.say)
    cast = cast_of(shown, clicks(paragraphs))
    resolver = Resolver(board, sights, cast, tallies)
    rows: dict[str, str] = {}
    if isinstance(slide, SeriesSlide):
        rows = {name: appearance(name, tallies) for name in slide.counts}
    if isinstance(slide, CompareSlide):
        stages = Stages(board.account)
        rows = {name: stages.in_words(name) for name in stages.chosen(slide.stages)}
    return Speech(speak(paragraphs, resolver), cast, rows)


def cast_of(shown: Sequence[ShownView], cues: Sequence[Sequence[str]] = ()) -> Cast:
    """Letters in the order the author lists the regions; steps by the click that shows them."""
    steps: dict[str, int] = {}
    for click, names in enumerate(cues, start=1):
        for name in names:
            steps.setdefault(name, click)
    return Cast(letters_for(shown), steps)


_Kind: TypeAlias = tuple[Container[object], Callable[[str, str], str]]
"""Names of one kind, and what says a part of one."""


@dataclass(frozen=True)
class Resolver:
    """What a placeholder says. FitError if a number is asked for that cannot be given."""

    board: Storyboard
    sights: Sights
    cast: Cast
    tallies: Tallies

    @property
    def stages(self) -> Stages:
        return Stages(self.board.account)

    @property
    def _printed(self) -> tuple[_Kind, ...]:
        """What may stand in braces in print and in speech."""
        calendar = calendar_of(self.board)
        return (
            (self.tallies, self._counted),
            (self.stages, self.stages.say),
            (self.sights.regions, self._region),
            (self.sights.volumes, self._volume),
            (self.sights.readings, self._reading),
            (self.board.glossary, self._term),
            (calendar, calendar.say),
        )

    def __call__(self, name: str, part: str) -> str:
        if name in self.board.findings:
            return certainty_in_words(self.board.findings[name].certainty)
        say = next((say for known, say in self._printed if name in known), None)
        if say is None:
            raise KeyError(name)
        return say(name, part)

    def __contains__(self, name: object) -> bool:
        """Whether it may stand in braces in print, where findings do not."""
        return any(name in known for known, _ in self._printed)

    def say(self, name: str, part: str) -> str:
        """As in speech, but for sources: their pages are for readers."""
        return self.tallies.say(name, part) if name in self.tallies else self(name, part)

    def _counted(self, name: str, part: str) -> str:
        return self.tallies.say(name, part, aloud=True)

    def _region(self, name: str, part: str) -> str:
        region = self.sights.regions[name]
        match part:
            case "mark":
                return region.spoken_itself
            case "letter":
                return self.cast.letters[name]
            case "" | "called":
                return region.called
        if region.measure is None:
            raise FitError(
                f"{{{region.name}.{part}}} cannot be measured: its view has no values, or no scale",
                "Draw the region on a view of a CT or MR scan",
            )
        return spoken_measure(region.measure, part, region.name)

    def _volume(self, name: str, part: str) -> str:
        volume = self.sights.volumes[name]
        if part == "called":
            return volume.called
        return spoken_volume(volume.measure, part or "volume", name)

    def _reading(self, name: str, part: str) -> str:
        return self.sights.readings[name].say(part)

    def _term(self, name: str, part: str) -> str:
        term = self.board.glossary[name]
        return term.plain.any_words if part == "plain" else term.form(part) or term.term
