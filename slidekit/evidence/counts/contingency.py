"""Two groups, two readers: whether a difference or an agreement could be chance."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import comb, sqrt
from typing import TypeAlias

from slidekit.evidence.counts.proportions import Z95, Interval

FourCells: TypeAlias = tuple[tuple[int, int], tuple[int, int]]
"""Rows are groups; columns are cases that have it and cases that have not."""


def fisher_p(cells: FourCells) -> Fraction:
    """Two-sided p of Fisher's exact test: all tables with the same margins that are not likelier
    than this one, in exact arithmetic (R. A. Fisher, The Design of Experiments, 1935)."""
    (a, b), (c, d) = cells
    first, having, all_cases = a + b, a + c, a + b + c + d
    ways = [
        comb(first, k) * comb(all_cases - first, having - k)
        for k in range(max(0, having - (c + d)), min(first, having) + 1)
    ]
    seen = comb(first, a) * comb(c + d, c)
    return Fraction(sum(way for way in ways if way <= seen), sum(ways))


def odds_ratio(cells: FourCells) -> Fraction | None:
    """The sample odds ratio ad/bc; None (not estimable) if any cell is empty."""
    (a, b), (c, d) = cells
    return Fraction(a * d, b * c) if a and b and c and d else None


@dataclass(frozen=True)
class Kappa:
    """Agreement of two readers beyond chance."""

    same: int  # cases on which they agree
    n: int
    value: Fraction | None  # None: not estimable, both use one category only
    interval: Interval | None


def cohen_kappa(cells: Sequence[Sequence[int]]) -> Kappa:
    """Unweighted kappa of a square table, rows one reader, columns the other.

    J. Cohen, Educ. Psychol. Meas. 20 (1960), 37-46; its standard error by J. L. Fleiss, J. Cohen
    and B. S. Everitt, Psychol. Bull. 72 (1969), 323-327.
    """
    size = range(len(cells))
    n = sum(map(sum, cells))
    share = [[Fraction(count, n) for count in row] for row in cells]
    by_row = [sum(share[i]) for i in size]
    by_column = [sum(share[i][j] for i in size) for j in size]
    same = sum(cells[i][i] for i in size)
    expected = sum(by_row[i] * by_column[i] for i in size)
    if expected == 1:
        return Kappa(same, n, None, None)
    observed = Fraction(same, n)
    kappa = (observed - expected) / (1 - expected)
    on_diagonal = sum(
        share[i][i] * (1 - (by_row[i] + by_column[i]) * (1 - kappa)) ** 2 for i in size
    )
    off_diagonal = sum(
        share[i][j] * (by_column[i] + by_row[j]) ** 2 for i in size for j in size if i != j
    )
    spread = on_diagonal + (1 - kappa) ** 2 * off_diagonal
    spread -= (kappa - expected * (1 - kappa)) ** 2
    error = sqrt(spread / n) / float(1 - expected)
    half = Z95 * error
    return Kappa(same, n, kappa, Interval(float(kappa) - half, min(float(kappa) + half, 1.0)))
