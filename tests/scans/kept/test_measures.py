"""Kept measures: equal to new ones, found by all they depend on, and measured anew to verify."""

from pathlib import Path

import numpy as np
import pytest

from slidekit.cache import cache_folder
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.kept import measures as kept_measures
from slidekit.scans.kept.measures import MeasureRequest, kept_volume, measure_on_planes
from slidekit.scans.measures.volumes import Solid
from slidekit.scans.model import Outline, PlaneRequest, Series
from tests.scans.dicom_series import write_series

DISC = Outline("ellipse", ((5.0, 4.0, 2.0), (8.2, 4.0, 2.0), (5.0, 7.1, 2.0)))
AXIAL = PlaneRequest("axial", 2.0)
WITHIN = MeasureRequest(AXIAL, outline=DISC)
ALONG = MeasureRequest(AXIAL, ends_lps=((1.0, 4.0, 2.0), (9.0, 4.0, 2.0)))


@pytest.fixture(autouse=True)
def own_cache_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("SLIDEKIT_CACHE", str(tmp_path / "cache"))


@pytest.fixture
def volume() -> np.ndarray:
    return np.random.default_rng(1).integers(0, 100, (6, 10, 12)).astype(np.int16)


@pytest.fixture
def series(tmp_path: Path, volume: np.ndarray) -> Series:
    return choose_series(index_folder(write_series(tmp_path / "scans", volume)), None)


@pytest.fixture
def planes_read(monkeypatch: pytest.MonkeyPatch) -> list[PlaneRequest]:
    read: list[PlaneRequest] = []
    whole = kept_measures.read_views

    def counted(series: Series, requests, **how):
        read.extend(requests)
        return whole(series, requests, **how)

    monkeypatch.setattr(kept_measures, "read_views", counted)
    return read


def test_kept_measures_are_those_that_were_measured(series, volume, planes_read):
    (area, line), images = measure_on_planes(series, [WITHIN, ALONG])
    assert line.profile.values == tuple(map(float, volume[2, 4, 1:10]))
    assert area.area.statistics.n > 20
    assert (planes_read, list(images)) == ([AXIAL], [AXIAL])  # one plane for both
    assert measure_on_planes(series, [WITHIN, ALONG]) == ((area, line), {})
    assert planes_read == [AXIAL]


@pytest.mark.parametrize(
    "other",
    [
        MeasureRequest(PlaneRequest("axial", 3.0), outline=DISC),
        MeasureRequest(AXIAL, outline=Outline("ellipse", (*DISC.points_lps[:2], (5.0, 7.2, 2.0)))),
        MeasureRequest(AXIAL, ends_lps=((1.0, 4.0, 2.0), (9.0, 4.5, 2.0))),
    ],
)
def test_another_plane_or_outline_is_measured_for_itself(series, planes_read, other):
    measure_on_planes(series, [WITHIN, ALONG])
    planes_read.clear()
    measure_on_planes(series, [other])
    assert planes_read == [other.plane]


def test_changed_files_are_measured_again(tmp_path, volume):
    def mean() -> float:
        folder = write_series(tmp_path / "scans", volume)
        series = choose_series(index_folder(folder), None)
        return measure_on_planes(series, [WITHIN])[0][0].area.statistics.mean

    first = mean()
    volume += 1
    assert mean() == pytest.approx(first + 1)


def test_to_verify_is_to_measure_again(series, planes_read):
    first, _ = measure_on_planes(series, [WITHIN])
    again, _ = measure_on_planes(series, [WITHIN], verify=True)
    assert (again, planes_read) == (first, [AXIAL, AXIAL])


def test_a_damaged_entry_is_measured_again(series, planes_read):
    first, _ = measure_on_planes(series, [WITHIN])
    for entry in (cache_folder() / "kept" / "measures").iterdir():
        entry.write_bytes(entry.read_bytes()[:-9])
    assert measure_on_planes(series, [WITHIN])[0] == first
    assert len(planes_read) == 2


def test_a_volume_is_counted_once(series, monkeypatch):
    solid = Solid("box", (5.0, 4.0, 2.0), (3.0, 3.0, 1.0))
    first = kept_volume(series, solid, (50, None))
    monkeypatch.setattr(kept_measures, "measure_volume", lambda *_: pytest.fail("counted again"))
    assert kept_volume(series, solid, (50, None)) == first


def test_another_range_is_another_volume(series):
    solid = Solid("box", (5.0, 4.0, 2.0), (3.0, 3.0, 1.0))
    assert kept_volume(series, solid, (50, None)).n != kept_volume(series, solid, (None, 20)).n
