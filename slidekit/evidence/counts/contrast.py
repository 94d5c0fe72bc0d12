"""Two groups of measured values held against each other: do two materials really differ?

Neighbouring samples of a scan are not independent, and treating them so makes intervals too
narrow. So a group says how many independent samples it is worth, and that number counts here.
Papers and books are cited from memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import atan, exp, lgamma, pi, sqrt
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]

LEVEL = 0.95
_GRID = 1024  # places at which two densities are compared
_REACH = 5.0  # of the smoothing width, beyond the last value on either side


@dataclass(frozen=True)
class Group:
    """Values of one place: their mean, SD (n - 1), and how they are distributed."""

    mean: float
    sd: float
    independent: float  # how many independent samples they are worth, 2 or more
    values: tuple[float, ...]  # rising
    weights: tuple[float, ...]  # how often each was measured

    @cached_property
    def bandwidth(self) -> float:
        """Of the Gaussian kernel, by Silverman's rule of thumb (1986, eq. 3.31)."""
        quartiles = np.interp((0.25, 0.75), _cumulated(self.weights), self.values)
        spread = min(filter(None, (self.sd, float(np.diff(quartiles)[0]) / 1.34)), default=0.0)
        # values stand for bins: nothing finer than the distance between them
        finest = max(np.diff(self.values).min(initial=1.0), 1e-9) if len(self.values) > 1 else 1.0
        return float(max(0.9 * spread * self.independent**-0.2, finest))

    def density(self, at: Array) -> Array:
        """How dense the values lie at some places, smoothed; the whole has area 1."""
        weights = np.array(self.weights) / sum(self.weights)
        away = (at[:, None] - np.array(self.values)[None, :]) / self.bandwidth
        kernel = np.exp(-0.5 * away**2) / (self.bandwidth * sqrt(2 * np.pi))
        return np.asarray(kernel @ weights)

    @property
    def reach(self) -> tuple[float, float]:
        """Where its density is worth looking at."""
        spare = _REACH * self.bandwidth
        return self.values[0] - spare, self.values[-1] + spare


def _cumulated(weights: Sequence[float]) -> Array:
    """Share of the weight below the middle of each value."""
    shares = np.array(weights) / sum(weights)
    return np.asarray(np.cumsum(shares) - shares / 2)


@dataclass(frozen=True)
class Contrast:
    """Two groups compared; what is signed is the first minus the second."""

    first: Group
    second: Group

    @property
    def difference(self) -> float:
        """Of the means."""
        return self.first.mean - self.second.mean

    @property
    def standard_error(self) -> float:
        """Of the difference, from the independent samples of both."""
        return sqrt(sum(variance_of_mean(group) for group in (self.first, self.second)))

    @property
    def interval(self) -> tuple[float, float]:
        """95 % of the difference (Welch 1947, degrees of freedom by Satterthwaite 1946)."""
        half = student_t(self.degrees_of_freedom) * self.standard_error
        return self.difference - half, self.difference + half

    @property
    def degrees_of_freedom(self) -> float:
        """Of the interval."""
        groups = (self.first, self.second)
        below = sum(variance_of_mean(one) ** 2 / (one.independent - 1) for one in groups)
        if not below:
            return 1.0
        return float(sum(map(variance_of_mean, groups)) ** 2 / below)

    @property
    def effect(self) -> float | None:
        """The difference in SDs: Cohen's d with the root of the mean of both variances (Cohen
        1988, eq. 2.3.2), which takes no side for the larger region; None without any spread."""
        pooled = sqrt((self.first.sd**2 + self.second.sd**2) / 2)
        return self.difference / pooled if pooled else None

    @property
    def overlap(self) -> float:
        """The area under both densities, 0 to 1 (Weitzman 1970; Inman and Bradley 1989)."""
        ends = (*self.first.reach, *self.second.reach)
        at = np.linspace(min(ends), max(ends), _GRID)
        lower = np.minimum(self.first.density(at), self.second.density(at))
        return float(min(lower.sum() * (at[1] - at[0]), 1.0))


def variance_of_mean(group: Group) -> float:
    """The square of its standard error."""
    return group.sd**2 / group.independent


def student_t(degrees_of_freedom: float) -> float:
    """The t that 95 % lie within, on both sides, for 1 degree of freedom or more.

    With t = √ν tan θ the share within is an integral of cos^(ν - 1), smooth enough for Gauss and
    Legendre; it rises ever more slowly, so that Newton's steps from below never pass the root.
    """
    nu = degrees_of_freedom
    nodes, weights = np.polynomial.legendre.leggauss(40)
    at_0 = exp(lgamma((nu + 1) / 2) - lgamma(nu / 2)) / sqrt(pi)
    t, step = 1.9, 1.0
    while step > 1e-12 * t:
        angle = atan(t / sqrt(nu))
        within = at_0 * angle * float(weights @ np.cos(angle * (nodes + 1) / 2) ** (nu - 1))
        density = 2 * at_0 / sqrt(nu) * (1 + t * t / nu) ** (-(nu + 1) / 2)
        step = (LEVEL - within) / density
        t += step
    return t
