"""A composed talk as the rules of `check` see it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from slidekit.scans.model import Series
from slidekit.scene.clock.schedule import Schedule
from slidekit.scene.compose import Told
from slidekit.scene.sights.model import Sights
from slidekit.scene.style import Style
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.source import Source
from slidekit.storyboard.tallies import Tallies
from slidekit.storyboard.words import Click, Paragraph, Placeholder


@dataclass(frozen=True)
class Heard:
    """A composed talk: what was written, what is seen and what is said."""

    source: Source
    style: Style
    series: Mapping[str, Series]  # of the scans that slides show
    sights: Sights
    told: tuple[Told, ...]
    schedule: Schedule
    tallies: Tallies = field(default_factory=Tallies)
    deck: Path | None = None  # the finished deck, once it is written
    idle_waivers: tuple[int, ...] = ()  # places in `waive` of those that met nothing

    @property
    def is_english(self) -> bool:
        """Whether rules that know English words may read the talk."""
        return self.source.board.talk.language.partition("-")[0].lower() == "en"

    @property
    def slides(self) -> Iterator[tuple[FieldPath, Told]]:
        """Each composed slide with its place in the storyboard."""
        at = {slide.id: i for i, slide in enumerate(self.source.slides)}
        for told in self.told:
            yield ("slides", at[told.slide.id]), told


def mentions(paragraphs: tuple[Paragraph, ...]) -> Iterator[tuple[str, str]]:
    """Names in the order in which the words bring them up, with "show" or their part."""
    for paragraph in paragraphs:
        for token in paragraph.tokens:
            if isinstance(token, Click):
                yield from ((name, "show") for name in token.names)
            elif isinstance(token, Placeholder):
                yield token.name, token.part
