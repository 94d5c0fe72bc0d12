"""Photographs, drawings and scanned pages: PNG, JPEG and TIFF files, upright and without metadata.

Only pixels leave this module. The one piece of metadata that is heeded is how the picture is to be
turned (EXIF Orientation, CIPA DC-008 4.6.4) and the meaning of its colours (an ICC profile).
"""

import hashlib
import warnings
from io import BytesIO
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from slidekit.errors import ScanError
from slidekit.scans.files import FilePath, status_of
from slidekit.scans.model import Series, SliceFile, StoredPixels

_FORMATS = ("PNG", "JPEG", "TIFF")
_LARGEST_FILE = 512 * 2**20  # bytes
_LARGEST_PICTURE = 134_000_000  # pixels; cameras stay below
_SIDEWAYS = frozenset({5, 6, 7, 8})  # values of EXIF Orientation that exchange width and height
_ORIENTATION = 0x0112
_DEEP_GREY = frozenset({"I;16", "I;16B", "I;16L", "I;16N"})
_DAMAGE = (
    OSError,
    ValueError,
    TypeError,
    SyntaxError,  # Pillow's word for a broken PNG
    KeyError,
    IndexError,
    AttributeError,
    EOFError,
    OverflowError,
    MemoryError,
    RuntimeError,
)
_OTHER = "Use a PNG, JPEG or TIFF file"


def open_photograph(path: Path) -> Series:
    """A picture file as a series of one picture (of several, for a TIFF of several pages).

    Raises
    ------
    ScanError
        If there is no such file, or it is no picture that is read.
    """
    try:
        status, data = status_of(path), _read_file(path)
    except OSError as failed:
        raise ScanError(
            f"{path} cannot be opened: {failed.strerror}", f"Check the path. {_OTHER}"
        ) from failed
    with _opened(data, path.name) as image:
        (columns, rows), pages = _size_and_pages(image, path.name)
    digest = hashlib.sha256(data).hexdigest()
    return _series(_slices(path, pages, (status.size, status.mtime_ns), digest), rows, columns)


def _slices(path: Path, pages: int, status: tuple[int, int], digest: str) -> tuple[SliceFile, ...]:
    size, mtime_ns = status
    return tuple(
        SliceFile(
            path=path,
            frame=page,
            sop_uid="",
            position_lps=None,
            slope=1.0,
            intercept=0.0,
            file_size=size,
            file_mtime_ns=mtime_ns,
            pixels=StoredPixels(None, 8, 8, 7, signed=False),
            format="picture",
            sha256=digest,
        )
        for page in range(pages)
    )


def _series(slices: tuple[SliceFile, ...], rows: int, columns: int) -> Series:
    return Series(
        uid="",
        description="",
        number=None,
        modality="",
        frame_of_reference_uid="",
        kind="page",
        slices=slices,
        rows=rows,
        columns=columns,
        row_spacing_mm=1.0,
        column_spacing_mm=1.0,
        row_lps=(1.0, 0.0, 0.0),
        column_lps=(0.0, 1.0, 0.0),
        unit="",
        inverted=False,
        stored_window=None,
        padding=None,
        thickness_mm=None,
        name="picture",
        as_is=True,
    )


def decode_photograph(path: FilePath, page: int = 0) -> NDArray[np.uint8]:
    """The pixels of a picture file, upright: grey (rows, columns) or RGB (rows, columns, 3).

    Levels of 8-bit grey and RGB files are kept as they are; deeper ones lose their finer bits.
    Colours of another profile than sRGB are converted to it, transparent parts put on white.

    Raises
    ------
    ScanError
        If the file is gone, damaged or no picture that is read.
    """
    try:
        data = _read_file(path)
    except OSError as failed:
        raise ScanError(
            f"{path} cannot be read any more: {failed.strerror}",
            "Leave the picture in place while a talk is built",
        ) from failed
    with _opened(data, path.name) as image:
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # of metadata that is dropped anyway
                image.seek(page)
                upright = ImageOps.exif_transpose(image)
                return np.array(_plain(upright))
        except _DAMAGE as broken:
            raise ScanError(f"The picture {path.name} is damaged", _OTHER) from broken


def _read_file(path: FilePath) -> bytes:
    if status_of(path).size > _LARGEST_FILE:
        raise ScanError(f"{path.name} is larger than 512 MiB", "Save it smaller")
    return path.read_bytes()


def _opened(data: bytes, name: str) -> Image.Image:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # the size is judged below
            image = Image.open(BytesIO(data), formats=_FORMATS)
    except UnidentifiedImageError as unknown:
        raise ScanError(f"{name} is not a PNG, JPEG or TIFF picture", _OTHER) from unknown
    except Image.DecompressionBombError as bomb:
        raise _too_large(name) from bomb
    except _DAMAGE as broken:
        raise ScanError(f"The picture {name} is damaged", _OTHER) from broken
    if image.width * image.height > _LARGEST_PICTURE:
        raise _too_large(name)
    return image


def _too_large(name: str) -> ScanError:
    return ScanError(f"{name} has more than {_LARGEST_PICTURE:,} pixels", "Save it smaller")


def _size_and_pages(image: Image.Image, name: str) -> tuple[tuple[int, int], int]:
    """Width and height of the upright picture, and how many there are; it is decoded only if it
    lies on its side."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of metadata that is dropped anyway
            sideways = _orientation(image) in _SIDEWAYS
            size = ImageOps.exif_transpose(image).size if sideways else image.size
            return size, getattr(image, "n_frames", 1) if image.format == "TIFF" else 1
    except _DAMAGE as broken:
        raise ScanError(f"The picture {name} is damaged", _OTHER) from broken


def _orientation(image: Image.Image) -> int:
    try:
        return int(image.getexif().get(_ORIENTATION, 1))
    except _DAMAGE:  # broken EXIF says nothing
        return 1


def _plain(image: Image.Image) -> Image.Image:
    """Mode L or RGB."""
    if image.mode in _DEEP_GREY:
        deep = np.asarray(image).astype(np.uint16)
        return Image.fromarray(((deep.astype(np.uint32) * 255 + 32767) // 65535).astype(np.uint8))
    if image.mode in ("I", "F"):
        raise ScanError(
            "The picture holds numbers of no known range, not levels of grey",
            "Save it with 8 or 16 bits to the pixel",
        )
    profile = image.info.get("icc_profile")
    if "transparency" in image.info or image.mode in ("RGBA", "LA", "PA", "RGBa", "La"):
        image = _on_white(image)
    if image.mode in ("1", "L"):
        return image.convert("L")
    return _in_srgb(image, profile)


def _on_white(image: Image.Image) -> Image.Image:
    grey = image.mode in ("LA", "La", "L", "1")
    whole = image.convert("RGBA")
    ground = Image.new("RGBA", whole.size, "white")
    return Image.alpha_composite(ground, whole).convert("L" if grey else "RGB")


def _in_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """RGB by the picture's own profile; a profile that is none, or sRGB itself, changes nothing."""
    if profile and image.mode in ("RGB", "CMYK"):
        try:
            own = ImageCms.ImageCmsProfile(BytesIO(profile))
            if "sRGB" in (ImageCms.getProfileDescription(own) or ""):
                return image.convert("RGB")
            srgb = ImageCms.createProfile("sRGB")
            converted = ImageCms.profileToProfile(image, own, srgb, outputMode="RGB")
        except (ImageCms.PyCMSError, *_DAMAGE):
            return image.convert("RGB")
        return converted or image.convert("RGB")
    return image.convert("RGB")
