"""Type sizes of a printed panel: from the style's, by the size of the panel.

`Style.panel_sizes` are meant for A2. A panel of k times its diagonal is looked at from further
away and starts from sizes k times as large. The smallest sizes follow smaller panels just so, and
larger panels by the root of k only, so that those may also hold more text. Nothing is ever
smaller than 24 points.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from slidekit.scene.model import Paragraph, Role
from slidekit.scene.style import Size, Style
from slidekit.scene.text import line_width_mm

A2_MM = (420.0, 594.0)  # ISO 216
LEAST_PT = 24.0
"""US National Park Service, exhibit text: nothing below 24 points."""

STEPS = 8
"""From the first sizes to the least, all roles together, so that their order holds."""

_STEPPED: tuple[Role, ...] = ("quote", "body", "caption", "key", "data", "label", "footer")


@dataclass(frozen=True)
class PanelType:
    """The sizes of one panel, in points; `title` finds its own size between its two."""

    title: Size
    lead_pt: float
    body_pt: float
    caption_pt: float
    key_pt: float
    data_pt: float
    label_pt: float
    footer_pt: float


def panel_scale(size_mm: tuple[float, float]) -> float:
    """How much larger than A2 a panel is, along its sides: 2 for A0, 1.41 for A1."""
    return sqrt(size_mm[0] * size_mm[1] / (A2_MM[0] * A2_MM[1]))


def type_ladder(style: Style, size_mm: tuple[float, float]) -> tuple[PanelType, ...]:
    """The sizes to try, largest first."""
    scale = panel_scale(size_mm)
    scaled = {role: _scaled(style.panel_sizes[role], scale) for role in _STEPPED}
    whole = style.panel_sizes["title"]
    title = Size(
        pt=max(round(whole.pt * scale), LEAST_PT),
        least_pt=max(round(whole.least_pt * scale), LEAST_PT),
    )
    ladder = []
    for step in range(STEPS + 1):
        lead, body, caption, key, data, label, footer = (
            _between(scaled[role], step / STEPS) for role in _STEPPED
        )
        ladder.append(PanelType(title, lead, body, caption, key, data, label, footer))
    return tuple(dict.fromkeys(ladder))


def _scaled(size: Size, scale: float) -> Size:
    least = max(round(size.least_pt * min(scale, sqrt(scale))), LEAST_PT)
    return Size(pt=max(round(size.pt * scale), least), least_pt=least)


def _between(size: Size, share: float) -> float:
    """`size.pt` for 0, `size.least_pt` for 1, whole points between."""
    return float(round(size.pt + share * (size.least_pt - size.pt)))


def measure_mm(paragraphs: Sequence[Paragraph], size_pt: float, letters: float) -> float:
    """Width of a line of so many letters of this very text, spaces counted."""
    text = " ".join(paragraph.plain for paragraph in paragraphs)
    return line_width_mm(text, size_pt) / max(len(text), 1) * letters
