"""Images that belong together: one series UID, one geometry, one kind of values.

One series often holds several stacks (two kernels, echoes, phases, the localizer); mixing them
gives wrong pictures without a warning, so they are told apart here and never joined.
"""

from collections.abc import Sequence
from typing import TypeAlias

from slidekit.scans.dicom import tags
from slidekit.scans.dicom.header import Header
from slidekit.scans.dicom.screening import is_localizer, is_page

SAME_DIRECTION = 1e-3  # of the cosines: headers round them to about 1e-6

Key: TypeAlias = tuple[object, ...]

_RIGID_TAGS = (  # equal as written
    tags.SERIES_INSTANCE,
    tags.FRAME_OF_REFERENCE,
    tags.MODALITY,
    tags.ROWS,
    tags.COLUMNS,
    tags.SAMPLES_PER_PIXEL,
    tags.PHOTOMETRIC,
    tags.BITS_ALLOCATED,
    tags.BITS_STORED,
    tags.PIXEL_REPRESENTATION,
    tags.RESCALE_TYPE,
    tags.MODALITY_LUT_TYPE,
    tags.UNITS,
    tags.CONVOLUTION_KERNEL,
    tags.ECHO_NUMBERS,
    tags.TEMPORAL_POSITION,
    tags.DIFFUSION_B_VALUE,
)

DISCRIMINATORS = {  # what may tell two images of one place apart, in the order they are tried
    tags.ACQUISITION_NUMBER: "acquisition",
    tags.TRIGGER_TIME: "trigger time",
    tags.IMAGE_TYPE: "image type",
}

_TECHNIQUE = {  # parts of the key that an author can choose by
    tags.ECHO_NUMBERS: "echo",
    tags.TEMPORAL_POSITION: "time step",
}


def group_images(headers: Sequence[Header]) -> list[list[Header]]:
    """Sort images into stacks that may not be mixed.

    Orientations count as equal within `SAME_DIRECTION`, all other parts of the key as written.
    """
    groups: dict[Key, list[tuple[tuple[float, ...], list[Header]]]] = {}
    for header in headers:
        page = is_page(header)
        orientation = () if page else header.floats(tags.IMAGE_ORIENTATION)
        candidates = groups.setdefault(_rigid_key(header, page=page), [])
        for known, members in candidates:
            if _same_direction(known, orientation):
                members.append(header)
                break
        else:
            candidates.append((orientation, [header]))
    return [members for candidates in groups.values() for _, members in candidates]


def _rigid_key(header: Header, *, page: bool) -> Key:
    elements = header.elements
    return (
        page,
        is_localizer(header),
        header.floats(tags.PIXEL_SPACING),
        *(elements.get(tag, b"").strip(b" \0") for tag in _RIGID_TAGS),
    )


def _same_direction(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return len(one) == len(other) and all(
        abs(a - b) <= SAME_DIRECTION for a, b in zip(one, other, strict=True)
    )


def split_by(headers: Sequence[Header], tag: int) -> list[list[Header]]:
    """Split a group by the value of one attribute, in the order of first appearance."""
    parts: dict[bytes, list[Header]] = {}
    for header in headers:
        parts.setdefault(header.elements.get(tag, b"").strip(b" \0"), []).append(header)
    return list(parts.values())


def technique(header: Header, discriminator: int | None) -> tuple[str, ...]:
    """What distinguishes a stack in words: echo, time step, and what split it from its doubles."""
    named = dict(_TECHNIQUE)
    if discriminator is not None:
        named[discriminator] = DISCRIMINATORS[discriminator]
    texts = {word: header.text(tag).replace("\\", " ") for tag, word in named.items()}
    b_values = [f"b {value:g}" for value in header.floats(tags.DIFFUSION_B_VALUE)]
    return (*(f"{word} {text}" for word, text in texts.items() if text), *b_values)


def kernel_of(header: Header) -> str:
    """Convolution Kernel (0018,1210), several in one line."""
    return header.text(tags.CONVOLUTION_KERNEL).replace("\\", " ")
