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
        names: dict[bytes, str] = {}
        self._names: dict[int, str] = {}  # by id() of the pixels, which `pages` keep alive
        for picture in _pictures(pages):
            if id(picture.pixels) in self._names:
                continue
            fingerprint = _fingerprint(picture.pixels)
            distinct.setdefault(fingerprint, picture.pixels)
            name = names.setdefault(fingerprint, f"/ppt/media/image{len(distinct)}.png")
            self._names[id(picture.pixels)] = name
        level = _DRAFT_LEVEL if draft else _LEVEL
        with ThreadPoolExecutor(_THREADS) as pool:
            encoded = pool.map(lambda pixels: _png(pixels, level), distinct.values())
            self.parts = tuple(map(Part, names.values(), encoded))

    def part_name(self, picture: Picture) -> str:
        """The part that holds the pixels of `picture`, one of the pages'."""
        return self._names[id(picture.pixels)]


def _pictures(pages: Sequence[Page]) -> Iterator[Picture]:
    for page in pages:
        for item in page.items:
            if isinstance(item, Picture):
                pixels = item.pixels
                if pixels.dtype != np.uint8 or (pixels.ndim != 2 and pixels.shape[2:] != (3,)):
                    raise WriteError(
                        f"The picture {item.name!r} on slide {page.id!r} has {pixels.dtype} pixels"
                        f" in the shape {pixels.shape}",
                        "Give uint8 (rows, columns) for grey or (rows, columns, 3) for colour",
                    )
                yield item


def _fingerprint(pixels: NDArray[np.uint8]) -> bytes:
    digest = hashlib.sha1(repr(pixels.shape).encode(), usedforsecurity=False)
    digest.update(np.ascontiguousarray(pixels).data)
    return digest.digest()


def _png(pixels: NDArray[np.uint8], level: int) -> bytes:
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, "PNG", compress_level=level)
    return buffer.getvalue()
