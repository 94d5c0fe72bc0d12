"""Overlays: graphics of one bit that some images carry beside their pixels (PS3.3 C.9.2).

They may hold a reader's marks, and may hold names: they are drawn only where an author asks.
"""

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.dicom.library import read_stored_overlays
from slidekit.scans.model import Series


def read_overlays(series: Series, index: int) -> NDArray[np.bool_]:
    """All overlays of one image laid on each other, (rows, columns) of the image.

    Raises
    ------
    ScanError
        If the image carries none, or its file is damaged.
    """
    one = series.slices[index]
    found = read_stored_overlays(one.path, one.frame) if one.format == "dicom" else ()
    if not found:
        which = f"slice {index + 1}" if len(series.slices) > 1 else "the image"
        raise ScanError(
            f"overlays: {which} carries none beside its pixels",
            "Remove `overlays`, or show another",
        )
    drawn = np.zeros((series.rows, series.columns), np.bool_)
    for overlay in found:
        rows, columns = np.nonzero(overlay.bits)
        rows, columns = rows + overlay.first_row, columns + overlay.first_column
        on_image = (rows >= 0) & (rows < series.rows) & (columns >= 0) & (columns < series.columns)
        drawn[rows[on_image], columns[on_image]] = True
    return drawn
