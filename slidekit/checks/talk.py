"""Rules that read a composed talk: what the audience would notice before the speaker does.

A remark is not a fault: the talk builds, but somebody should look again.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias

from slidekit.checks.typed_numbers import find_mistold
from slidekit.scans.measures import AreaMeasure, Caution
from slidekit.scans.model import Series
from slidekit.scene.compose import Told
from slidekit.scene.pictures import Sights
from slidekit.scene.schedule import Schedule, clock
from slidekit.storyboard.findings import Finding
from slidekit.storyboard.measured import VALUE_PARTS
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.printed import printed_in
from slidekit.storyboard.slides import (
    CreditsSlide,
    FindingsSlide,
    OwnSlide,
    ScanSlide,
    SeriesSlide,
)
from slidekit.storyboard.source import Source
from slidekit.storyboard.tallies import Tallies
from slidekit.storyboard.words import Click, Paragraph, Placeholder, parse_words

LONGEST_STILL_S = 120.0
"""A slide that does not change for longer loses the audience (common practice)."""


@dataclass(frozen=True)
class Remark:
    """One thing to look at again, and the rule that says so."""

    file: Path
    line: int  # 1-based
    rule: str
    text: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.rule}: {self.text}"


@dataclass(frozen=True)
class Heard:
    """A composed talk, as the rules see it."""

    source: Source
    series: Mapping[str, Series]
    told: tuple[Told, ...]
    schedule: Schedule
    tallies: Tallies = field(default_factory=Tallies)
    sights: Sights = field(default_factory=lambda: Sights({}, {}))

    def remark(self, path: FieldPath, rule: str, text: str) -> Remark:
        place = self.source.places.find(path)
        return Remark(place.file, place.line, rule, text)


def find_remarks(heard: Heard) -> tuple[Remark, ...]:
    """Everything that any rule has to say, in the order of the storyboard."""
    remarks = [remark for rule in RULES for remark in rule(heard)]
    return tuple(sorted(remarks, key=lambda remark: (str(remark.file), remark.line)))


def _slot(heard: Heard) -> Iterator[Remark]:
    over = -heard.schedule.left_s
    if over > 0:
        yield heard.remark(
            ("talk", "slot_min"),
            "slot",
            f"the words take {clock(heard.schedule.seconds)} and run {clock(over)} over the slot",
        )


def _unspoken(heard: Heard) -> Iterator[Remark]:
    """A region on the screen that the words never speak of."""
    for path, told in _slides(heard):
        if not isinstance(told.slide, ScanSlide):
            continue
        spoken = {name for name, _ in _mentions(parse_words(told.slide.say))}
        for j, view in enumerate(told.slide.views):
            for name in view.regions:
                if name not in spoken:
                    yield heard.remark(
                        (*path, "views", j, "regions"),
                        "unspoken",
                        f"region `{name}` is on the slide, and the words never speak of it",
                    )


def _uncounted(heard: Heard) -> Iterator[Remark]:
    """A count on the screen that the words never speak of."""
    for path, told in _slides(heard):
        if isinstance(told.slide, SeriesSlide):
            mentions = _mentions(parse_words(told.slide.say))
            spoken = {name for name, part in mentions if part != "show"}
            for i, name in enumerate(told.slide.counts):
                if name not in spoken | _compared_counts(spoken, heard.tallies):
                    yield heard.remark(
                        (*path, "counts", i),
                        "unspoken",
                        f"count `{name}` is on the slide, and the words never say its number",
                    )


def _compared_counts(spoken: set[str], tallies: Tallies) -> set[str]:
    """Counts that are said as parts of a comparison."""
    comparisons = [tallies.comparisons[name] for name in spoken & set(tallies.comparisons)]
    return {name for one in comparisons for name in one.comparison.counts}


def _mistold(heard: Heard) -> Iterator[Remark]:
    """A number typed into words or print of a slide or panel that is not what was counted."""
    slides: list[tuple[FieldPath, OwnSlide | Panel]] = [
        (path, told.slide) for path, told in _slides(heard)
    ]
    panels = heard.source.board.panels.items()
    for path, page in (*slides, *((("panels", name), panel) for name, panel in panels)):
        for flaw in find_mistold(page, heard.tallies):
            yield heard.remark((*path, *flaw.field), "typed-number", flaw.text)


def _early(heard: Heard) -> Iterator[Remark]:
    """A mark spoken of before the click that brings it on."""
    for path, told in _slides(heard):
        shown: set[str] = set()
        cued = set(told.speech.cast.steps)
        for name, part in _mentions(parse_words(told.slide.say)):
            if part == "show":
                shown.add(name)
            elif part in {"mark", "letter"} and name in cued - shown:
                yield heard.remark(
                    (*path, "say"),
                    "early",
                    f"{{{name}.{part}}} is spoken before [show {name}] brings it on",
                )


def _silent(heard: Heard) -> Iterator[Remark]:
    for path, told in _slides(heard):
        if not told.speech.paragraphs and not isinstance(told.slide, CreditsSlide):
            yield heard.remark(path, "silent", f"slide `{told.slide.id}` has no words")


def _still(heard: Heard) -> Iterator[Remark]:
    """A slide on which nothing moves for too long; one with a moving picture never is."""
    for (path, told), turn in zip(_slides(heard), heard.schedule.turns, strict=True):
        still = 0.0 if turn.moving else turn.seconds / (told.page.steps + 1)
        if still > LONGEST_STILL_S:
            yield heard.remark(
                (*path, "say"),
                "still",
                f"slide `{told.slide.id}` changes only every {clock(still)} of its words",
            )


def _burned_in(heard: Heard) -> Iterator[Remark]:
    """What may show a name inside the picture, where no attribute can be left out."""
    for name, series in heard.series.items():
        if series.burned_in_text:
            text = f"scan `{name}` has, or may have, text in its pixels: look for names"
            text += " before showing it"
            yield heard.remark(("scans", name), "burned-in", text)


SERIOUS = ("empty", "few", "clipped", "thin")
"""Cautions that the audience must hear of when it hears the number."""


def _foreign_window(heard: Heard) -> Iterator[Remark]:
    """A window of the style made for other values than the scan has: HU on an MR image."""
    for name, sight in heard.sights.views.items():
        for window in sight.windows:
            if window.meant_for in ("", sight.picture.unit) or name not in heard.source.board.views:
                continue
            unit = f"in {sight.picture.unit}" if sight.picture.unit else "without a known unit"
            yield heard.remark(
                ("views", name, "window"),
                "foreign-window",
                f"window `{window.name}` is made for values in {window.meant_for}, and those of"
                f" view `{name}` are {unit}: write center and width, or `{{percentiles: [1, 99]}}`"
                " or `{stored: 1}`",
            )


def _unsafe_value(heard: Heard) -> Iterator[Remark]:
    """A measured value that something speaks against, and neither words nor page say so."""
    slides = {slide.id: slide for slide in heard.source.slides}  # with their placeholders
    for path, told in _slides(heard):
        written = slides[told.slide.id]
        spoken = dict.fromkeys(_mentions(parse_words(told.slide.say)))
        for (name, part), why in _unwarned(heard, spoken, spoken):
            yield heard.remark(
                (*path, "say"),
                "unsafe-value",
                f"{_braced(name, part)} is spoken, and not that {why}: "
                f"say {{{name}.warning}} too, or leave the number out",
            )
        printed = dict.fromkeys(printed_in((written, _statements(heard, written))))
        for (name, part), why in _unwarned(heard, printed, {**spoken, **printed}):
            if (name, part) not in spoken and name not in _noted(written):
                yield heard.remark(
                    path,
                    "unsafe-value",
                    f"slide `{told.slide.id}` prints {_braced(name, part)}, and nothing says that"
                    f" {why}: print {{{name}.warning}} too, or leave the number out",
                )


_Mentions: TypeAlias = Iterable[tuple[str, str]]
"""Names, each with the part that is said of it."""


def _unwarned(
    heard: Heard, numbers: _Mentions, said: Collection[tuple[str, str]]
) -> Iterator[tuple[tuple[str, str], str]]:
    """The numbers that something serious speaks against which is not `said`, and what."""
    for name, part in numbers:
        cautions = _cautions_about(heard.sights, name, part)
        enough = {"warning", "n"} if {c.kind for c in cautions} == {"few"} else {"warning"}
        if cautions and not any((name, one) in said for one in enough):
            yield (name, part), " and ".join(caution.text for caution in cautions)


def _braced(name: str, part: str) -> str:
    return f"{{{name}.{part}}}" if part else f"{{{name}}}"


def _statements(heard: Heard, slide: OwnSlide) -> tuple[Finding, ...]:
    """The findings that a slide prints."""
    names = slide.findings if isinstance(slide, FindingsSlide) else ()
    return tuple(heard.source.board.findings[name] for name in names)


def _noted(slide: OwnSlide) -> set[str]:
    """Regions of which the page itself tells what speaks against their values."""
    views = slide.views if isinstance(slide, ScanSlide) else ()
    return {name for view in views for name in (*view.table, *view.values)}


def _cautions_about(sights: Sights, name: str, part: str) -> tuple[Caution, ...]:
    """The serious cautions about a number that is spoken."""
    region, volume = sights.regions.get(name), sights.volumes.get(name)
    cautions: tuple[Caution, ...] = ()
    if region is not None and isinstance(region.measure, AreaMeasure) and part in VALUE_PARTS:
        cautions = region.measure.cautions
    elif volume is not None and part in ("", "volume", "mean"):
        cautions = volume.measure.cautions
    return tuple(caution for caution in cautions if caution.kind in SERIOUS)


RULES: tuple[Callable[[Heard], Iterator[Remark]], ...] = (
    _slot,
    _unspoken,
    _uncounted,
    _mistold,
    _early,
    _silent,
    _still,
    _burned_in,
    _foreign_window,
    _unsafe_value,
)


def _slides(heard: Heard) -> Iterator[tuple[FieldPath, Told]]:
    """Each composed slide with its place in the storyboard."""
    at = {slide.id: i for i, slide in enumerate(heard.source.slides)}
    for told in heard.told:
        yield ("slides", at[told.slide.id]), told


def _mentions(paragraphs: tuple[Paragraph, ...]) -> Iterator[tuple[str, str]]:
    """Names in the order in which the words bring them up, with "show" or their part."""
    for paragraph in paragraphs:
        for token in paragraph.tokens:
            if isinstance(token, Click):
                yield from ((name, "show") for name in token.names)
            elif isinstance(token, Placeholder):
                yield token.name, token.part
