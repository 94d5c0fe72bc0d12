"""How large compressed data say they unpack to, found before anything is unpacked.

A file of a few kilobytes can claim gigabytes; decoders believe it and ask for the memory.
"""

import struct
import zlib

from slidekit.errors import ScanError
from slidekit.scans.dicom.header import DEFLATED
from slidekit.scans.dicom.walker import find_dataset

MOST_UNPACKED = 512 * 2**20  # bytes of a deflated file: larger files are not deflated

_META_BYTES = 2**16  # the transfer syntax stands before this place
_JPEG_2000_SIZE = b"\xff\x4f\xff\x51"  # SOC and SIZ (ISO/IEC 15444-1 A.4.1 and A.5.1)
_JPEG_START = b"\xff\xd8"
_NO_LENGTH = frozenset({0x01, *range(0xD0, 0xDA)})  # TEM, RST, SOI, EOI (ISO/IEC 10918-1 B.1.1.3)
_FRAME_MARKERS = frozenset({*range(0xC0, 0xD0), 0xF7}) - {0xC4, 0xC8, 0xCC}  # SOF; 0xF7: JPEG-LS


def codestream_size(data: bytes) -> tuple[int, int] | None:
    """Rows and columns that a JPEG, JPEG-LS or JPEG 2000 codestream announces; None when it
    announces none, or is none of these."""
    at = data.find(_JPEG_2000_SIZE, 0, 1024)  # after the boxes that some writers put before it
    if at >= 0 and len(data) >= at + 24:
        columns, rows, left, top = struct.unpack_from(">4I", data, at + 8)
        return rows - top, columns - left
    return _jpeg_size(data) if data[:2] == _JPEG_START else None


def _jpeg_size(data: bytes) -> tuple[int, int] | None:
    at = 2
    while at + 9 <= len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if marker in _FRAME_MARKERS:
            rows, columns = struct.unpack_from(">HH", data, at + 5)
            return rows, columns
        if marker == 0xFF:  # fill
            at += 1
        elif marker in _NO_LENGTH:
            at += 2
        else:
            at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return None


def check_codestream(data: bytes, rows: int, columns: int) -> None:
    """Refuse compressed data of another size than the header's (PS3.5 8.2.1).

    Raises
    ------
    ScanError
        If they announce another size.
    """
    size = codestream_size(data)
    if size is not None and size != (rows, columns):
        raise ScanError(
            f"The header says {columns} × {rows} pixels, the compressed pixels say"
            f" {size[1]} × {size[0]}",
            "Export the series again",
        )


def check_deflated(data: bytes) -> None:
    """Refuse a file whose deflated dataset (PS3.5 A.5) unpacks to more than any image needs.

    Raises
    ------
    ScanError
        If it does, or its beginning cannot be found. Damage further on is left to whoever unpacks.
    """
    if DEFLATED.encode() not in data[:_META_BYTES]:
        return
    try:
        left = data[find_dataset(data) :]
    except ValueError as damaged:
        raise ScanError(
            "it is damaged and cannot be unpacked", "Export the file again"
        ) from damaged
    unpacker, total = zlib.decompressobj(-zlib.MAX_WBITS), 0
    while left and total <= MOST_UNPACKED:
        try:
            total += len(unpacker.decompress(left, 2**24))
        except zlib.error:
            return
        left = unpacker.unconsumed_tail
    if total > MOST_UNPACKED:
        raise ScanError(
            f"it unpacks to more than {MOST_UNPACKED // 2**20} MiB", "Export the file again"
        )
