"""The tables of a file: of its values (Modality LUT) and of grey levels (VOI LUT).

They are rare and can be large, so a file's are read only where a picture needs them.
"""

import struct
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.dicom.library import StoredTable, read_stored_tables
from slidekit.scans.dicom.tags import MODALITY_LUT, VOI_LUT
from slidekit.scans.model import LookupTable, SliceFile, Values

_KEPT = 8  # tables of as many files; the slices of a series come one after the other


@dataclass(frozen=True)
class NamedTable:
    """A table with what its vendor says of it, which may name a person: for the console only."""

    table: LookupTable
    explanation: str


def read_value_table(one: SliceFile) -> LookupTable:
    """The table that turns the stored values of a slice into its values (PS3.3 C.11.1.1).

    Raises
    ------
    ScanError
        If it is damaged.
    """
    signed = one.pixels.signed
    found = _read_tables(one.path, one.file_mtime_ns, MODALITY_LUT, may_be_negative=signed)
    if not found:
        raise _damaged("it has no item")
    return found[0].table


def read_grey_tables(one: SliceFile) -> tuple[NamedTable, ...]:
    """The tables that turn the values of a slice into grey levels (PS3.3 C.11.2.1.1).

    Raises
    ------
    ScanError
        If one is damaged.
    """
    if not one.grey_tables:
        return ()
    negative = one.pixels.signed or one.intercept < 0 or one.slope < 0
    return _read_tables(
        one.path, one.file_mtime_ns, VOI_LUT, may_be_negative=negative and not one.value_table
    )


@lru_cache(maxsize=_KEPT)
def _read_tables(
    path: Path, _mtime_ns: int, sequence: int, *, may_be_negative: bool
) -> tuple[NamedTable, ...]:
    stored = read_stored_tables(path, sequence)
    return tuple(
        NamedTable(_table(one, may_be_negative=may_be_negative), one.explanation) for one in stored
    )


def _table(stored: StoredTable, *, may_be_negative: bool) -> LookupTable:
    """A table by its descriptor: number of entries, first value, bits of an entry."""
    if len(stored.descriptor) != 3:
        raise _damaged(f"its descriptor has {len(stored.descriptor)} numbers instead of 3")
    count, first, bits = stored.descriptor
    count = (count & 0xFFFF) or 0x1_0000  # 0 stands for what 16 bits cannot hold
    first &= 0xFFFF
    if may_be_negative and first > 0x7FFF:
        first -= 0x1_0000
    if not 1 <= bits <= 16:
        raise _damaged(f"its entries have {bits} bits")
    entries = _entries(stored.data, count)
    return LookupTable(first, tuple(entries.tolist()), bits)


def _entries(data: bytes | Sequence[int], count: int) -> NDArray[np.uint8] | NDArray[np.uint16]:
    """The first `count` entries, each of one or two bytes."""
    raw = data if isinstance(data, bytes) else struct.pack(f"<{len(data)}H", *data)
    if len(raw) >= 2 * count:
        return np.frombuffer(raw, "<u2", count)
    if len(raw) >= count:
        return np.frombuffer(raw, "u1", count)
    raise _damaged(f"it has {len(raw)} bytes for {count} entries")


def _damaged(what: str) -> ScanError:
    return ScanError(
        f"A table of the file (LUT Sequence) is damaged: {what}",
        "Export the series again, or leave it out",
    )


def look_up(stored: NDArray[np.integer[Any]], table: LookupTable) -> Values:
    """The outputs for an array of stored values; int16 when all of the table's fit, else float32,
    which holds them exactly too."""
    fits = max(table.entries) <= np.iinfo(np.int16).max
    outputs = np.array(table.entries, np.int16 if fits else np.float32)
    places = np.clip(stored.astype(np.int64) - table.first_value, 0, len(outputs) - 1)
    return cast(Values, outputs[places])
