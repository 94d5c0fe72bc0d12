"""The spoken words of a slide: plain text with clicks and placeholders.

`[show coil, plug]` is the click at which regions appear. `{coil.mark}`, `{coil.letter}`,
`{coil.called}`, `{coil.length}` and `{coil}` speak what the talk knows of a name. `[pause 5]` is
five seconds of silence; `[may]` or `[should]` at its head says that a paragraph may go when time
is short. `{later: seal}` and `{earlier: coil}` refer to another slide. A doubled bracket (`[[`,
`]]`, `{{`, `}}`) writes one. Blank lines part paragraphs; other line ends are spaces. Nothing is
evaluated.
"""

import re
from collections.abc import Callable, Container, Iterable
from dataclasses import dataclass, field
from typing import TypeAlias

from slidekit.storyboard.keeping import Keep
from slidekit.wording import phrase, phrase_key

NAME = r"[a-z][a-z0-9_]*"

_PIECE = re.compile(
    r"(?P<doubled>\[\[|\]\]|\{\{|\}\})"
    r"|\[(?P<square>[^\[\]{}]*)\]"
    r"|\{(?P<curly>[^\[\]{}]*)\}"
    r"|(?P<lone>[\[\]{}])"
    r"|(?P<text>[^\[\]{}]+)"
)
_CLICK = re.compile(rf"\s*show\s+({NAME}(?:\s*,\s*{NAME})*)\s*")
_PAUSE = re.compile(r"\s*pause\s+(\d{1,3}(?:\.\d)?)\s*")
_RANK = re.compile(r"\s*(should|may)\s*")
PART = r"[^\W\d_]\w*"  # letters of any language: the forms of a term are parts of it
NAME_AND_PART = rf"({NAME})(?:\.((?:(?:until|overlap)\.)?{PART}))?"
"""A name, and the part of it that is meant: `coil.mark`, `twigs.until.ditch`."""
_PLACEHOLDER = re.compile(rf"\s*{NAME_AND_PART}\s*")
_REFERENCE = re.compile(rf"\s*(later|earlier)\s*:\s*(?:({NAME})\s*/\s*)?({NAME})\s*")
_PARAGRAPH_END = re.compile(r"[^\S\n]*\n(?:[^\S\n]*\n)+")


@dataclass(frozen=True)
class Words:
    """Plain text; white space runs are one space."""

    text: str


@dataclass(frozen=True)
class Click:
    """`[show a, b]`: the regions that appear together."""

    names: tuple[str, ...]
    at: int = field(default=0, compare=False, repr=False)  # character of the text, from 0


@dataclass(frozen=True)
class Placeholder:
    """`{name}` or `{name.part}`; `part` is "" for the bare name, "until.ditch" for two dates."""

    name: str
    part: str = ""
    at: int = field(default=0, compare=False, repr=False)  # character of the text, from 0

    @property
    def names(self) -> tuple[str, ...]:
        """Its name, and the second one of `{name.until.other}`."""
        return self.name, *self.part.split(".")[1:]


@dataclass(frozen=True)
class Pause:
    """`[pause 5]`: the speaker says nothing."""

    seconds: float


IN_THIS_TALK = {
    "earlier": phrase_key("earlier in this talk"),
    "later": phrase_key("later in this talk"),
}


@dataclass(frozen=True)
class Reference:
    """`{later: talk/slide}`, `{earlier: slide}`: what the audience sees at another time."""

    when: str  # a key of `IN_THIS_TALK`
    talk: str  # a name in the programme; "" for this talk
    slide: str
    at: int = field(default=0, compare=False, repr=False)  # character of the text, from 0


Token: TypeAlias = Words | Click | Placeholder | Pause | Reference


@dataclass(frozen=True)
class Paragraph:
    """Words up to a blank line."""

    tokens: tuple[Token, ...]
    keep: Keep = "must"


@dataclass(frozen=True)
class _Rank:
    """`[may]` or `[should]`, at the head of a paragraph."""

    keep: Keep
    at: int


@dataclass(frozen=True)
class Flaw:
    """A bracket that means nothing. `at` counts characters of the text from 0; `wrong` and
    `instead` are sentences without their full stop."""

    at: int
    wrong: str
    instead: str


def parse_words(say: str) -> tuple[Paragraph, ...]:
    """Paragraphs of tokens, without empty ones.

    Raises
    ------
    ValueError
        At the first flaw. The words of a board from `read_storyboard` have none.
    """
    paragraphs, flaws = _parse(say)
    if flaws:
        raise ValueError(f"at character {flaws[0].at}: {flaws[0].wrong}. {flaws[0].instead}.")
    return paragraphs


def find_flaws(say: str) -> tuple[Flaw, ...]:
    """Everything that `parse_words` would refuse, in order."""
    return _parse(say)[1]


def clicks(paragraphs: Iterable[Paragraph]) -> tuple[tuple[str, ...], ...]:
    """The region names of each click, in the order they are spoken."""
    return tuple(
        token.names
        for paragraph in paragraphs
        for token in paragraph.tokens
        if isinstance(token, Click)
    )


def placeholders(paragraphs: Iterable[Paragraph]) -> tuple[Placeholder, ...]:
    """All placeholders, in the order they are spoken."""
    return tuple(
        token
        for paragraph in paragraphs
        for token in paragraph.tokens
        if isinstance(token, Placeholder)
    )


def mentioned(paragraphs: Iterable[Paragraph]) -> set[str]:
    """The names that the words bring up, by a click or a placeholder."""
    paragraphs = tuple(paragraphs)
    shown = {name for names in clicks(paragraphs) for name in names}
    return shown | {name for place in placeholders(paragraphs) for name in place.names}


_ABBREVIATION = r"\b(?:approx|ca?|cf|e\.g|esp|figs?|i\.e|max|min|nos?|pp?|resp|vs|[A-Z])\."
_OPENS_SENTENCE = re.compile(r"""(?:^\s*|[.!?…]["'”’)\]]*\s+)["'“‘(\[]*$""")
_ENDS_ABBREVIATED = re.compile(_ABBREVIATION + r"""["'”’)\]]*\s+["'“‘(\[]*$""")


def without_paragraphs(say: str, left_out: Container[int]) -> str:
    """The words as written, without the paragraphs whose numbers, from 0 and as `parse_words`
    counts them, are in `left_out`."""
    written = _PARAGRAPH_END.split(say)
    kept: list[str] = []
    number = 0
    for text in written:
        if not parse_words(text):
            continue
        if number not in left_out:
            kept.append(text)
        number += 1
    return "\n\n".join(kept)


def references(paragraphs: Iterable[Paragraph]) -> tuple[Reference, ...]:
    """All references to other slides, in the order they are spoken."""
    return tuple(
        token
        for paragraph in paragraphs
        for token in paragraph.tokens
        if isinstance(token, Reference)
    )


def speak(
    paragraphs: Iterable[Paragraph], resolver: Callable[[str, str], str]
) -> tuple[Paragraph, ...]:
    """The paragraphs with every placeholder replaced by `resolver(name, part)`; clicks stay.

    What opens a sentence gets a capital: "The orange ellipse". No sentence ends at the full stop
    of "c.", "e.g.", "fig." and their like, or of a single capital letter.
    """
    return tuple(_spoken(paragraph, resolver) for paragraph in paragraphs)


def opens_sentence(said: str) -> bool:
    """Whether what comes after `said` begins a sentence."""
    return bool(_OPENS_SENTENCE.search(said)) and not _ENDS_ABBREVIATED.search(said)


def after_stop(said: str, following: str) -> str:
    """What follows, without a second full stop: "800 v. Chr." ends a sentence by itself."""
    return following[1:] if said.endswith(".") and following.startswith(".") else following


def plain(paragraphs: Iterable[Paragraph]) -> str:
    """The words alone, one line for each paragraph, as after `speak`.

    Raises
    ------
    ValueError
        When a placeholder is left in.
    """
    return "\n".join(line for line in map(_plain_line, paragraphs) if line)


def _parse(say: str) -> tuple[tuple[Paragraph, ...], tuple[Flaw, ...]]:
    paragraphs: list[Paragraph] = []
    flaws: list[Flaw] = []
    start = 0
    for end, following in [*(m.span() for m in _PARAGRAPH_END.finditer(say)), (len(say), 0)]:
        paragraph, flawed = _paragraph(_PIECE.finditer(say, start, end))
        flaws += flawed
        if paragraph.tokens:
            paragraphs.append(paragraph)
        start = following
    return tuple(paragraphs), tuple(flaws)


def _paragraph(pieces: Iterable[re.Match[str]]) -> tuple[Paragraph, tuple[Flaw, ...]]:
    tokens: list[Token] = []
    flaws: list[Flaw] = []
    keep: Keep = "must"
    for token in map(_token, pieces):
        if isinstance(token, Flaw):
            flaws.append(token)
        elif not isinstance(token, _Rank):
            tokens.append(token)
        elif _merge(tokens):
            wrong = f"[{token.keep}] stands inside a paragraph"
            instead = "Write it at the head of the paragraph: it says that all of it may go"
            flaws.append(Flaw(token.at, wrong, instead))
        else:
            keep = token.keep
    return Paragraph(_merge(tokens), keep), tuple(flaws)


def _token(piece: re.Match[str]) -> Token | _Rank | Flaw:
    match piece.lastgroup:
        case "text":
            return Words(piece[0])
        case "doubled":
            return Words(piece[0][0])
        case "square":
            return _square(piece)
        case "curly":
            return _curly(piece)
    return _lone(piece)


def _square(piece: re.Match[str]) -> Click | Pause | _Rank | Flaw:
    if found := _CLICK.fullmatch(piece["square"]):
        return Click(tuple(re.split(r"\s*,\s*", found[1])), piece.start())
    if found := _PAUSE.fullmatch(piece["square"]):
        return Pause(float(found[1]))
    if found := _RANK.fullmatch(piece["square"]):
        return _Rank("may" if found[1] == "may" else "should", piece.start())
    return Flaw(
        piece.start(),
        f"{_on_one_line(piece[0])} is not known",
        "Write [show NAME], [pause 5], [may] or [should], or [[ and ]] for brackets that are part"
        " of the words",
    )


def _curly(piece: re.Match[str]) -> Placeholder | Reference | Flaw:
    if found := _REFERENCE.fullmatch(piece["curly"]):
        return Reference(found[1], found[2] or "", found[3], piece.start())
    if found := _PLACEHOLDER.fullmatch(piece["curly"]):
        return Placeholder(found[1], found[2] or "", piece.start())
    return Flaw(
        piece.start(),
        f"{_on_one_line(piece[0])} is not known",
        "Write {NAME} or {NAME.part}, as in {coil.mark}, or {{ and }} for brackets that are part"
        " of the words",
    )


def _on_one_line(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= 40 else f"{line[:30]}...{line[-1]}"


def _lone(piece: re.Match[str]) -> Flaw:
    bracket = piece[0]
    near = piece.string[piece.start() :].split("\n")[0][:24]
    if bracket in "[{":
        closing = {"[": "]", "{": "}"}[bracket]
        wrong = f"the bracket {bracket} is not closed, at “{near}”"
        instead = f"Close it with {closing}, or write {bracket * 2} when it is part of the words"
    else:
        before = piece.string[: piece.end()].split("\n")[-1][-24:]
        wrong = f"the bracket {bracket} closes nothing, at “{before}”"
        instead = f"Remove it, or write {bracket * 2} when it is part of the words"
    return Flaw(piece.start(), wrong, instead)


def _merge(tokens: Iterable[Token]) -> tuple[Token, ...]:
    """Neighbouring words as one, white space as single spaces, none at the two ends."""
    merged: list[Token] = []
    for token in tokens:
        last = merged[-1] if merged else None
        if isinstance(token, Words) and isinstance(last, Words):
            merged[-1] = Words(last.text + token.text)
        else:
            merged.append(token)
    for at, token in enumerate(merged):
        if isinstance(token, Words):
            text = re.sub(r"\s+", " ", token.text)
            text = text.lstrip() if at == 0 else text
            merged[at] = Words(text.rstrip() if at == len(merged) - 1 else text)
    return tuple(token for token in merged if token != Words(""))


def _spoken(paragraph: Paragraph, resolver: Callable[[str, str], str]) -> Paragraph:
    said = ""
    after_name = False
    tokens: list[Token] = []
    for token in paragraph.tokens:
        spoken: Token = token
        if isinstance(token, Placeholder):
            spoken = Words(_opening(resolver(token.name, token.part), said))
        elif isinstance(token, Words) and after_name:
            spoken = Words(after_stop(said, token.text))
        after_name = isinstance(token, Placeholder)
        if isinstance(token, Reference):
            spoken = Words(_opening(phrase(IN_THIS_TALK[token.when]), said))
        if isinstance(spoken, Words):
            said += spoken.text
        tokens.append(spoken)
    return Paragraph(_merge(tokens), paragraph.keep)


def _opening(text: str, said: str) -> str:
    """With a capital where a sentence begins after `said`."""
    return text[:1].upper() + text[1:] if opens_sentence(said) else text


def _plain_line(paragraph: Paragraph) -> str:
    line = ""
    after_cue = False
    for token in paragraph.tokens:
        match token:
            case Words(text=text) if after_cue:
                line = _joined(line, text)
            case Words(text=text):
                line += text
            case Placeholder(name=name, part=part):
                raise ValueError(f"{{{name}.{part}}} has not been spoken")
        after_cue = isinstance(token, Click | Pause)
    return line.strip()


def _joined(line: str, text: str) -> str:
    """Words on both sides of a cue, without a second space or one before a full stop."""
    if text[0] in ".,;:!?…)":
        return line.rstrip() + text
    return line + (text.lstrip() if not line or line[-1] == " " else text)
