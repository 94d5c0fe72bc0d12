"""Which images slidekit can use, and as what: the first look at a header."""

from slidekit.errors import ScanError
from slidekit.scans.dicom import tags
from slidekit.scans.dicom.header import Header

_NOT_IMAGES = {  # SOP Class UIDs (PS3.4 B.5) by their start
    "1.2.840.10008.1.3.10": "a directory of a medium",
    "1.2.840.10008.5.1.4.1.1.88": "a structured report",
    "1.2.840.10008.5.1.4.1.1.104": "an encapsulated document",
    "1.2.840.10008.5.1.4.1.1.11.": "a presentation state",
    "1.2.840.10008.5.1.4.1.1.9.": "a waveform",
    "1.2.840.10008.5.1.4.1.1.66": "raw data, a registration or a segmentation",
    "1.2.840.10008.5.1.4.1.1.481.2": "a radiotherapy dose map",
    "1.2.840.10008.5.1.4.1.1.481.3": "a set of radiotherapy outlines",
    "1.2.840.10008.5.1.4.1.1.481.5": "a radiotherapy plan",
}
_SECONDARY_CAPTURE = "1.2.840.10008.5.1.4.1.1.7"
_LARGEST_IMAGE = 2**26  # pixels of one image: 8192 x 8192; detectors stay well below
_MOST_FRAMES = 65_536
_GREY = frozenset({"MONOCHROME1", "MONOCHROME2"})


def reason_to_refuse(header: Header) -> str | None:
    """Why an image cannot be used at all, in words for the user; None when it can."""
    sop_class = header.text(tags.SOP_CLASS)
    for start, name in _NOT_IMAGES.items():
        if sop_class.startswith(start):
            return f"it is {name}, not an image"
    rows, columns = header.short(tags.ROWS), header.short(tags.COLUMNS)
    if not (rows and columns and header.has_pixels):
        return "it holds no image"
    if rows * columns > _LARGEST_IMAGE:
        return f"it claims to be {columns} × {rows} pixels large, which cannot be right"
    return _reason_of_pixels(header)


_BOUNDS = {  # least and most of what scanners give, with room; products stay finite
    tags.IMAGE_POSITION: ("a place in millimetres", 0.0, 1e7),
    tags.PIXEL_SPACING: ("the spacing of pixels in millimetres", 1e-6, 1e5),
    tags.RESCALE_SLOPE: ("a factor of its values", 1e-30, 1e30),
    tags.RESCALE_INTERCEPT: ("a shift of its values", 0.0, 1e30),
}


def check_numbers(header: Header) -> None:
    """Refuse numbers that no scanner gives, before anything is computed with them.

    Raises
    ------
    ScanError
        If a number that pictures rest on is malformed or cannot be right.
    """
    header.floats(tags.IMAGE_ORIENTATION)
    for tag, (what, least, most) in _BOUNDS.items():
        for value in header.floats(tag):
            if value and not least <= abs(value) <= most:  # zeros are judged where they matter
                raise ScanError(
                    f"it gives {value:g} as {what}, which cannot be right",
                    "Export the series again, or leave the file out",
                )


def _reason_of_pixels(header: Header) -> str | None:
    allocated, stored = header.short(tags.BITS_ALLOCATED), header.short(tags.BITS_STORED)
    if allocated not in (8, 16, 32):
        bits = "1 bit" if allocated == 1 else f"{allocated} bits"
        return f"its pixels take {bits}; only 8, 16 and 32 are read"
    if not 1 <= stored <= allocated or not stored <= header.short(tags.HIGH_BIT) + 1 <= allocated:
        return "its description of the pixels contradicts itself (Bits Stored and High Bit)"
    frames = frame_count(header)
    if frames > _MOST_FRAMES:
        return f"it claims to hold {frames} frames, which cannot be right"
    needed = frames * image_bytes(header)
    is_short = header.pixels_length < needed and header.short(tags.SAMPLES_PER_PIXEL) == 1
    if header.pixels_offset is not None and is_short:
        return f"its Pixel Data are {header.pixels_length} bytes long instead of {needed}"
    return None


def image_bytes(header: Header) -> int:
    """Length of one sample of every pixel of an uncompressed image."""
    bits = header.short(tags.ROWS) * header.short(tags.COLUMNS) * header.short(tags.BITS_ALLOCATED)
    return bits // 8


def is_cut_short(header: Header) -> bool:
    """Whether the file ends before its uncompressed pixels do."""
    end = (header.frame + 1) * image_bytes(header)
    return header.pixels_offset is not None and header.pixels_offset + end > header.file_size


def frame_count(header: Header) -> int:
    """How many images the file holds."""
    text = header.text(tags.NUMBER_OF_FRAMES)
    return int(text) if text.isdigit() else 1


def is_enhanced(header: Header) -> bool:
    """Whether functional groups say where each frame lies (PS3.3 C.7.6.16)."""
    return tags.PER_FRAME_GROUPS in header.elements


def is_page(header: Header) -> bool:
    """Whether an image has no place in the patient: a page, not a slice.

    Colour, secondary capture, mosaics, frames without functional groups, or no position,
    orientation or spacing.
    """
    return (
        is_color(header)
        or is_capture(header)
        or is_mosaic(header)
        or (frame_count(header) > 1 and not is_enhanced(header))
        or len(header.floats(tags.IMAGE_POSITION)) != 3
        or len(header.floats(tags.IMAGE_ORIENTATION)) != 6
        or len(header.floats(tags.PIXEL_SPACING)) != 2
        or min(header.floats(tags.PIXEL_SPACING)) <= 0
    )


def is_color(header: Header) -> bool:
    """Whether an image holds colours, or numbers of them, instead of values (PS3.3 C.7.6.3.1.2)."""
    grey = header.text(tags.PHOTOMETRIC) in _GREY
    return not grey or header.short(tags.SAMPLES_PER_PIXEL) > 1


def is_capture(header: Header) -> bool:
    """Whether an image was taken from a screen, a film or paper (PS3.3 A.8)."""
    return header.text(tags.SOP_CLASS).startswith(_SECONDARY_CAPTURE)


def is_mosaic(header: Header) -> bool:
    """Whether many slices are laid side by side in one image: its place and orientation are then
    those of none of them (a value of Image Type that scanners write; common practice)."""
    return "MOSAIC" in header.texts(tags.IMAGE_TYPE)


def is_localizer(header: Header) -> bool:
    """Whether the image only serves to plan others (Image Type value 3, PS3.3 C.8.2.1.1.1)."""
    return bool({"LOCALIZER", "SCOUT"} & set(header.texts(tags.IMAGE_TYPE)[2:3]))
