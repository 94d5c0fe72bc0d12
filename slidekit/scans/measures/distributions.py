"""How the samples of a region are distributed, and how many independent ones they are worth."""

from dataclasses import dataclass

import numpy as np

from slidekit.scans.geometry import Array
from slidekit.scans.measures.regions import Mask
from slidekit.scans.model import Values

BINS = 256


@dataclass(frozen=True)
class Distribution:
    """Samples counted in bins of one width, from the least to the greatest value."""

    first: float  # middle of the first bin
    step: float  # from one middle to the next; 0 where all values are the same
    counts: tuple[int, ...]
    independent: float  # how many independent samples they are worth

    @property
    def values(self) -> tuple[float, ...]:
        """The middles of the bins."""
        return tuple(self.first + k * self.step for k in range(len(self.counts)))


def distribution_of(values: Values, inside: Mask) -> Distribution | None:
    """The samples of `values` (rows, columns) at the places `inside`; None if there are none.

    Whole values get bins of whole width, so that none holds more of them than another.
    """
    exact = values.astype(np.float64)
    samples = exact[inside]
    if not samples.size:
        return None
    least, greatest = samples.min(), samples.max()
    independent = independent_count(exact, inside)
    if least == greatest:
        return Distribution(float(least), 0.0, (int(samples.size),), independent)
    whole = bool((samples == np.round(samples)).all())
    step = (greatest - least) / (BINS - 1)
    if whole:
        step = float(np.ceil(step))
    place = np.floor((samples - least) / step + 0.5).astype(np.intp)
    counts = np.bincount(place)
    return Distribution(float(least), float(step), tuple(counts.tolist()), independent)


def independent_count(values: Array, inside: Mask) -> float:
    """How many independent samples would know the mean as well as these neighbours do.

    The variance of a mean is the sum of the covariances of all pairs of samples over n². They are
    estimated from the region itself, for all distances at once (Wiener and Khinchin), and summed
    out to the first distance at which samples no longer go together: beyond, the estimates are
    noise. Never more than there are samples; a slope across the region makes it few.
    """
    n = int(inside.sum())
    residuals = np.where(inside, values - values[inside].mean(), 0.0)
    shape = [2 * size for size in inside.shape]
    together = _sums_of_products(residuals, shape)
    pairs = np.round(_sums_of_products(inside.astype(np.float64), shape))
    if together[0, 0] <= 0:
        return float(n)
    rows, columns = (np.fft.fftfreq(size, 1 / size) for size in shape)
    ring = np.round(np.hypot(rows[:, None], columns[None, :])).astype(np.intp).ravel()
    by_ring = np.bincount(ring, together.ravel())
    counted = np.bincount(ring, pairs.ravel())
    apart = np.nonzero((by_ring <= 0) | (counted == 0))[0]
    near = int(apart[0]) if apart.size else len(by_ring)
    # covariance summed over pairs, in units of the variance: n of them would be independent
    summed = float(by_ring[:near].sum() / together[0, 0]) * n
    return min(float(n), n * n / summed)


def _sums_of_products(field: Array, shape: list[int]) -> Array:
    """Sum of the products of all pairs a certain number of rows and columns apart."""
    spectrum = np.fft.rfft2(field, shape)
    return np.fft.irfft2(spectrum * spectrum.conj(), shape)
