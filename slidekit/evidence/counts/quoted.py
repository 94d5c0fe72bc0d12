"""Numbers quoted from elsewhere: whether counts can give them at all.

A mean or percentage of n whole counts is k/n for a whole k; with few cases most decimals cannot
come about (N. J. L. Brown and J. A. J. Heathers, Soc. Psychol. Personal. Sci. 8 (2017), 363-369).
Everything is exact; a tie may have been rounded either way.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor


@dataclass(frozen=True)
class Quoted:
    """A number as it is printed: "34.0" is not "34". `scale` is 100 for a percentage and 1 for a
    mean."""

    text: str
    scale: int = 100

    @property
    def value(self) -> Fraction:
        return Fraction(self.text)

    @property
    def decimals(self) -> int:
        return len(self.text.partition(".")[2])

    @property
    def slack(self) -> Fraction:
        """How far rounding may have moved it."""
        return Fraction(1, 2 * 10**self.decimals)

    def counts(self, n: int) -> range:
        """Every whole number that gives it, of n."""
        low = (self.value - self.slack) * n / self.scale
        high = (self.value + self.slack) * n / self.scale
        most = n if self.scale == 100 else floor(high)
        return range(max(ceil(low), 0), min(floor(high), most) + 1)

    def nearest_counts(self, n: int) -> tuple[int, int]:
        """The whole numbers below and above what it would take."""
        exact = floor(self.value * n / self.scale)
        most = n if self.scale == 100 else exact + 1
        return min(exact, most), min(exact + 1, most)

    @property
    def telling_below(self) -> int:
        """From so many cases on every number of these decimals is possible."""
        return int(self.scale * 10**self.decimals)


def possible_denominators(parts: Sequence[Quoted], most: int) -> tuple[int, ...]:
    """Every n up to `most` of which the parts can be: one part, or all parts of one whole."""
    return tuple(n for n in range(1, most + 1) if are_possible(parts, n))


def are_possible(parts: Sequence[Quoted], n: int) -> bool:
    """Whether there are whole counts for all parts, and they add up to n if there are several."""
    found = [part.counts(n) for part in parts]
    if not all(found):
        return False
    if len(found) == 1:
        return True
    return sum(one[0] for one in found) <= n <= sum(one[-1] for one in found)


def add_up(parts: Sequence[Quoted]) -> bool:
    """Whether rounding explains by how much the parts of one whole miss 100 %."""
    off = sum((part.value for part in parts), start=Fraction(-100))
    return abs(off) <= sum((part.slack for part in parts), start=Fraction(0))


def impossible_parts(parts: Sequence[Quoted], n: int) -> Iterator[Quoted]:
    """The parts that no count of n gives."""
    return (part for part in parts if not part.counts(n))
