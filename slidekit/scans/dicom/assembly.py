"""Headers of one group to a Series: sorted along the normal, checked, and with its remarks."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.dicom import tags
from slidekit.scans.dicom.file_windows import stored_windows
from slidekit.scans.dicom.grouping import DISCRIMINATORS, kernel_of, split_by, technique
from slidekit.scans.dicom.header import EXPLICIT_LITTLE_ENDIAN, IMPLICIT_LITTLE_ENDIAN, Header
from slidekit.scans.dicom.screening import (
    frame_count,
    image_bytes,
    is_capture,
    is_color,
    is_cut_short,
    is_localizer,
    is_mosaic,
    is_page,
)
from slidekit.scans.dicom.units import unit_of_values
from slidekit.scans.model import GreyWindow, Kind, Series, SliceFile, StoredPixels, Vector
from slidekit.scans.stacking import Array, StackShape, describe_stack, doubled

UNIT_LENGTH = 1e-3  # how far direction cosines may be from unit length and a right angle
_RAW_SYNTAXES = frozenset({EXPLICIT_LITTLE_ENDIAN, IMPLICIT_LITTLE_ENDIAN})


def assemble(headers: Sequence[Header]) -> list[Series]:
    """Make the series of one group; several when one attribute tells doubled images apart.

    Raises
    ------
    ScanError
        If the orientation is no orientation, or images lie in the same place and nothing tells
        which of them is meant.
    """
    first = headers[0]
    if is_page(first):
        return [_series(sorted(headers, key=_name), "page", StackShape((), ()))]
    _check_orientation(first)
    normal = _normal(first)
    stack = _sorted_along(headers, normal)
    doubles = doubled(_distances(stack, normal))
    if not doubles.size:
        return [_stack(stack, normal)]
    discriminator, parts = _parts(stack, normal, doubles)
    return [
        replace(_stack(part, normal), technique=technique(part[0], discriminator)) for part in parts
    ]


def _name(header: Header) -> tuple[str, int]:
    return str(header.path), header.frame


def _label(header: Header) -> str:
    """The image in words: its file, and the frame in a file of several."""
    several = frame_count(header) > 1
    return f"{header.path.name} frame {header.frame + 1}" if several else header.path.name


def _check_orientation(header: Header) -> None:
    cosines = np.array(header.floats(tags.IMAGE_ORIENTATION))
    row, column = cosines[:3], cosines[3:]
    lengths = np.linalg.norm(row), np.linalg.norm(column)
    if max(abs(length - 1) for length in lengths) > UNIT_LENGTH or abs(row @ column) > UNIT_LENGTH:
        written = "\\".join(f"{cosine:g}" for cosine in cosines)
        raise ScanError(
            f"it gives the directions {written} (Image Orientation), which are not two unit vectors"
            " at a right angle",
            "Export the series again, or leave it out",
        )


def _normal(header: Header) -> Array:
    cosines = np.array(header.floats(tags.IMAGE_ORIENTATION))
    normal = np.cross(cosines[:3], cosines[3:])
    return np.asarray(normal / np.linalg.norm(normal))


def _positions(headers: Sequence[Header]) -> Array:
    return np.array([header.floats(tags.IMAGE_POSITION) for header in headers])


def _distances(headers: Sequence[Header], normal: Array) -> Array:
    return _positions(headers) @ normal


def _sorted_along(headers: Sequence[Header], normal: Array) -> list[Header]:
    named = sorted(headers, key=_name)  # so that doubles come in one order on every system
    order = np.argsort(_distances(named, normal), kind="stable")
    return [named[k] for k in order]


def _parts(
    stack: Sequence[Header], normal: Array, doubles: NDArray[np.intp]
) -> tuple[int, list[list[Header]]]:
    """The first attribute that splits a stack with doubles into stacks without, and these."""
    for tag in DISCRIMINATORS:
        parts = split_by(stack, tag)
        if len(parts) > 1 and all(not doubled(_distances(part, normal)).size for part in parts):
            return tag, parts
    pairs = [f"{_label(stack[k])} and {_label(stack[k + 1])}" for k in doubles[:3]]
    more = f", and {len(doubles) - 3} more pairs" if len(doubles) > 3 else ""
    raise ScanError(
        f"series …{stack[0].text(tags.SERIES_INSTANCE)[-8:]} holds images that lie in the same"
        f" place, {', '.join(pairs)}{more}",
        "Keep one of each, or put the phases of the scan into folders of their own",
    )


def _stack(stack: Sequence[Header], normal: Array) -> Series:
    thicknesses = np.array([_thickness(header) or 0.0 for header in stack])
    shape = describe_stack(_positions(stack), normal, thicknesses)
    if is_localizer(stack[0]):
        return _series(stack, "localizer", shape)
    return _series(stack, "stack" if len(stack) > 1 else "single", shape)


def _thickness(header: Header) -> float | None:
    """Nominal thickness in mm; None when absent or not positive."""
    thickness = next(iter(header.floats(tags.SLICE_THICKNESS)), 0.0)
    return thickness if thickness > 0 else None


def _series(headers: Sequence[Header], kind: Kind, shape: StackShape) -> Series:
    first = headers[0]
    cosines = first.floats(tags.IMAGE_ORIENTATION)
    if kind == "page" or len(cosines) != 6:
        cosines = (1.0, 0.0, 0.0, 0.0, 1.0, 0.0)
    spacing = first.floats(tags.PIXEL_SPACING)
    if kind == "page" or len(spacing) != 2:
        spacing = (1.0, 1.0)
    number = first.floats(tags.SERIES_NUMBER)
    return Series(
        uid=first.text(tags.SERIES_INSTANCE),
        description=first.text(tags.SERIES_DESCRIPTION),
        number=int(number[0]) if number else None,
        modality=first.text(tags.MODALITY),
        frame_of_reference_uid=first.text(tags.FRAME_OF_REFERENCE),
        kind=kind,
        slices=tuple(_slice_file(header, page=kind == "page") for header in headers),
        rows=first.short(tags.ROWS),
        columns=first.short(tags.COLUMNS),
        row_spacing_mm=spacing[0],
        column_spacing_mm=spacing[1],
        row_lps=_unit(cosines[:3]),
        column_lps=_unit(cosines[3:]),
        unit=unit_of_values(first),
        inverted=first.text(tags.PHOTOMETRIC) == "MONOCHROME1",
        stored_window=_stored_window(headers[len(headers) // 2]),
        padding=_padding(first),
        thickness_mm=_thickness(first),
        remarks=(*shape.remarks, *_remarks(headers)),
        technique=technique(first, None),
        kernel=kernel_of(first),
        gaps=shape.gaps,
        kvp=next(iter(first.floats(tags.KVP)), None),
        burned_in_text=any(_may_hold_text(header) for header in headers),
        as_is=is_color(first),
    )


def _unit(vector: Sequence[float]) -> Vector:
    """The vector at unit length: headers round cosines to six digits."""
    x, y, z = np.asarray(vector) / np.linalg.norm(vector)
    return float(x), float(y), float(z)


def _slice_file(header: Header, *, page: bool) -> SliceFile:
    x, y, z = (0.0, 0.0, 0.0) if page else header.floats(tags.IMAGE_POSITION)
    return SliceFile(
        path=header.path,
        frame=header.frame,
        sop_uid=header.text(tags.SOP_INSTANCE),
        position_lps=None if page else (x, y, z),
        slope=next(iter(header.floats(tags.RESCALE_SLOPE)), 1.0),
        intercept=next(iter(header.floats(tags.RESCALE_INTERCEPT)), 0.0),
        file_size=header.file_size,
        file_mtime_ns=header.file_mtime_ns,
        pixels=_stored_pixels(header),
        value_table=tags.MODALITY_LUT in header.elements,
        windows=stored_windows(header),
        grey_tables=tags.VOI_LUT in header.elements,
    )


def _stored_pixels(header: Header) -> StoredPixels:
    allocated = header.short(tags.BITS_ALLOCATED)
    offset = header.pixels_offset
    raw = header.transfer_syntax in _RAW_SYNTAXES and not is_color(header)
    if offset is not None and raw:
        offset += header.frame * image_bytes(header)
    else:
        offset = None
    return StoredPixels(
        offset=offset,
        bits_allocated=allocated,
        bits_stored=header.short(tags.BITS_STORED),
        high_bit=header.short(tags.HIGH_BIT),
        signed=header.short(tags.PIXEL_REPRESENTATION) == 1,
    )


def _may_hold_text(header: Header) -> bool:
    """Captures hold text unless they say that they do not (PS3.3 C.7.6.1.1.12)."""
    said = header.text(tags.BURNED_IN_ANNOTATION)
    return said == "YES" or (is_capture(header) and said != "NO")


def _stored_window(header: Header) -> GreyWindow | None:
    """The first of the windows in the file that can be applied."""
    return next(filter(None, stored_windows(header)), None)


def _padding(header: Header) -> tuple[int, int] | None:
    """Lowest and highest padding value, as stored (PS3.3 C.7.5.1.1.2)."""
    signed = header.short(tags.PIXEL_REPRESENTATION) == 1
    values = header.shorts(tags.PIXEL_PADDING, signed=signed)[:1]
    limits = header.shorts(tags.PIXEL_PADDING_LIMIT, signed=signed)[:1]
    return (min(values + limits), max(values + limits)) if values else None


def _remarks(headers: Sequence[Header]) -> list[str]:
    """What the headers say beyond geometry; by slice number, as file names can name a person."""
    remarks = []
    short = [str(k) for k, header in enumerate(headers, start=1) if is_cut_short(header)]
    if short:
        slices = "slice" if len(short) == 1 else "slices"
        remarks.append(
            f"{slices} {', '.join(short)} cannot be shown: the file ends before its pixels"
        )
    if any(header.text(tags.BURNED_IN_ANNOTATION) == "YES" for header in headers):
        remarks.append("text is burned into the pixels: look for names before showing it")
    elif any(_may_hold_text(header) for header in headers):
        remarks.append("text may be burned into the pixels: look for names before showing it")
    if any(header.text(tags.LOSSY_COMPRESSION) == "01" for header in headers):
        remarks.append("the pixels were once compressed with loss: their values are approximate")
    if len({stored_windows(header) for header in headers}) > 1:
        remarks.append("the windows stored in the files differ from slice to slice")
    if any(map(is_mosaic, headers)):
        remarks.append("each is a mosaic of slices side by side: shown as it is, without places")
    if any(header.overlay_bits for header in headers):
        remarks.append("some slices carry an overlay, drawn on views with `overlays: true` alone")
    if any(h.text(tags.ANATOMICAL_ORIENTATION_TYPE) == "QUADRUPED" for h in headers):
        remarks.append("the letters at the edges are those of an upright body, not of a quadruped")
    return remarks
