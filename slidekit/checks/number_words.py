"""Numbers as English authors type them: "7", "3.5", "seven", "twenty-four"."""

from fractions import Fraction

from slidekit.evidence.proportions import in_words

_NAMES = {in_words(number): number for number in range(13)} | {
    "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18,
    "nineteen": 19, "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60,
    "seventy": 70, "eighty": 80, "ninety": 90, "hundred": 100, "no": 0,
}  # fmt: skip
_WORD = "|".join(sorted(_NAMES, key=len, reverse=True))
NUMBER = rf"(?:\d+(?:\.\d+)?|(?:{_WORD})(?:-(?:{_WORD}))?)"
"""A pattern without groups, for `re.I`."""


def number_of(text: str) -> Fraction:
    """The value of what `NUMBER` matches."""
    if text[0].isdigit():
        return Fraction(text)
    return Fraction(sum(_NAMES[word] for word in text.lower().split("-")))
