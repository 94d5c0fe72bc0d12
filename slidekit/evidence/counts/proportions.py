"""A share of cases: k of n, how sure it is, and how it is written and said.

Percentages are rounded half up from the exact fraction: whole ones when n is below 100, with one
decimal from there on (reporting practice of medical journals). A share that is not nothing is
never written as 0 %, one that is not the whole never as 100 %.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import sqrt
from typing import NamedTuple

from slidekit.wording import figures, phrase, phrase_key

Z95 = 1.959963984540054
"""The 97.5 % point of the standard normal distribution."""

_FEW = 100  # below so many cases a percentage has no decimals
_SMALL_NUMBERS = (
    phrase_key("none"), phrase_key("one"), phrase_key("two"), phrase_key("three"),
    phrase_key("four"), phrase_key("five"), phrase_key("six"), phrase_key("seven"),
    phrase_key("eight"), phrase_key("nine"), phrase_key("ten"), phrase_key("eleven"),
    phrase_key("twelve"),
)  # fmt: skip
_FRIENDLY = tuple(
    dict.fromkeys(
        [Fraction(1, b) for b in range(2, 10)]
        + [Fraction(2, 3), Fraction(3, 4)]
        + [Fraction(a, 5) for a in (2, 3, 4)]
        + [Fraction(a, 10) for a in (1, 3, 7, 9)]
    )
)
_LIKENESS = Fraction(8, 100)  # of the rarer side: how far "about one in nine" may be off


class Interval(NamedTuple):
    """A range of shares, both ends included; differences may be negative."""

    low: float
    high: float


@dataclass(frozen=True)
class Proportion:
    """`k` of `n` cases have it; of `missing` more it is not known, and they are not in `n`."""

    k: int
    n: int
    missing: int = 0

    def __post_init__(self) -> None:
        if not 0 <= self.k <= self.n or self.n == 0 or self.missing < 0:
            raise ValueError(f"{self.k} of {self.n} is no share of cases")

    @property
    def share(self) -> Fraction:
        return Fraction(self.k, self.n)

    @property
    def interval(self) -> Interval:
        return wilson_interval(self.k, self.n)

    @property
    def spoken(self) -> str:
        """ "seven of 64", "none of 64", "all 64"."""
        if self.k == self.n and self.n > 1:
            return phrase("all {n}", n=in_words(self.n))
        return phrase("{k} of {n}", k=in_words(self.k), n=in_words(self.n))

    @property
    def percent(self) -> str:
        """ "11 %", with a no-break space."""
        return f"{self._percent(self.share)}\N{NO-BREAK SPACE}%"

    @property
    def percent_interval(self) -> str:
        """The 95 % interval: "5 to 21 %"."""
        low, high = (self._percent(Fraction(end)) for end in self.interval)
        return phrase("{low} to {high}\N{NO-BREAK SPACE}%", low=low, high=high)

    @property
    def words(self) -> str:
        """ "about one in nine", for the ear."""
        return share_in_words(self.share)

    def _percent(self, share: Fraction) -> str:
        decimals = 0 if self.n < _FEW else 1
        least = Fraction(1, 10**decimals)
        percent = share * 100
        if share > 0 and percent < least / 2:
            return phrase("less than {number}", number=rounded(least, decimals))
        if share < 1 and percent >= 100 - least / 2:
            return phrase("more than {number}", number=rounded(100 - least, decimals))
        return rounded(percent, decimals)


def wilson_interval(k: int, n: int) -> Interval:
    """The 95 % score interval of k of n without continuity correction.

    E. B. Wilson, J. Am. Stat. Assoc. 22 (1927), 209-212; method 3 of R. G. Newcombe, Statistics in
    Medicine 17 (1998), 857-872.
    """
    z2 = Z95 * Z95
    center = (k + z2 / 2) / (n + z2)
    half = Z95 * sqrt(k * (n - k) / n + z2 / 4) / (n + z2)
    # the ends are exact where no case, or every case, has it
    return Interval(0.0 if k == 0 else center - half, 1.0 if k == n else center + half)


def difference_interval(first: Proportion, second: Proportion) -> Interval:
    """The 95 % interval of first minus second: method 10 of R. G. Newcombe, Statistics in Medicine
    17 (1998), 873-890."""
    p, q = first.k / first.n, second.k / second.n
    a, b = first.interval, second.interval
    below = sqrt((p - a.low) ** 2 + (b.high - q) ** 2)
    above = sqrt((a.high - p) ** 2 + (q - b.low) ** 2)
    return Interval(p - q - below, p - q + above)


def rounded(value: Fraction, decimals: int) -> str:
    """The number with so many decimals, halves away from zero."""
    numerator = abs(value) * 10**decimals
    whole = int(numerator + Fraction(1, 2))  # exact, where a quotient of decimals is not
    sign = "−" if value < 0 and whole else ""
    return figures(f"{sign}{Decimal(whole).scaleb(-decimals)}")


def in_words(number: int) -> str:
    """ "seven"; figures from 13 on."""
    return phrase(_SMALL_NUMBERS[number]) if number < len(_SMALL_NUMBERS) else str(number)


def share_in_words(share: Fraction) -> str:
    """A share as one would say it: "one in four", "about two in three", "about half".

    The nearest of halves, thirds, quarters, fifths, tenths and one in six to one in nine, between a
    fifth and four fifths; outside that only if it is off by at most 8 % of the rarer side (the
    share, or what is left of the whole), and otherwise "one in so many" or "all but one in so
    many", to two figures. "About" is left out where it is exact.
    """
    if share in (0, 1):
        return phrase("none") if share == 0 else phrase("all")
    rarer = min(share, 1 - share)
    nearest = min(_FRIENDLY, key=lambda one: abs(one - share))
    if abs(nearest - share) <= _LIKENESS * rarer or rarer > Fraction(1, 5):
        said = phrase("half")
        if nearest != Fraction(1, 2):
            few, many = in_words(nearest.numerator), in_words(nearest.denominator)
            said = phrase("{few} in {many}", few=few, many=many)
        return said if nearest == share else phrase("about {share}", share=said)
    number = _two_figures(1 / rarer)
    said = phrase("{few} in {many}", few=in_words(1), many=in_words(number))
    if Fraction(1, number) != rarer:
        said = phrase("about {share}", share=said)
    return phrase("all but {share}", share=said) if share > rarer else said


def _two_figures(value: Fraction) -> int:
    """The nearest whole number, from 100 on with zeros after two figures unless it is exact."""
    nearest = int(value + Fraction(1, 2))
    if nearest < 100 or nearest == value:
        return nearest
    step: int = 10 ** (len(str(nearest)) - 2)
    return int(value / step + Fraction(1, 2)) * step
