"""Marks and numbers of things as English words name them."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from slidekit.checks.english.numbers import MULTIPLES, NUMBER, number_of

SHAPE_WORDS = {
    "ellipse": "ellipse", "oval": "ellipse", "circle": "ellipse", "rectangle": "rectangle",
    "box": "rectangle", "square": "rectangle", "outline": "polygon", "polygon": "polygon",
    "arrow": "arrow", "line": "line", "angle": "angle", "cross": "point",
}  # fmt: skip
"""Word: the shape of a region that it may mean."""

_HUES = "red|orange|yellow|green|turquoise|cyan|blue|purple|violet|pink|brown"
_GREYS = "white|black|gr[ae]y"  # a scan itself has white lines and grey boxes
_DRAWN = "ellipse|oval|rectangle|polygon|arrow"
_LOOK = r"(?:,?\s+(?:dashed|dotted|solid|broken|thin|thick))?"
_PAIR = re.compile(
    rf"\b(?:({_HUES}){_LOOK}\s+({'|'.join(SHAPE_WORDS)})|({_GREYS}){_LOOK}\s+({_DRAWN}))\b(?!\s+of\b)",
    re.I,
)
_ALONE = re.compile(r"\bthe\s+(ellipse|oval|rectangle|arrow)\b(?!\s+(?:of|in)\b|-|head)", re.I)
_LETTERED = re.compile(
    r"(?:\b(?i:at|by|in|see|the)\s+(?:mark|letter)|\b([Ee]llipse|[Oo]val|[Rr]ectangle|[Aa]rrow|[Cc]ross))"
    r"\s+([A-H])\b(?!['’.]\s*[A-Z])"
)
_SAME_HUE = {"violet": "purple", "cyan": "turquoise", "grey": "gray"}


@dataclass(frozen=True)
class NamedMark:
    """A mark as words name it; "" for what they do not say."""

    words: str
    color: str = ""
    shape: str = ""
    letter: str = ""

    def fits(self, spoken: str, shape: str, letter: str) -> bool:
        """Whether a mark that is called `spoken` ("sky blue ellipse") may be meant."""
        hue = _same_hue(spoken.split()[-2]) if len(spoken.split()) > 1 else ""
        return self.shape in ("", shape) and self.color in ("", hue) and self.letter in ("", letter)


def _same_hue(word: str) -> str:
    return _SAME_HUE.get(word.lower(), word.lower())


def named_marks(typed: str) -> Iterator[NamedMark]:
    """Marks that the words name by themselves: "purple ellipse", "the arrow", "arrow B"."""
    for found in _PAIR.finditer(typed):
        color, shape = found[1] or found[3], found[2] or found[4]
        yield NamedMark(found[0], _same_hue(color), SHAPE_WORDS[shape.lower()])
    for found in _ALONE.finditer(typed):
        yield NamedMark(found[0], shape=SHAPE_WORDS[found[1].lower()])
    for found in _LETTERED.finditer(typed):
        shape = SHAPE_WORDS[found[1].lower()] if found[1] else ""
        yield NamedMark(found[0], shape=shape, letter=found[2])


_WORD = re.compile(r"[^\W\d_]+")
_ENDS_NOUN = re.compile(r"[,;:()]|\b(?:of|in|on|at|with|for|from|to|that|which|under|beside)\b")
_ARTICLE = re.compile(rf"(?:the|an?|its|his|her|their|{NUMBER})\s+", re.I)


def head_noun(called: str) -> tuple[int, str]:
    """How many, and of what: (3, "layer") of "three layers of cloth"."""
    phrase = _ENDS_NOUN.split(called)[0]
    number = 1
    while found := _ARTICLE.match(phrase):
        word = found[0].strip()
        if word.lower() not in {"the", "a", "an", "its", "his", "her", "their"}:
            number = int(number_of(word))
        phrase = phrase[found.end() :]
    words = _WORD.findall(phrase)
    return number, singular(words[-1]) if words else ""


def singular(noun: str) -> str:
    """By the regular rules: enough to hold two words against each other."""
    noun = noun.lower()
    if noun.endswith("ies") and len(noun) > 4:
        return noun[:-3] + "y"
    if noun.endswith(("xes", "ches", "shes", "sses")):
        return noun[:-2]
    return noun[:-1] if noun.endswith("s") and not noun.endswith("ss") else noun


_POINTED_AT = (
    r"(?:\b(?:the|these|those|all|are|here|you see|we see|you count|we count)\s+)(?:the\s+)?"
)
_COUNT = rf"({NUMBER})(?=((?:\s+[^\W\d_]+){{1,3}}))"
_COUNTED = re.compile(rf"{_POINTED_AT}{_COUNT}", re.I)
_PRINTED = re.compile(rf"(?:^|{_POINTED_AT}){_COUNT}", re.I)


def counted_things(typed: str, *, printed: bool = False) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Numbers of two and more of what is pointed at, with the words that follow: "these four dark
    bands" gives both words. "Two bands are thick" may well leave out others; where it is printed,
    as a title or caption, it does not."""
    for found in (_PRINTED if printed else _COUNTED).finditer(typed):
        number = number_of(found[1])
        words = _ENDS_NOUN.split(found[2])[0].split()
        is_whole = number.denominator == 1 and not set(words) & set(MULTIPLES)
        if number >= 2 and is_whole:
            yield int(number), tuple(words)
