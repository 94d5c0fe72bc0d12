"""The order in which letters of Hebrew, Arabic and other right-to-left scripts stand on a line:
the Unicode Bidirectional Algorithm (UAX #9, Unicode 15.0), for text without embeddings, overrides
and isolates, which authors of slides do not write (rules P2-P3, W1-W7, N0-N2, I1-I2, L1-L2).
"""

import re
import unicodedata
from collections.abc import Iterator, Sequence
from typing import Literal, TypeAlias

Span: TypeAlias = tuple[int, int]  # first letter, one past the last
Direction: TypeAlias = Literal["ltr", "rtl"]

_RIGHT_TO_LEFT = re.compile(
    "[\u0590-\u08ff\u200f\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff]"
)
_LANGUAGES = {"ar", "arc", "ckb", "dv", "fa", "he", "iw", "ps", "sd", "syr", "ug", "ur", "yi"}

# BidiBrackets.txt, Unicode 15.0: the pairs of the blocks that texts use
_PAIRS = {
    pair[0]: pair[1]
    for pair in [
        "()",
        "[]",
        "{}",
        "⁅⁆",
        "⁽⁾",
        "₍₎",
        "⌈⌉",
        "⌊⌋",
        "⟦⟧",
        "⟨⟩",
        "⟪⟫",
        "〈〉",
        "《》",
        "「」",
        "『』",
        "【】",
        "〔〕",
        "〖〗",
        "〘〙",
        "〚〛",
        "（）",
        "［］",
        "｛｝",
        "｢｣",
        "༺༻",
        "༼༽",
        "᚛᚜",
        "❨❩",
        "❪❫",
        "❬❭",
        "❮❯",
        "❰❱",
        "❲❳",
        "❴❵",
    ]
}
_OPENING = {close: opening for opening, close in _PAIRS.items()}
_MOST_OPEN = 63  # BD16

# BidiMirroring.txt: signs that are not brackets and face the other way
_FACING = {
    pair[side]: pair[1 - side]
    for pair in ["<>", "«»", "‹›", "≤≥", "≪≫", "∈∋", "⊂⊃"]
    for side in (0, 1)
}

_STRONG = {"L", "R", "AL"}
_NEUTRAL = {"B", "S", "WS", "ON"}


def has_right_to_left(text: str) -> bool:
    """Whether any letter of the text may be written from right to left."""
    return _RIGHT_TO_LEFT.search(text) is not None


def reads_right_to_left(language: str) -> bool:
    """Whether a language (BCP 47) is written from right to left, unless it names a script."""
    primary, _, rest = language.partition("-")
    return primary.lower() in _LANGUAGES and "latn" not in rest.lower()


def direction_of(text: str, language: str) -> Direction:
    """The direction of a paragraph: that of its first strong letter (P2, P3). In a talk whose
    language is written from right to left, one such letter is enough: a sentence may begin with
    "CT". Numbers alone run from left to right.
    """
    if not has_right_to_left(text):
        return "ltr"
    strong = [kind for kind in map(unicodedata.bidirectional, text) if kind in _STRONG]
    if reads_right_to_left(language) and set(strong) & {"R", "AL"}:
        return "rtl"
    return "rtl" if strong and strong[0] != "L" else "ltr"


def embedding_levels(text: str, direction: Direction) -> list[int]:
    """The level of each letter of a paragraph: even ones run to the right, odd ones to the left."""
    base = 1 if direction == "rtl" else 0
    kinds = [unicodedata.bidirectional(letter) or "L" for letter in text]
    edge = "R" if base else "L"
    resolved = _weak(_marks(kinds, edge), edge)
    _brackets(text, kinds, resolved, edge)
    _neutrals(resolved, edge)
    return [base + _raised(base, kind) for kind in resolved]


def visual_order(levels: Sequence[int], whitespace: Sequence[bool], base: int) -> list[int]:
    """The letters of one line from left to right (L1 for its end, L2)."""
    levels = list(levels)
    for at in range(len(levels) - 1, -1, -1):
        if not whitespace[at]:
            break
        levels[at] = base
    order = list(range(len(levels)))
    for level in range(max(levels, default=0), 0, -1):
        for start, end in _stretches_from(levels, order, level):
            order[start:end] = order[start:end][::-1]
    return order


def mirrored(text: str) -> str:
    """Signs of a stretch that runs to the left, as drawn from left to right (L2, L4)."""
    facing = _PAIRS | _OPENING | _FACING
    return "".join(facing.get(letter, letter) for letter in reversed(text))


def _stretches_from(levels: Sequence[int], order: Sequence[int], level: int) -> Iterator[Span]:
    start = None
    for at, place in enumerate([*order, None]):
        inside = place is not None and levels[place] >= level
        if inside and start is None:
            start = at
        elif not inside and start is not None:
            yield start, at
            start = None


def _raised(base: int, kind: str) -> int:
    """I1, I2."""
    if base % 2 == 0:
        return {"R": 1, "AN": 2, "EN": 2}.get(kind, 0)
    return 1 if kind in {"L", "EN", "AN"} else 0


def _marks(kinds: Sequence[str], edge: str) -> list[str]:
    """W1: a mark set on a letter is of its kind."""
    done: list[str] = []
    for kind in kinds:
        before = done[-1] if done else edge
        done.append(before if kind == "NSM" else kind)
    return done


def _weak(kinds: list[str], edge: str) -> list[str]:
    """W2 to W7: numbers and their signs."""
    kinds = _after_arabic(kinds)
    for at in range(1, len(kinds) - 1):  # W4
        before, after = kinds[at - 1], kinds[at + 1]
        between_numbers = before == after and before in {"EN", "AN"}
        if between_numbers and (kinds[at] == "CS" or (kinds[at] == "ES" and before == "EN")):
            kinds[at] = before
    for start, end in _runs_of(kinds, {"ET"}):  # W5
        if "EN" in kinds[max(start - 1, 0) : start] + kinds[end : end + 1]:
            kinds[start:end] = ["EN"] * (end - start)
    kinds = ["ON" if kind in {"ES", "ET", "CS"} else kind for kind in kinds]  # W6
    last = edge
    for at, kind in enumerate(kinds):  # W7
        if kind in {"L", "R"}:
            last = kind
        elif kind == "EN" and last == "L":
            kinds[at] = "L"
    return kinds


def _after_arabic(kinds: Sequence[str]) -> list[str]:
    """W2, W3: European digits after Arabic letters are Arabic numbers."""
    done, last = [], ""
    for kind in kinds:
        if kind in _STRONG:
            last = kind
        number = "AN" if kind == "EN" and last == "AL" else kind
        done.append("R" if number == "AL" else number)
    return done


def _runs_of(kinds: Sequence[str], wanted: set[str]) -> list[Span]:
    runs: list[Span] = []
    for at, kind in enumerate(kinds):
        if kind in wanted:
            if runs and runs[-1][1] == at:
                runs[-1] = (runs[-1][0], at + 1)
            else:
                runs.append((at, at + 1))
    return runs


def _brackets(text: str, first_kinds: Sequence[str], kinds: list[str], edge: str) -> None:
    """N0: both brackets of a pair get one direction."""
    for opening, closing in _pairs(text, kinds):
        inside = {_strong(kind) for kind in kinds[opening + 1 : closing]} - {""}
        if edge in inside:
            side = edge
        elif inside:
            before = (_strong(kind) for kind in reversed(kinds[:opening]))
            side = next((kind for kind in before if kind), edge)
        else:
            continue
        for at in (opening, closing):
            kinds[at] = side
            for mark in range(at + 1, len(kinds)):
                if first_kinds[mark] != "NSM":
                    break
                kinds[mark] = side


def _pairs(text: str, kinds: Sequence[str]) -> list[Span]:
    """BD16."""
    opened: list[tuple[str, int]] = []
    pairs: list[Span] = []
    for at, letter in enumerate(unicodedata.normalize("NFC", one) for one in text):
        if kinds[at] != "ON":
            continue
        if letter in _PAIRS:
            if len(opened) == _MOST_OPEN:
                break
            opened.append((letter, at))
        elif letter in _OPENING:
            for depth in range(len(opened) - 1, -1, -1):
                if opened[depth][0] == _OPENING[letter]:
                    pairs.append((opened[depth][1], at))
                    del opened[depth:]
                    break
    return sorted(pairs)


def _neutrals(kinds: list[str], edge: str) -> None:
    """N1, N2."""
    for start, end in _runs_of(kinds, _NEUTRAL):
        before = _strong(kinds[start - 1]) if start else edge
        after = _strong(kinds[end]) if end < len(kinds) else edge
        kinds[start:end] = [before if before == after else edge] * (end - start)


def _strong(kind: str) -> str:
    """A number counts as a right-to-left letter for what stands beside it."""
    return {"L": "L", "R": "R", "EN": "R", "AN": "R"}.get(kind, "")
