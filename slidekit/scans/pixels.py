"""Reading the values of one slice: straight from the file where they lie there uncompressed."""

import io
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.dicom.decoding import decode_frame
from slidekit.scans.dicom.tables import look_up, read_value_table
from slidekit.scans.files import open_file, skip
from slidekit.scans.model import Series, SliceFile, StoredPixels, Values
from slidekit.scans.nifti import read_nifti_slice
from slidekit.scans.stacking import median

Stored: TypeAlias = NDArray[np.integer[Any]]


@dataclass(frozen=True)
class Samples:
    """The values of one slice, or of some rows of it, in the unit of its series."""

    values: Values  # (rows, columns); without meaning where absent
    absent: NDArray[np.bool_] | None  # padding; None: every sample is present
    first_row: int = 0  # number of the first row in the slice


def read_samples(series: Series, index: int, rows: range | None = None) -> Samples:
    """Read one slice and turn its stored values into modality values (PS3.3 C.11.1).

    Values are int16 when that holds them exactly, so that windows are exact; else float32. When
    only `rows` are wanted, the others are not read from a file that holds them uncompressed.

    Raises
    ------
    ScanError
        If the file is gone, ends early, or cannot be decoded.
    """
    one = series.slices[index]
    if one.format == "nifti":
        return _samples_of_volume(one)
    if one.pixels.offset is None:
        rows = None
    first_row = 0 if rows is None else rows.start
    stored = read_stored(series, index, rows)
    absent = _find_padding(stored, series.padding)
    if _may_hold_overlays(stored, one.pixels):
        # after the search: padding may use bits that ordinary values leave free
        _keep_used_bits(stored, one.pixels)
        absent = either(absent, _find_padding(stored, series.padding))
    if absent is not None:
        stored[absent] = 0
    if one.value_table:
        return Samples(look_up(stored, read_value_table(one)), absent, first_row)
    if _fits_int16(stored, one):
        values = stored.astype(np.int16, copy=False)
        values += np.int16(one.intercept)
        return Samples(values, absent, first_row)
    scaled = stored.astype(np.float32)
    scaled *= np.float32(one.slope)
    scaled += np.float32(one.intercept)
    return Samples(scaled, absent, first_row)


def _samples_of_volume(one: SliceFile) -> Samples:
    values = read_nifti_slice(one.path, one.frame)
    if values.dtype.kind in "iu" and _fits_int16(values, one):
        return Samples(values.astype(np.int16), None)
    with np.errstate(over="ignore"):  # what float32 cannot hold is absent, like NaN
        scaled = values.astype(np.float32)
    absent = ~np.isfinite(scaled)
    if not absent.any():
        return Samples(scaled, None)
    scaled[absent] = 0
    return Samples(scaled, absent)


def _may_hold_overlays(stored: Stored, pixels: StoredPixels) -> bool:
    """Whether the samples have bits that hold no value, at the places where the file says.

    Decoders give the bits in use at the lowest places and of any type: what they give is masked
    where it is as the file stored it.
    """
    if pixels.bits_stored == pixels.bits_allocated:
        return False
    if pixels.offset is not None:
        return True
    as_stored = stored.dtype.itemsize * 8 == pixels.bits_allocated
    signed = stored.dtype.kind == "i"
    return as_stored and signed == pixels.signed and pixels.high_bit == pixels.bits_stored - 1


_INT16 = np.iinfo(np.int16)


def _fits_int16(stored: Stored, one: SliceFile) -> bool:
    """Whether all values are whole and within int16, before and after the rescale."""
    if one.slope != 1 or not one.intercept.is_integer() or abs(one.intercept) > _INT16.max:
        return False
    low, high = int(stored.min()), int(stored.max())
    return (
        min(low, low + one.intercept) >= _INT16.min
        and max(high, high + one.intercept) <= _INT16.max
    )


def read_stored(series: Series, index: int, rows: range | None = None) -> Stored:
    """Read the stored values of one slice, (rows, columns), as a fresh array.

    `rows`, one after the other, of a slice that lies uncompressed in its file; None: all.

    Raises
    ------
    ScanError
        As for `read_samples`.
    """
    one = series.slices[index]
    if one.pixels.offset is None:
        decoded = decode_frame(one.path, one.frame)
        stored = np.array(decoded, decoded.dtype.newbyteorder("="))
        if stored.shape != (series.rows, series.columns):
            raise ScanError(
                f"{one.path.name} decodes to {stored.shape} instead of"
                f" {(series.rows, series.columns)} rows and columns",
                "Export the file again",
            )
        return stored
    kind = "i" if one.pixels.signed else "u"
    rows = range(series.rows) if rows is None else rows
    stored = np.empty((len(rows), series.columns), f"<{kind}{one.pixels.bits_allocated // 8}")
    _read_into(stored, one, rows.start)
    return stored


def _read_into(stored: Stored, one: SliceFile, first_row: int) -> None:
    try:
        with open_file(one.path) as file:
            skip(file, (one.pixels.offset or 0) + first_row * stored.strides[0])
            count = _fill(stored, file)
    except OSError as failed:
        raise ScanError(
            f"{one.path} cannot be read any more: {failed.strerror}",
            "Leave the scan files in place while a talk is built",
        ) from failed
    if count < stored.nbytes:
        raise ScanError(
            f"{one.path} is cut short: {count} of {stored.nbytes} bytes of its pixels are there",
            "Copy or export the file again",
        )


def _fill(stored: Stored, file: io.FileIO | io.BufferedReader) -> int:
    """Read until the array is full or the file ends; how many bytes there were."""
    buffer = stored.data.cast("B")
    count = 0
    while count < len(buffer):
        more = file.readinto(buffer[count:])
        if not more:
            break
        count += more
    return count


def _find_padding(stored: Stored, padding: tuple[int, int] | None) -> NDArray[np.bool_] | None:
    """Samples within the padding values, both ends included; None when there are none."""
    if padding is None:
        return None
    low, high = padding
    absent = stored == low if low == high else (stored >= low) & (stored <= high)
    return absent if absent.any() else None


def either(
    one: NDArray[np.bool_] | None, other: NDArray[np.bool_] | None
) -> NDArray[np.bool_] | None:
    """Where one of two masks of a shape holds; None for a mask that holds nowhere."""
    if one is None or other is None:
        return other if one is None else one
    return one | other


def _keep_used_bits(stored: Stored, pixels: StoredPixels) -> None:
    """Clear the bits that hold no value (old overlays sit there) and extend the sign, in place."""
    kind = "i" if pixels.signed else "u"
    numbers = stored.view(f"<{kind}{pixels.bits_allocated // 8}")
    numbers <<= pixels.bits_allocated - 1 - pixels.high_bit
    numbers >>= pixels.bits_allocated - pixels.bits_stored


AIR_HU = -1024  # the lowest value of a 12-bit CT scale; nothing real is darker
RIM_SHARE = 0.05  # of the outermost samples; noise in air stays well below


def hidden_padding(series: Series) -> float | None:
    """A value below air that fills part of the rim of a CT series without declared padding.

    Some scanners fill the corners outside the round field of view with such a value and do not
    say so in the header. Looks at the middle slice only; None when there is no such value, or
    the slice is not plainly readable.
    """
    if series.unit != "HU" or series.padding is not None or series.kind == "page":
        return None
    middle = len(series.slices) // 2
    if series.slices[middle].pixels.offset is None:
        return None
    try:
        values = read_samples(series, middle).values
    except ScanError:  # told when the slice is needed
        return None
    rim = np.concatenate((values[0], values[-1], values[:, 0], values[:, -1]))
    dark = rim[rim < AIR_HU]
    return median(dark) if dark.size > RIM_SHARE * rim.size else None
