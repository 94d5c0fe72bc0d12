"""The pictures of a deck as PNG parts: lossless, grey kept grey, each distinct picture once."""

import hashlib
import io
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from slidekit.errors import WriteError
from slidekit.scene.model import Page, Picture
from slidekit.writers.deck_package import Part

_THREADS = 4  # zlib lets go of the interpreter, so threads are enough
_LEVEL, _DRAFT_LEVEL = 6, 1


class Media:
    """Image parts of the pictures of `pages`, in the order they first appear."""

    def __init__(self, pages: Sequence[Page], *, draft: bool) -> None:
        distinct: dict[bytes, NDArray[np.uint8]] = {}
        self._names: dict[int, str] = {}  # by id() of the pixels, which `pages` keep alive
        for pixels in _all_pixels(pages):
            if id(pixels) in self._names:
                continue
            fingerprint = _fingerprint(pixels)
            distinct.setdefault(fingerprint, pixels)
            number = list(distinct).index(fingerprint) + 1
            self._names[id(pixels)] = f"/ppt/media/image{number}.png"
        level = _DRAFT_LEVEL if draft else _LEVEL
        with ThreadPoolExecutor(_THREADS) as pool:
            encoded = list(pool.map(lambda pixels: _png(pixels, level), distinct.values()))
        self.parts = tuple(
            Part(f"/ppt/media/image{number}.png", data) for number, data in enumerate(encoded, 1)
        )

    def part_name(self, picture: Picture) -> str:
        return self._names[id(picture.pixels)]


def _all_pixels(pages: Sequence[Page]) -> Iterator[NDArray[np.uint8]]:
    for page in pages:
        for item in page.items:
            if isinstance(item, Picture):
                if item.pixels.ndim not in {2, 3}:
                    raise WriteError(
                        f"Picture {item.name!r} has pixels of shape {item.pixels.shape}",
                        "Give (rows, columns) for grey or (rows, columns, 3) for colour",
                    )
                yield item.pixels


def _fingerprint(pixels: NDArray[np.uint8]) -> bytes:
    digest = hashlib.sha1(repr(pixels.shape).encode(), usedforsecurity=False)
    digest.update(np.ascontiguousarray(pixels).data)
    return digest.digest()


def _png(pixels: NDArray[np.uint8], level: int) -> bytes:
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, "PNG", compress_level=level)
    return buffer.getvalue()
