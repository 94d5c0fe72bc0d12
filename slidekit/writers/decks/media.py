"""The pictures of a deck as PNG parts: lossless, grey kept grey, each distinct picture once.

Found by their pixels: python-pptx would find them by their files, in a walk over all parts for
each picture, after every one of them is packed.
"""

import io
import zlib
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from pptx.opc.constants import CONTENT_TYPE as CT
from pptx.opc.packuri import PackURI
from pptx.package import Package
from pptx.parts.image import ImagePart

from slidekit.cache import content_key, read_entry, write_entry
from slidekit.errors import WriteError
from slidekit.scans.enlarging import Enlarged
from slidekit.scene.model import Page, Picture

_THREADS = 4  # zlib lets go of the interpreter, so threads are enough
_LEVEL, _DRAFT_LEVEL = 6, 1


class Media:
    """Image parts of the pictures of `pages`, numbered in the order they first appear."""

    def __init__(self, pages: Sequence[Page], package: Package, *, draft: bool) -> None:
        self._keys: dict[int, str] = {}  # by id() of the pixels, which `pages` keep alive
        distinct: dict[str, Enlarged] = {}
        for picture in _pictures(pages):
            pixels = picture.pixels
            if not picture.moving and id(pixels) not in self._keys:
                image = pixels if isinstance(pixels, Enlarged) else Enlarged(pixels, 1)
                self._keys[id(pixels)] = image.key
                distinct.setdefault(image.key, image)
        level = _DRAFT_LEVEL if draft else _LEVEL
        with ThreadPoolExecutor(_THREADS) as pool:
            encoded = pool.map(lambda image: _kept_png(image, level), distinct.values())
            self._parts = {
                key: ImagePart(PackURI(f"/ppt/media/image{i}.png"), CT.PNG, package, blob)
                for i, (key, blob) in enumerate(zip(distinct, encoded, strict=True), 1)
            }
        moving = dict.fromkeys(picture.moving for picture in _pictures(pages) if picture.moving)
        self._moving = {
            gif: ImagePart(PackURI(f"/ppt/media/image{i}.gif"), CT.GIF, package, gif)
            for i, gif in enumerate(moving, len(distinct) + 1)
        }

    def part(self, picture: Picture) -> ImagePart:
        """The part that holds `picture`, one of the pages': in motion if it moves."""
        if picture.moving:
            return self._moving[picture.moving]
        return self._parts[self._keys[id(picture.pixels)]]


def _pictures(pages: Sequence[Page]) -> Iterator[Picture]:
    for page in pages:
        for item in page.items:
            if isinstance(item, Picture):
                pixels = item.pixels.native if isinstance(item.pixels, Enlarged) else item.pixels
                if pixels.dtype != np.uint8 or (pixels.ndim != 2 and pixels.shape[2:] != (3,)):
                    raise WriteError(
                        f"The picture {item.name!r} on slide {page.id!r} has {pixels.dtype} pixels"
                        f" in the shape {pixels.shape}",
                        "Give uint8 (rows, columns) for grey or (rows, columns, 3) for colour",
                    )
                yield item


def _kept_png(image: Enlarged, level: int) -> bytes:
    """From the cache where these pixels were packed before: packing takes longest of all."""
    key = content_key(image.key, level, zlib.ZLIB_VERSION)
    kept = read_entry("png", key)
    if kept is None:
        kept = _png(image.pixels, level)
        write_entry("png", key, kept)
    return kept


def _png(pixels: NDArray[np.uint8], level: int) -> bytes:
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, "PNG", compress_level=level)
    return buffer.getvalue()
