"""The values that the image stage hands over. Patient space is DICOM's LPS+: x to the left,
y to the back, z to the head, in millimetres (PS3.3 C.7.6.2.1.1). Arrays are (plane, row, column).
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from slidekit.scans.files import FilePath

Vector: TypeAlias = tuple[float, float, float]
Plane: TypeAlias = Literal[
    "acquired", "axial", "coronal", "sagittal", "oblique", "curved", "picture"
]
"""`picture` shows an image as it is, wherever it lies or lay: photographs, pages, radiographs."""
SlabMode: TypeAlias = Literal["mean", "max", "min"]
Kind: TypeAlias = Literal["stack", "single", "localizer", "page"]
"""What a series is good for: reformatting; one slice; planning others; no place in the patient."""

Curve: TypeAlias = Literal["linear", "linear_exact", "sigmoid"]
"""VOI LUT Function (0028,1056): how grey levels rise with the values (PS3.3 C.11.2.1.3)."""

Space: TypeAlias = Literal["patient", "scaled", "pixels"]
"""What coordinates mean. `patient`: LPS+ millimetres. The others belong to one plain picture, x to
its right, y down and 0 across: `scaled` are millimetres on the thing shown, `pixels` are pixels of
a picture without a scale, on which nothing can be measured."""

Values: TypeAlias = NDArray[np.int16 | np.float32 | np.uint8]
"""int16 while values are whole and not interpolated, so that windows are exact. uint8 are no values
but levels of grey or colour, shown as they are: no window applies."""

PLANE_AXES: dict[Plane, str] = {"axial": "xy", "coronal": "xz", "sagittal": "yz"}
"""The two patient axes that lie in each standard plane; the remaining one is its position."""


@dataclass(frozen=True)
class GreyWindow:
    """Which values become black and white, and by which curve they rise between them."""

    center: float  # in the unit of the values
    width: float
    curve: Curve = "linear"


@dataclass(frozen=True)
class LookupTable:
    """Outputs in the order of the values they stand for (PS3.3 C.11.1.1 and C.11.2.1.1).

    Values below the first have its output, values past the last have the last one's.
    """

    first_value: int
    entries: tuple[int, ...]
    bits: int  # outputs reach from 0 to 2**bits - 1


GreyScale: TypeAlias = GreyWindow | LookupTable
"""How values become grey levels: by a window, or by a table of the files (VOI LUT)."""


@dataclass(frozen=True)
class AutomaticWindow:
    """A window that is found from the values of its picture: see `automatic.find_window`."""

    percentiles: tuple[float, float]  # of the values; they become black and white
    curve: Curve | None = None  # None: the one that suits
    inside: "Outline | None" = None  # take the values within it only


@dataclass(frozen=True)
class Outline:
    """A closed curve in the patient.

    `points_lps`: the corners of a polygon; of an ellipse its centre and the ends of two conjugate
    half diameters.
    """

    kind: Literal["ellipse", "polygon"]
    points_lps: tuple[Vector, ...]


@dataclass(frozen=True)
class StoredPixels:
    """How the samples of one image are kept (PS3.3 C.7.6.3, PS3.5 section 8)."""

    offset: int | None  # bytes from the file's start; None: not raw, a library decodes them
    bits_allocated: int  # 8, 16 or 32
    bits_stored: int
    high_bit: int
    signed: bool  # Pixel Representation 1


@dataclass(frozen=True)
class SliceFile:
    """One image of a series: where its pixels are and where they lie in the patient."""

    path: FilePath
    frame: int  # 0 for a single-frame file
    sop_uid: str  # "" for files other than DICOM
    position_lps: Vector | None  # Image Position (Patient); None for pictures without geometry
    slope: float
    intercept: float
    file_size: int
    file_mtime_ns: int
    pixels: StoredPixels = StoredPixels(None, 16, 16, 15, signed=True)
    value_table: bool = False  # values come out of a table (Modality LUT), not by slope, intercept
    windows: tuple[GreyWindow | None, ...] = ()  # as stored, in order; None: cannot be applied
    grey_tables: bool = False  # has tables of grey levels (VOI LUT Sequence)
    format: Literal["dicom", "nifti", "picture"] = "dicom"  # who decodes it
    sha256: str = ""  # of the whole file, where no SOP Instance UID names it


@dataclass(frozen=True)
class Series:
    """Images of one geometry, sorted along the normal (`slices[0]` lies lowest on it)."""

    uid: str
    description: str  # for choosing on the console; may name a person
    number: int | None
    modality: str
    frame_of_reference_uid: str
    kind: Kind
    slices: tuple[SliceFile, ...]
    rows: int
    columns: int
    row_spacing_mm: float  # between rows: PixelSpacing[0]
    column_spacing_mm: float  # between columns: PixelSpacing[1]
    row_lps: Vector  # direction of increasing column: IOP[0:3]
    column_lps: Vector  # direction of increasing row: IOP[3:6]
    unit: str  # of the values, as in "HU" or "Bq/ml"; "" when they have none or it is unknown
    inverted: bool  # MONOCHROME1
    stored_window: GreyWindow | None  # the first that the middle slice carries
    padding: tuple[int, int] | None  # stored values that are padding, inclusive
    thickness_mm: float | None  # nominal Slice Thickness: for captions, and beside gaps
    remarks: tuple[str, ...] = ()  # what a speaker must know; they name no file and no person
    gaps: tuple[int, ...] = ()  # k: nothing was scanned between slices[k] and slices[k + 1]
    name: str = ""  # for outputs, and understood by `choose_series`: number or UID's end, part
    part: int = 1  # counts the stacks that share one series UID
    parts: int = 1  # how many they are
    kvp: float | None = None  # tube voltage of CT
    technique: tuple[str, ...] = ()  # what tells stacks of one UID apart, as in "echo 2"
    kernel: str = ""  # Convolution Kernel, for the console alone: what stands in it is free text
    burned_in_text: bool = False  # Burned In Annotation says YES, or may have to
    as_is: bool = False  # levels of grey or colour that are shown as they are, without a window
    mm_per_px: float | None = None  # of a plain picture, as its author says
    origin: Literal["folder", "archive", "nifti", "picture", "dicomweb", "demo"] = "folder"
    """What kind of place the images come from, as the author says; never which."""

    def __hash__(self) -> int:
        """Enough to tell series apart: that of every slice would take longer than what is kept by
        it."""
        return hash((self.uid, self.part, len(self.slices)))


@dataclass(frozen=True)
class Refusal:
    """A file or group of files that is left out, and why, in words for the user."""

    path: FilePath
    reason: str  # a clause about the file, as in "it is not a DICOM file"
    series_uid: str = ""  # when a whole series is left out


@dataclass(frozen=True)
class Catalogue:
    """What a folder or archive holds."""

    folder: Path
    series: tuple[Series, ...]
    refusals: tuple[Refusal, ...]
    described: bool = True  # False: the series' descriptions are not read yet


@dataclass(frozen=True)
class Pose:
    """How an oblique plane lies: its middle, and the directions of its picture (`poses`)."""

    middle_lps: Vector  # from which places on the picture are counted
    right_lps: Vector  # unit vectors at a right angle
    down_lps: Vector


@dataclass(frozen=True)
class CurvedSurface:
    """A surface to be laid flat: a path, and through each of its places a straight line across.

    The lines all run in one direction, so that a path of the same length runs through every
    place of the picture.
    """

    points_lps: tuple[Vector, ...]  # that the path runs through, two or more
    across_lps: Vector  # direction of the lines; its length does not count
    width_mm: float
    smooth: bool  # a cubic spline through the points; else straight from one to the next


@dataclass(frozen=True)
class Flattening:
    """Where the places of a flattened curved surface lie in the patient (`curves`)."""

    path_lps: tuple[Vector, ...]  # one place for each row (or column) of the whole picture
    step_mm: float  # along the path, between two of them
    length_mm: float  # of the path
    across_lps: Vector  # unit vector: to the right where the path runs down, else down
    runs_down: bool  # else it runs to the right
    smooth: bool
    lean_deg: float = 0.0  # at most, of the lines across from a right angle to the path
    meets_itself: bool = False  # two places of the path lie on one line across


@dataclass(frozen=True)
class PlaneRequest:
    """Which picture of a series is wanted.

    An `oblique` plane needs a `pose`, a `curved` one a `surface`. For all others exactly one of
    `at_mm` (patient x, y or z of a standard plane; distance along the normal from the patient
    origin for `acquired`) and `slice_number` (`acquired` only, 1 is lowest along the normal) may be
    given; a series of one slice needs neither.
    """

    plane: Plane
    at_mm: float | None = None
    slice_number: int | None = None
    slab_mm: float = 0.0
    slab: SlabMode = "mean"
    crop_mm: tuple[tuple[float, float], tuple[float, float]] | None = None
    """Two opposite corners on the plane's two patient axes (`PLANE_AXES`); for an oblique or
    curved plane to the right and down from its middle."""
    pose: Pose | None = None
    surface: CurvedSurface | None = None
    deeper_mm: float = 0.0
    """How far an oblique or curved picture is moved into itself, right × down; its size is that of
    the picture where it was."""
    overlays: bool = False  # drawn, on an acquired slice or a picture


@dataclass(frozen=True)
class Grid:
    """Where the pixels of a picture lie in the patient, or in a plain picture's own `space`.
    Pixel (column 0, row 0) is centred at `origin_lps`.

    Of a curved picture it is a flat stand-in through the middle, whose sizes are true and whose
    places are not: `Flattening` knows those.
    """

    origin_lps: Vector
    right_lps: Vector  # unit vector of increasing column
    down_lps: Vector  # unit vector of increasing row
    column_mm: float  # distance between columns
    row_mm: float  # distance between rows
    rows: int
    columns: int
    space: Space = "patient"


@dataclass(frozen=True)
class PlannedPlane:
    """A plane before its values are read."""

    plane: Plane
    at_mm: float  # true position along the plane's normal axis
    slice_number: int | None
    slab_mm: float
    grid: Grid
    native_mm: tuple[float, float]  # sample distance of the scan itself, across and down
    source_slices: tuple[int, ...]  # indices into Series.slices
    middle_lps: Vector | None = None  # of an oblique or curved plane, on `grid`
    flattening: Flattening | None = None  # of a curved plane


@dataclass(frozen=True)
class PlaneImage:
    """Values sampled on a plane, before any window.

    `values` is (rows, columns), in the series' unit, or levels (rows, columns, 3) of a picture in
    colour; `absent` (rows, columns) marks samples that lie outside the scan or on padding.
    """

    values: Values
    absent: NDArray[np.bool_]
    grid: Grid
    plane: Plane
    at_mm: float  # true position along the plane's normal axis, for a curved one of its middle
    slice_number: int | None
    slab_mm: float
    slab: SlabMode
    unit: str
    inverted: bool
    source_slices: tuple[int, ...]  # indices into Series.slices that were read
    native_mm: tuple[float, float]  # sample distance of the scan itself, across and down
    slab_step_mm: float = 0.0  # between the layers of a slab; 0: the scan's own samples
    middle_lps: Vector | None = None  # of an oblique or curved plane, on `grid`
    flattening: Flattening | None = None  # of a curved plane
    at_end: NDArray[np.bool_] | None = None
    """(rows, columns): interpolated samples that a voxel at an end of the scale has gone into,
    where that was looked for."""
    overlay: NDArray[np.bool_] | None = None  # (rows, columns): what its overlays draw, if wanted


@dataclass(frozen=True)
class ScanPicture:
    """An 8-bit picture with square pixels, ready for a page, and how to find a place on it."""

    pixels: NDArray[np.uint8]  # grey (rows, columns) or colour (rows, columns, 3)
    grid: Grid  # of `pixels`: column_mm == row_mm
    plane: Plane
    at_mm: float
    slice_number: int | None
    slab_mm: float
    slab: SlabMode
    scales: tuple[GreyScale, ...]  # one; left and right of the seam; none: levels as they are
    unit: str
    letters: tuple[str, str, str, str] | None
    """At the left, top, right, bottom; "" where none is true throughout; None: no patient."""
    native_mm: tuple[float, float]  # sample distance of the scan itself, across and down
    source_slices: tuple[int, ...]
    slab_step_mm: float = 0.0  # between the layers of a slab; 0: the scan's own samples
    middle_lps: Vector | None = None  # of an oblique or curved plane, on `grid`
    flattening: Flattening | None = None  # of a curved plane
    seam_share: float = 0.5  # of the width, left of the seam between two scales
    digest: str = ""  # SHA-256 of `pixels`, worked out once and kept with them

    @property
    def is_native(self) -> bool:
        """Whether a pixel is as large as the finest sample of the scan, and may be enlarged."""
        finest_mm = min(self.native_mm) * (1 - 1e-6)
        one_scale = len(self.scales) == 1
        return self.grid.space == "patient" and one_scale and self.grid.column_mm >= finest_mm

    @property
    def seam_column(self) -> int | None:
        """The first column right of the seam; None when one scale holds for all."""
        if len(self.scales) < 2:
            return None
        return int(self.grid.columns * self.seam_share + 1e-6)  # a whole number stays whole
