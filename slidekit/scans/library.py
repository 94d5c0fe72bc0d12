"""What is left to pydicom, and the only import of it: odd headers, frames, compressed pixels.

The import takes a quarter of a second, which an ordinary uncompressed series never needs: it
waits until the first odd or compressed file.
"""

import logging
import struct
import warnings
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans import jpeg, tags
from slidekit.scans.codestreams import check_codestream, check_deflated
from slidekit.scans.files import FilePath, open_file, status_of
from slidekit.scans.header import (
    BIG_ENDIAN,
    EXPLICIT_LITTLE_ENDIAN,
    IMPLICIT_LITTLE_ENDIAN,
    PREAMBLE,
    Header,
)

if TYPE_CHECKING:
    from pydicom import Dataset

logging.getLogger("pydicom").addHandler(logging.NullHandler())  # its warnings are not for users

_LARGEST_IN_MEMORY = 512 * 2**20  # bytes

# pydicom and its codecs raise over a dozen kinds of errors on damaged files, some derived from
# nothing but Exception: where they are called, any of them means damage
_DAMAGE = (Exception,)


def _read_dataset(path: FilePath) -> "Dataset":
    import pydicom  # noqa: PLC0415 - see the module's docstring

    # from memory, so that an absurd length asks for no more than what is there
    large = isinstance(path, Path) and path.stat().st_size > _LARGEST_IN_MEMORY
    data = b"" if large else path.read_bytes()
    check_deflated(data)
    source = path if isinstance(path, Path) and large else BytesIO(data)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of values that slidekit never looks at
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
    status = status_of(path)
    with open_file(path) as file:
        promised = file.read(PREAMBLE)[128:] == b"DICM"
    try:
        dataset = _read_dataset(path)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            elements = dict(_value_bytes(dataset))
    except ScanError:
        raise
    except _DAMAGE as damaged:
        if not promised:
            return None
        raise ScanError(
            "it is damaged and cannot be read as DICOM", "Copy or export the file again"
        ) from damaged
    if not promised and not {tags.SOP_CLASS, tags.ROWS} <= elements.keys():
        return None
    return Header(
        path=path,
        file_size=status.size,
        file_mtime_ns=status.mtime_ns,
        transfer_syntax=str(dataset.file_meta.TransferSyntaxUID),
        elements=elements,
        has_pixels=tags.PIXEL_DATA in dataset,
        pixels_offset=None,
        overlay_bits=_has_overlay(dataset),
    )


def _has_overlay(dataset: "Dataset") -> bool:
    return any(
        (value := dataset.get((group, 0x3000))) is not None and any(value.value or b"")
        for group in range(0x6000, 0x6020, 2)
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
    try:
        dataset = _read_dataset(header.path)
        shared = _group_values(dataset.get(tags.SHARED_GROUPS))
        frames = [_group_values([item]) for item in dataset[tags.PER_FRAME_GROUPS].value]
        count = int(dataset.NumberOfFrames)
    except _DAMAGE as damaged:
        raise ScanError(
            "its functional groups (where each frame lies) are damaged", "Export the file again"
        ) from damaged
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
    try:
        dataset = _read_dataset(path)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            little = dataset.original_encoding[1] is not False
            return tuple(_stored_table(item, little=little) for item in _items(dataset, sequence))
    except _DAMAGE as damaged:
        raise ScanError(
            "A table of the file (LUT Sequence) is damaged", "Export the series again"
        ) from damaged


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


@lru_cache(maxsize=1)
def _dataset_of_frames(path: FilePath, _mtime_ns: int) -> "Dataset":
    """The file read last: the frames of a multi-frame file come one after the other."""
    return _read_dataset(path)


@cache
def _teach_decoders() -> None:
    """Tell pydicom of the decoders that it has none of its own for."""
    from pydicom.pixels.decoders.base import get_decoder  # noqa: PLC0415 - see the module's docstring

    for syntax in jpeg.SYNTAXES:
        get_decoder(syntax).add_plugin("slidekit", (jpeg.__name__, jpeg.decode_frame.__name__))


def decode_frame(path: FilePath, frame: int) -> NDArray[np.integer[Any]]:
    """Decode the stored values of one frame, (rows, columns).

    Raises
    ------
    ScanError
        If the pixels are damaged, or no installed decoder knows their compression.
    """
    from pydicom.pixels.utils import pixel_array  # noqa: PLC0415 - see the module's docstring

    _teach_decoders()
    try:
        dataset = _dataset_of_frames(path, status_of(path).mtime_ns)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            _check_compressed_size(dataset, frame)
            return pixel_array(dataset, index=frame, raw=True)
    except ScanError:
        raise
    except _DAMAGE as failed:
        raise _cannot_decode(path, failed) from failed


def decode_color(path: FilePath, frame: int) -> NDArray[np.uint8]:
    """Decode one frame in colour, (rows, columns, 3) in RGB.

    YBR is converted as PS3.3 C.7.6.3.1.2 says and palettes are looked up (C.7.9); deeper colours
    keep their upper 8 bits.

    Raises
    ------
    ScanError
        As for `decode_frame`.
    """
    from pydicom.pixels.processing import apply_color_lut  # noqa: PLC0415 - see the module's docstring
    from pydicom.pixels.utils import pixel_array  # noqa: PLC0415 - see the module's docstring

    _teach_decoders()
    try:
        dataset = _dataset_of_frames(path, status_of(path).mtime_ns)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            _check_compressed_size(dataset, frame)
            levels = pixel_array(dataset, index=frame)
            bits = int(dataset.BitsStored)
            if dataset.PhotometricInterpretation == "PALETTE COLOR":
                levels = apply_color_lut(levels, dataset)
                bits = levels.dtype.itemsize * 8
    except ScanError:
        raise
    except _DAMAGE as failed:
        raise _cannot_decode(path, failed) from failed
    if levels.ndim != 3 or levels.shape[2] < 3 or levels.dtype.kind != "u":
        raise ScanError(
            f"The colours of {path.name} are coded in a way that is not read",
            "Export the picture in RGB",
        )
    return np.asarray(levels[..., :3] >> max(bits - 8, 0), np.uint8)


def _cannot_decode(path: FilePath, failed: BaseException) -> ScanError:
    missing = _missing_decoder(path)
    if missing:
        return ScanError(
            f"Nothing that is installed decodes the pixels of {path.name}, which are {missing}",
            "Install slidekit[compressed], or export the series uncompressed",
        )
    return ScanError(
        f"The pixels of {path.name} cannot be decoded: {_first_sentence(failed)}",
        "Copy or export the file again, uncompressed if that fails too",
    )


def _missing_decoder(path: FilePath) -> str:
    """The name of the compression for which no decoder is there; "" when it is not that."""
    from pydicom.pixels.decoders.base import get_decoder  # noqa: PLC0415 - see the module's docstring

    try:
        syntax = _dataset_of_frames(path, status_of(path).mtime_ns).file_meta.TransferSyntaxUID
        return "" if get_decoder(syntax).is_available else str(syntax.name)
    except _DAMAGE:
        return ""


def _check_compressed_size(dataset: "Dataset", frame: int) -> None:
    from pydicom.encaps import get_frame  # noqa: PLC0415 - see the module's docstring

    if dataset.file_meta.TransferSyntaxUID.is_encapsulated:
        count = int(dataset.get("NumberOfFrames") or 1)
        data = get_frame(dataset.PixelData, frame, number_of_frames=count)
        check_codestream(data, dataset.Rows, dataset.Columns)


def _first_sentence(error: BaseException) -> str:
    return " ".join(str(error).split())[:160].rstrip(".") or type(error).__name__
