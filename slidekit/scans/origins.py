"""Images as they lie on a disk: which kind a path is, and the series that are there."""

from pathlib import Path
from typing import Literal, TypeAlias

from slidekit.errors import ScanError
from slidekit.scans.catalogue import index_archive, index_folder
from slidekit.scans.model import Catalogue
from slidekit.scans.nifti import count_volumes, is_nifti, open_nifti
from slidekit.scans.photographs import open_photograph

Origin: TypeAlias = Literal["folder", "archive", "nifti", "picture"]

_PICTURES = frozenset({".png", ".jpg", ".jpeg", ".tif", ".tiff"})


def origin_of(path: Path) -> Origin:
    """What kind of origin a path is, by its name; a folder if there is one.

    Raises
    ------
    ScanError
        If the path is a file whose name says nothing that is read.
    """
    if path.is_dir() or not path.exists():
        return "folder"
    if path.suffix.lower() == ".zip":
        return "archive"
    if is_nifti(path):
        return "nifti"
    if path.suffix.lower() in _PICTURES:
        return "picture"
    raise ScanError(
        f"{path} is a file that is not read by itself",
        "Write the path of a folder, of a .zip, .nii, .nii.gz, .png, .jpg or .tif file, or of a"
        " .yaml storyboard",
    )


def find_series(path: Path) -> Catalogue:
    """The series of a folder or archive, the (first) volume of a NIfTI file, or a picture.

    Raises
    ------
    ScanError
        If nothing is there that can be used.
    """
    match origin_of(path):
        case "archive":
            return index_archive(path)
        case "nifti":
            several = count_volumes(path) > 1
            return Catalogue(path, (open_nifti(path, 1 if several else None),), ())
        case "picture":
            return Catalogue(path, (open_photograph(path),), ())
        case "folder":
            return index_folder(path)
