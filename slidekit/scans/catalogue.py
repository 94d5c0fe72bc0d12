"""A folder of scans: which series it holds, and which of them is meant.

A description can name a person, so outputs call a series by its number or the end of its UID;
descriptions are matched and listed on the console only.
"""

import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from slidekit.errors import ScanError
from slidekit.scans import tags
from slidekit.scans.assembly import assemble
from slidekit.scans.geometry import slice_normal, slice_positions
from slidekit.scans.grouping import group_images
from slidekit.scans.header import Header, OddFileError, read_header
from slidekit.scans.library import frame_headers, parse_header
from slidekit.scans.model import Catalogue, Kind, Refusal, Series
from slidekit.scans.screening import is_enhanced, reason_to_refuse
from slidekit.scans.stacking import typical_step

SHORTEST_UID_END = 5  # letters; fewer would match by chance


def index_folder(folder: Path) -> Catalogue:
    """Find the series in a folder and its sub-folders.

    Only headers are read. What cannot be used is listed with the reason, and does not stop the
    rest.

    Raises
    ------
    ScanError
        If there is no such folder, or nothing DICOM in it.
    """
    if not folder.exists():
        raise ScanError(f"There is no folder {folder}", "Write the path of a folder of DICOM files")
    if not folder.is_dir():
        raise ScanError(f"{folder} is a file", "Write the path of the folder that holds it")
    headers: list[Header] = []
    refusals: list[Refusal] = []
    for path in _files(folder):
        try:
            headers += _read_images(path)
        except ScanError as error:
            refusals.append(Refusal(path, error.wrong))
    headers, copies = _without_copies(headers)
    series: list[Series] = []
    for group in group_images(headers):
        try:
            series += assemble(group)
        except ScanError as error:
            refusals.append(Refusal(group[0].path, error.wrong))
    if not series:
        raise _nothing_found(folder, refusals)
    return Catalogue(folder, _numbered(series), (*refusals, *copies))


def _without_copies(headers: Sequence[Header]) -> tuple[list[Header], list[Refusal]]:
    """Leave out files that repeat an image met before: same UID, place, size and frame."""
    kept: dict[tuple[object, ...], Header] = {}
    copies: list[Refusal] = []
    for header in headers:
        position = header.elements.get(tags.IMAGE_POSITION)
        uid = header.text(tags.SOP_INSTANCE)
        # without a position, one UID on two files may be a fault of the writer
        identity = (
            uid,
            position,
            header.file_size,
            header.frame,
            header.path if not position else None,
        )
        first = kept.setdefault(identity, header)
        if first is not header:
            copies.append(Refusal(header.path, f"it is a copy of {first.path.name}"))
    return list(kept.values()), copies


def _nothing_found(folder: Path, refusals: Sequence[Refusal]) -> ScanError:
    if not refusals:
        return ScanError(f"{folder} is empty", "Write the path of a folder of DICOM files")
    return ScanError(
        f"{folder} holds no image that can be used: {summarize(refusals)}",
        "Write the path of a folder with the CT or MR images of a series",
    )


def summarize(refusals: Sequence[Refusal]) -> str:
    """What was left out and why, one clause for each reason."""
    by_reason: dict[str, list[str]] = {}
    for refusal in refusals:
        by_reason.setdefault(refusal.reason, []).append(refusal.path.name)
    return "; ".join(
        f"{names[0]}: {reason}"
        if len(names) == 1
        else f"{names[0]} and {len(names) - 1} more: {reason}"
        for reason, names in by_reason.items()
    )


def _numbered(series: Iterable[Series]) -> tuple[Series, ...]:
    """The series in the order of their numbers, and the stacks that share a UID counted.

    The count follows what the stacks hold, so that renaming files does not change it.
    """
    by_uid: dict[str, list[Series]] = {}
    for one in sorted(series, key=_rank):
        by_uid.setdefault(one.uid, []).append(one)
    return tuple(
        replace(one, part=part, parts=len(parts))
        for parts in by_uid.values()
        for part, one in enumerate(parts, start=1)
    )


_KINDS: tuple[Kind, ...] = ("stack", "single", "localizer", "page")  # most useful first


def _rank(series: Series) -> tuple[object, ...]:
    unnumbered = series.number is None
    return (
        unnumbered,
        series.number or 0,
        series.uid,
        _KINDS.index(series.kind),
        -len(series.slices),
        min(one.sop_uid for one in series.slices),
    )


def _files(folder: Path) -> Iterator[Path]:
    """Every file below `folder` in one order on every system; hidden names are passed over."""
    for place, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            if not name.startswith("."):
                yield Path(place, name)


def _read_images(path: Path) -> list[Header]:
    """The usable images of one file. Raises ScanError with the reason when there are none."""
    try:
        try:
            header = read_header(path)
        except OddFileError:
            header = parse_header(path)
    except OSError as failed:
        raise ScanError(
            f"{path.name} cannot be opened: {failed.strerror}", "Check its permissions"
        ) from failed
    if header is None:
        raise ScanError("it is not a DICOM file", "Leave it out")
    reason = reason_to_refuse(header)
    if reason:
        raise ScanError(reason, "Leave it out")
    return frame_headers(header) if is_enhanced(header) else [header]


def choose_series(catalogue: Catalogue, wanted: str | None) -> Series:
    """Find the series that `wanted` names, or the only one worth showing.

    Parameters
    ----------
    catalogue
        What `index_folder` found.
    wanted
        A series UID or the end of one, a series number, or a description; where stacks share
        one UID, followed by a slash and the part, as in "4/2". None asks for the only stack.

    Raises
    ------
    ScanError
        If none or several series answer; the message lists them and their names.
    """
    if wanted is None:
        found = _worth_showing(catalogue.series) or [
            one for one in catalogue.series if one.kind == "localizer"
        ]
        what = f"The folder {catalogue.folder} holds {len(catalogue.series)} series"
    else:
        matches = _matches(catalogue.series, wanted.strip().removeprefix("…"))
        found = matches if len(matches) == 1 else _worth_showing(matches) or matches
        count = f"{len(found)} series answer" if found else "No series answers"
        what = f"{count} to {wanted!r} in {catalogue.folder}"
    if len(found) == 1 and found[0].kind != "page":
        return found[0]
    if len(found) == 1:
        what = f"Series {series_name(found[0])} holds pages without a place in the patient"
    raise ScanError(what, f"Write one of these as `series`: {_listing(catalogue.series)}")


def _worth_showing(series: Iterable[Series]) -> list[Series]:
    return [one for one in series if one.kind in ("stack", "single")]


def _matches(series: Sequence[Series], wanted: str) -> list[Series]:
    """Series that answer to a name; an exact UID or number goes before a description."""
    name, slash, part = wanted.rpartition("/")
    if slash and part.isdigit():
        whole = _matches(series, name)
        return [one for one in whole if one.part == int(part)]
    tests = (
        [one for one in series if one.uid == wanted],
        [one for one in series if str(one.number) == wanted],
        [one for one in series if one.description.casefold() == wanted.casefold()],
        [one for one in series if len(wanted) >= SHORTEST_UID_END and one.uid.endswith(wanted)],
    )
    return next((found for found in tests if found), [])


def series_name(series: Series) -> str:
    """A name for outputs, which `choose_series` understands: number or UID's end, and part."""
    base = str(series.number) if series.number is not None else f"…{series.uid[-10:]}"
    return f"{base}/{series.part}" if series.parts > 1 else base


def describe_series(series: Series) -> str:
    """Name, modality, kind and size of a series in a few words, without its description."""
    across = f"{series.columns} × {series.rows}"
    if series.kind == "page":
        return f"{series_name(series)} ({series.modality}, pages of {across})"
    spacing = f"{series.column_spacing_mm:.3g} × {series.row_spacing_mm:.3g}"
    step = typical_step(slice_positions(series) @ slice_normal(series))
    if step:
        spacing += f" × {step:.3g}"
    count = len(series.slices)
    slices = "slice" if count == 1 else "slices"
    return (
        f"{series_name(series)} ({series.modality}, {series.kind}, {count} {slices} of {across},"
        f" {spacing} mm)"
    )


def _listing(series: Sequence[Series]) -> str:
    """Every series with what it may be called; two of one number go by their UIDs."""
    return "; ".join(
        describe_series(one) + (f" {one.description!r}" if one.description else "")
        for one in series
    )
