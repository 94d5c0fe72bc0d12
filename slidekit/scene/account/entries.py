"""What is said of each stage, before anything is drawn."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from slidekit.scene.model import Paragraph, Run
from slidekit.scene.series.rows import Row, row_of
from slidekit.scene.speech import Resolver
from slidekit.scene.text import as_written
from slidekit.storyboard.account import Account, Stage
from slidekit.storyboard.printed import with_numbers
from slidekit.wording import labelled, phrase


@dataclass(frozen=True)
class Spot:
    """A slide that shows something, and under which letter; "" for what has none."""

    number: int
    page_id: str
    letter: str = ""


@dataclass(frozen=True)
class Entry:
    """One stage: what the account says, what this case shows, where it is shown, how often."""

    name: str
    number: int
    stage: Stage
    spots: tuple[Spot, ...]
    row: Row | None
    step: int

    @property
    def called(self) -> str:
        return f"{self.number}\N{EN SPACE}{self.stage.called}"

    def links(self, color: str) -> tuple[Paragraph, ...]:
        """ "9 (A, B), 11": numbers that lead to the slides, and the letters there."""
        if not self.spots:
            return as_written(phrase("left out here")) if self.stage.by else ()
        runs: list[Run] = []
        for i, (spot, letters) in enumerate(self._by_slide().items()):
            runs += [Run(", ")] if i else []
            # letters stay with their number at the end of a line
            lettered = ",\N{NO-BREAK SPACE}".join(letters)
            words = f"{spot.number}\N{NO-BREAK SPACE}({lettered})" if letters else str(spot.number)
            runs.append(Run(words, color=color, link=spot.page_id))
        return (Paragraph(tuple(runs)),)

    def _by_slide(self) -> dict[Spot, list[str]]:
        slides: dict[Spot, list[str]] = {}
        for spot in sorted(self.spots, key=lambda spot: (spot.number, spot.letter)):
            letters = slides.setdefault(Spot(spot.number, spot.page_id), [])
            letters += [spot.letter] if spot.letter else []
        return slides

    @property
    def alt(self) -> str:
        """The stage for those who cannot see its row."""
        stage = self.stage
        parts = [labelled(f"{self.number}, {stage.called}", stage.about)]
        parts.append(phrase("this case: {answer}", answer=stage.answer))
        parts += [stage.note] if stage.note else []
        if links := self.links(""):
            parts.append(phrase("on slide: {slides}", slides=links[0].plain))
        parts += [phrase("series: {share}", share=self.row.alt)] if self.row is not None else []
        return "; ".join(parts)


def account_in_words(account: Account) -> str:
    """Where the account is written, as small print."""
    return phrase("Account: {source}.", source=account.source.rstrip("."))


def entries_of(
    names: Iterable[str], spots: Mapping[str, Spot], resolver: Resolver, steps: Mapping[str, int]
) -> tuple[Entry, ...]:
    """An entry for each stage in `names`, its words filled in.

    `spots`: where each piece of evidence is first shown; `steps`: the click that brings a stage on.
    """
    return tuple(
        Entry(
            name,
            resolver.stages.position(name),
            with_numbers(stage, resolver),
            tuple(spots[one] for one in stage.rests_on if one in spots),
            row_of(stage.series, resolver.tallies) if stage.series is not None else None,
            steps.get(name, 0),
        )
        for name in names
        for stage in (resolver.stages.known[name],)
    )
