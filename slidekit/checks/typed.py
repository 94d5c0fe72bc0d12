"""Measures and dates typed by hand beside the things they belong to.

Whether they agree with what is known or not: they stay as they are when a region is mended.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from slidekit.checks.heard import Heard
from slidekit.checks.mark_words import head_noun, singular
from slidekit.checks.number_words import NUMBER, number_of
from slidekit.checks.written import Sentence, fields_of, sentences
from slidekit.errors import DateError
from slidekit.evidence.dates import parse_date
from slidekit.evidence.years import Date
from slidekit.scans.measures import AngleMeasure, AreaMeasure, LineMeasure, Measure
from slidekit.scene.compose import Told
from slidekit.scene.dated import calendar_of
from slidekit.scene.measured import spoken_measure
from slidekit.scene.pictures import PlacedRegion
from slidekit.storyboard.chronology import Event, Period
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.places import FieldPath


@dataclass(frozen=True)
class Typed:
    """A number of a sentence, and the placeholder that says what is known."""

    field: FieldPath
    before: str
    words: str
    name: str
    placeholder: str
    known: str
    agrees: bool


def find_typed(heard: Heard) -> Iterator[Typed]:
    """Every typed number of which it is clear what it is about."""
    for path, told in heard.slides:
        for field, text in fields_of(heard, path, told.slide):
            for sentence in sentences(text):
                yield from _measures(field, sentence, heard, told)
                yield from _dates(field, sentence, heard.source.board)


_ABOUT = r"(?P<about>(?:about|almost|nearly|roughly|some|around|close to|approximately)\s+)?"
_UNITS = {
    r"mm|millimet(?:re|er)s?": ("length", 1.0),
    r"cm|centimet(?:re|er)s?": ("length", 10.0),
    r"degrees?|°": ("angle", 1.0),
    r"HU|Hounsfield units?": ("mean", 1.0),
}
_QUANTITY = re.compile(
    rf"(?<![\w.,|]){_ABOUT}(?P<number>[-−]?{NUMBER})[\s-]?"
    rf"(?:{'|'.join(f'({unit})' for unit in _UNITS)})(?![\w²³/])"
    r"(?P<after>\s+(?:above|below|from|under|beneath|off|behind|before|to|away|beside|inside|outside"
    r"|within|of|per|in front)\b)?",
    re.I,
)
_MEASURES = re.compile(
    r"\b(?:measures?|measured|measuring|is|are|wide|long|high|thick|deep|across|length|width|height"
    r"|angle|mean|average|averages|reads)\b",
    re.I,
)
_MEAN = re.compile(r"\b(?:mean|average|averages)\b", re.I)
_SUPPOSED = re.compile(
    r"\b(?:should|would|could|expect\w*|usual\w*|normal\w*|typical\w*|less|more|over|under|least|most"
    r"|up to|between|than|not|if)\b",
    re.I,
)


def _measures(field: FieldPath, sentence: Sentence, heard: Heard, told: Told) -> Iterator[Typed]:
    """A sentence with one number of a kind, about one region that has it, and nothing supposed."""
    typed = sentence.typed
    found = list(_QUANTITY.finditer(typed))
    if len(found) != 1 or found[0]["after"] or _SUPPOSED.search(typed):
        return
    (one,) = found
    part, factor = _unit_of(one)
    regions = [r for r in _meant(sentence, heard, told) if _has(r.measure, part)]
    if len(regions) != 1 or (regions[0].name, part) in sentence.names:
        return
    if not _MEASURES.search(typed) or (part == "mean" and not _MEAN.search(typed)):
        return
    number = one["number"].replace("−", "-")
    value = float(number_of(number.lstrip("-"))) * factor * (-1 if number[0] == "-" else 1)
    slack = factor * _half_step(number) + (0.1 * abs(value) if one["about"] else 0.0)
    yield _held_against(regions[0], part, (one[0].strip(), value, slack), (field, sentence))


def _unit_of(found: re.Match[str]) -> tuple[str, float]:
    """The part of a region that has such a unit, and how many of its own units one is."""
    units = found.groups()[2 : 2 + len(_UNITS)]
    return next(one for unit, one in zip(units, _UNITS.values(), strict=True) if unit)


def _held_against(
    region: PlacedRegion,
    part: str,
    typed: tuple[str, float, float],
    where: tuple[FieldPath, Sentence],
) -> Typed:
    words, value, slack = typed
    known, error = _known(region.measure)
    agrees = abs(value - known) <= slack + error
    said = spoken_measure(region.measure, part, region.name) if region.measure else ""
    name, (field, sentence) = region.name, where
    return Typed(field, sentence.before, words, name, f"{{{name}.{part}}}", said, agrees)


def _half_step(number: str) -> float:
    """Half of the last place that is typed."""
    return 0.5 * 10.0 ** -len(number.partition(".")[2])


def _has(measure: Measure | None, part: str) -> bool:
    kinds = {"length": LineMeasure, "angle": AngleMeasure, "mean": AreaMeasure}
    if isinstance(measure, AreaMeasure) and (measure.unit != "HU" or measure.statistics is None):
        return False
    return isinstance(measure, kinds[part])


def _known(measure: Measure | None) -> tuple[float, float]:
    """Value and uncertainty."""
    match measure:
        case LineMeasure():
            return measure.length_mm, measure.error_mm
        case AngleMeasure():
            return measure.angle_deg, measure.error_deg
        case AreaMeasure() if measure.statistics is not None:
            return measure.statistics.mean, max(1.0, 2 * measure.statistics.mean_error)
    raise ValueError(f"{measure} has no value")


def _meant(sentence: Sentence, heard: Heard, told: Told) -> list[PlacedRegion]:
    """Regions of the slide that the sentence names in braces, or by the noun they are called."""
    on_slide = [heard.sights.regions[name] for name in told.speech.cast.letters]
    named = {name for name, _ in sentence.names}
    if any(region.name in named for region in on_slide):
        return [region for region in on_slide if region.name in named]
    words = {singular(word) for word in re.findall(r"[^\W\d_]+", sentence.typed)}
    return [region for region in on_slide if head_noun(region.called)[1] in words]


_ERA = r"(?:BCE|CE|BC|AD)"
_YEAR = rf"(?:c\.\s*|about\s+|around\s+)?(?:AD\s+)?\d{{1,5}}(?:\s+{_ERA})?"
_SPAN = re.compile(rf"\b(?:from\s+)?({_YEAR})\s*(?:to|until|till|–|-)\s*({_YEAR})(?!\w)", re.I)
_IN = re.compile(rf"\b(?:in|at|to)\s+({_YEAR})(?!\w)", re.I)
_DATED = re.compile(
    r"\b(?:lasted|ran|runs?|spans?|spanned|covers?|dated?|dates|was|were|is|happened|fell)\b|[:(]",
    re.I,
)
_OTHER_TIME = re.compile(r"\b(?:before|after|older|younger|earlier|later|not|than)\b", re.I)


def _dates(field: FieldPath, sentence: Sentence, board: Storyboard) -> Iterator[Typed]:
    """A sentence about one period or event that types its own dates."""
    calendar = calendar_of(board)
    chronology = calendar.chronology
    if _OTHER_TIME.search(sentence.typed):
        return
    labels = {name: one.label for name, one in chronology.periods.items()}
    labels |= {name: one.label for name, one in chronology.events.items()}
    meant = list(_labelled(sentence, labels))
    if len(meant) != 1 or (meant[0][0], "") in sentence.names:
        return
    name, rest = meant[0]
    one = chronology.find(name)
    is_period = isinstance(one, Period)
    found = _SPAN.search(rest) if is_period else _IN.search(rest)
    if found is None or not _DATED.search(rest[: found.start()]) or not re.search(_ERA, found[0]):
        return
    date = _parsed(found, span=is_period)
    if one is None or date is None or (isinstance(one, Event) and one.at is None):
        return
    start, end = one.lasting
    said = calendar.say(name, "")
    agrees = (date.earliest, date.latest) == (start.earliest, end.latest)
    words = " ".join(found[0].split())
    yield Typed(field, sentence.before, words, name, f"{{{name}}}", said, agrees)


def _labelled(sentence: Sentence, labels: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Periods and events that the sentence names, each with what follows; longer names first."""
    called = {name for name, part in sentence.names if part == "called"}
    rest = sentence.typed
    if "|" in rest:
        yield from ((name, rest[rest.index("|") :]) for name in called & set(labels))
    for name, label in sorted(labels.items(), key=lambda item: -len(item[1])):
        if found := re.search(rf"\b{re.escape(label)}\b", rest, re.I):
            yield name, rest[found.end() :]
            rest = rest[: found.start()] + "|" * len(found[0]) + rest[found.end() :]


def _parsed(found: re.Match[str], *, span: bool) -> Date | None:
    start, end = (found[1], found[2]) if span else (found[1], found[1])
    try:
        return parse_date(re.sub(r"^from\s+", "", f"{start} to {end}" if span else start))
    except DateError:
        return None
