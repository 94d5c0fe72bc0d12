"""Rules about what CT numbers leave possible: they name no substance, and nobody says they do."""

import re
from collections.abc import Iterator

from slidekit.checks.heard import Heard, mentions
from slidekit.checks.rules.rule import Complaint, Findings, Rule, Unchecked
from slidekit.scene.links import told_findings
from slidekit.scene.sights.answering import known_candidates
from slidekit.storyboard.findings import Finding
from slidekit.storyboard.measured import VALUE_PARTS
from slidekit.storyboard.printed import printed_in
from slidekit.storyboard.slides import MaterialsSlide, OwnSlide
from slidekit.storyboard.words import parse_words

ANSWERS = ("remain", "share")
"""Parts of a materials question that a listener may take for the name of the substance."""

_HEDGE = re.compile(
    r"\b(?:possibl[ey]|possibility|perhaps|may|maybe|might|could|would|candidates?|compared|fits?"
    r"|(?:not|nothing|never|no name|cannot|without) (?:\w+ ){0,3}(?:prove[sdn]?|names?|proof)"
    r"|proves? nothing|names? (?:nothing|none|no))\b",
    re.IGNORECASE,
)
"""Words that leave room for another substance; customary usage."""


def find_bare_answers(heard: Heard) -> Findings:
    """What CT numbers leave possible, told as if it were known.

    Why: many substances share a CT number, and one that nobody compared may fit as well. Whoever
    hears "birch tar" and no "may be" takes it for the name of the thing.

    Instead: say that it is possible, that it would fit, or that it is what remains of those
    compared. Print it on its `materials` slide, which has the caution, or with such a word.

    Source: D. J. Goodenough, manual of the CTP404 phantom, "CT or Hounsfield numbers" (a CT number
    depends on the beam and is not universal); common practice.
    """
    questions = heard.source.board.materials
    language = heard.source.board.talk.language
    if not questions:
        return
    if not language.lower().startswith("en"):
        yield Unchecked(f"words that leave room are known in English only, not in `{language}`")
        return
    written = {slide.id: slide for slide in heard.source.slides}  # with their placeholders
    for path, told in heard.slides:
        spoken = dict.fromkeys(mentions(parse_words(told.slide.say)))
        for name, part in spoken:
            if name in questions and part in ANSWERS and not _HEDGE.search(told.speech.text):
                text = (
                    f"{{{name}.{part}}} is spoken as if it were known: say that it is possible, or"
                    " what remains of those compared"
                )
                yield Complaint((*path, "say"), text, name)
        for name, part in _printed_barely(written[told.slide.id]):
            if name in questions and part in ANSWERS:
                text = (
                    f"slide `{told.slide.id}` prints {{{name}.{part}}} as if it were known: print"
                    " it with a word such as possible, or on its `materials` slide"
                )
                yield Complaint(path, text, name)


def _printed_barely(slide: OwnSlide) -> Iterator[tuple[str, str]]:
    """What a page without the caution prints in lines without a word that leaves room."""
    if isinstance(slide, MaterialsSlide):
        return
    for line in _lines(slide.model_dump(exclude={"say"})):
        if not _HEDGE.search(line):
            yield from printed_in(line)


def _lines(part: object) -> Iterator[str]:
    match part:
        case str():
            yield part
        case dict():
            yield from (line for inner in part.values() for line in _lines(inner))
        case tuple() | list():
            yield from (line for inner in part for line in _lines(inner))


def find_named_by_numbers(heard: Heard) -> Findings:
    """A finding that names a material, rests on CT numbers alone, and is surer than possible.

    Why: CT numbers can exclude a substance and cannot name one. What names it is something else:
    bubbles, a grain, a weave, an analysis.

    Instead: call it possible, name in the evidence what else speaks for it, or say under
    `although` why the numbers are enough here.

    Source: common practice; published CT numbers of mummies and bog bodies differ strongly from
    those of the living (C. Villa and N. Lynnerup, Anthropologischer Anzeiger, 2012).
    """
    findings = told_findings((told.slide for _, told in heard.slides), heard.source.board)
    bold = {
        name: finding
        for name, finding in findings.items()
        if finding.certainty in ("observed", "almost certain", "probable")
        and not finding.although
        and all(_is_ct_number(one, heard) for one in finding.evidence)
    }
    if not bold:
        return
    names = known_candidates(heard.source.board)
    for name, finding in bold.items():
        if (material := _material_in(finding, names)) is not None:
            text = (
                f"`{name}` names {material} and is called {finding.certainty}, and it rests on CT"
                " numbers alone: write `certainty: possible`, or add what else speaks for it"
            )
            yield Complaint(("findings", name, "certainty"), text, name)


def _is_ct_number(evidence: str, heard: Heard) -> bool:
    """Whether a piece of evidence is a CT number, or made of nothing else."""
    name, _, part = evidence.partition(".")
    if name in heard.source.board.materials or name in heard.source.board.contrasts:
        return True
    return part in VALUE_PARTS


def _material_in(finding: Finding, names: frozenset[str]) -> str | None:
    said = finding.statement.lower()
    named = (name for name in names if re.search(rf"\b{re.escape(name)}\b", said))
    return min(named, key=lambda name: (said.index(name), -len(name)), default=None)


RULES = (
    Rule("bare-answer", "warning", find_bare_answers),
    Rule("named-by-numbers", "error", find_named_by_numbers),
)
