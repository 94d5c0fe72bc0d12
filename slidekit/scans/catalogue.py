"""A folder or archive of scans: which series it holds, and which of them is meant.

A description can name a person, so outputs call a series by its number or the end of its UID;
descriptions are matched and listed on the console only.
"""

import stat
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from slidekit.errors import ScanError
from slidekit.scans.dicom import tags
from slidekit.scans.dicom.assembly import assemble
from slidekit.scans.dicom.grouping import group_images, kernel_of
from slidekit.scans.dicom.header import Header
from slidekit.scans.dicom.library import frame_headers, read_any_header
from slidekit.scans.dicom.screening import (
    check_numbers,
    frame_count,
    is_enhanced,
    reason_to_refuse,
)
from slidekit.scans.files import FilePath, list_members
from slidekit.scans.geometry import slice_normal, slice_positions
from slidekit.scans.kept.catalogue import (
    Listed,
    folder_state,
    keep_catalogue,
    list_archive,
    list_files,
    read_catalogue,
)
from slidekit.scans.model import Catalogue, Refusal, Series
from slidekit.scans.names import named
from slidekit.scans.pixels import hidden_padding
from slidekit.scans.stacking import typical_step

SHORTEST_UID_END = 5  # letters; fewer would match by chance


def index_folder(folder: Path, *, fresh: bool = False) -> Catalogue:
    """Find the series in a folder and its sub-folders.

    Only headers are read, and none when the folder is as it was when it was last indexed (see
    `kept_catalogue`); `fresh` reads them all the same. What cannot be used is listed with the
    reason, and does not stop the rest.

    Raises
    ------
    ScanError
        If there is no such folder, or nothing DICOM in it.
    """
    if not folder.exists():
        raise ScanError(f"There is no folder {folder}", "Write the path of a folder of DICOM files")
    if not folder.is_dir():
        raise ScanError(f"{folder} is a file", "Write the path of the folder that holds it")
    return _kept_or_indexed(folder, list_files(folder), fresh=fresh)


def index_archive(archive: Path, *, fresh: bool = False) -> Catalogue:
    """Find the series in a ZIP archive, as `index_folder` does in a folder; nothing is unpacked.

    Raises
    ------
    ScanError
        If there is no such archive, it is damaged, or nothing DICOM is in it.
    """
    members, left_out = list_members(archive)
    refusals = [Refusal(archive.with_name(name), reason) for name, reason in left_out]
    catalogue = _kept_or_indexed(archive, list_archive(archive, members), refusals, fresh=fresh)
    return replace(catalogue, refusals=(*refusals, *catalogue.refusals))


def _kept_or_indexed(
    folder: Path, files: Sequence[Listed], left_out: Sequence[Refusal] = (), *, fresh: bool
) -> Catalogue:
    state = folder_state(files)
    kept = None if fresh else read_catalogue(folder, files, state)
    if kept is not None:
        return kept
    catalogue = _index(folder, files, left_out)
    keep_catalogue(catalogue, files, state)
    return catalogue


def _index(folder: Path, files: Iterable[Listed], left_out: Sequence[Refusal]) -> Catalogue:
    refusals: list[Refusal] = []
    headers: list[Header] = []
    for file in files:
        try:
            if _may_never_end(file):
                raise ScanError("it is no ordinary file", "Leave it out")
            headers += _read_images(file.path)
        except ScanError as error:
            refusals.append(Refusal(file.path, error.wrong))
    headers, copies = _without_copies(headers)
    series: list[Series] = []
    for group in group_images(headers):
        try:
            series += assemble(group)
        except ScanError as error:
            refusals.append(
                Refusal(group[0].path, error.wrong, group[0].text(tags.SERIES_INSTANCE))
            )
    if not series:
        raise _nothing_found(folder, [*left_out, *refusals])
    noted = [_with_pixel_remarks(one) for one in series]
    return Catalogue(folder, named(noted), (*refusals, *copies))


def _may_never_end(file: Listed) -> bool:
    """Whether it is a pipe or a device, which may be read without end."""
    return file.status is not None and not stat.S_ISREG(file.status.st_mode)


def with_descriptions(catalogue: Catalogue) -> Catalogue:
    """The same series with descriptions and kernels, free texts that are never kept: one header
    of each is read."""
    if catalogue.described:
        return catalogue
    series = tuple(map(_described, catalogue.series))
    return replace(catalogue, series=series, described=True)


def _described(series: Series) -> Series:
    try:
        header = _read_any_header(series.slices[0].path)
    except ScanError:  # told when its pixels are needed
        return series
    if header is None:
        return series
    description = header.text(tags.SERIES_DESCRIPTION)
    return replace(series, description=description, kernel=kernel_of(header))


def _with_pixel_remarks(series: Series) -> Series:
    value = hidden_padding(series)
    if value is None:
        return series
    remark = (
        f"part of the rim holds {value:g} HU, less than air: perhaps padding that the header"
        " does not declare; mean and min slabs count it"
    )
    return replace(series, remarks=(*series.remarks, remark))


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
            copies.append(Refusal(header.path, "it is a copy of another file"))
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


def _read_images(path: FilePath) -> list[Header]:
    """The usable images of one file. Raises ScanError with the reason when there are none."""
    header = _read_any_header(path)
    if header is None:
        raise ScanError("it is not a DICOM file", "Leave it out")
    reason = reason_to_refuse(header)
    if reason:
        raise ScanError(reason, "Leave it out")
    if is_enhanced(header):
        images = frame_headers(header)
    else:
        images = [replace(header, frame=index) for index in range(frame_count(header))]
    for image in images:
        check_numbers(image)
    return images


def _read_any_header(path: FilePath) -> Header | None:
    try:
        return read_any_header(path)
    except OSError as failed:
        raise ScanError(
            f"it cannot be opened: {failed.strerror}", "Check its permissions"
        ) from failed


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
    sure = _sure_choice(catalogue.series, wanted)
    if sure is not None:
        return sure
    catalogue = with_descriptions(catalogue)
    refused = [one for one in catalogue.refusals if one.series_uid]
    if wanted is None:
        found = _worth_showing(catalogue.series)
        for kind in ("localizer", "page"):
            if not found and not refused:
                found = [one for one in catalogue.series if one.kind == kind]
        what = f"{catalogue.folder} holds {len(catalogue.series)} series"
    else:
        matches = _matches(catalogue.series, wanted.strip().removeprefix("…"))
        found = matches if len(matches) == 1 else _worth_showing(matches) or matches
        count = f"{len(found)} series answer" if found else "No series answers"
        what = f"{count} to {wanted!r} in {catalogue.folder}"
    if len(found) == 1:
        return found[0]
    if not found and refused:
        what += f"; left out: {summarize(refused)}"
    raise ScanError(what, f"Write one of these as `series`: {_listing(catalogue.series)}")


def _sure_choice(series: Sequence[Series], wanted: str | None) -> Series | None:
    """The series that is meant whatever the descriptions say; None when it takes more to know."""
    if wanted is None:
        found = _worth_showing(series)
    else:
        found = [one for one in series if wanted.strip() in (one.uid, str(one.number), one.name)]
    return found[0] if len(found) == 1 and found[0].kind != "page" else None


def _worth_showing(series: Iterable[Series]) -> list[Series]:
    return [one for one in series if one.kind in ("stack", "single")]


def _matches(series: Sequence[Series], wanted: str) -> list[Series]:
    """Series that answer to a name; an exact UID or number goes before a description."""
    tests = (
        [one for one in series if one.uid == wanted],
        [one for one in series if str(one.number) == wanted],
        [one for one in series if wanted and one.description.casefold() == wanted.casefold()],
        [one for one in series if len(wanted) >= SHORTEST_UID_END and one.uid.endswith(wanted)],
    )
    found = next((found for found in tests if found), [])
    name, _, part = wanted.rpartition("/")
    if found or not name or not part.isdigit():
        return found
    return [one for one in _matches(series, name) if one.part == int(part)]


def describe_series(series: Series) -> str:
    """Name, modality, kind, size, technique and kernel of a series, without its description; for
    the console alone."""
    across = f"{series.columns} × {series.rows}"
    if series.kind == "page":
        count = len(series.slices)
        pictures = "picture" if count == 1 else f"{count} pictures"
        known = filter(None, [series.modality, f"{pictures} of {across}", "for plane: picture"])
        return f"{series.name} ({', '.join(known)})"
    spacing = f"{series.column_spacing_mm:.3g} × {series.row_spacing_mm:.3g}"
    step = typical_step(slice_positions(series) @ slice_normal(series))
    if step:
        spacing += f" × {step:.3g}"
    count = len(series.slices)
    slices = "slice" if count == 1 else "slices"
    details = [series.modality, series.kind, f"{count} {slices} of {across}", f"{spacing} mm"]
    kernel = f"kernel {series.kernel}" if series.kernel else ""
    return f"{series.name} ({', '.join(filter(None, [*details, *series.technique, kernel]))})"


def _listing(series: Sequence[Series]) -> str:
    """Every series with what it may be called; for the console, as descriptions are shown."""
    return "; ".join(
        describe_series(one) + (f" {one.description!r}" if one.description else "")
        for one in series
    )
