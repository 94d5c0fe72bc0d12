"""Small DICOM series for the tests, written with pydicom."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pydicom.dataset import Dataset, FileDataset, FileMetaDataset
from pydicom.uid import CTImageStorage, ExplicitVRLittleEndian

ROOT_UID = "1.2.826.0.1.3680043.8.498.1"
AXIAL = (1.0, 0.0, 0.0, 0.0, 1.0, 0.0)


@dataclass(frozen=True)
class Placement:
    """Where the samples of a series lie."""

    orientation: Sequence[float] = AXIAL
    first_lps: Sequence[float] = (0.0, 0.0, 0.0)
    step_lps: Sequence[float] = (0.0, 0.0, 1.0)
    row_spacing_mm: float = 1.0
    column_spacing_mm: float = 1.0
    positions: Sequence[Sequence[float]] | None = None  # instead of first and step

    def positions_lps(self, count: int) -> NDArray[np.float64]:
        if self.positions is not None:
            return np.asarray(self.positions, dtype=float)
        steps = np.arange(count)[:, None] * np.asarray(self.step_lps, dtype=float)
        return np.asarray(self.first_lps, dtype=float) + steps

    def lps(self, slice_row_column: NDArray[Any]) -> NDArray[np.float64]:
        """Patient coordinates of (slice, row, column) indices of an evenly stepped series."""
        k, i, j = np.moveaxis(np.asarray(slice_row_column, dtype=float), -1, 0)[..., None]
        row, column = np.asarray(self.orientation[:3]), np.asarray(self.orientation[3:])
        start = np.asarray(self.first_lps) + k * np.asarray(self.step_lps)
        return start + j * self.column_spacing_mm * row + i * self.row_spacing_mm * column


@dataclass(frozen=True)
class Attributes:
    """Attributes beyond the ordinary, by pydicom keyword: for all slices, or for some."""

    every: Mapping[str, Any] = field(default_factory=dict)
    some: Mapping[int, Mapping[str, Any]] = field(default_factory=dict)


def image_dataset(stored: NDArray[Any], number: int = 1, series: int = 1) -> FileDataset:
    """One CT image without a place: attributes that every image needs."""
    meta = FileMetaDataset()
    meta.MediaStorageSOPClassUID = CTImageStorage
    meta.MediaStorageSOPInstanceUID = f"{ROOT_UID}.{series}.{number}"
    meta.TransferSyntaxUID = ExplicitVRLittleEndian
    image = FileDataset("", {}, file_meta=meta, preamble=b"\0" * 128)
    image.SOPClassUID = CTImageStorage
    image.SOPInstanceUID = meta.MediaStorageSOPInstanceUID
    image.StudyInstanceUID = f"{ROOT_UID}.0"
    image.SeriesInstanceUID = f"{ROOT_UID}.{series}"
    image.FrameOfReferenceUID = f"{ROOT_UID}.0.1"
    image.SeriesNumber = series
    image.Modality = "CT"
    image.ImageType = ["ORIGINAL", "PRIMARY", "AXIAL"]
    image.SamplesPerPixel = 1
    image.PhotometricInterpretation = "MONOCHROME2"
    image.Rows, image.Columns = stored.shape
    bits = stored.dtype.itemsize * 8
    image.BitsAllocated = image.BitsStored = bits
    image.HighBit = bits - 1
    image.PixelRepresentation = int(stored.dtype.kind == "i")
    image.RescaleSlope, image.RescaleIntercept = 1, 0
    image.PixelData = stored.astype(stored.dtype.newbyteorder("<")).tobytes()
    return image


def ds(number: float) -> str:
    """A number as a DS of at most 16 bytes (PS3.5 6.2)."""
    return next(t for digits in range(15, 4, -1) if len(t := f"{number:.{digits}g}") <= 16)


def write_series(
    folder: Path,
    volume: NDArray[Any],
    placement: Placement = Placement(),
    attributes: Attributes = Attributes(),
    *,
    series: int = 1,
    order: Sequence[int] | None = None,
) -> Path:
    """Write a volume of (slice, row, column) stored values as one file for each slice.

    `order` gives the number in the name of each slice's file (and its Instance Number).
    """
    folder.mkdir(parents=True, exist_ok=True)
    positions = placement.positions_lps(len(volume))
    for k, stored in enumerate(volume):
        number = k if order is None else order[k]
        image = image_dataset(stored, number + 1, series)
        image.InstanceNumber = number + 1
        image.ImagePositionPatient = list(map(ds, positions[k]))
        image.ImageOrientationPatient = list(map(ds, placement.orientation))
        image.PixelSpacing = [ds(placement.row_spacing_mm), ds(placement.column_spacing_mm)]
        set_attributes(image, attributes.every)
        set_attributes(image, attributes.some.get(k, {}))
        image.save_as(folder / f"S{series}I{number:04d}", enforce_file_format=True)
    return folder


def set_attributes(dataset: Dataset, values: Mapping[str, Any]) -> None:
    for keyword, value in values.items():
        if value is None:
            delattr(dataset, keyword)
        else:
            setattr(dataset, keyword, value)
