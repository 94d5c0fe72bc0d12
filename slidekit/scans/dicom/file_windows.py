"""The windows and tables of grey levels that the files of a series carry (PS3.3 C.11.2).

Their numbers are kept with each slice. Their explanations are a vendor's free text, in which a
person's name can stand: they are read from the file where an author asks for one, and listed on
the console only.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from slidekit.errors import ScanError
from slidekit.scans.dicom import tags
from slidekit.scans.dicom.header import Header
from slidekit.scans.dicom.library import frame_headers, read_any_header
from slidekit.scans.dicom.tables import read_grey_tables
from slidekit.scans.model import Curve, GreyScale, GreyWindow, Series, SliceFile
from slidekit.scans.windows import check_window

_FUNCTIONS: dict[str, Curve] = {
    "": "linear",  # when VOI LUT Function is absent
    "LINEAR": "linear",
    "LINEAR_EXACT": "linear_exact",
    "SIGMOID": "sigmoid",
}
_A_TABLE = re.compile(r"table(?:\s+(\d+))?")


@dataclass(frozen=True)
class StoredScale:
    """A window or table that a file carries, as an author asked for it."""

    scale: GreyScale
    number: int  # among the windows, or among the tables, from 1
    count: int  # how many of its sort the file carries
    of_slice: int | None  # the slice whose it is, where others of the series carry another


def stored_windows(header: Header) -> tuple[GreyWindow | None, ...]:
    """The windows of an image in order: alternatives, of which the first is meant to be first.

    None for one that cannot be: of an unknown function, or too narrow.
    """
    centers, widths = header.floats(tags.WINDOW_CENTER), header.floats(tags.WINDOW_WIDTH)
    curve = _FUNCTIONS.get(header.text(tags.VOI_LUT_FUNCTION))
    pairs = zip(centers, widths, strict=False)
    return tuple(_window(center, width, curve) for center, width in pairs)


def _window(center: float, width: float, curve: Curve | None) -> GreyWindow | None:
    if curve is None:
        return None
    window = GreyWindow(center, width, curve)
    try:
        check_window(window)
    except ValueError:
        return None
    return window


def choose_stored(series: Series, index: int, wanted: str) -> StoredScale:
    """The window or table of slice `index` that an author asks for.

    Parameters
    ----------
    series, index
        The slice that is shown.
    wanted
        The number of a window, as in "2"; "table" for the first table, "table 2" for another; or
        the explanation of a window or table (case does not matter).

    Raises
    ------
    ScanError
        If the slice has no such window or table, or one that cannot be applied; the message lists
        what there is.
    """
    one = series.slices[index]
    if wanted.isdigit():
        return _numbered_window(series, index, int(wanted))
    if asked := _A_TABLE.fullmatch(wanted):
        return _numbered_table(series, index, int(asked[1] or 1))
    for number, text in enumerate(_explanations(one), start=1):
        if text.casefold() == wanted.casefold():
            return _numbered_window(series, index, number)
    for number, table in enumerate(read_grey_tables(one), start=1):
        if table.explanation.casefold() == wanted.casefold():
            return _numbered_table(series, index, number)
    raise _no_such(series, index, f"no window or table that is called {wanted!r}")


def _numbered_window(series: Series, index: int, number: int) -> StoredScale:
    windows = series.slices[index].windows
    if not 1 <= number <= len(windows):
        raise _no_such(series, index, f"no window {number}")
    window = windows[number - 1]
    if window is None:
        raise ScanError(
            f"Window {number} of slice {index + 1} cannot be applied: it is of a function that the"
            " standard does not know, or its width is too small",
            f"Write center and width yourself, or another: {_listing(series.slices[index])}",
        )
    others = {one.windows[number - 1 : number] for one in series.slices}
    of_slice = index + 1 if len(others) > 1 else None
    return StoredScale(window, number, len(windows), of_slice)


def _numbered_table(series: Series, index: int, number: int) -> StoredScale:
    tables = read_grey_tables(series.slices[index])
    if not 1 <= number <= len(tables):
        raise _no_such(series, index, f"no table {number}" if number > 1 else "no table")
    of_slice = index + 1 if len(series.slices) > 1 else None
    return StoredScale(tables[number - 1].table, number, len(tables), of_slice)


def _no_such(series: Series, index: int, what: str) -> ScanError:
    listing = _listing(series.slices[index])
    where = f"slice {index + 1} of the scan" if len(series.slices) > 1 else "the scan"
    if not listing:
        return ScanError(
            f"There is {what} in the files: {where} carries none",
            "Write a window of the style, {center: 40, width: 400} or {percentiles: [1, 99]}",
        )
    return ScanError(f"There is {what} in the files", f"For {where} write {listing}")


def _listing(one: SliceFile) -> str:
    """What an author can write, for the console."""
    explained = _explanations(one)
    entries = [
        f"stored: {number} ({_numbers(window)}{_quoted(explained, number)})"
        for number, window in enumerate(one.windows, start=1)
    ]
    tables = read_grey_tables(one)
    said = [table.explanation for table in tables]
    entries += [
        f"stored: table {number} ({len(table.table.entries)} entries{_quoted(said, number)})"
        for number, table in enumerate(tables, start=1)
    ]
    return " or ".join(filter(None, [", ".join(entries[:-1]), *entries[-1:]]))


def describe_windows(series: Series) -> str:
    """What the middle slice of a series carries, with explanations: for the console only.

    "" when it carries nothing.

    Raises
    ------
    ScanError
        If the file cannot be read any more.
    """
    return _listing(series.slices[len(series.slices) // 2])


def _numbers(window: GreyWindow | None) -> str:
    if window is None:
        return "cannot be applied"
    curve = "" if window.curve == "linear" else f" {window.curve}"
    return f"{window.center:g}/{window.width:g}{curve}"


def _quoted(explanations: Sequence[str], number: int) -> str:
    text = explanations[number - 1] if number <= len(explanations) else ""
    return f" {text!r}" if text else ""


def _explanations(one: SliceFile) -> tuple[str, ...]:
    """What the vendor says of each window; read from the file. Only DICOM files say anything."""
    if not one.windows or one.format != "dicom":
        return ()
    header = _read_again(one)
    return () if header is None else header.texts(tags.WINDOW_EXPLANATION)


def _read_again(one: SliceFile) -> Header | None:
    try:
        header = read_any_header(one.path)
    except OSError as failed:
        raise ScanError(
            f"{one.path} cannot be read any more: {failed.strerror}",
            "Leave the scan files in place while a talk is built",
        ) from failed
    if header is not None and tags.PER_FRAME_GROUPS in header.elements:
        return frame_headers(header)[one.frame]
    return header
