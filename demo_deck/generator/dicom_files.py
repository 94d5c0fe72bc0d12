"""Slices as CT Image Storage objects (DICOM PS3.3 A.3)."""

from pathlib import Path
from uuid import UUID, uuid5

import numpy as np
from numpy.typing import NDArray
from pydicom.dataset import Dataset, FileMetaDataset
from pydicom.uid import UID, CTImageStorage, ExplicitVRLittleEndian

from .canvas import Frame

_FAMILY = UUID("b6f5f4bd-3a1e-4d0e-9c62-5b0d2f7c6a11")  # picked once, for this demo alone


def uid(name: str) -> UID:
    """The same UID for the same name, derived from a UUID (PS3.5 B.2)."""
    return UID(f"2.25.{uuid5(_FAMILY, name).int}")


def series_template(
    name: str, description: str, number: int, frame: Frame, spacing_mm: float
) -> Dataset:
    """All that the images of a series share."""
    file_meta = FileMetaDataset()
    file_meta.FileMetaInformationVersion = b"\x00\x01"
    file_meta.MediaStorageSOPClassUID = CTImageStorage
    file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
    file_meta.ImplementationClassUID = uid("implementation")
    file_meta.ImplementationVersionName = "SYNTHETIC_URN"
    image = Dataset()
    image.file_meta = file_meta
    _add_object_and_study(image)
    image.Modality = "CT"
    image.SeriesInstanceUID = uid(f"series {name}")
    image.SeriesNumber = number
    image.SeriesDescription = description
    image.PatientPosition = "HFS"
    image.FrameOfReferenceUID = uid("frame of reference")
    image.PositionReferenceIndicator = image.Laterality = ""
    image.Manufacturer = "Synthetic"
    image.ManufacturerModelName = "Synthetic"
    image.SoftwareVersions = "1"
    image.AcquisitionNumber = number
    image.KVP = "120"
    image.SliceThickness = f"{spacing_mm:g}"
    image.PixelSpacing = [f"{frame.pixel_mm:g}"] * 2
    image.ImageOrientationPatient = ["1", "0", "0", "0", "1", "0"]
    image.ReconstructionDiameter = f"{frame.size * frame.pixel_mm:g}"
    image.Rows = image.Columns = frame.size
    _add_pixel_description(image)
    return image


def _add_object_and_study(image: Dataset) -> None:
    image.SpecificCharacterSet = "ISO_IR 192"
    image.ImageType = ["ORIGINAL", "PRIMARY", "AXIAL"]
    image.SOPClassUID = CTImageStorage
    image.PatientName = "Urn^Invented"
    image.PatientID = "INVENTED-URN"
    image.PatientBirthDate = ""
    image.PatientSex = ""
    image.StudyInstanceUID = uid("study")
    image.StudyID = "1"
    image.StudyDescription = "Synthetic scan of an invented urn"
    # a date would be a claim about something that never took place
    image.StudyDate = image.StudyTime = image.AccessionNumber = image.ReferringPhysicianName = ""


def _add_pixel_description(image: Dataset) -> None:
    """Twelve bits, so that the scale ends at 3071 HU, as it does on many scanners."""
    image.SamplesPerPixel = 1
    image.PhotometricInterpretation = "MONOCHROME2"
    image.BitsAllocated, image.BitsStored, image.HighBit = 16, 12, 11
    image.PixelRepresentation = 0
    image.RescaleIntercept, image.RescaleSlope, image.RescaleType = "-1024", "1", "HU"
    image.WindowCenter, image.WindowWidth = "700", "3000"
    image.BurnedInAnnotation = "NO"


def write_image(
    template: Dataset,
    path: Path,
    number: int,
    position: tuple[float, float, float],
    stored: NDArray[np.uint16],
) -> None:
    """Write one image of a series; `number` counts from the lid down."""
    image = Dataset()
    image.update(template)
    image.file_meta = FileMetaDataset()
    image.file_meta.update(template.file_meta)
    image.SOPInstanceUID = uid(f"{template.SeriesInstanceUID} {number}")
    image.file_meta.MediaStorageSOPInstanceUID = image.SOPInstanceUID
    image.InstanceNumber = number
    image.ImagePositionPatient = [f"{mm:g}" for mm in position]
    image.add_new("PixelData", "OW", stored.astype("<u2").tobytes())
    image.save_as(path, enforce_file_format=True)
