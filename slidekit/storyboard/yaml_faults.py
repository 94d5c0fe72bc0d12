"""What a YAML parser complains of, in words for somebody who never meant to learn YAML.

The parser says where it could not go on; what the author did wrong is read off that line.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from slidekit.errors import Fault

_KEY = r"^\s*(?:-\s+)*[^\s:#][^:#]*:\s+"
_OPENS_WITH_BRACKET = re.compile(_KEY + r"[\[{]")
_OPENS_WITH_QUOTE = re.compile(_KEY + r"""(["'])""")
_COLONS = re.compile(r":(?=\s|$)")


@dataclass(frozen=True)
class Trouble:
    """What a parser said, and the lines it said it of; lines and columns count from 0."""

    problem: str
    context: str
    lines: tuple[str, ...]
    at: tuple[int, int]
    began: tuple[int, int]  # where what it was reading began

    @property
    def line(self) -> str:
        return self.lines[self.at[0]] if self.at[0] < len(self.lines) else ""

    @property
    def letter(self) -> str:
        return self.line[self.at[1] : self.at[1] + 1]

    @property
    def first_letter(self) -> str:
        """The letter with which what the parser was reading began."""
        line, column = self.began
        return self.lines[line][column : column + 1] if line < len(self.lines) else ""


_Advice = tuple[str, str, tuple[int, int]]


def explain(trouble: Trouble, file: Path) -> Fault:
    """The fault that made a text unreadable: line, column, what is wrong, what to write."""
    for advise in _ADVICE:
        if advice := advise(trouble):
            wrong, instead, (line, column) = advice
            return Fault(file, line + 1, f"column {column + 1}", wrong, instead)
    line, column = trouble.at
    wrong = f"this cannot be read as YAML ({trouble.problem})"
    instead = "Compare it with the lines above, or put quotes around the words"
    return Fault(file, line + 1, f"column {column + 1}", wrong, instead)


def _character(trouble: Trouble) -> _Advice | None:
    if not trouble.problem.startswith("character U+"):
        return None
    wrong = f"the invisible {trouble.problem} is not allowed in YAML"
    return wrong, "Delete it and type the words anew", trouble.at


def _tab(trouble: Trouble) -> _Advice | None:
    indent = re.match(r"\s*", trouble.line)
    if trouble.letter != "\t" and not (indent and "\t" in indent[0]):
        return None
    column = trouble.line.index("\t")
    return "a tab stands here", "Indent with spaces", (trouble.at[0], column)


def _open_quote(trouble: Trouble) -> _Advice | None:
    if "quoted scalar" not in trouble.context or trouble.first_letter not in ('"', "'"):
        return None
    if "escape character" in trouble.problem:
        wrong = "a backslash means something else between double quotation marks"
        return wrong, "Use single quotation marks: '...'", trouble.at
    mark = trouble.first_letter
    wrong = f"the quotation mark {mark} that stands here is not closed"
    other = '"' if mark == "'" else "'"
    return (
        wrong,
        f"Close it with {mark}, or put the words between {other} and {other}",
        trouble.began,
    )


def _open_bracket(trouble: Trouble) -> _Advice | None:
    if "flow " not in trouble.context or trouble.first_letter not in ("[", "{"):
        return None
    bracket = trouble.first_letter
    closing = {"[": "]", "{": "}"}[bracket]
    wrong = f"the bracket {bracket} opens a list here that is not closed, or lacks a comma"
    instead = (
        f"Write commas between its parts and {closing} at its end; words that hold a bracket,"
        " as in {coil.called}, need quotes around them"
    )
    return wrong, instead, trouble.began


def _after_opening(trouble: Trouble) -> _Advice | None:
    """Words that begin with a bracket or quotation mark and go on after its end."""
    if "expected key" not in trouble.problem and "block end" not in trouble.problem:
        return None
    if found := _OPENS_WITH_BRACKET.match(trouble.line):
        bracket = found[0][-1]
        wrong = (
            f"words that begin with {bracket} are read as a list, which ends before the words do"
        )
        instead = "Put quotes around the words, or write them on the next lines after `|`"
        return wrong, instead, (trouble.at[0], found.end() - 1)
    if found := _OPENS_WITH_QUOTE.match(trouble.line):
        wrong = f"the words go on after the closing quotation mark {found[1]}"
        instead = "Write the words on the next lines after `|`, where quotation marks mean nothing"
        return wrong, instead, trouble.at
    return None


def _reserved(trouble: Trouble) -> _Advice | None:
    if "cannot start any token" in trouble.problem:
        wrong = f"words cannot begin with {trouble.letter} in YAML"
    elif "undefined alias" in trouble.problem:
        wrong = "words that begin with * are read as the name of an anchor"
    else:
        return None
    return wrong, "Put quotes around the words", trouble.at


def _block_words(trouble: Trouble) -> _Advice | None:
    if "block scalar" not in trouble.context or "line break" not in trouble.problem:
        return None
    sign = trouble.first_letter
    wrong = f"words stand on the same line as the sign {sign}"
    return wrong, f"Begin them on the line below {sign}, indented", trouble.at


def _colon(trouble: Trouble) -> _Advice | None:
    if "mapping values are not allowed" not in trouble.problem:
        return None
    before = trouble.line[: trouble.at[1]]
    if _COLONS.search(before):
        wrong = "a second colon with a space after it stands in the line"
        return wrong, "Put quotes around the words that hold it", trouble.at
    wrong = "this line is indented more than the line above allows"
    instead = "Begin it under the name it belongs beside, or end the line above with a colon"
    return wrong, instead, (trouble.at[0], len(before) - len(before.lstrip()))


def _dash(trouble: Trouble) -> _Advice | None:
    if "sequence entries are not allowed" not in trouble.problem:
        return None
    wrong = "a list cannot begin on the line of its name"
    return (
        wrong,
        "Begin it on the next line, or put quotes around words that begin with -",
        trouble.at,
    )


def _no_colon(trouble: Trouble) -> _Advice | None:
    if "could not find expected ':'" not in trouble.problem:
        return None
    wrong = "this line has no colon after its name"
    return (
        wrong,
        "Write it as `name: value`, or indent it below the words it goes on",
        trouble.began,
    )


def _second_document(trouble: Trouble) -> _Advice | None:
    if "another document" not in trouble.problem and "document start" not in trouble.problem:
        return None
    wrong = "a second storyboard begins here, after `---` or `...`"
    return wrong, "Keep one storyboard in one file", trouble.at


def _indent(trouble: Trouble) -> _Advice | None:
    if not re.search("expected key|block end|'-' indicator", trouble.problem):
        return None
    wrong = f"this line is indented by {trouble.at[1]} spaces, unlike the lines it belongs to"
    return wrong, "Begin it exactly under the line it belongs beside", trouble.at


def _depth(trouble: Trouble) -> _Advice | None:
    if not re.search("nesting depth|recursion depth", trouble.problem):
        return None
    return "brackets stand within brackets without end", "Close them", trouble.at


_ADVICE: tuple[Callable[[Trouble], _Advice | None], ...] = (
    _depth,
    _character,
    _tab,
    _open_quote,
    _open_bracket,
    _after_opening,
    _reserved,
    _block_words,
    _colon,
    _dash,
    _no_colon,
    _second_document,
    _indent,
)
