"""The windows of a picture: found as the author asked for them, and said in words."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from slidekit.scans.dicom.file_windows import choose_stored
from slidekit.scans.model import (
    AutomaticWindow,
    Curve,
    GreyScale,
    GreyWindow,
    LookupTable,
    Outline,
    PlannedPlane,
    Series,
)
from slidekit.scene.style import Style
from slidekit.storyboard import windows as written
from slidekit.storyboard.views import View
from slidekit.wording import figures, phrase, phrase_key

Origin: TypeAlias = Literal["style", "author", "files", "values"]
"""Who knows the numbers: a style, the author, the scan's files, or the picture's values."""

_CURVES: dict[Curve, str] = {
    "linear": "",  # what everybody expects
    "linear_exact": phrase_key("linear exact"),
    "sigmoid": phrase_key("sigmoid"),
}


@dataclass(frozen=True)
class UsedWindow:
    """How the values of a picture, or of half of it, became grey levels."""

    scale: GreyScale
    origin: Origin
    name: str = ""  # of the style
    note: str = ""  # how it was found, when neither numbers nor a name say that
    meant_for: str = ""  # the unit of the values that a style made it for; "" for any

    @property
    def label(self) -> str:
        """A few words for the picture itself."""
        return self._called or self._numbers or self.note

    @property
    def _called(self) -> str:
        return phrase(self.name.replace("_", " ")) if self.name else ""

    @property
    def _numbers(self) -> str:
        if isinstance(self.scale, LookupTable):
            return ""
        return f"{plain_number(self.scale.center)}/{plain_number(self.scale.width)}"

    def in_words(self, unit: str) -> str:
        """Name, centre and width in `unit`, and what is unusual: "bone 400/1800 HU (sigmoid)"."""
        numbers = self._numbers
        parts = [self._called, numbers, unit if numbers else ""]
        curve = _CURVES[self.scale.curve] if isinstance(self.scale, GreyWindow) else ""
        curve = phrase(curve) if curve else ""
        unusual = ", ".join(filter(None, [curve, self.note]))
        if unusual:
            parts.append(f"({unusual})" if numbers else unusual)
        return " ".join(filter(None, parts))


def plain_number(value: float) -> str:
    """Six significant digits, a true minus sign, no exponent and no trailing zeros."""
    rounded = float(f"{value:.6g}") + 0.0  # minus zero becomes zero
    return figures(np.format_float_positional(rounded, trim="-").replace("-", "−"))


@dataclass(frozen=True)
class WantedWindow:
    """A window before the values of its picture are known."""

    scale: GreyScale | AutomaticWindow
    origin: Origin
    name: str = ""
    note: str = ""
    meant_for: str = ""

    def used(self, scale: GreyScale) -> UsedWindow:
        """With the scale that it came to."""
        return UsedWindow(scale, self.origin, self.name, self.note, self.meant_for)


@dataclass(frozen=True)
class Viewed:
    """What windows are chosen for: a plane of a series, and its regions."""

    series: Series
    plane: PlannedPlane
    region: Callable[[str], tuple[str, Outline]]
    """What a region of the plane is called, and its curve; ScanError if it has none."""


def wanted_windows(view: View, viewed: Viewed, style: Style) -> tuple[WantedWindow, ...]:
    """The windows of a view, left to right.

    Raises
    ------
    ScanError
        If the files carry no such window, or a region cannot be used.
    """
    halves = (one for _, one in written.halves_of(view.window))
    return tuple(_wanted(one, viewed, style) for one in halves)


def _wanted(window: written.OneWindow, viewed: Viewed, style: Style) -> WantedWindow:
    match window:
        case written.Window():
            scale = GreyWindow(window.center, window.width, window.curve)
            return WantedWindow(scale, "author")
        case written.StoredWindow():
            return _stored(window.stored, viewed)
        case written.AutomaticWindow():
            return _automatic(window, viewed)
        case name:
            named = style.windows[name]
            scale = GreyWindow(named.center, named.width, named.curve)
            return WantedWindow(scale, "style", name, meant_for=named.unit)


def _stored(wanted: str, viewed: Viewed) -> WantedWindow:
    """Of the slice shown; of the middle one where several are."""
    sources = viewed.plane.source_slices
    found = choose_stored(viewed.series, sources[len(sources) // 2], wanted)
    note = phrase("stored table") if isinstance(found.scale, LookupTable) else phrase("stored")
    if found.count > 1:
        note = phrase(
            "{stored} {number} of {count}", stored=note, number=found.number, count=found.count
        )
    if found.of_slice is not None:
        note = phrase("{stored}, slice {number}", stored=note, number=found.of_slice)
    return WantedWindow(found.scale, "files", note=note)


def _automatic(window: written.AutomaticWindow, viewed: Viewed) -> WantedWindow:
    low, high = window.percentiles
    ends = {"low": figures(f"{low:g}"), "high": figures(f"{high:g}")}
    note = phrase("automatic, {low} to {high} %", **ends)
    inside = None
    if window.region is not None:
        called, inside = viewed.region(window.region)
        note = phrase("{automatic} within {region}", automatic=note, region=called)
    scale = AutomaticWindow(window.percentiles, window.curve, inside)
    return WantedWindow(scale, "values", note=note)


def windows_in_words(windows: tuple[UsedWindow, ...], unit: str) -> str:
    """All windows of a picture, as its data line says them."""
    if len(windows) == 1:
        return windows[0].in_words(unit)
    left, right = windows
    return phrase(
        "{left} at left, {right} at right", left=left.in_words(unit), right=right.in_words(unit)
    )
