"""Numbers as English authors type them: "7", "3.5", "seven", "twenty-four"."""

from fractions import Fraction

from slidekit.evidence.counts.proportions import in_words

_NAMES = {in_words(number): number for number in range(13)} | {
    "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18,
    "nineteen": 19, "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60,
    "seventy": 70, "eighty": 80, "ninety": 90, "hundred": 100, "no": 0,
}  # fmt: skip
_WORD = "|".join(sorted(_NAMES, key=len, reverse=True))
NUMBER = rf"(?:\d+(?:\.\d+)?|(?:{_WORD})(?:-(?:{_WORD}))?)"
"""A pattern without groups, for `re.I`."""

MULTIPLES = ("hundred", "thousand", "million", "dozen")
"""What makes another number of the one before it."""

WHOLE = "".join(rf"(?<!{word}\s)" for word in (*MULTIPLES, "and", "point", "to", "or"))
"""Before `NUMBER`: it is not the end of a longer number or range, as in "two hundred and forty"."""


def number_of(text: str) -> Fraction:
    """The value of what `NUMBER` matches."""
    if text[0].isdigit():
        return Fraction(text)
    return Fraction(sum(_NAMES[word] for word in text.lower().split("-")))
