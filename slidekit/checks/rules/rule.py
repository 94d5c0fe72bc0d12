"""What a rule is, and what it says."""

import inspect
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

from slidekit.checks.heard import Heard
from slidekit.storyboard.places import FieldPath

Severity: TypeAlias = Literal["error", "warning", "note"]
"""`error`: the audience is told or shown what is not so, or somebody may come to harm.
`warning`: the audience will probably not follow, see or believe. `note`: worth a thought."""


@dataclass(frozen=True)
class Complaint:
    """One thing that a rule has found. `text` is a sentence without its capital and full stop."""

    path: FieldPath  # where in the storyboard
    text: str
    name: str = ""  # the region, scan, finding ... that it is about, for waivers
    before: str | None = None  # in words: what comes before it, so that its own line is named


@dataclass(frozen=True)
class Unchecked:
    """What a rule could not look at, and what it would need."""

    why: str


Findings: TypeAlias = Iterator[Complaint | Unchecked]


@dataclass(frozen=True)
class Rule:
    """One name, one severity, one function.

    The docstring of the function is the page of reasons. Its first line says what the rule finds;
    paragraphs that begin with "Why:", "Instead:" and "Source:" follow.
    """

    name: str  # kebab-case
    severity: Severity
    find: Callable[[Heard], Findings]
    english_only: bool = False  # it knows English words, and looks at no others

    def found_in(self, heard: Heard) -> Findings:
        """What it has to say of a talk."""
        if self.english_only and not heard.is_english:
            language = heard.source.board.talk.language
            yield Unchecked(f"words are known in English only, not in `{language}`")
        else:
            yield from self.find(heard)

    @property
    def page(self) -> str:
        """Everything that `slidekit check --explain` prints."""
        return f"{self.name} ({self.severity})\n\n{inspect.getdoc(self.find)}"

    @property
    def summary(self) -> str:
        """What it finds, in one sentence."""
        return (inspect.getdoc(self.find) or "").splitlines()[0]
