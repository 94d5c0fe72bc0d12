"""What stands beside a picture besides its caption and key: tables and plots of measured values."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from slidekit.scene.model import Box, Group
from slidekit.scene.pictures.key import compose_key, key_height_mm
from slidekit.scene.sights.model import Cast, PlacedRegion
from slidekit.scene.style import Style

SMALL = 0.78  # heads, ticks and notes, as a share of the numbers' size


@dataclass(frozen=True)
class Lettering:
    """Type sizes of what stands in a column, in points: of names and numbers, and of heads, ticks
    and notes."""

    size_pt: float
    small_pt: float


def lettering(key_pt: float, least_pt: float) -> Lettering:
    """The sizes that go with a key; `least_pt`: nothing is smaller."""
    return Lettering(key_pt, min(max(SMALL * key_pt, least_pt), key_pt))


class Aside(Protocol):
    """Something that can be set in a column of any width."""

    @property
    def names(self) -> tuple[str, ...]:
        """Regions that it explains, so that the key need not."""

    def height_mm(self, cast: Cast, width_mm: float, lettering: Lettering) -> float:
        """Height at these sizes; infinite where the width is too small."""

    def compose(
        self, cast: Cast, box: Box, lettering: Lettering, style: Style
    ) -> tuple[Group, ...]:
        """Its groups from the top of `box` down, each on the click of its region."""


@dataclass(frozen=True)
class KeyRows:
    """The key as one of the things that stand in a column."""

    regions: tuple[PlacedRegion, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Regions that it explains."""
        return tuple(region.name for region in self.regions)

    def height_mm(self, cast: Cast, width_mm: float, lettering: Lettering) -> float:
        """Height of all rows."""
        return key_height_mm(self.regions, cast, width_mm, lettering.size_pt)

    def compose(
        self, cast: Cast, box: Box, lettering: Lettering, style: Style
    ) -> tuple[Group, ...]:
        """One group for each region."""
        return compose_key(self.regions, cast, box, lettering.size_pt, style)


def with_key(asides: Sequence[Aside], keyed: Sequence[PlacedRegion]) -> tuple[Aside, ...]:
    """Tables, then the key of the regions that they do not explain, then plots."""
    tables = [aside for aside in asides if aside.names]
    plots = [aside for aside in asides if not aside.names]
    key = [KeyRows(tuple(keyed))] if keyed else []
    return (*tables, *key, *plots)


def asides_height_mm(
    asides: Sequence[Aside], cast: Cast, width_mm: float, lettering: Lettering, gap_mm: float
) -> float:
    """Of all asides one below the other; 0 for none."""
    heights = [aside.height_mm(cast, width_mm, lettering) for aside in asides]
    return sum(heights) + gap_mm * max(len(heights) - 1, 0)


def compose_asides(
    asides: Sequence[Aside], cast: Cast, box: Box, look: tuple[Lettering, float, Style]
) -> tuple[Group, ...]:
    """All asides one below the other; the last may use what is left of `box`. `look`: type
    sizes, gap in mm, style."""
    lettering, gap_mm, style = look
    spare = box.height_mm - asides_height_mm(asides, cast, box.width_mm, lettering, gap_mm)
    groups: list[Group] = []
    top = box.top_mm
    for aside in asides:
        height = aside.height_mm(cast, box.width_mm, lettering)
        left_over = max(spare, 0.0) if aside is asides[-1] else 0.0
        place = box._replace(top_mm=top, height_mm=height + left_over)
        groups += aside.compose(cast, place, lettering, style)
        top += height + gap_mm
    return tuple(groups)
