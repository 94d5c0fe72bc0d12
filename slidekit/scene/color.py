"""Colour as the eye takes it: contrast, difference, and what a colour-blind viewer sees.

Colours are "#RRGGBB" in sRGB (IEC 61966-2-1). Lab values are CIE 1976, D65, 2° observer.
"""

from functools import lru_cache
from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt
from typing import Literal, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

Deficiency: TypeAlias = Literal["protan", "deutan", "tritan"]

_LUMINANCE_WEIGHTS = np.array([0.2126, 0.7152, 0.0722])

_XYZ_FROM_LINEAR_RGB = np.array(
    [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ]
)
"""IEC 61966-2-1 primaries and D65 white."""

_MACHADO: dict[Deficiency, NDArray[np.float64]] = {
    "protan": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deutan": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritan": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}
"""Machado, Oliveira & Fernandes 2009 (IEEE TVCG 15:1291), Table 1, severity 1.0, linear RGB."""


class Lab(NamedTuple):
    """CIE 1976 L*, a*, b*."""

    lightness: float
    a: float
    b: float


def _linear_rgb(color: str) -> NDArray[np.float64]:
    encoded = np.array([int(color[at : at + 2], 16) for at in (1, 3, 5)]) / 255
    return np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)


def _hex_of(linear_rgb: NDArray[np.float64]) -> str:
    inside = np.clip(linear_rgb, 0, 1)
    encoded = np.where(inside <= 0.0031308, inside * 12.92, 1.055 * inside ** (1 / 2.4) - 0.055)
    return "#" + "".join(f"{round(255 * channel):02X}" for channel in encoded.tolist())


def relative_luminance(color: str) -> float:
    """WCAG 2.2 "relative luminance": 0 for black, 1 for white."""
    return float(_LUMINANCE_WEIGHTS @ _linear_rgb(color))


def contrast_ratio(one: str, other: str) -> float:
    """WCAG 2.2 "contrast ratio", 1 to 21, unrounded as success criterion 1.4.3 wants it."""
    darker, lighter = sorted((relative_luminance(one), relative_luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def simulate_machado(color: str, deficiency: Deficiency) -> str:
    """`color` as a viewer without that cone sees it (Machado et al. 2009, severity 1)."""
    return _hex_of(_MACHADO[deficiency] @ _linear_rgb(color))


@lru_cache(maxsize=256)  # each mark is held against each colour that has a name: 600 times a run
def lab_of(color: str) -> Lab:
    """CIE 1976 L*a*b* under D65 (CIE 15:2018, 8.2.1)."""
    white = _XYZ_FROM_LINEAR_RGB.sum(axis=1)
    ratio = (_XYZ_FROM_LINEAR_RGB @ _linear_rgb(color)) / white
    edge = 6 / 29
    x, y, z = np.where(ratio > edge**3, np.cbrt(ratio), ratio / (3 * edge**2) + 4 / 29).tolist()
    return Lab(116 * y - 16, 500 * (x - y), 200 * (y - z))


def _hue_deg(a: float, b: float) -> float:
    return degrees(atan2(b, a)) % 360 if (a, b) != (0, 0) else 0.0


def _hue_difference_and_mean(one: "_Adapted", other: "_Adapted") -> tuple[float, float]:
    """Signed difference and mean of two hue angles, in degrees (equations 10 and 14)."""
    if one.chroma * other.chroma == 0:
        return 0.0, one.hue_deg + other.hue_deg
    difference = other.hue_deg - one.hue_deg
    total = one.hue_deg + other.hue_deg
    if abs(difference) <= 180:
        return difference, total / 2
    turned = difference - 360 if difference > 180 else difference + 360
    return turned, (total + 360) / 2 if total < 360 else (total - 360) / 2


class _Adapted(NamedTuple):
    """L', C' and h' of the paper: chroma stretched near grey."""

    lightness: float
    chroma: float
    hue_deg: float


def _adapt(lab: Lab, stretch: float) -> _Adapted:
    a = lab.a * stretch
    return _Adapted(lab.lightness, hypot(a, lab.b), _hue_deg(a, lab.b))


def delta_e_2000(one: Lab, other: Lab) -> float:
    """CIEDE2000 colour difference (ISO/CIE 11664-6), kL = kC = kH = 1.

    Written after Sharma, Wu & Dalal, Color Res Appl 2005;30:21-30, section 2; the equation numbers
    are theirs.
    """
    mean_chroma7 = ((hypot(one.a, one.b) + hypot(other.a, other.b)) / 2) ** 7
    stretch = 1.5 - 0.5 * sqrt(mean_chroma7 / (mean_chroma7 + 25.0**7))  # 4, 5
    first, second = _adapt(one, stretch), _adapt(other, stretch)

    hue_difference, mean_hue = _hue_difference_and_mean(first, second)
    lightness_step = second.lightness - first.lightness  # 8
    chroma_step = second.chroma - first.chroma  # 9
    hue_step = 2 * sqrt(first.chroma * second.chroma) * sin(radians(hue_difference / 2))  # 11

    mean_lightness = (first.lightness + second.lightness) / 2
    mean_chroma = (first.chroma + second.chroma) / 2
    off_middle = (mean_lightness - 50) ** 2
    lightness_scale = 1 + 0.015 * off_middle / sqrt(20 + off_middle)  # 18
    chroma_scale = 1 + 0.045 * mean_chroma  # 19
    hue_scale = 1 + 0.015 * mean_chroma * _hue_weight(mean_hue)  # 20
    rotation = _rotation(mean_chroma, mean_hue)  # 21

    lightness, chroma, hue = (
        lightness_step / lightness_scale,
        chroma_step / chroma_scale,
        hue_step / hue_scale,
    )
    return sqrt(lightness**2 + chroma**2 + hue**2 + rotation * chroma * hue)  # 22


def _hue_weight(hue_deg: float) -> float:
    """T of equation 15."""
    return (
        1
        - 0.17 * cos(radians(hue_deg - 30))
        + 0.24 * cos(radians(2 * hue_deg))
        + 0.32 * cos(radians(3 * hue_deg + 6))
        - 0.20 * cos(radians(4 * hue_deg - 63))
    )


def _rotation(mean_chroma: float, mean_hue_deg: float) -> float:
    """R_T of equations 16, 17 and 21: chroma and hue pull on each other in the blues."""
    turn_deg = 30 * exp(-(((mean_hue_deg - 275) / 25) ** 2))
    strength = 2 * sqrt(mean_chroma**7 / (mean_chroma**7 + 25.0**7))
    return -sin(radians(2 * turn_deg)) * strength


def color_difference(one: str, other: str) -> float:
    """CIEDE2000 between two sRGB colours; 1 is about just noticeable, 10 tells two lines apart."""
    return delta_e_2000(lab_of(one), lab_of(other))


def least_difference(one: str, other: str) -> float:
    """The smallest `color_difference` under normal, protan, deutan and tritan vision."""
    seen = [(one, other)]
    seen += [(simulate_machado(one, kind), simulate_machado(other, kind)) for kind in _MACHADO]
    return min(color_difference(*pair) for pair in seen)


def mix(one: str, other: str, share: float) -> str:
    """`share` (0 to 1) of `other` in `one`, channel by channel as encoded."""
    pairs = [(int(one[at : at + 2], 16), int(other[at : at + 2], 16)) for at in (1, 3, 5)]
    return "#" + "".join(f"{round(a + (b - a) * share):02X}" for a, b in pairs)
