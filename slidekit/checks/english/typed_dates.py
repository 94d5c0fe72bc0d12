"""Dates typed by hand beside the period or event they belong to."""

import re
from collections.abc import Iterator, Mapping

from slidekit.checks.english.typed import Typed
from slidekit.checks.heard import Heard
from slidekit.checks.written import Sentence
from slidekit.errors import DateError
from slidekit.evidence.dates.parse import parse_date
from slidekit.evidence.dates.years import Date
from slidekit.scene.dated import calendar_of
from slidekit.storyboard.chronology import Event, Period
from slidekit.storyboard.places import FieldPath

_ERA = r"(?:BCE|CE|BC|AD)"
_YEAR = rf"(?:c\.\s*|about\s+|around\s+)?(?:AD\s+)?\d{{1,5}}(?:\s+{_ERA})?"
_SPAN = rf"(?:from\s+)?({_YEAR})\s*(?:to|until|till|–|-)\s*({_YEAR})(?!\w)"
_PERIOD = re.compile(
    rf"\s*\(?(?:here\s+|itself\s+)?(?:(?:is\s+|was\s+)?(?:lasted|ran|runs?|spans?|spanned|covers?"
    rf"|covered|dates?|dated)(?:\s+\w+){{0,3}}?\s+|(?:was|is)\s+|:\s*|(?<=\())?{_SPAN}",
    re.I,
)
"""What follows the name of a period, when its own years do."""
_EVENT = re.compile(
    rf"\s*(?:here\s+)?(?:was|happened|fell|took place|is dated|dates|dated)(?:\s+here)?"
    rf"\s+(?:in|at|to|back to)\s+({_YEAR})(?!\w)",
    re.I,
)
_PART_OF = re.compile(r"\b(?:in|during|of|within|into|since|before|after)\s+(?:the\s+)?$", re.I)
_OTHER_TIME = re.compile(r"\b(?:before|after|older|younger|earlier|later|not|than)\b", re.I)


def typed_dates_in(field: FieldPath, sentence: Sentence, heard: Heard) -> Iterator[Typed]:
    """The dates of a sentence about one period or event, where they directly follow its name."""
    calendar = calendar_of(heard.source.board)
    chronology = calendar.chronology
    if _OTHER_TIME.search(sentence.typed):
        return
    labels = {name: one.label for name, one in chronology.periods.items()}
    labels |= {name: one.label for name, one in chronology.events.items()}
    meant = list(_labelled(sentence, labels))
    if len(meant) != 1 or (meant[0][0], "") in sentence.names:
        return
    name, before, after = meant[0]
    one = chronology.find(name)
    is_period = isinstance(one, Period)
    found = (_PERIOD if is_period else _EVENT).match(after)
    if one is None or found is None or _PART_OF.search(before):
        return
    years = f"{found[1]} to {found[2]}" if is_period else found[1]
    date = _parsed(years)
    if date is None or not re.search(_ERA, years) or (isinstance(one, Event) and one.at is None):
        return
    start, end = one.lasting
    agrees = (date.earliest, date.latest) == (start.earliest, end.latest)
    said = calendar.say(name, "")
    yield Typed(field, sentence.before, years, name, f"{{{name}}}", said, agrees)


def _labelled(sentence: Sentence, labels: Mapping[str, str]) -> Iterator[tuple[str, str, str]]:
    """Periods and events that the sentence names, each with what is around it; longer names
    first, so that "Bronze Age" is not found in "Late Bronze Age"."""
    called = {name for name, part in sentence.names if part == "called"}
    rest = sentence.typed
    if "|" in rest:
        before, after = rest.split("|", 1)
        yield from ((name, before, after) for name in called & set(labels))
    for name, label in sorted(labels.items(), key=lambda item: -len(item[1])):
        if found := re.search(rf"\b{re.escape(label)}\b", rest, re.I):
            yield name, rest[: found.start()], rest[found.end() :]
            rest = rest[: found.start()] + "|" * len(found[0]) + rest[found.end() :]


def _parsed(years: str) -> Date | None:
    try:
        return parse_date(years)
    except DateError:
        return None
