"""The windows of a picture: found as the author asked for them, and said in words."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from slidekit.scans.model import Curve, GreyScale, GreyWindow, LookupTable
from slidekit.scene.style import Style
from slidekit.storyboard.model import View

Origin: TypeAlias = Literal["style", "author"]

_CURVES: dict[Curve, str] = {
    "linear": "",  # what everybody expects
    "linear_exact": "linear exact",
    "sigmoid": "sigmoid",
}


@dataclass(frozen=True)
class UsedWindow:
    """How the values of a picture, or of half of it, became grey levels."""

    scale: GreyScale
    origin: Origin
    name: str = ""  # of the style
    note: str = ""  # how it was found, when neither numbers nor a name say that

    @property
    def label(self) -> str:
        """A few words for the picture itself."""
        return self.name.replace("_", " ") or self._numbers or self.note

    @property
    def _numbers(self) -> str:
        if isinstance(self.scale, LookupTable):
            return ""
        return f"{plain_number(self.scale.center)}/{plain_number(self.scale.width)}"

    def in_words(self, unit: str) -> str:
        """Name, centre and width in `unit`, and what is unusual: "bone 400/1800 HU (sigmoid)"."""
        numbers = self._numbers
        parts = [self.name.replace("_", " "), numbers, unit if numbers else ""]
        curve = _CURVES[self.scale.curve] if isinstance(self.scale, GreyWindow) else ""
        unusual = ", ".join(filter(None, [curve, self.note]))
        if unusual:
            parts.append(f"({unusual})" if numbers else unusual)
        return " ".join(filter(None, parts))


def plain_number(value: float) -> str:
    """Six significant digits, a true minus sign, no exponent and no trailing zeros."""
    rounded = float(f"{value:.6g}") + 0.0  # minus zero becomes zero
    return np.format_float_positional(rounded, trim="-").replace("-", "−")


def windows_of(view: View, style: Style) -> tuple[UsedWindow, ...]:
    """The view's window."""
    if isinstance(view.window, str):
        named = style.windows[view.window]
        window = GreyWindow(named.center, named.width)
        return (UsedWindow(window, "style", view.window),)
    return (UsedWindow(GreyWindow(view.window.center, view.window.width), "author"),)


def windows_in_words(windows: tuple[UsedWindow, ...], unit: str) -> str:
    """All windows of a picture, as its data line says them."""
    if len(windows) == 1:
        return windows[0].in_words(unit)
    left, right = windows
    return f"left half {left.in_words(unit)}, right half {right.in_words(unit)}"
