"""Classic JPEG beyond what Pillow reads: 12 bits to the sample, and without loss.

A decoder of the kind that `pydicom.pixels.decoders` calls (its modules have these three names).
imagecodecs, of the extra `compressed`, does the work; it is imported when a file needs it.
"""

from importlib import import_module
from importlib.util import find_spec
from typing import Any

SYNTAXES = (
    "1.2.840.10008.1.2.4.51",  # JPEG Extended, processes 2 and 4
    "1.2.840.10008.1.2.4.57",  # JPEG Lossless, process 14
    "1.2.840.10008.1.2.4.70",  # JPEG Lossless, process 14, selection value 1
)
"""Transfer Syntax UIDs (PS3.6 Annex A)."""

DECODER_DEPENDENCIES = dict.fromkeys(SYNTAXES, ("numpy", "imagecodecs"))


def is_available(uid: str) -> bool:
    """Whether the library is installed."""
    return uid in SYNTAXES and find_spec("imagecodecs") is not None


def decode_frame(source: bytes, runner: Any) -> bytes:
    """The samples of one frame, pixel by pixel, in little endian.

    Colours are left as they are coded; `runner` is told how long and in which order samples are.
    """
    colors = {"colorspace": "RGB", "outcolorspace": "RGB"} if runner.samples_per_pixel > 1 else {}
    samples = import_module("imagecodecs").jpeg8_decode(source, **colors)
    runner.set_option("bits_allocated", samples.dtype.itemsize * 8)
    if samples.ndim > 2:
        runner.set_option("planar_configuration", 0)
    return bytes(samples.astype(samples.dtype.newbyteorder("<"), copy=False).tobytes())
