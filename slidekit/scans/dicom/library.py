"""What is left to pydicom: odd headers, functional groups, tables, overlays. Pixels: `decoding`.

The import takes a quarter of a second, which an ordinary uncompressed series never needs: it
waits until the first odd or compressed file.
"""

import logging
import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.dicom import tags
from slidekit.scans.dicom.codestreams import check_deflated
from slidekit.scans.dicom.header import (
    BIG_ENDIAN,
    EXPLICIT_LITTLE_ENDIAN,
    IMPLICIT_LITTLE_ENDIAN,
    Header,
)
from slidekit.scans.dicom.walker import PREAMBLE, OddFileError, read_header
from slidekit.scans.files import FilePath, open_file, status_of

if TYPE_CHECKING:
    from pydicom import Dataset

logging.getLogger("pydicom").addHandler(logging.NullHandler())  # its warnings are not for users

_LARGEST_IN_MEMORY = 512 * 2**20  # bytes
OVERLAY_GROUPS = range(0x6000, 0x6020, 2)

# pydicom and its codecs raise over a dozen kinds of errors on damaged files, some derived from
# nothing but Exception: where they are called, any of them means damage
DAMAGE = (Exception,)


@contextmanager
def quietly() -> Iterator[None]:
    """Nobody hears what pydicom has to say of values that slidekit never looks at."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


@contextmanager
def _or_else(complaint: ScanError) -> Iterator[None]:
    """Quietly; damage of any kind becomes the complaint."""
    try:
        with quietly():
            yield
    except ScanError:
        raise
    except DAMAGE as damaged:
        raise complaint from damaged


def read_dataset(path: FilePath) -> "Dataset":
    """The whole file. It raises `DAMAGE` of all kinds where the file is damaged."""
    import pydicom  # noqa: PLC0415 - see the module's docstring

    # from memory, so that an absurd length asks for no more than what is there
    large = isinstance(path, Path) and path.stat().st_size > _LARGEST_IN_MEMORY
    data = b"" if large else path.read_bytes()
    check_deflated(data)
    source = path if isinstance(path, Path) and large else BytesIO(data)
    dataset = pydicom.dcmread(source, force=True)
    if "TransferSyntaxUID" not in dataset.file_meta:
        implicit, little = dataset.original_encoding
        dataset.file_meta.TransferSyntaxUID = pydicom.uid.UID(
            BIG_ENDIAN
            if not little
            else IMPLICIT_LITTLE_ENDIAN
            if implicit
            else EXPLICIT_LITTLE_ENDIAN
        )
    return dataset


def read_any_header(path: FilePath) -> Header | None:
    """Read a header, walking it where that is enough (see `walker`).

    Returns
    -------
    Header or None
        As `parse_header`.

    Raises
    ------
    ScanError
        If the file is damaged.
    OSError
        If it cannot be opened.
    """
    try:
        return read_header(path)
    except OddFileError as odd:
        header = parse_header(path)
        if odd.damage and (header is None or not header.has_pixels):
            raise ScanError(odd.damage, "Copy or export the file again") from odd
        return header


def parse_header(path: FilePath) -> Header | None:
    """Read an odd header with pydicom.

    Returns
    -------
    Header or None
        None when the file is not DICOM after all: it lacks the preamble, and has no SOP Class
        or no Rows.

    Raises
    ------
    ScanError
        If the file is damaged.
    """
    with open_file(path) as file:
        promised = file.read(PREAMBLE)[128:] == b"DICM"
    damaged = ScanError(
        "it is damaged and cannot be read as DICOM", "Copy or export the file again"
    )
    try:
        with _or_else(damaged):
            header = _header_of(path, read_dataset(path))
    except ScanError:
        if not promised:
            return None
        raise
    is_image = {tags.SOP_CLASS, tags.ROWS} <= header.elements.keys()
    return header if promised or is_image else None


def _header_of(path: FilePath, dataset: "Dataset") -> Header:
    status = status_of(path)
    return Header(
        path=path,
        file_size=status.size,
        file_mtime_ns=status.mtime_ns,
        transfer_syntax=str(dataset.file_meta.TransferSyntaxUID),
        elements=dict(_value_bytes(dataset)),
        has_pixels=tags.PIXEL_DATA in dataset,
        pixels_offset=None,
        overlay_bits=_has_overlay(dataset),
    )


def _has_overlay(dataset: "Dataset") -> bool:
    return any(
        (value := dataset.get((group, 0x3000))) is not None and any(value.value or b"")
        for group in OVERLAY_GROUPS
    )


def _value_bytes(dataset: "Dataset") -> Iterator[tuple[int, bytes]]:
    """The wanted attributes at the top level of `dataset`, in the form `Header` keeps."""
    for tag in tags.VALUE_TAGS & {int(tag) for tag in dataset.keys()}:  # noqa: SIM118 - no mapping
        unparsed = dataset.get_item(tag)
        if tag in tags.TEXT_TAGS - tags.FREE_TEXTS and isinstance(unparsed.value, bytes):
            yield tag, unparsed.value  # malformed numbers are judged where they are used
        else:
            yield tag, _encoded(tag, dataset[tag].value)
    for tag in tags.PRESENCE_TAGS:
        if tag in dataset and dataset[tag].value:
            yield tag, b""
    for item in _items(dataset, tags.MODALITY_LUT)[:1]:
        if tags.MODALITY_LUT_TYPE in item:
            yield tags.MODALITY_LUT_TYPE, _encoded(0, item[tags.MODALITY_LUT_TYPE].value)
    if tags.SOP_CLASS not in dataset and "MediaStorageSOPClassUID" in dataset.file_meta:
        yield tags.SOP_CLASS, str(dataset.file_meta.MediaStorageSOPClassUID).encode()
    if any(tag in dataset for tag in tags.FREE_TEXTS):
        yield tags.CHARACTER_SET, b"ISO_IR 192"  # as _encoded writes


def _items(dataset: "Dataset", tag: int) -> "list[Dataset]":
    """The items of a sequence; none when it is absent."""
    return list(dataset[tag].value or ()) if tag in dataset else []


def _encoded(tag: int, value: Any) -> bytes:
    if value is None:
        return b""
    if isinstance(value, bytes):
        return value
    values: list[Any] = [value] if isinstance(value, (str, int, float)) else list(value)
    if tag in tags.SHORT_TAGS:
        return b"".join(struct.pack("<h" if item < 0 else "<H", item) for item in values)
    if tag in tags.DOUBLE_TAGS:
        return struct.pack(f"<{len(values)}d", *values)
    return "\\".join(map(str, values)).encode()


_GROUPS = {  # functional group: its attributes, and the single-frame ones they stand for
    0x0028_9110: {tag: tag for tag in (tags.PIXEL_SPACING, tags.SLICE_THICKNESS)},
    0x0020_9113: {tags.IMAGE_POSITION: tags.IMAGE_POSITION},
    0x0020_9116: {tags.IMAGE_ORIENTATION: tags.IMAGE_ORIENTATION},
    0x0028_9145: {
        tag: tag for tag in (tags.RESCALE_SLOPE, tags.RESCALE_INTERCEPT, tags.RESCALE_TYPE)
    },
    0x0028_9132: {
        tag: tag
        for tag in (
            tags.WINDOW_CENTER,
            tags.WINDOW_WIDTH,
            tags.WINDOW_EXPLANATION,
            tags.VOI_LUT_FUNCTION,
        )
    },
    0x0020_9111: {0x0020_9128: tags.TEMPORAL_POSITION},  # Temporal Position Index
    0x0018_9114: {0x0018_9082: tags.ECHO_NUMBERS},  # Effective Echo Time
    0x0018_9117: {tags.DIFFUSION_B_VALUE: tags.DIFFUSION_B_VALUE},
}
"""PS3.3 C.7.6.16.2 and, for the last two, C.8.13.5."""


def frame_headers(header: Header) -> list[Header]:
    """One header for each frame of an enhanced multi-frame file.

    The functional groups, shared and of the frame, take the places that the same attributes have
    in single-frame files (PS3.3 C.7.6.16).

    Raises
    ------
    ScanError
        If the groups are damaged, or are not as many as the frames.
    """
    damaged = "its functional groups (where each frame lies) are damaged"
    with _or_else(ScanError(damaged, "Export the file again")):
        dataset = read_dataset(header.path)
        shared = _group_values(dataset.get(tags.SHARED_GROUPS))
        frames = [_group_values([item]) for item in dataset[tags.PER_FRAME_GROUPS].value]
        count = int(dataset.NumberOfFrames)
    if len(frames) != count:
        raise ScanError(
            f"it has {count} frames, but says where {len(frames)} lie",
            "Export the file again",
        )
    known = {**header.elements, tags.CHARACTER_SET: b"ISO_IR 192"}  # as _encoded writes
    if tags.SERIES_DESCRIPTION in known:
        known[tags.SERIES_DESCRIPTION] = header.text(tags.SERIES_DESCRIPTION).encode()
    return [
        replace(header, frame=index, elements={**known, **shared, **frame})
        for index, frame in enumerate(frames)
    ]


def _group_values(element: Any) -> dict[int, bytes]:
    values: dict[int, bytes] = {}
    for item in getattr(element, "value", element) or ():
        for sequence, members in _GROUPS.items():
            if sequence in item and item[sequence].value:
                group = item[sequence].value[0]
                values |= {
                    known: _encoded(known, group[tag].value)
                    for tag, known in members.items()
                    if tag in group
                }
    return values


@dataclass(frozen=True)
class StoredTable:
    """An item of a LUT sequence (PS3.3 C.11.1.1 and C.11.2.1.1), as it is stored."""

    descriptor: tuple[int, ...]
    data: bytes | tuple[int, ...]  # little endian
    explanation: str


def read_stored_tables(path: Path, sequence: int) -> tuple[StoredTable, ...]:
    """The tables of one sequence of a file, in order.

    Raises
    ------
    ScanError
        If the file is damaged.
    """
    damaged = "A table of the file (LUT Sequence) is damaged"
    with _or_else(ScanError(damaged, "Export the series again")):
        dataset = read_dataset(path)
        little = dataset.original_encoding[1] is not False
        return tuple(_stored_table(item, little=little) for item in _items(dataset, sequence))


def _stored_table(item: "Dataset", *, little: bool) -> StoredTable:
    data = item.LUTData
    if isinstance(data, bytes):
        if not little:
            data = np.frombuffer(data, ">u2").astype("<u2").tobytes()
    else:
        data = tuple(int(entry) for entry in np.atleast_1d(data))
    return StoredTable(
        tuple(int(number) for number in item.LUTDescriptor),
        data,
        str(item.get("LUTExplanation", "")).strip(),
    )


@dataclass(frozen=True)
class StoredOverlay:
    """A one-bit plane of graphics that belongs to an image (PS3.3 C.9.2)."""

    bits: NDArray[np.bool_]  # (rows, columns)
    first_row: int  # of the image, on which the overlay's first row lies; from 0, may be negative
    first_column: int


def read_stored_overlays(path: FilePath, frame: int) -> tuple[StoredOverlay, ...]:
    """The overlays of one frame that are kept beside its pixels.

    Raises
    ------
    ScanError
        If the file is damaged.
    """
    damaged = f"An overlay of {path.name} is damaged"
    with _or_else(ScanError(damaged, "Export the file again, or remove `overlays`")):
        dataset = read_dataset(path)
        groups = [group for group in OVERLAY_GROUPS if (group, 0x3000) in dataset]
        found = (_stored_overlay(dataset, group, frame) for group in groups)
        return tuple(overlay for overlay in found if overlay is not None)


def _stored_overlay(dataset: "Dataset", group: int, frame: int) -> StoredOverlay | None:
    """None where the group has no overlay for the frame."""
    bits = np.asarray(dataset.overlay_array(group), np.bool_)
    if bits.ndim == 3:
        first = dataset.get((group, 0x0051))  # Image Frame Origin, from 1
        place = frame - (int(first.value) - 1 if first is not None else 0)
        if not 0 <= place < len(bits):
            return None
        bits = bits[place]
    origin = dataset.get((group, 0x0050))
    row, column = (1, 1) if origin is None else (int(value) for value in origin.value)
    return StoredOverlay(bits, row - 1, column - 1)
