"""The words of a slide once everything in them is known: marks, letters, lengths, dates.

One place gives each of them, so that what is said, drawn and listed cannot differ.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from slidekit.errors import FitError
from slidekit.scene.dated import calendar_of
from slidekit.scene.measured import spoken_measure, spoken_volume
from slidekit.scene.pictures import Cast, PlacedRegion, PlacedVolume, Sights, letters_for
from slidekit.scene.series.rows import appearance
from slidekit.scene.style import Mark
from slidekit.storyboard.account import Stages
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.slides import CompareSlide, OwnSlide, ScanSlide, SeriesSlide
from slidekit.storyboard.tallies import Tallies
from slidekit.storyboard.views import ShownView
from slidekit.storyboard.words import Paragraph, clicks, parse_words, plain, speak

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
    return f"{mark.spoken} {SPOKEN_SHAPES[shape]}"


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

    def __call__(self, name: str, part: str) -> str:
        for numbers in (self.tallies, self.stages):
            if name in numbers:
                return numbers.say(name, part)
        if region := self.sights.regions.get(name):
            return self._region(region, part)
        if volume := self.sights.volumes.get(name):
            return self._volume(volume, part)
        if finding := self.board.findings.get(name):
            return finding.certainty
        if reading := self.sights.readings.get(name):
            return reading.say(part)
        return calendar_of(self.board).say(name, part)

    def __contains__(self, name: object) -> bool:
        """Whether it may stand in braces."""
        sights = self.sights
        known = (self.tallies, self.stages, sights.regions, sights.volumes, sights.readings)
        return any(name in one for one in (*known, calendar_of(self.board)))

    def say(self, name: str, part: str) -> str:
        """As in speech."""
        return self(name, part)

    def _region(self, region: PlacedRegion, part: str) -> str:
        match part:
            case "mark":
                return f"the {region.spoken}"
            case "letter":
                return self.cast.letters[region.name]
            case "" | "called":
                return region.called
        if region.measure is None:
            raise FitError(
                f"{{{region.name}.{part}}} cannot be measured: its view has no values, or no scale",
                "Draw the region on a view of a CT or MR scan",
            )
        return spoken_measure(region.measure, part, region.name)

    def _volume(self, volume: PlacedVolume, part: str) -> str:
        if part == "called":
            return volume.called
        return spoken_volume(volume.measure, part or "volume", volume.name)
