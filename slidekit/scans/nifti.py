"""NIfTI volumes as series: the one module that knows the format (nibabel, of the extra `nifti`).

NIfTI's world is RAS+: x to the right, y to the front, z to the head, by an affine map from voxels
(NIfTI-1 standard, "3D image orientation and location in space"); ours is LPS+, so x and y change
sign. Of the header only shape, type, map and display range are used: its free texts (descrip,
aux_file, intent_name, db_name) are never read.
"""

import hashlib
import logging
from collections.abc import Iterable, Iterator
from functools import lru_cache
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError
from slidekit.scans.files import FilePath, status_of
from slidekit.scans.geometry import to_vector
from slidekit.scans.model import GreyWindow, Series, SliceFile, StoredPixels
from slidekit.scans.stacking import describe_stack

Array = NDArray[np.float64]

_SUFFIXES = (".nii", ".nii.gz")
_MM = {"mm": 1.0, "meter": 1000.0, "micron": 0.001, "unknown": 1.0}
_TEMPLATES = {3: "of the Talairach atlas", 4: "of the MNI template"}  # codes of sform and qform
_LARGEST = 2**31  # bytes of one volume
_RIGHT_ANGLE = 1e-3
_LEAST_MM, _MOST_MM = 0.0005, 500.0  # sides of voxels, from electron microscopes to whole bodies
_FARTHEST_MM = 1e5  # of a volume's corner from the origin
_SAME_MM = 0.5  # two maps of one file that differ by less agree
_DAMAGE = (Exception,)  # nibabel's own errors and those of gzip, zlib and struct


def is_nifti(path: Path) -> bool:
    """Whether a file's name says that it is a NIfTI volume."""
    return path.name.lower().endswith(_SUFFIXES)


def count_volumes(path: Path) -> int:
    """How many volumes a file holds; ScanError as for `open_nifti`."""
    return _shape(_load(path), path)[3]


def open_nifti(path: Path, volume: int | None = None) -> Series:
    """A volume as a series of slices along its third axis.

    Parameters
    ----------
    path
        A .nii or .nii.gz file, NIfTI-1 or -2.
    volume
        Which one of a file of several, from 1.

    Raises
    ------
    ScanError
        If there is no such file, its voxels are no grey values, or it does not say how they lie.
    """
    image = _load(path)
    shape = _shape(image, path)
    number = _volume_number(shape[3], volume, path)
    lps = _lps_from_voxel(image, path)
    across, down, along = lps[:3, 0], lps[:3, 1], lps[:3, 2]
    column_mm, row_mm = float(np.linalg.norm(across)), float(np.linalg.norm(down))
    row, column = across / column_mm, down / row_mm
    if abs(row @ column) > _RIGHT_ANGLE:
        raise ScanError(
            f"The rows and columns of {path.name} are not at a right angle",
            "Resample it onto a grid with right angles",
        )
    normal = np.cross(row, column)
    order = range(shape[2]) if along @ normal >= 0 else range(shape[2] - 1, -1, -1)
    positions = np.array([lps[:3, 3] + k * along for k in order])
    window = _display_range(image)
    places = zip([number * shape[2] + k for k in order], positions, strict=True)
    slices = tuple(_slice_files(path, places, window))
    stack = describe_stack(positions, normal, np.zeros(len(positions)))
    return Series(
        uid="",
        description="",
        number=None,
        modality="",
        frame_of_reference_uid="",
        kind="stack" if len(slices) > 1 else "single",
        slices=slices,
        rows=shape[1],
        columns=shape[0],
        row_spacing_mm=row_mm,
        column_spacing_mm=column_mm,
        row_lps=to_vector(row),
        column_lps=to_vector(column),
        unit="",
        inverted=False,
        stored_window=window,
        padding=None,
        thickness_mm=None,
        remarks=(*stack.remarks, *_remarks(image)),
        gaps=stack.gaps,
        name=f"volume {number + 1}" if shape[3] > 1 else "volume",
    )


def _slice_files(
    path: Path, places: Iterable[tuple[int, Array]], window: GreyWindow | None
) -> Iterator[SliceFile]:
    """The slices of one file: the frame of each, and where it lies (LPS+, mm)."""
    status, digest = status_of(path), _digest(path)
    for frame, position in places:
        yield SliceFile(
            path=path,
            frame=frame,
            sop_uid="",
            position_lps=to_vector(position),
            slope=1.0,
            intercept=0.0,
            file_size=status.size,
            file_mtime_ns=status.mtime_ns,
            pixels=StoredPixels(None, 16, 16, 15, signed=True),
            windows=(window,) if window else (),
            format="nifti",
            sha256=digest,
        )


def read_nifti_slice(path: FilePath, frame: int) -> NDArray[Any]:
    """The values of one slice, (rows, columns), whole numbers where the file holds such.

    `frame` counts slices through all volumes of the file.

    Raises
    ------
    ScanError
        If the file is gone or damaged.
    """
    try:
        values = _slices(path, status_of(path).mtime_ns)(frame)
    except _DAMAGE as broken:
        raise ScanError(
            f"The values of {path.name} cannot be read", "Copy or export the file again"
        ) from broken
    return np.array(values).T


@lru_cache(maxsize=2)
def _slices(path: FilePath, _mtime_ns: int) -> Any:
    """What gives slice after slice. A packed file is unpacked once, a volume at a time."""
    image = _load(path)
    depth = _shape(image, path)[2]
    data = image.dataobj.reshape(_shape(image, path))
    if not path.name.lower().endswith(".gz"):
        return lambda frame: np.asarray(data[:, :, frame % depth, frame // depth])
    unpacked = lru_cache(maxsize=1)(lambda volume: np.asarray(data[..., volume]))
    return lambda frame: unpacked(frame // depth)[..., frame % depth]


def _load(path: FilePath) -> Any:
    try:
        nibabel = import_module("nibabel")
    except ImportError as missing:
        raise ScanError(
            "NIfTI files are read by a library that is not installed", "Install slidekit[nifti]"
        ) from missing
    if not isinstance(path, Path) or not path.is_file():
        raise ScanError(f"There is no file {path}", "Write the path of a .nii or .nii.gz file")
    nibabel.imageglobals.logger.setLevel(logging.CRITICAL)  # what it mends is not for users
    try:
        image = nibabel.load(path)
    except _DAMAGE as broken:
        raise ScanError(
            f"{path.name} cannot be read as NIfTI", "Use a .nii or .nii.gz file, copied whole"
        ) from broken
    if not isinstance(image, nibabel.Nifti1Pair):  # NIfTI-2 is one, too
        raise ScanError(f"{path.name} is no NIfTI file", "Use a .nii or .nii.gz file")
    return image


def _shape(image: Any, path: FilePath) -> tuple[int, int, int, int]:
    """Columns, rows, slices and volumes."""
    shape = tuple(int(length) for length in image.shape)
    first, rest = (*shape, 1, 1, 1)[:3], shape[3:]
    volumes = int(np.prod(rest, dtype=int))
    kind = image.get_data_dtype()
    if kind.kind not in "iuf":
        raise ScanError(
            f"The voxels of {path.name} are no grey values ({kind})",
            "Use a volume of whole or fractional numbers",
        )
    if min((*first, volumes)) < 1 or np.prod(first, dtype=float) * 8 > _LARGEST:
        raise ScanError(
            f"{path.name} claims volumes of {' × '.join(map(str, first))} voxels",
            "Use one that fits into memory",
        )
    return first[0], first[1], first[2], volumes


def _volume_number(count: int, wanted: int | None, path: Path) -> int:
    if wanted is None and count > 1:
        raise ScanError(f"{path.name} holds {count} volumes", f"Write volume, from 1 to {count}")
    if wanted is not None and wanted > count:
        holds = "1 volume" if count == 1 else f"{count} volumes"
        raise ScanError(
            f"volume: {wanted} does not exist in {path.name}, which holds {holds}",
            f"Write volume, from 1 to {count}" if count > 1 else "Remove volume",
        )
    return (wanted or 1) - 1


def _lps_from_voxel(image: Any, path: Path) -> Array:
    """The affine map to LPS millimetres: the sform if it is set, else the qform."""
    header = image.header
    if not (int(header["sform_code"]) or int(header["qform_code"])):
        raise ScanError(
            f"{path.name} does not say how its voxels lie in the patient (neither sform nor qform):"
            " left and right would be a guess",
            "Set its sform or qform from the scan it was made of",
        )
    lps = np.array(image.affine, dtype=float)
    lps[:3] *= _MM.get(_unit_of_length(header), 1.0)
    lps[:2] *= -1  # from RAS
    volume = abs(np.linalg.det(lps[:3, :3])) if np.isfinite(lps).all() else 0.0
    sizes = np.linalg.norm(lps[:3, :3], axis=0) if volume else np.zeros(3)
    far = np.abs(lps[:3, 3]).max() if volume else 0.0
    if not (sizes.min() >= _LEAST_MM and sizes.max() <= _MOST_MM and far <= _FARTHEST_MM):
        raise ScanError(
            f"The map of {path.name} from voxels to the patient cannot be right: it makes voxels"
            f" of {' × '.join(f'{size:.3g}' for size in sizes)} mm",
            "Set its sform and its unit of length anew",
        )
    return lps


def _unit_of_length(header: Any) -> str:
    try:
        return str(header.get_xyzt_units()[0])
    except KeyError:  # a code that the standard does not know
        return "unknown"


def _remarks(image: Any) -> list[str]:
    header = image.header
    sform, qform = int(header["sform_code"]), int(header["qform_code"])
    remarks = []
    used = sform or qform
    if used in _TEMPLATES:
        remarks.append(f"its coordinates are {_TEMPLATES[used]}, not of the patient in the scanner")
    if _unit_of_length(header) == "unknown":
        remarks.append("the file does not say its unit of length; millimetres are taken")
    if sform and qform:
        ends = np.array([[0, 0, 0, 1], [*(length - 1 for length in image.shape[:3]), 1]]).T
        away = np.abs((header.get_sform() - header.get_qform()) @ ends).max()
        if away > _SAME_MM:
            remarks.append(
                f"its two maps to the patient differ by up to {away:.1f} mm; the sform is used"
            )
    return remarks


def _display_range(image: Any) -> GreyWindow | None:
    """From cal_min (black) to cal_max (white), which are 0 when not set."""
    low, high = float(image.header["cal_min"]), float(image.header["cal_max"])
    if not high > low or not np.isfinite([low, high]).all():
        return None
    return GreyWindow((low + high) / 2, high - low, "linear_exact")


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
