"""All rules over a composed talk: what the audience would notice before the speaker does.

A remark is not a fault: the talk builds, but somebody should look again, or say why not.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from slidekit.checks.heard import Heard
from slidekit.checks.rules.care import WAIVER
from slidekit.checks.rules.register import RULES
from slidekit.checks.rules.rule import Complaint, Rule, Severity, Unchecked
from slidekit.storyboard.waivers import Waiver


@dataclass(frozen=True)
class Remark:
    """One thing to look at again, and the rule that says so."""

    file: Path
    line: int  # 1-based
    rule: str
    severity: Severity
    text: str
    because: str = ""  # of the waiver that it meets

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.severity}: {self.rule}: {self.text}"


@dataclass(frozen=True)
class Checked:
    """What the rules have to say, in the order of the storyboard."""

    remarks: tuple[Remark, ...]
    waived: tuple[Remark, ...] = ()
    unchecked: tuple[tuple[str, str], ...] = ()  # rule, and what it would need


def check_heard(heard: Heard) -> Checked:
    """Everything that any rule has to say, waivers heeded; one that meets nothing is a remark."""
    found = list(_found(RULES, heard))
    met = {i for rule, one in found if (i := _waiver_of(rule, one, heard)) is not None}
    idle = tuple(i for i in _own_waivers(heard) if i not in met)
    found += _found((WAIVER,), replace(heard, idle_waivers=idle))
    remarks = sorted(
        (_remark(rule, one, heard) for rule, one in found if isinstance(one, Complaint)),
        key=lambda remark: (str(remark.file), remark.line),
    )
    return Checked(
        tuple(one for one in remarks if not one.because),
        tuple(one for one in remarks if one.because),
        tuple((rule.name, one.why) for rule, one in found if isinstance(one, Unchecked)),
    )


def _own_waivers(heard: Heard) -> Iterator[int]:
    """Places in `waive` of those that no other storyboard lent: a lender needs its own."""
    for i in range(len(heard.source.board.waive)):
        if heard.source.places.find(("waive", i)).file == heard.source.path:
            yield i


def _found(rules: Iterable[Rule], heard: Heard) -> Iterator[tuple[Rule, Complaint | Unchecked]]:
    for rule in rules:
        yield from ((rule, one) for one in rule.found_in(heard))


def _remark(rule: Rule, complaint: Complaint, heard: Heard) -> Remark:
    place = heard.source.places.find_in_words(complaint.path, complaint.before)
    waiver = _waiver_of(rule, complaint, heard)
    because = "" if waiver is None else heard.source.board.waive[waiver].because
    return Remark(place.file, place.line, rule.name, rule.severity, complaint.text, because)


def _waiver_of(rule: Rule, found: Complaint | Unchecked, heard: Heard) -> int | None:
    """The place in `waive` of the first waiver that `found` meets."""
    if isinstance(found, Unchecked):
        return None
    slide = _slide_of(found, heard)
    waivers = enumerate(heard.source.board.waive)
    return next((i for i, one in waivers if _meets(one, rule, slide, found.name)), None)


def _meets(waiver: Waiver, rule: Rule, slide: str | None, name: str) -> bool:
    return (
        waiver.rule == rule.name and waiver.slide in (None, slide) and waiver.name in (None, name)
    )


def _slide_of(complaint: Complaint, heard: Heard) -> str | None:
    match complaint.path:
        case ("slides", int(i), *_):
            return heard.source.slides[i].id
    return None
