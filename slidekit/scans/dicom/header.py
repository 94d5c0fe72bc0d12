"""What the header of an image says: the values of its attributes."""

import math
import struct
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from slidekit.errors import ScanError
from slidekit.scans.dicom import tags
from slidekit.scans.files import FilePath

EXPLICIT_LITTLE_ENDIAN = "1.2.840.10008.1.2.1"
IMPLICIT_LITTLE_ENDIAN = "1.2.840.10008.1.2"
DEFLATED = "1.2.840.10008.1.2.1.99"
BIG_ENDIAN = "1.2.840.10008.1.2.2"

_FILL = b" \0"  # pads values to an even length
_ESCAPE = b"\x1b"  # starts a code extension (PS3.5 6.1.2.5), which may be ASCII otherwise

_CODECS = {  # Specific Character Set (PS3.3 C.12.1.1.2) without code extensions
    "": "ascii",
    "ISO_IR 6": "ascii",
    "ISO_IR 100": "latin-1",
    "ISO_IR 101": "iso8859-2",
    "ISO_IR 109": "iso8859-3",
    "ISO_IR 110": "iso8859-4",
    "ISO_IR 126": "iso8859-7",
    "ISO_IR 127": "iso8859-6",
    "ISO_IR 138": "iso8859-8",
    "ISO_IR 144": "iso8859-5",
    "ISO_IR 148": "iso8859-9",
    "ISO_IR 166": "iso8859-11",
    "ISO_IR 192": "utf-8",
    "ISO_IR 203": "iso8859-15",
    "GB18030": "gb18030",
    "GBK": "gbk",
}


@dataclass(frozen=True)
class Header:
    """The wanted attributes of one image, as the bytes of their values in little endian."""

    path: FilePath
    file_size: int
    file_mtime_ns: int
    transfer_syntax: str
    elements: Mapping[int, bytes]
    has_pixels: bool
    pixels_offset: int | None  # where uncompressed little-endian samples start; else None
    pixels_length: int = 0  # bytes of those samples, as claimed
    overlay_bits: bool = False  # an overlay with at least one set bit
    frame: int = 0

    def text(self, tag: int) -> str:
        """The value as one text without padding; "" when absent."""
        raw = self.elements.get(tag, b"").strip(_FILL)
        codec = "ascii"
        if tag in tags.FREE_TEXTS:
            charset = self.elements.get(tags.CHARACTER_SET, b"").decode("ascii", "replace")
            codec = _CODECS.get(charset.strip(), codec)
        return raw.decode(codec, "replace")

    def texts(self, tag: int) -> tuple[str, ...]:
        """The values of a multi-valued text."""
        whole = self.text(tag)
        return tuple(part.strip() for part in whole.split("\\")) if whole else ()

    def floats(self, tag: int) -> tuple[float, ...]:
        """The values of a DS, IS or FD attribute.

        Raises
        ------
        ScanError
            If a value is not a finite number and the attribute is one of `tags.STRICT_TAGS`.
            Malformed numbers elsewhere count as absent.
        """
        raw = self.elements.get(tag, b"")
        if tag in tags.DOUBLE_TAGS:
            return struct.unpack(f"<{len(raw) // 8}d", raw[: len(raw) // 8 * 8])
        values = _parse_decimals(raw)
        if values is not None:
            return values
        if tag not in tags.STRICT_TAGS:
            return ()
        raise ScanError(
            f"it holds {raw.strip(_FILL)[:60].decode('ascii', 'replace')!r} where numbers belong,"
            f" in attribute {tags.tag_text(tag)}",
            "Export the series again, or leave the file out",
        )

    def shorts(self, tag: int, *, signed: bool = False) -> tuple[int, ...]:
        """The values of a US (or SS) attribute."""
        raw = self.elements.get(tag, b"")
        return struct.unpack(f"<{len(raw) // 2}{'h' if signed else 'H'}", raw[: len(raw) // 2 * 2])

    def short(self, tag: int) -> int:
        """The first value of a US attribute; 0 when absent."""
        raw = self.elements.get(tag, b"")
        return raw[0] | raw[1] << 8 if len(raw) > 1 else 0


@lru_cache(maxsize=4096)  # most values are those of the slice before
def _parse_decimals(raw: bytes) -> tuple[float, ...] | None:
    """The numbers of a DS or IS value; None when one of them is no finite number."""
    raw = raw.strip(_FILL)
    if not raw:
        return ()
    try:
        values = tuple(map(float, raw.split(b"\\")))
    except ValueError:
        return None
    return values if all(map(math.isfinite, values)) else None


def has_plain_texts(elements: Mapping[int, bytes]) -> bool:
    """Whether one codec is enough for the free texts of an image."""
    texts = b"".join(elements.get(tag, b"") for tag in tags.FREE_TEXTS)
    if texts.isascii() and _ESCAPE not in texts:
        return True
    charset = elements.get(tags.CHARACTER_SET, b"").decode("ascii", "replace").strip()
    return charset in _CODECS
