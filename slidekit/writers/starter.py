"""A first storyboard for a folder of scans, to be read, changed and built.

Nothing of the files' own descriptions goes into it: they may hold names.
"""

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from slidekit.errors import ScanError, WriteError
from slidekit.scans.model import PLANE_AXES, Catalogue, Plane, Series
from slidekit.writers.files import write_text

LEAST_SLICES = 20
"""Fewer slices make a poor coronal or sagittal picture (own choice)."""

UNKNOWN_WINDOW = "whole_scale"
"""A window of every shipped style that shows whatever there is."""

_STANDARD: tuple[Plane, ...] = ("axial", "coronal", "sagittal")

_HEAD = """\
# A first storyboard: read it from the top, change what you like, and build it with
#     slidekit build {this} --out build
# What follows a # is a note to you. Places are patient millimetres: x grows towards the
# patient's left, y towards the back, z towards the head.

talk:
  title: A working title
  speaker: Your name
  occasion: Where and when
  slot_min: 20                       # the minutes you are given
  words_per_min: 120                 # your pace; with slides, lecturers speak 100 to 150
  audience: general                  # or student, specialist
  language: en                       # of the words
  style: lecture-dark                # or lecture-light, or the path of a style of your own
"""

_SCANS = """
# The series that the talk shows. Credit and rights are printed with every picture.
scans:
"""

_SCAN = """\
{name_line}
    {origin}: {place}
{series}\
    credit: Write here whom the scan is by
    rights: Write here who may use it
    human_remains: false             # if true, a `notice` slide must come before its pictures
"""

_UNIT = """\
    # unit: HU                       # of the values, if this is a CT: such files do not say it
"""

_VIEWS = """
# Pictures of a scan: a plane, where it lies, and which values are black and white.
views:
"""

_REGIONS = """
# What you point out, defined once and shown on any slide. Read places off the grid that
#     slidekit look {this} --view {view} --out look
# draws. Other shapes: rectangle, polygon, arrow, line, point.
regions:
  example:
    view: {view}
    shape: ellipse
{center}
{radii}
    called: the middle of the picture
"""

_SLIDES = """
# In `say` stand the words you speak. [show example] is a click: the region appears.
# {example.mark} is spoken as its mark, as in "the orange ellipse".
slides:
  - id: opening
    kind: title
    say: |
      Good evening.
"""

_EXAMPLE_SLIDE = """
  - id: {id}
    kind: scan
    title: {title}
    views:
      - view: {view}
        regions: [example]
        caption: A caption of one line
    say: |
      Look at the middle. [show example] {{example.mark}} is around it.
"""

_SLIDE = """
  - id: {id}
    kind: scan
    title: {title}
    views: [{shown}]
"""

_CREDITS = """
  # Credits and rights of the scans come by themselves; add thanks and sources here.
  - id: credits
    kind: credits
    title: Credits
    points:
      - Thanks to those who made this possible
"""


@dataclass(frozen=True)
class Place:
    """Where the images of a catalogue are, as a storyboard says it."""

    origin: str  # the field: "folder", "archive", "nifti" or "picture"
    path: str  # as seen from the storyboard


def starter_text(catalogue: Catalogue, place: Place, this: str = "talk.yaml") -> str:
    """The YAML of a first storyboard with a view of every series worth showing.

    `this` is the storyboard's own path for the commands in its notes. Pages and radiographs are
    shown only where there are no slices.

    Raises
    ------
    ScanError
        If there is no series of slices and no page.
    """
    usable = [series for series in catalogue.series if series.kind in ("stack", "single")]
    usable = usable or [series for series in catalogue.series if series.kind == "page"]
    if not usable:
        raise ScanError(
            f"{place.path} holds no series of slices",
            "Choose a folder of DICOM files of a CT or MR study",
        )
    several = len(catalogue.series) > 1
    scans = [_Scan(name, one) for name, one in zip(_names(usable), usable, strict=True)]
    blocks = [_HEAD.format(this=this), _SCANS]
    for scan in scans:
        series = f"    series: {_quoted(scan.series_key)}\n" if several else ""
        unit = _UNIT if place.origin == "nifti" else ""
        block = _SCAN.format(
            name_line=_noted(f"  {scan.name}:", scan.what),
            origin=place.origin,
            place=_quoted(place.path),
            series=series + scan.volume_line + unit,
        )
        blocks.append(block)
    blocks += [_VIEWS, *(scan.view_text(plane) for scan in scans for plane in scan.planes)]
    blocks += [scans[0].region_text(this), _SLIDES]
    blocks += [text for scan in scans for text in scan.slide_texts(example=scan is scans[0])]
    return "".join([*blocks, _CREDITS])


def write_starter(text: str, path: Path) -> None:
    """Write a first storyboard; what is there already is never overwritten.

    Raises
    ------
    WriteError
        If there is a file at `path`, or none can be written.
    """
    if path.exists():
        raise WriteError(f"{path} is already there", "Choose another name with --out")
    write_text(text, path)


@dataclass(frozen=True)
class _Scan:
    """A series under its name in the storyboard."""

    name: str
    series: Series

    @property
    def series_key(self) -> str:
        """The UID, and the part where several stacks share it; the name of a series without UID."""
        if not self.series.uid:
            return self.series.name
        part = f"/{self.series.part}" if self.series.parts > 1 else ""
        return f"{self.series.uid}{part}"

    @property
    def volume_line(self) -> str:
        """For the first volume of a NIfTI file of several."""
        several = self.series.name.startswith("volume ")
        return _noted("    volume: 1", "of several") + "\n" if several else ""

    @property
    def what(self) -> str:
        """What tells the series from others: its modality, size and technique."""
        one, count = self.series, len(self.series.slices)
        size = f"{count} {'slice' if count == 1 else 'slices'} of {one.columns} × {one.rows}"
        return ", ".join([one.modality or "scan", size, *one.technique])

    @property
    def planes(self) -> tuple[Plane, ...]:
        enough = self.series.kind == "stack" and len(self.series.slices) >= LEAST_SLICES
        if self.series.kind == "page":
            return ("picture",)
        return _STANDARD if enough else ("acquired",)

    def view_name(self, plane: Plane) -> str:
        return f"{self.name}_{plane}"

    def view_text(self, plane: Plane) -> str:
        """One picture through the middle of the scan."""
        lines = [f"  {self.view_name(plane)}:", f"    scan: {self.name}", f"    plane: {plane}"]
        if plane in PLANE_AXES:
            (axis,) = set("xyz") - set(PLANE_AXES[plane])
            at_mm = _number(self._middle()["xyz".index(axis)], self._step())
            lines.append(_noted(f"    at_mm: {at_mm}", f"patient {axis}"))
        elif len(self.series.slices) > 1:
            count = len(self.series.slices)
            lines.append(_noted(f"    slice: {self._middle_index() + 1}", f"of {count}"))
        if not self.series.as_is:
            lines.append(self._window_line())
        return "\n".join([*lines, ""])

    def _window_line(self) -> str:
        window = self.series.stored_window
        if window is None and self.series.unit == "HU":
            return _noted(f"    window: {UNKNOWN_WINDOW}", "a window of the style")
        if window is None:
            return _noted("    window: {percentiles: [1, 99]}", "from the values of the picture")
        numbers = f"center: {window.center:.6g}, width: {window.width:.6g}"
        curve = "" if window.curve == "linear" else f", curve: {window.curve}"
        return _noted(f"    window: {{{numbers}{curve}}}", "as stored in the files")

    def region_text(self, this: str) -> str:
        """An example in the middle of the first picture."""
        plane = self.planes[0]
        if plane == "picture":
            return self._pixel_region_text(this)
        step = min(self._step(), 0.1)  # an acquired slice may lie aslant: stay on it
        middle = self._slice_centers()[self._middle_index()]
        across = list(self._picture_mm())
        axes = "xyz"
        if plane != "acquired":
            axes = PLANE_AXES[plane]
            middle = self._middle()
            across = [self._extents()["xyz".index(axis)] for axis in axes]
        radius = _number(min(across) / 8, step)
        numbers = ", ".join(_number(middle["xyz".index(axis)], step) for axis in axes)
        return _REGIONS.format(
            this=this,
            view=self.view_name(plane),
            center=_noted(f"    center_mm: [{numbers}]", f"patient {', '.join(axes)}"),
            radii=_noted(f"    radii_mm: [{radius}, {radius}]", "half its width and height"),
        )

    def _pixel_region_text(self, this: str) -> str:
        """The example on a picture that only pixels are known of."""
        one = self.series
        radius = max(min(one.columns, one.rows) // 8, 1)
        return _REGIONS.format(
            this=this,
            view=self.view_name("picture"),
            center=_noted(f"    center_px: [{one.columns // 2}, {one.rows // 2}]", "column, row"),
            radii=_noted(f"    radii_px: [{radius}, {radius}]", "half its width and height"),
        )

    def slide_texts(self, *, example: bool) -> Iterator[str]:
        """A slide of the first view, and one of the others."""
        first, others = self.planes[0], self.planes[1:]
        called = self.name.upper().replace("_", " ")
        template = _EXAMPLE_SLIDE if example else _SLIDE
        view = self.view_name(first)
        title = f"{called}, {first}"
        yield template.format(id=view, title=title, view=view, shown=f"{{view: {view}}}")
        if others:
            shown = ", ".join(f"{{view: {self.view_name(plane)}}}" for plane in others)
            title = f"{called}, {' and '.join(others)}"
            yield _SLIDE.format(id=f"{self.name}_across", title=title, shown=shown)

    def _middle_index(self) -> int:
        return len(self.series.slices) // 2

    def _slice_centers(self) -> NDArray[np.float64]:
        """The middle of each slice (n, 3), LPS mm (PS3.3 C.7.6.2.1.1, equation C.7.6.2.1-1)."""
        one = self.series
        positions = np.array([slice_.position_lps or (0.0, 0.0, 0.0) for slice_ in one.slices])
        across = np.array(one.row_lps) * one.column_spacing_mm * (one.columns - 1) / 2
        down = np.array(one.column_lps) * one.row_spacing_mm * (one.rows - 1) / 2
        centers: NDArray[np.float64] = positions + across + down
        return centers

    def _middle(self) -> NDArray[np.float64]:
        centers = self._slice_centers()
        middle: NDArray[np.float64] = (centers[0] + centers[-1]) / 2
        return middle

    def _extents(self) -> NDArray[np.float64]:
        """How far the scan reaches along patient x, y and z, mm."""
        one, centers = self.series, self._slice_centers()
        across = np.abs(one.row_lps) * one.column_spacing_mm * (one.columns - 1)
        down = np.abs(one.column_lps) * one.row_spacing_mm * (one.rows - 1)
        extents: NDArray[np.float64] = across + down + np.abs(centers[-1] - centers[0])
        return extents

    def _picture_mm(self) -> tuple[float, float]:
        """Width and height of an acquired slice."""
        one = self.series
        return (one.columns - 1) * one.column_spacing_mm, (one.rows - 1) * one.row_spacing_mm

    def _step(self) -> float:
        """What the numbers are rounded to: finer for small things."""
        return 1.0 if self._extents().max() > 100 else 0.1 if self._extents().max() > 10 else 0.01


def _names(series: Iterable[Series]) -> list[str]:
    """A name for each series, from its modality: "ct", "ct_2", "mr"."""
    names: list[str] = []
    for one in series:
        base = re.sub("[^a-z]", "", one.modality.lower()) or "scan"
        taken = sum(name.rstrip("_0123456789") == base for name in names)
        names.append(f"{base}_{taken + 1}" if taken else base)
    return names


def _number(value: float, step: float) -> str:
    """`value` rounded to `step`, without needless zeros."""
    decimals = max(0, round(-np.log10(step)))
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _noted(line: str, note: str) -> str:
    return f"{line:<36} # {note}"


def _quoted(text: str) -> str:
    """`text` as a YAML scalar: plain where nothing in it means anything to YAML."""
    if re.fullmatch(r"[A-Za-z0-9./][A-Za-z0-9._/-]*", text) and text.lower() != "null":
        return text
    if text.isprintable():
        return "'" + text.replace("'", "''") + "'"
    return json.dumps(text)  # YAML between double quotes reads these escapes
