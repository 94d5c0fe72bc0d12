"""How many words a speaker says, and so how long a text takes."""

import re

_UNSPACED = r"\u3040-\u30ff\u3400-\u4dbf\u4e00-\u9fff\uf900-\ufaff"  # kana and ideographs
_LETTER = rf"(?:(?![{_UNSPACED}])[^\W\d_])"
_SPOKEN_PIECE = re.compile(
    r"(?P<decimal>\d+[.]\d+)"
    r"|(?P<number>\d{1,3}(?:,\d{3})+(?!\d)|\d+)(?P<ending>st\b|nd\b|rd\b|th\b|s\b)?"
    rf"|(?P<capitals>[A-Z]{{2,4}}(?!{_LETTER}))"
    rf"|(?P<unspaced>[{_UNSPACED}]+)"
    rf"|(?P<word>{_LETTER}+(?:['’]{_LETTER}+)*)"
    r"|(?P<between>(?<=\d)[–—/-](?=\d))"
    r"|(?P<minus>(?<!\w)[-−](?=\d))"
    r"|(?P<sign>[%°×&+=²³<>±])"
)
_SIGN_WORDS = {"<": 2, ">": 2, "±": 3}  # less than, more than, plus or minus; others are one word
_SHORT_FOR = {"e.g.": 2, "i.e.": 2, "etc.": 2}  # for example, that is, et cetera
WORDS_PER_LETTER = 0.4
"""Of Chinese and Japanese, which are written without spaces: 300 letters are said in the time of
120 words (common practice)."""


def count_words(text: str) -> int:
    """How many words a speaker says, by English habits.

    Numbers count as the words they are spoken as ("263": two hundred and sixty-three, five words),
    those from 1100 to 1999 and from 2010 to 2099 as years ("1290": twelve ninety); a decimal point
    is a word and each digit after it; a dash or stroke between numbers is one ("to", "of").
    Two to four capitals are spelled ("CT", "BCE"), parts of a hyphenated word count singly, signs
    are words ("%", "×"), and "e.g.", "i.e." and "etc." are two. So "c. 1290 BCE" is six words.
    """
    return sum(_count_token(token) for token in text.split())


def _count_token(token: str) -> int:
    if token in _SHORT_FOR:
        return _SHORT_FOR[token]
    return sum(_count_piece(piece) for piece in _SPOKEN_PIECE.finditer(token))


def _count_piece(piece: re.Match[str]) -> int:
    match piece.lastgroup:
        case "unspaced":
            return max(1, round(len(piece[0]) * WORDS_PER_LETTER))
        case "number" | "ending":
            return _count_number(piece["number"])
        case "decimal":
            whole, digits = piece[0].split(".")
            return _count_cardinal(int(whole)) + 1 + len(digits)
        case "capitals":
            return len(piece[0])
        case "sign":
            return _SIGN_WORDS.get(piece[0], 1)
    return 1


def _count_number(digits: str) -> int:
    number = int(digits.replace(",", ""))
    if len(digits) == 4 and (1100 <= number < 2000 or 2010 <= number < 2100):
        tens = number % 100
        return _count_cardinal(number // 100) + (2 if 0 < tens < 10 else _count_cardinal(tens))
    return _count_cardinal(number) if number < 10**9 else len(digits)


def _count_cardinal(number: int) -> int:
    """Words of a number below a thousand million: "two hundred and sixty-three" has five."""
    for unit in (1_000_000, 1000, 100):
        if number >= unit:
            rest = number % unit
            joined = 1 if 0 < rest < 100 else 0  # "and"
            above = _count_cardinal(number // unit) + 1
            return above + (joined + _count_cardinal(rest) if rest else 0)
    return 2 if number > 20 and number % 10 else 1
