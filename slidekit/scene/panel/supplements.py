"""What may stand with the text of a printed panel besides its pictures: shares, stages."""

from collections.abc import Sequence
from typing import Protocol

from slidekit.scene.asides.column import Lettering
from slidekit.scene.enlarge import enlarged, enlarged_box
from slidekit.scene.model import Box, Group
from slidekit.scene.panel.gallery import Setting
from slidekit.scene.style import Style


class Supplement(Protocol):
    """Something that can be set in a column of any width. Like keys, it is drawn as on a slide and
    enlarged, line widths and all."""

    def height_mm(self, width_mm: float, lettering: Lettering, style: Style) -> float:
        """Height at these sizes; infinite where the width is too small."""

    def compose(self, box: Box, lettering: Lettering, style: Style) -> Sequence[Group]:
        """Its groups from the top of `box` down."""


def supplement_mm(supplement: Supplement, width_mm: float, setting: Setting) -> float:
    """Its height on a panel."""
    factor, style = setting.factor, setting.slide_style
    return factor * supplement.height_mm(width_mm / factor, setting.lettering, style)


def supplement_items(supplement: Supplement, box: Box, setting: Setting) -> tuple[Group, ...]:
    """Its groups on a panel."""
    factor = setting.factor
    small = enlarged_box(box, 1 / factor)
    groups = supplement.compose(small, setting.lettering, setting.slide_style)
    drawn = (enlarged(group, factor) for group in groups)
    return tuple(group for group in drawn if isinstance(group, Group))
