"""Moving pictures, read back by another reader of GIF (Pillow's, by way of its frames)."""

import io
import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from slidekit.errors import ScanError
from slidekit.scans import movies
from slidekit.scans.catalogue import choose_series, index_folder
from slidekit.scans.model import GreyWindow, PlaneRequest
from slidekit.scans.movies import encode_gif, make_movie, plane_at, scroll, way_through
from slidekit.scans.pictures import make_picture
from slidekit.scans.planes.read import read_planes
from tests.scans.dicom_series import Placement, write_series


def read_back(gif: bytes) -> list[np.ndarray]:
    image = Image.open(io.BytesIO(gif))
    frames = []
    for k in range(image.n_frames):
        image.seek(k)
        frames.append(np.asarray(image.convert("L")))
    return frames


def noise(count: int, shape=(24, 32), seed: int = 0) -> list[np.ndarray]:
    rng = np.random.default_rng(seed)
    return [rng.integers(0, 256, shape).astype(np.uint8) for _ in range(count)]


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000), st.integers(2, 6), st.tuples(st.integers(1, 40), st.integers(1, 40)))
def test_every_grey_level_of_every_frame_is_kept(seed, count, shape):
    frames = noise(count, shape, seed)
    back = read_back(encode_gif(frames, 120))
    kept = [frames[0], *(b for a, b in itertools.pairwise(frames) if (a != b).any())]
    assert len(back) == len(kept)  # a frame like the one before it is shown longer instead
    assert all(np.array_equal(a, b) for a, b in zip(back, kept, strict=True))


def test_frames_that_differ_in_little_are_kept_too():
    first = noise(1)[0]
    second = first.copy()
    second[3:5, 7:20] = 255 - second[3:5, 7:20]
    back = read_back(encode_gif([first, second, first], 120))
    assert [np.array_equal(a, b) for a, b in zip(back, [first, second, first], strict=True)] == [
        True, True, True,
    ]  # fmt: skip


def test_a_gif_holds_nothing_but_pixels_delays_and_the_loop():
    # GIF89a: comment extension 21 FE, plain text extension 21 01, application extension 21 FF
    gif = encode_gif(noise(3), 120)
    image = Image.open(io.BytesIO(gif))
    assert image.info["loop"] == 0
    assert image.info["duration"] == 120
    assert "comment" not in image.info
    assert gif.count(b"\x21\xff\x0b") == 1
    assert gif.index(b"NETSCAPE2.0") == gif.index(b"\x21\xff\x0b") + 3


def test_the_same_frames_give_the_same_bytes():
    assert encode_gif(noise(4), 120) == encode_gif(noise(4), 120)


def test_the_way_begins_at_the_views_own_place_and_goes_around():
    assert way_through(2.0, 0.0, 4.0, 1.0) == (2, 3, 4, 0, 1)
    assert way_through(2.0, 4.0, 0.0, 1.0) == (2, 1, 0, 4, 3)
    assert way_through(-62.5, -64.2, -61.6, 0.5) == (-62.5, -62, -64, -63.5, -63)


@given(st.floats(-50, 50), st.floats(0, 40), st.floats(0, 40), st.floats(0.4, 3))
def test_the_way_stays_within_its_ends(at, before, after, step):
    if before + after < 2 * step:
        return
    places = way_through(at, at - before, at + after, step)
    assert places[0] == at
    assert min(places) >= at - before - 1e-4 * step
    assert max(places) <= at + after + 1e-4 * step
    assert np.allclose(np.diff(sorted(places)), step)


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (
            (9.0, 0.0, 4.0, 1.0),
            "the view lies at 9, which is not between 0 and 4. Let the way go through the view's "
            "own place, which is shown first and in print.",
        ),
        (
            (2.0, 0.0, 400.0, 1.0),
            "the way from 0 to 400 in steps of 1 has 401 frames, and a moving picture holds 240. "
            "Go a shorter way, or in steps of 1.7 or more.",
        ),
        ((2.0, 2.0, 2.5, 1.0), "there is no second frame on the way. Go a longer way."),
    ],
)
def test_ways_that_cannot_be_gone_are_told(args, said):
    with pytest.raises(ScanError) as raised:
        way_through(*args)
    assert str(raised.value) == said


def test_too_large_a_file_is_told_with_what_would_fit():
    frames = noise(40, (600, 600))
    with pytest.raises(
        ScanError,
        match=r"^40 frames of 600 by 600 pixels take \d\d\.\d MB, and a moving picture may take "
        r"12 MB\. Go a shorter way or in larger steps, crop the view, or write longest_px: \d+\.$",
    ) as raised:
        make_movie((frames, ()), range(40), 8, None)
    fitting = int(str(raised.value).rstrip(".").split()[-1])
    assert len(make_movie((frames, ()), range(40), 8, fitting).gif) < 12e6


def test_frames_are_averaged_only_when_asked():
    frames = noise(2, (40, 80))
    assert read_back(make_movie((frames, ()), range(2), 8, None).gif)[0].shape == (40, 80)
    small = read_back(make_movie((frames, ()), range(2), 8, 40).gif)[0]
    means = frames[0].reshape(20, 2, 40, 2).mean(axis=(1, 3))
    assert np.abs(small - means).max() <= 1  # rounded along rows, then along columns


@pytest.fixture(scope="module")
def series(tmp_path_factory):
    rng = np.random.default_rng(3)
    volume = rng.integers(900, 1200, (8, 20, 30)).astype(np.int16)
    folder = write_series(tmp_path_factory.mktemp("stack"), volume, Placement())
    return choose_series(index_folder(folder), None)


def test_each_frame_is_the_picture_of_its_place(series):
    scale = GreyWindow(1050, 300)
    places = [3.0, 4.0, 2.0]
    request = PlaneRequest("axial", 3.0, crop_mm=((2, 3), (20, 15)))
    frames, uids = scroll(series, [plane_at(request, z) for z in places], (scale,))
    for z, frame in zip(places, frames, strict=True):
        [image] = read_planes(series, [plane_at(request, z)])
        assert np.array_equal(frame, make_picture(image, scale, target_px=1).pixels)
    assert uids == tuple(series.slices[k].sop_uid for k in (2, 3, 4))


def test_frames_are_made_some_at_a_time_and_are_the_same(series, monkeypatch):
    scale = GreyWindow(1050, 300)
    requests = [plane_at(PlaneRequest("coronal", 3.0), y) for y in (3.0, 4.5, 6.0, 7.5, 9.0)]
    whole, uids = scroll(series, requests, (scale,))
    monkeypatch.setattr(movies, "AT_A_TIME", 2)
    parts, uids_of_parts = scroll(series, requests, (scale,))
    assert all(np.array_equal(a, b) for a, b in zip(whole, parts, strict=True))
    assert uids == uids_of_parts


def test_cropped_frames_of_a_tilted_stack_are_of_one_size(tmp_path):
    # each slice lies 0.4 mm farther back: rows fall in and out of the crop
    volume = np.random.default_rng(4).integers(900, 1200, (12, 30, 20)).astype(np.int16)
    placement = Placement(step_lps=(0, 0.4, 1.0))
    tilted = choose_series(index_folder(write_series(tmp_path, volume, placement)), None)
    request = PlaneRequest("axial", 3.0, crop_mm=((2, 8.1), (17, 19.8)))
    grids = {read_planes(tilted, [plane_at(request, float(z))])[0].grid.rows for z in range(2, 10)}
    assert len(grids) == 2
    requests = [plane_at(request, float(z)) for z in range(2, 10)]
    frames, _ = scroll(tilted, requests, (GreyWindow(1050, 300),))
    assert {frame.shape for frame in frames} == {(min(grids), 16)}
    uncropped = [PlaneRequest("axial", z) for z in (3.0, 3.5)]
    with pytest.raises(ScanError, match=r"^the pictures along the way are not of one size\. Crop"):
        scroll(tilted, uncropped, (GreyWindow(1050, 300),))


def test_acquired_frames_are_counted_in_slices(series):
    requests = [plane_at(PlaneRequest("acquired", slice_number=3), k) for k in (3.0, 4.0)]
    assert [one.slice_number for one in requests] == [3, 4]
