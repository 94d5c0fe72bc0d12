"""Rules about measured values: what speaks against a number is told with it."""

from collections.abc import Collection, Iterable, Iterator
from typing import TypeAlias

from slidekit.checks.heard import Heard, mentions
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.scans.measures.on_planes import AreaMeasure, Caution
from slidekit.scene.sights.model import Sights
from slidekit.storyboard.findings import Finding
from slidekit.storyboard.measured import VALUE_PARTS
from slidekit.storyboard.printed import printed_in
from slidekit.storyboard.slides import FindingsSlide, OwnSlide, ScanSlide
from slidekit.storyboard.words import parse_words

SERIOUS = ("empty", "few", "clipped", "thin")
"""Cautions that the audience must hear of when it hears the number."""

_Mentions: TypeAlias = Iterable[tuple[str, str]]
"""Names, each with the part that is said of it."""


def find_unsafe_values(heard: Heard) -> Findings:
    """A measured value that something speaks against, and neither words nor page say so.

    Why: a mean of four samples, or of values at the end of the scale, sounds as sure as any other.

    Instead: say or print {coil.warning} too, or leave the number out.

    Source: common practice; the limits stand in the README under "What is measured".
    """
    for path, told in heard.slides:
        written = told.slide
        spoken = dict.fromkeys(mentions(parse_words(told.slide.say)))
        for (name, part), why in _unwarned(heard, spoken, spoken):
            text = f"{_braced(name, part)} is spoken, and not that {why}: "
            text += f"say {{{name}.warning}} too, or leave the number out"
            yield Complaint((*path, "say"), text, name)
        printed = dict.fromkeys(printed_in((written, _statements(heard, written))))
        for (name, part), why in _unwarned(heard, printed, {**spoken, **printed}):
            if (name, part) not in spoken and name not in _noted(written):
                text = (
                    f"slide `{told.slide.id}` prints {_braced(name, part)}, and nothing says that"
                    f" {why}: print {{{name}.warning}} too, or leave the number out"
                )
                yield Complaint(path, text, name)


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
    reading = sights.readings.get(name)
    cautions: tuple[Caution, ...] = ()
    if region is not None and isinstance(region.measure, AreaMeasure) and part in VALUE_PARTS:
        cautions = region.measure.cautions
    elif volume is not None and part in ("", "volume", "mean"):
        cautions = volume.measure.cautions
    elif reading is not None and part not in ("called", "energy", "warning"):
        cautions = reading.cautions
    return tuple(caution for caution in cautions if caution.kind in SERIOUS)


def find_foreign_windows(heard: Heard) -> Findings:
    """A window of the style made for other values than the scan has.

    Why: a window made for HU shows an MR image black, white or flat.

    Instead: write center and width, `{percentiles: [1, 99]}` or `{stored: 1}`.

    Source: DICOM PS3.3 C.11.1.1.2 (Rescale Type names the unit of the values).
    """
    for name, sight in heard.sights.views.items():
        for window in sight.windows:
            if window.meant_for in ("", sight.picture.unit) or name not in heard.source.board.views:
                continue
            unit = f"in {sight.picture.unit}" if sight.picture.unit else "without a known unit"
            text = (
                f"window `{window.name}` is made for values in {window.meant_for}, and those of"
                f" view `{name}` are {unit}: write center and width, or `{{percentiles: [1, 99]}}`"
                " or `{stored: 1}`"
            )
            yield Complaint(("views", name, "window"), text, name)


RULES = (
    Rule("unsafe-value", "warning", find_unsafe_values),
    Rule("foreign-window", "warning", find_foreign_windows),
)
