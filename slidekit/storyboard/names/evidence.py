"""Faults of findings: evidence that is nowhere, not yet shown, or proves itself."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TypeAlias

from slidekit.errors import Fault
from slidekit.storyboard.findings import Finding
from slidekit.storyboard.measured import VOLUME_PARTS, parts_of
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.lookup import (
    FINDINGS,
    SHOWN,
    SHOWN_IN_PRINT,
    Definitions,
    Section,
    complaint_about,
)
from slidekit.storyboard.names.naming import listed
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.showing import shown_by
from slidekit.storyboard.slides import FindingsSlide
from slidekit.storyboard.source import Source

_Complaint: TypeAlias = tuple[FieldPath, str, str]


def complaints_about_findings(board: Storyboard, defined: Definitions) -> Iterator[_Complaint]:
    """Names that lead nowhere, twice to one place, or in a circle."""
    for name, finding in board.findings.items():
        path = ("findings", name, "evidence")
        yield from complaints_about_evidence(path, finding.evidence, SHOWN, board, defined)
    for circle in _circles(board.findings):
        ring = ("findings", circle[0], "evidence")
        if len(circle) == 1:
            yield ring, f"`{circle[0]}` rests on itself", "Name what slides show instead"
        else:
            wrong = f"findings rest on each other in a circle: {listed([*circle, circle[0]])}"
            yield ring, wrong, "Let one of them rest on what slides show, and not on the others"


def complaints_about_evidence(
    path: FieldPath,
    evidence: Sequence[str],
    sections: Iterable[Section],
    board: Storyboard,
    defined: Definitions,
) -> Iterator[_Complaint]:
    """What is wrong in a list of evidence, which may name what `sections` define."""
    for i, written in enumerate(evidence):
        name, _, part = written.partition(".")
        if complaint := complaint_about(name, sections, defined):
            yield (*path, i), *complaint
        elif part:
            yield from _about_part((*path, i), name, part, board)
        if written in evidence[:i]:
            yield (*path, i), f"`{written}` is named twice", "Remove one of the two"


def _about_part(path: FieldPath, name: str, part: str, board: Storyboard) -> Iterator[_Complaint]:
    measured: tuple[str, ...] = VOLUME_PARTS if name in board.volumes else ()
    if name in board.regions:
        measured = parts_of(board.regions[name])
    parts = [one for one in measured if one != "warning"]
    if part not in parts:
        forms = listed([f"`{name}`", *(f"`{name}.{one}`" for one in parts)], 12)
        yield path, f"`{name}.{part}` is no evidence", f"Write {'one of ' if parts else ''}{forms}"


def _circles(findings: Mapping[str, Finding]) -> Iterator[Sequence[str]]:
    """Each ring of findings once, from the one that is written first."""
    for first in findings:
        waiting: list[tuple[str, ...]] = [(first,)]
        seen: set[str] = set()
        while waiting:
            way = waiting.pop()
            for name in findings[way[-1]].rests_on:
                if name == first:
                    if first == min(way, key=list(findings).index):
                        yield way
                    waiting.clear()
                    break
                if name in findings and name not in seen:
                    seen.add(name)
                    waiting.append((*way, name))


def faults_of_evidence(source: Source, defined: Definitions) -> Iterator[Fault]:
    """What a findings slide rests on and no slide has shown by then; each lack is told once."""
    evident: set[str] = set()
    judged: set[tuple[str, str]] = set()
    for at, slide in enumerate(source.slides):
        shown = set(shown_by(slide, defined))
        if isinstance(slide, FindingsSlide):
            for name in slide.findings:
                missing = [
                    (i, evidence)
                    for i, evidence in _known_evidence(name, defined)
                    if evidence not in evident | shown and (name, evidence) not in judged
                ]
                judged |= {(name, evidence) for _, evidence in missing}
                yield from _lacking(source, ("slides", at), (name, missing), defined)
        evident |= shown


def _known_evidence(name: str, defined: Definitions) -> Iterator[tuple[int, str]]:
    finding = defined[FINDINGS].get(name)
    for i, written in enumerate(finding.evidence if isinstance(finding, Finding) else ()):
        evidence = written.partition(".")[0]
        if any(evidence in defined[section] for section in SHOWN):
            yield i, evidence


def _lacking(
    source: Source,
    slide: FieldPath,
    lack: tuple[str, Sequence[tuple[int, str]]],
    defined: Definitions,
) -> Iterator[Fault]:
    """Faults for evidence (place in the list, name) that a finding on this slide lacks."""
    finding, missing = lack
    here = source.places.find(("findings", finding))
    if missing and here.file != source.path:  # borrowed: the lender did nothing wrong
        names = listed([evidence for _, evidence in missing])
        wrong = f"no slide before shows {names}, on which the finding `{finding}` rests"
        instead = "Borrow slides that show it too, or write a findings slide of your own"
        yield source.places.fault(slide, wrong, instead)
        return
    for i, evidence in missing:
        wrong = _lack_of(evidence, source, source.slides[int(slide[1])].id, defined)
        printed = any(evidence in defined[section] for section in SHOWN_IN_PRINT)
        also = f", print {{{evidence}}} in its title, points or caption" if printed else ""
        instead = f"Show it on a slide before{also}, or remove it from the evidence"
        yield source.places.fault(("findings", finding, "evidence", i), wrong, instead)


def _lack_of(evidence: str, source: Source, drawn_on: str, defined: Definitions) -> str:
    later = next((s.id for s in source.slides if evidence in shown_by(s, defined)), None)
    if later is None:
        return f"no slide shows `{evidence}`, on which this finding rests"
    return (
        f"`{evidence}` is shown on the slide `{later}`, after `{drawn_on}`, which draws this"
        " conclusion from it"
    )
