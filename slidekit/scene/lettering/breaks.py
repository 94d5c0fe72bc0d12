"""Where a line may end: at spaces, and in scripts without spaces between letters.

Chinese and Japanese break between any two letters, but no line begins with a closing sign or a
small kana and none ends with an opening one. The classes are those of the Unicode Line Breaking
Algorithm (UAX #14, Unicode 15.0): CL, CP, EX, IN, IS, NS, CJ, PO before which none may break; OP,
PR after which none may. Korean keeps its words whole, the style of UAX #14 section 8 for text that
has spaces.
"""

import re
import unicodedata
from functools import lru_cache
from itertools import pairwise
from typing import TypeAlias

Span: TypeAlias = tuple[int, int]  # first letter, one past the last

_WORD = re.compile(r"[^ ]+")
_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:[mc]m[²³]?|HU|keV|kV|%)(?!\w))")
_AFTER_DASH = re.compile(r"(?<=[^\W\d])[-–—/](?=[^\W\d])")  # not in "-5", "1300–1200", "//"
_HANGUL = re.compile("[\u1100-\u11ff\u3130-\u318f\ua960-\ua97f\uac00-\ud7ff\uffa0-\uffdc]")
_SMALL_KANA = (
    "ぁぃぅぇぉっゃゅょゎゕゖァィゥェォッャュョヮヵヶㇰㇱㇲㇳㇴㇵㇶㇷㇸㇹㇺㇻㇼㇽㇾㇿｧｨｩｪｫｬｭｮｯ"
)
_NEVER_FIRST = frozenset(
    "、。，．：；？！｡､･・゛゜ﾞﾟー～〜ｰ々〻ゝゞヽヾ〆〱〲〳〴〵〵"
    "）〕］｝〉》」』】〗〙〛〟｠｣)]}»›”’"
    "…‥‼⁇⁈⁉,.:;!?%‰°′″℃％￠¢" + _SMALL_KANA
)
_NEVER_LAST = frozenset("（〔［｛〈《「『【〖〘〚〝｟｢([{«‹“‘$£¥€￥￡＄№±+−")
_NEVER_PARTED = frozenset("\u00a0\u2011\u202f\u2060\u200d\ufeff\"'")  # GL, WJ, ZWJ, straight QU


@lru_cache(maxsize=4096)
def unbroken_pieces(text: str, *, at_dashes: bool) -> tuple[Span, ...]:
    """Stretches that a line break does not divide, without the spaces between them.

    `at_dashes`: lines also end after a dash or slash between letters, where programs differ.
    """
    pieces: list[Span] = []
    for word in _WORD.finditer(text):
        start, end = word.span()
        dashes = _AFTER_DASH.finditer(text, start, end) if at_dashes else ()
        breaks = {dash.end() for dash in dashes} | _between_letters(text, start, end)
        pieces += pairwise((start, *sorted(breaks), end))
    return tuple(pieces)


def unbroken(text: str) -> str:
    """The text, as long as it was, with a no-break space between each number and its unit."""
    return _BEFORE_UNIT.sub("\N{NO-BREAK SPACE}", text)


def breaks_anywhere(text: str) -> bool:
    """Whether the text has letters between which lines end without a space."""
    return any(map(_stands_alone, text))


def _between_letters(text: str, start: int, end: int) -> set[int]:
    if text.isascii():
        return set()
    return {at for at in range(start + 1, end) if _may_part(text[at - 1], text[at])}


def _may_part(before: str, after: str) -> bool:
    if not (_stands_alone(before) or _stands_alone(after)):
        return False
    if before in _NEVER_LAST or after in _NEVER_FIRST:
        return False
    if unicodedata.category(after) in {"Mn", "Me", "Mc", "Sk"}:  # drawn upon what is before
        return False
    if before == after and after in "—⸺":  # a long dash of two, B2
        return False
    return not {before, after} & _NEVER_PARTED


def _stands_alone(letter: str) -> bool:
    """Ideographs, kana and the signs as wide as they (UAX #11: Wide, Fullwidth, Halfwidth)."""
    wide = letter >= "\u1100" and unicodedata.east_asian_width(letter) in "WFH"
    return wide and not _HANGUL.match(letter)
