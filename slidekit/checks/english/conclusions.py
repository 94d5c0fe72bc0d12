"""Words that say how sure a speaker is, and the findings that they are said of. English only."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from slidekit.evidence.certainty import RUNGS, Certainty, Rung
from slidekit.storyboard.findings import Finding

_SAYING: Mapping[Rung, str] = {
    "almost certain": (
        r"(?:almost|nearly|virtually|practically|all but) (?:certain(?:ly)?|sure(?:ly)?|proven?)"
        r"|must have"
    ),
    "probable": r"probabl[ey]|probability|(?<!un)likely|presumabl[ey]",
    "possible": r"possibl[ey]|possibility|perhaps|maybe|might|could",
    "observed": (
        r"certain(?:ly)?|prov(?:e|es|ed|en|ing)|proof|definite(?:ly)?|undoubted(?:ly)?|no doubt"
        r"|without (?:a |any )?doubt|beyond (?:all |any )?doubt|unquestionabl[ey]|we know"
    ),
}
"""What is said of each rung, in the order in which the words are looked for; customary usage."""

_WORD = re.compile(
    r"\b(?:"
    + "|".join(f"(?P<r{RUNGS.index(rung)}>{words})" for rung, words in _SAYING.items())
    + r")\b",
    re.IGNORECASE,
)
_SENTENCE_END = re.compile(r"(?<=[.!?…])\s+|\n+")
_DENIED_BEFORE = re.compile(
    r"\b(?:not|no|never|nobody|nothing|hardly|cannot|neither|nor|less|if|whether|\w+n['’]t)"
    r"(?:\W+\w+){0,2}\W*$",
    re.IGNORECASE,
)
_DENIED_AFTER = re.compile(r"\W+(?:nothing|no|neither|little)\b", re.IGNORECASE)
_LETTERS = re.compile(r"[^\W\d_]{3,}")
_COMMON_WORDS = """
about after all also and any are because been before but can could did does down each even few
for from had has have her here his how into its just like many may more most much must nor not
now off once one only other our out over own same she should some such than that the their them
then there these they this those through too under until upon very was were what when where
which while who whom whose why will with without would you your
"""
_COMMON = frozenset(_COMMON_WORDS.split())
_ALIKE = 4  # letters: "drilled" and "drill", "burial" and "buried"
_SHARED = 0.5  # of the telling words of a statement
_FEWEST = 2


@dataclass(frozen=True)
class Conclusion:
    """A word that is too strong for the finding it is said of."""

    finding: str
    said: str
    before: str  # what the speaker has said by then, for the line


def find_too_strong(text: str, findings: Mapping[str, Finding]) -> Iterator[Conclusion]:
    """Each word of certainty in spoken `text` that is stronger than a finding of which its part of
    the sentence speaks: the part that shares most of the statement's telling words."""
    statements = {name: telling_words(one.statement) for name, one in findings.items()}
    for rung, found, part in _claims(text):
        words = telling_words(part)
        shared = {
            name: len(words & stems)
            for name, stems in statements.items()
            if len(words & stems) >= max(_FEWEST, _SHARED * len(stems))
        }
        for name in shared:
            if RUNGS.index(rung) > _most(findings[name].certainty):
                yield Conclusion(name, found[0], text[: found.start()])


def telling_words(text: str) -> frozenset[str]:
    """The first letters of the words that a sentence is about."""
    words = (found[0].lower() for found in _LETTERS.finditer(text))
    return frozenset(word[:_ALIKE] for word in words if word not in _COMMON)


def _most(certainty: Certainty) -> int:
    """The rung that words may reach; of what cannot be shown one may still say "perhaps"."""
    return 0 if certainty == "cannot be shown" else RUNGS.index(certainty)


def _claims(text: str) -> Iterator[tuple[Rung, re.Match[str], str]]:
    """Each word of certainty that is not denied, and the part of its sentence that it governs: up
    to the next such word; the first one has the sentence from its beginning."""
    start = 0
    for end in [*(found.start() for found in _SENTENCE_END.finditer(text)), len(text)]:
        words = list(_WORD.finditer(text, start, end))
        for i, found in enumerate(words):
            first = start if i == 0 else found.start()
            last = words[i + 1].start() if i + 1 < len(words) else end
            before, after = text[start : found.start()], text[found.end() : end]
            if not (_DENIED_BEFORE.search(before) or _DENIED_AFTER.match(after)):
                yield RUNGS[int((found.lastgroup or "r0")[1:])], found, text[first:last]
        start = end
