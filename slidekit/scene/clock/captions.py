"""The spoken words cut into captions, with the time at which each is said.

A caption has at most two lines, and breaks where the sentence does. It stands while its words are
said, and longer where it could not be read in that time and nothing is said after it.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from slidekit.scene.clock.schedule import Passage, Said, Schedule, Silence
from slidekit.scene.clock.timed_words import TimedWord, timed_words
from slidekit.storyboard.words import opens_sentence

LINE_LETTERS = 37
"""Of broadcasters' fixed grids (from memory)."""
READING_WPM = 180.0
"""What viewers read without hurry is 160 to 180 words per minute (Ofcom, BBC)."""
LONGEST_LAG_S = 1.5
"""A caption stands no longer than this after its words (BBC subtitle guidelines 1.1.7, 5.2)."""
SHORTEST_S = 1.0
LONGEST_S = 7.0
SHORTEST_GAP_S = 1.0
"""Less, or more than so many seconds of one caption, disturbs (common practice)."""

_ABBREVIATED = re.compile(r"\d$|\.$")  # a number before its unit, "c." before its year
_CLAUSE_END = re.compile(r"""[,;:–—]["'”’)\]]*$""")
_LEANS_ON_NEXT = frozenset(
    [
        "a",
        "an",
        "the",
        "of",
        "in",
        "on",
        "at",
        "to",
        "for",
        "from",
        "by",
        "with",
        "into",
        "onto",
        "under",
        "over",
        "between",
        "about",
        "and",
        "or",
        "but",
        "nor",
        "as",
        "if",
        "than",
        "that",
        "this",
        "these",
        "those",
        "its",
        "his",
        "her",
        "our",
        "your",
        "their",
        "my",
        "no",
        "not",
        "is",
        "are",
        "was",
        "were",
        "be",
        "been",
        "has",
        "have",
        "had",
        "it",
        "he",
        "she",
        "we",
        "you",
        "they",
        "I",
    ]
)
"""A line that ends on one of these reads badly."""


@dataclass(frozen=True)
class Caption:
    """One or two lines, from `from_s` to `to_s` of the talk."""

    lines: tuple[str, ...]
    from_s: float
    to_s: float

    @property
    def text(self) -> str:
        return " ".join(self.lines)


def compose_captions(schedule: Schedule) -> tuple[Caption, ...]:
    """All words of the talk, in their order, none twice."""
    captions = [
        caption
        for turn in schedule.turns
        for passage in turn.passages
        for stretch in _stretches(passage)
        for caption in _captions_of(timed_words(stretch, schedule.words_per_min))
    ]
    return tuple(_readable(captions))


def _stretches(passage: Passage) -> list[list[Said]]:
    """Words between silences that can be heard as such."""
    stretches: list[list[Said]] = [[]]
    for piece in passage.pieces:
        if isinstance(piece, Said):
            stretches[-1].append(piece)
        elif isinstance(piece, Silence) and piece.seconds >= SHORTEST_GAP_S:
            stretches.append([])
    return stretches


def _captions_of(tokens: Sequence[TimedWord]) -> Iterator[Caption]:
    """The cheapest way to cut the tokens: shortest path over the places between them."""
    best: list[tuple[float, int]] = [(0.0, 0)]  # for each place: cost, and the place before
    for end in range(1, len(tokens) + 1):
        choices = [(best[end - 1][0] + _cost(tokens[end - 1 : end]), end - 1)]
        start = end - 2
        while start >= 0 and len(_text(tokens[start:end])) <= 2 * LINE_LETTERS + 1:
            if _fits(tokens[start:end]):
                choices.append((best[start][0] + _cost(tokens[start:end]), start))
            start -= 1
        best.append(min(choices))
    cuts = [len(tokens)]
    while cuts[-1] > 0:
        cuts.append(best[cuts[-1]][1])
    for start, end in pairwise(reversed(cuts)):
        part = tokens[start:end]
        yield Caption(_lines(part), part[0].at_s, part[-1].end_s)


def _cost(part: Sequence[TimedWord]) -> float:
    """Each caption costs; one that ends inside a clause costs more, and one that is soon over."""
    inside = sum(1 for token in part[:-1] if _ends_sentence(token))
    stands_s = part[-1].end_s - part[0].at_s
    hurry_s, length_s = max(0.0, 1.5 * SHORTEST_S - stands_s), max(0.0, stands_s - LONGEST_S)
    return 4.0 + _break_cost(part[-1]) + 4.0 * (inside + hurry_s) + 2.0 * length_s


def _break_cost(before: TimedWord) -> float:
    if _ends_sentence(before):
        return 0.0
    if _CLAUSE_END.search(before.text):
        return 2.0
    return 9.0 if before.text in _LEANS_ON_NEXT or _ABBREVIATED.search(before.text) else 5.0


def _ends_sentence(token: TimedWord) -> bool:
    return opens_sentence(f"{token.text} ")


def _fits(part: Sequence[TimedWord]) -> bool:
    text = _text(part)
    return len(text) <= LINE_LETTERS or any(True for _ in _two_lines(part))


def _lines(part: Sequence[TimedWord]) -> tuple[str, ...]:
    text = _text(part)
    if len(text) <= LINE_LETTERS:
        return (text,)
    # a single token longer than a line stands alone
    return min(_two_lines(part), default=(0.0, (text,)))[1]


def _two_lines(part: Sequence[TimedWord]) -> Iterator[tuple[float, tuple[str, str]]]:
    """Both lines and how badly they read: unequal, or broken inside a clause."""
    for cut in range(1, len(part)):
        lines = _text(part[:cut]), _text(part[cut:])
        if max(map(len, lines)) <= LINE_LETTERS:
            unequal = abs(len(lines[0]) - len(lines[1])) / LINE_LETTERS
            yield _break_cost(part[cut - 1]) + 6.0 * unequal, lines


def _text(part: Sequence[TimedWord]) -> str:
    return " ".join(token.text for token in part)


def _readable(captions: Sequence[Caption]) -> Iterator[Caption]:
    """Captions that stand until they can be read, or until the next; short gaps are closed."""
    for at, caption in enumerate(captions):
        next_s = captions[at + 1].from_s if at + 1 < len(captions) else float("inf")
        reading_s = max(len(caption.text.split()) / READING_WPM * 60, SHORTEST_S)
        wished_s = min(caption.from_s + reading_s, caption.to_s + LONGEST_LAG_S)
        to_s = min(max(caption.to_s, wished_s), next_s)
        yield replace(caption, to_s=next_s if next_s - to_s < SHORTEST_GAP_S else to_s)
