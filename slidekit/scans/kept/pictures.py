"""Pictures of a series, from the cache where they were made before.

A picture is found again by everything it depends on: the files of its series as `stat` tells them,
the plane, the window, the size, and the code and libraries that make it. A run in which nothing
changed opens no scan file. `verify` trusts no `stat`: it hashes the files behind each picture, and
makes those again whose files are not the ones they were made of.
"""

import json
from collections.abc import Mapping, Sequence
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import dataclass, fields, replace
from functools import cache
from importlib.metadata import version
from types import MappingProxyType

import numpy as np

from slidekit.cache import code_version, content_key, read_entry, write_entry
from slidekit.scans.enlarging import pixels_digest
from slidekit.scans.kept.fingerprint import Hashes, files_state, hash_slices
from slidekit.scans.kept.plain_values import field_from_plain, to_plain
from slidekit.scans.model import (
    AutomaticWindow,
    GreyScale,
    PlaneImage,
    PlaneRequest,
    ScanPicture,
    Series,
)
from slidekit.scans.pictures import make_picture, make_plain_picture
from slidekit.scans.viewing import planned_view, read_views

_KIND = "pictures"
_LIBRARIES = ("numpy", "pillow", "pydicom")  # whose versions may change a pixel


@dataclass(frozen=True)
class PictureRequest:
    """Which plane, in which windows, how large: what `read_views` and `make_picture` are asked."""

    plane: PlaneRequest
    scales: tuple[GreyScale | AutomaticWindow, ...]  # one; those of both halves; none: as it is
    target_px: int
    seam_share: float = 0.5


@dataclass(frozen=True)
class Begun:
    """A picture that was found, or is being made."""

    picture: Future[ScanPicture]
    renewed: bool = False  # one was kept, of files that are not those that are there


def begin_pictures(
    series: Series,
    requests: Sequence[PictureRequest],
    pool: Executor,
    *,
    verify: bool = False,
    at_hand: Mapping[PlaneRequest, PlaneImage] = MappingProxyType({}),
) -> tuple[Begun, ...]:
    """Find pictures that were made before, and begin to make the others, in one pass.

    Parameters
    ----------
    series
        From `choose_series`.
    requests
        Any number of pictures.
    pool
        Threads that make pictures while the caller goes on to the next series.
    verify
        Hash the files behind each picture instead of trusting size and time of change.
    at_hand
        Planes that were read already, in this run.

    Returns
    -------
    tuple of Begun
        In the order of the requests. Their pixels must not be changed.

    Raises
    ------
    ScanError
        As for `read_views`.
    """
    state = files_state(series)
    keys = [_picture_key(state, (series.mm_per_px, series.unit), request) for request in requests]
    found = [_read_picture(key) for key in keys]
    used = [k for one in found if one for k in one.picture.source_slices]
    hashes = hash_slices(series, used, fresh=verify)
    sound = [one and (not verify or one.sources == _sources(one.picture, hashes)) for one in found]
    missing = [i for i, good in enumerate(sound) if not good]
    planes = [requests[i].plane for i in missing]
    needed = {k for plane in planes for k in planned_view(series, plane).source_slices}
    with ThreadPoolExecutor(1) as beside:  # digests let go of the interpreter while planes are read
        hashing = beside.submit(hash_slices, series, needed - set(hashes), fresh=verify)
        images = _planes(series, planes, at_hand)
        hashes = {**hashes, **hashing.result()}
    made = {
        i: pool.submit(_make_and_keep, image, requests[i], keys[i], hashes)
        for i, image in zip(missing, images, strict=True)
    }
    return tuple(
        Begun(made[i], renewed=one is not None) if i in made else Begun(_done(one))
        for i, one in enumerate(found)
    )


def _planes(
    series: Series,
    wanted: Sequence[PlaneRequest],
    at_hand: Mapping[PlaneRequest, PlaneImage],
) -> list[PlaneImage]:
    unread = [plane for plane in dict.fromkeys(wanted) if plane not in at_hand]
    read = dict(zip(unread, read_views(series, unread), strict=True))
    return [at_hand[plane] if plane in at_hand else read[plane] for plane in wanted]


@dataclass(frozen=True)
class _Kept:
    picture: ScanPicture
    sources: str  # digest over the hashes of the files it was made of


def _done(kept: _Kept | None) -> Future[ScanPicture]:
    future: Future[ScanPicture] = Future()
    if kept is not None:
        future.set_result(kept.picture)
    return future


def _make_and_keep(
    image: PlaneImage, request: PictureRequest, key: str, hashes: Hashes
) -> ScanPicture:
    if request.scales:
        size, seam = request.target_px, request.seam_share
        picture = make_picture(image, *request.scales, target_px=size, seam_share=seam)
    else:
        picture = make_plain_picture(image, target_px=request.target_px)
    picture = replace(picture, digest=pixels_digest(picture.pixels))
    _keep_picture(key, _Kept(picture, _sources(picture, hashes)))
    return picture


def _picture_key(state: str, said: tuple[float | None, str], request: PictureRequest) -> str:
    code = code_version("scans")
    return content_key(code, _versions(), state, said, request)


@cache
def _versions() -> tuple[str, ...]:
    return tuple(version(name) for name in _LIBRARIES)


def _sources(picture: ScanPicture, hashes: Hashes) -> str:
    return content_key(tuple(hashes[k] for k in picture.source_slices))


def _keep_picture(key: str, kept: _Kept) -> None:
    """One line of JSON, then the pixels as they are: they are shown more often than made."""
    picture = kept.picture
    named = {f.name: getattr(picture, f.name) for f in fields(picture) if f.name != "pixels"}
    head = {
        "picture": {name: to_plain(value) for name, value in named.items()},
        "shape": picture.pixels.shape,
        "sources": kept.sources,
    }
    line = json.dumps(head, separators=(",", ":")).encode()
    write_entry(_KIND, key, line + b"\n" + picture.pixels.tobytes())


def _read_picture(key: str) -> _Kept | None:
    content = read_entry(_KIND, key)
    if content is None:
        return None
    try:
        end = content.index(b"\n")
        head = json.loads(content[:end])
        facts = {
            name: field_from_plain(ScanPicture, name, plain)
            for name, plain in head["picture"].items()
        }
        pixels = np.frombuffer(content, np.uint8, offset=end + 1).reshape(head["shape"])
        return _Kept(ScanPicture(pixels=pixels, **facts), head["sources"])
    except (ValueError, TypeError, KeyError, AttributeError):
        return None
