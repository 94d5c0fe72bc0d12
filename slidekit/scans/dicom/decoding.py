"""Pixels that do not lie uncompressed in their file, decoded by pydicom and its plugins."""

from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.dicom import jpeg
from slidekit.scans.dicom.codestreams import check_codestream
from slidekit.scans.dicom.library import DAMAGE, quietly, read_dataset
from slidekit.scans.files import FilePath, status_of

if TYPE_CHECKING:
    from pydicom import Dataset


@lru_cache(maxsize=1)
def _dataset_of_frames(path: FilePath, _mtime_ns: int) -> "Dataset":
    """The file read last: the frames of a multi-frame file come one after the other."""
    return read_dataset(path)


@cache
def _teach_decoders() -> None:
    """Tell pydicom of the decoders that it has none of its own for."""
    from pydicom.pixels.decoders.base import get_decoder  # noqa: PLC0415 - pydicom waits until it is needed

    for syntax in jpeg.SYNTAXES:
        get_decoder(syntax).add_plugin("slidekit", (jpeg.__name__, jpeg.decode_frame.__name__))


def decode_frame(path: FilePath, frame: int) -> NDArray[np.integer[Any]]:
    """Decode the stored values of one frame, (rows, columns).

    Raises
    ------
    ScanError
        If the pixels are damaged, or no installed decoder knows their compression.
    """
    from pydicom.pixels.utils import pixel_array  # noqa: PLC0415 - pydicom waits until it is needed

    _teach_decoders()
    try:
        with quietly():
            dataset = _dataset_of_frames(path, status_of(path).mtime_ns)
            _check_compressed_size(dataset, frame)
            return pixel_array(dataset, index=frame, raw=True)
    except ScanError:
        raise
    except DAMAGE as failed:
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
    from pydicom.pixels.processing import apply_color_lut  # noqa: PLC0415 - pydicom waits until it is needed
    from pydicom.pixels.utils import pixel_array  # noqa: PLC0415 - pydicom waits until it is needed

    _teach_decoders()
    try:
        with quietly():
            dataset = _dataset_of_frames(path, status_of(path).mtime_ns)
            _check_compressed_size(dataset, frame)
            levels = pixel_array(dataset, index=frame)
            bits = int(dataset.BitsStored)
            if dataset.PhotometricInterpretation == "PALETTE COLOR":
                levels = apply_color_lut(levels, dataset)
                bits = levels.dtype.itemsize * 8
    except ScanError:
        raise
    except DAMAGE as failed:
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
    from pydicom.pixels.decoders.base import get_decoder  # noqa: PLC0415 - pydicom waits until it is needed

    try:
        with quietly():
            dataset = _dataset_of_frames(path, status_of(path).mtime_ns)
            syntax = dataset.file_meta.TransferSyntaxUID
            return "" if get_decoder(syntax).is_available else str(syntax.name)
    except DAMAGE:
        return ""


def _check_compressed_size(dataset: "Dataset", frame: int) -> None:
    from pydicom.encaps import get_frame  # noqa: PLC0415 - pydicom waits until it is needed

    if dataset.file_meta.TransferSyntaxUID.is_encapsulated:
        count = int(dataset.get("NumberOfFrames") or 1)
        data = get_frame(dataset.PixelData, frame, number_of_frames=count)
        check_codestream(data, dataset.Rows, dataset.Columns)


def _first_sentence(error: BaseException) -> str:
    return " ".join(str(error).split())[:160].rstrip(".") or type(error).__name__
