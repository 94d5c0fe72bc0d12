"""Enlarged pictures: faithful, in their places, and made only when somebody looks at them."""

import hashlib
from dataclasses import replace
from math import erfc

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from slidekit.scans.enlarging import Enlarged, enlarged_grid
from slidekit.scans.geometry import lps_from_pixel
from slidekit.scans.model import Grid

GRID = Grid((-20.0, 12.0, 7.0), (0.8, 0.6, 0.0), (0.0, 0.0, -1.0), 0.5, 0.5, rows=60, columns=80)


def disc_levels(pixel_mm: float, count: int) -> np.ndarray:
    """A disc of 20 mm radius blurred by a Gaussian of 1 mm, far beyond the sampling limit of a
    millimetre: along a radius r it falls as erfc((r - 20) / sqrt(2)) to within a thousandth."""
    at = (np.arange(count) + 0.5) * pixel_mm - 32
    radius = np.hypot(at[None, :], at[:, None])
    fall = np.vectorize(lambda r: 0.5 * erfc((r - 20) / 2**0.5))
    return 60 + 120 * fall(radius)


@pytest.mark.parametrize("factor", [2, 3])
def test_an_enlarged_picture_follows_a_band_limited_disc(factor):
    # facts of sampling: what holds no frequency above half the sampling rate is given back
    # (Shannon 1949). The filter is compared with the analytic disc at every new pixel.
    native = np.floor(disc_levels(1.0, 64) + 0.5).astype(np.uint8)
    large = Enlarged(native, factor).pixels.astype(float)
    true = disc_levels(1 / factor, 64 * factor)
    inside = slice(4 * factor, -4 * factor)
    error = (large - true)[inside, inside]
    assert np.sqrt((error**2).mean()) < 0.6  # rounding to whole levels, twice, gives 0.4
    blocks = np.kron(native, np.ones((factor, factor))) - true
    assert np.sqrt((error**2).mean()) < np.sqrt((blocks[inside, inside] ** 2).mean()) / 2


@given(
    spacing=st.floats(0.3, 2.0),
    factor=st.sampled_from([1, 2, 3]),
)
@settings(max_examples=20, deadline=None)
def test_an_enlarged_picture_covers_the_same_part_of_the_patient(spacing, factor):
    grid = replace(GRID, column_mm=spacing, row_mm=spacing)
    large = enlarged_grid(grid, factor)
    corner = (-0.5, -0.5)
    assert lps_from_pixel(large, corner) == pytest.approx(lps_from_pixel(grid, corner))
    end = (grid.columns - 0.5, grid.rows - 0.5)
    large_end = (large.columns - 0.5, large.rows - 0.5)
    assert lps_from_pixel(large, large_end) == pytest.approx(lps_from_pixel(grid, end))


def levels(shape: tuple[int, ...]) -> np.ndarray:
    return np.random.default_rng(3).integers(0, 256, shape, np.uint8)


@pytest.mark.parametrize("shape", [(30, 40), (30, 40, 3)])
def test_the_digest_is_that_of_the_pixels(shape):
    image = Enlarged(levels(shape), 2)
    assert image.sha256 == hashlib.sha256(image.pixels.tobytes()).hexdigest()
    assert image.pixels.shape[:2] == (60, 80)


def test_pixels_are_their_own_when_nothing_is_enlarged():
    native = levels((30, 40))
    assert Enlarged(native, 1).pixels is native
    assert enlarged_grid(GRID, 1) is GRID


def test_a_known_digest_needs_no_enlarging(monkeypatch):
    digest = Enlarged(levels((31, 41)), 3).sha256
    monkeypatch.setattr(Image.Image, "resize", lambda *_: pytest.fail("it was enlarged"))
    assert Enlarged(levels((31, 41)), 3).sha256 == digest


def test_other_pixels_and_other_factors_are_other_pictures():
    native = levels((30, 40))
    images = [Enlarged(native, 2), Enlarged(native, 3), Enlarged(native[::-1], 2)]
    assert len({image.key for image in images}) == 3
    assert Enlarged(native.copy(), 2).key == images[0].key
