"""Lengths, angles and means typed by hand beside the region they belong to."""

import re
from collections.abc import Iterator

from slidekit.checks.english.marks import head_noun, singular
from slidekit.checks.english.numbers import NUMBER, WHOLE, number_of
from slidekit.checks.english.typed import Typed
from slidekit.checks.heard import Heard
from slidekit.checks.written import Sentence
from slidekit.scans.measures.on_planes import AngleMeasure, AreaMeasure, LineMeasure, Measure
from slidekit.scene.compose import Told
from slidekit.scene.measured import spoken_measure
from slidekit.scene.sights.model import PlacedRegion
from slidekit.storyboard.places import FieldPath

_ABOUT = r"(?P<about>(?:about|almost|nearly|roughly|some|around|close to|approximately)\s+)?"
_UNITS = {
    r"mm|millimet(?:re|er)s?": ("length", 1.0),
    r"cm|centimet(?:re|er)s?": ("length", 10.0),
    r"degrees?|°": ("angle", 1.0),
    r"HU|Hounsfield units?": ("mean", 1.0),
}
_QUANTITY = re.compile(
    rf"(?<![\w.,|]){WHOLE}{_ABOUT}(?P<number>[-−]?{NUMBER})[\s-]?"
    rf"(?:{'|'.join(f'({unit})' for unit in _UNITS)})(?![\w²³/])"
    r"(?P<after>\s+(?:above|below|from|under|beneath|off|behind|before|to|away|beside|inside|outside"
    r"|within|of|per|in front)\b)?",
    re.I,
)
_UNIT = re.compile(rf"(?<![^\W\d_])(?:{'|'.join(_UNITS)})(?![\w²³/])", re.I)
_MEASURES = re.compile(r"\b(?:measures?|measured|measuring|comes to|reads)\b", re.I)
_IS = re.compile(r"\b(?:is|are|was|were|has|shows)\b", re.I)
_DIMENSION = re.compile(r"\b(?:wide|long|high|thick|deep|tall|broad|across|in diameter)\b", re.I)
_MEAN = re.compile(r"\b(?:mean|average|averages)\b", re.I)
_SUPPOSED = re.compile(
    r"\b(?:should|would|could|expect\w*|usual\w*|normal\w*|typical\w*|less|more|over|under|least|most"
    r"|up to|between|from|than|not|if)\b",
    re.I,
)


def typed_measures_in(
    field: FieldPath, sentence: Sentence, heard: Heard, told: Told
) -> Iterator[Typed]:
    """A sentence with one number of a kind, about one region that has it, and nothing supposed."""
    typed = sentence.typed
    found = list(_QUANTITY.finditer(typed))
    if len(found) != 1 or len(_UNIT.findall(typed)) != 1:
        return
    if found[0]["after"] or _SUPPOSED.search(typed):
        return
    (one,) = found
    part, factor = _unit_of(one)
    regions = [r for r in _meant(sentence, heard, told) if _has(r.measure, part)]
    if len(regions) != 1 or (regions[0].name, part) in sentence.names:
        return
    if not _is_told(typed, part, by_mark=(regions[0].name, "mark") in sentence.names):
        return
    number = one["number"].replace("−", "-")
    value = float(number_of(number.lstrip("-"))) * factor * (-1 if number[0] == "-" else 1)
    slack = factor * _half_step(number) + (0.1 * abs(value) if one["about"] else 0.0)
    yield _held_against(regions[0], part, (one[0].strip(), value, slack), (field, sentence))


def _is_told(typed: str, part: str, *, by_mark: bool) -> bool:
    """Whether the sentence gives the number as that of the region. "The gap is 3 mm deep" may be
    another size than the line across it; "the blue line is 3 mm long" is its own."""
    if part == "mean":
        return bool(_MEAN.search(typed))
    if by_mark or part == "angle":
        return bool(_MEASURES.search(typed) or _IS.search(typed))
    return bool(_MEASURES.search(typed)) and not _DIMENSION.search(typed)


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
