"""The part that hangs together with a place, against scipy.ndimage.label (faces) and a flood fill
by true places in tilted stacks."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import ndimage

from slidekit.errors import ScanError
from slidekit.scans.catalogue import index_folder
from slidekit.scans.measures import connected
from slidekit.scans.measures.connected import Connected
from slidekit.scans.measures.volumes import Solid, measure_volume
from tests.scans.dicom_series import Placement, write_series

CENTER = (2.2, -3.1, 30.4)
OTHER = (2.2, -3.1 + 15, 30.4)


def part_of(volume: np.ndarray, values: np.ndarray, seed, shifts=None, widest: int = 0):
    rows, columns = volume.shape[1:]
    gathered = Connected(rows, columns, widest)
    for k, (mask, level) in enumerate(zip(volume, values, strict=True)):
        gathered.add(mask, level, (0, 0) if shifts is None else shifts[k])
    masks, totals = zip(*gathered.part(seed), strict=True)
    return np.array(masks), np.array(totals)


@settings(max_examples=60, deadline=None)
@given(
    shape=st.tuples(st.integers(1, 7), st.integers(1, 9), st.integers(1, 11)),
    filled=st.sampled_from([0.2, 0.5, 0.7, 1.0]),
    number=st.integers(0, 10_000),
)
def test_the_part_is_that_of_scipys_label(shape, filled, number):
    rng = np.random.default_rng(number)
    volume = rng.random(shape) < filled
    values = rng.integers(-500, 500, shape).astype(np.float32)
    seeds = np.argwhere(volume)
    if not len(seeds):
        return
    seed = tuple(int(i) for i in seeds[rng.integers(len(seeds))])
    labels, _ = ndimage.label(volume)
    expected = labels == labels[seed]
    masks, totals = part_of(volume, values, seed)
    np.testing.assert_array_equal(masks, expected)
    np.testing.assert_allclose(totals, (values * expected).sum(axis=(1, 2)), atol=1e-3)


@settings(max_examples=40, deadline=None)
@given(shift=st.tuples(st.integers(-3, 3), st.integers(-3, 3)), number=st.integers(0, 10_000))
def test_shifted_slices_hang_together_where_they_lie_on_each_other(shift, number):
    rng = np.random.default_rng(number)
    count, size = 5, 9
    volume = rng.random((count, size, size)) < 0.45
    volume[0, 4, 4] = True
    # the same slices laid where they belong, in one large array without shifts
    reach = 3 * count
    laid = np.zeros((count, size + 2 * reach, size + 2 * reach), bool)
    for k in range(count):
        row, column = reach + k * shift[0], reach + k * shift[1]
        laid[k, row : row + size, column : column + size] = volume[k]
    labels, _ = ndimage.label(laid)
    expected = labels == labels[0, reach + 4, reach + 4]
    widest = max(map(abs, shift))
    masks, _ = part_of(volume, volume.astype(np.int16), (0, 4, 4), [shift] * count, widest)
    for k in range(count):
        row, column = reach + k * shift[0], reach + k * shift[1]
        np.testing.assert_array_equal(
            masks[k], expected[k, row : row + size, column : column + size]
        )


def balls(folder, placement: Placement, count: int):
    """Two balls of radius 6 that do not touch, 15 mm apart, in a ground of 0."""
    row, column = np.array(placement.orientation[:3]), np.array(placement.orientation[3:])
    i, j = np.mgrid[:72, :80]
    plane = (
        j[..., None] * placement.column_spacing_mm * row
        + i[..., None] * placement.row_spacing_mm * column
    )
    places = placement.positions_lps(count)[:, None, None] + plane
    near = [((places - middle) ** 2).sum(axis=-1) < 36 for middle in (CENTER, OTHER)]
    volume = np.select(near, [500, 700]).astype(np.int16)
    return index_folder(write_series(folder, volume, placement)).series[0]


EVEN = Placement(first_lps=(-32, -30, 0), step_lps=(0, 0, 1.5), row_spacing_mm=0.7,
                 column_spacing_mm=0.8)  # fmt: skip
TILT = np.radians(20)
GANTRY = Placement(
    orientation=(1.0, 0.0, 0.0, 0.0, float(np.cos(TILT)), float(np.sin(TILT))),
    first_lps=(-32, -22, -8), step_lps=(0, 0, 2.5), row_spacing_mm=0.7, column_spacing_mm=0.8,
)  # fmt: skip
SOLID = Solid("ellipsoid", (2.2, 4.4, 30.4), (12.0, 15.0, 12.0))


@pytest.mark.parametrize(("placement", "count"), [(EVEN, 42), (GANTRY, 26)])
@pytest.mark.parametrize(("seed", "mean"), [(CENTER, 500), (OTHER, 700)])
def test_only_the_ball_with_the_seed_in_it_counts(tmp_path, placement, count, seed, mean):
    series = balls(tmp_path, placement, count)
    found = measure_volume(series, SOLID, 400, 900, seed)
    assert found.volume_mm3 == pytest.approx(4 / 3 * np.pi * 216, rel=0.03)
    assert (found.mean, found.cautions) == (mean, ())
    whole = measure_volume(series, SOLID, 400, 900)
    assert whole.volume_mm3 == pytest.approx(2 * found.volume_mm3, rel=0.05)
    assert whole.inside == found.inside


def test_a_seed_that_does_not_count_is_told(tmp_path):
    series = balls(tmp_path, EVEN, 42)
    with pytest.raises(ScanError) as raised:
        measure_volume(series, SOLID, 400, 900, (2.2, 4.4, 30.4))
    assert str(raised.value) == (
        "seed_mm: the voxel at [2.2, 4.4, 30.4] does not count: it lies outside the ellipsoid, "
        "or its value outside the range. Write a place inside what is meant, or widen the range."
    )
    with pytest.raises(ScanError, match=r"^seed_mm lies outside the scan\. Write a place inside"):
        measure_volume(series, SOLID, 400, 900, (400.0, 0.0, 30.0))


def test_voxels_scattered_beyond_count_are_told(monkeypatch):
    monkeypatch.setattr(connected, "MOST_RUNS", 10)
    gathered = Connected(6, 8, 0)
    mask = np.indices((6, 8)).sum(axis=0) % 2 == 0
    with pytest.raises(ScanError, match=r"^what counts is scattered all over"):
        gathered.add(mask, mask.astype(np.int16), (0, 0))
