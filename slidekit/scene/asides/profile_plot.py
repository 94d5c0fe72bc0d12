"""Values along a line as a plot of native shapes: a dark field like the picture's, ticks, curve."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf
from typing import Literal

import numpy as np

from slidekit.errors import FitError
from slidekit.scans.geometry import pixel_from_lps
from slidekit.scans.measures.on_planes import Profile
from slidekit.scans.model import ScanPicture
from slidekit.scene.asides.column import Lettering
from slidekit.scene.asides.plot_field import (
    ASPECT,
    AXIS_PT,
    CURVE_PT,
    GRID,
    HALO_PT,
    LEAST_EM,
    LOWEST_EM,
    TICK_MM,
    TICKS_ACROSS,
    round_steps,
    ticks_below,
)
from slidekit.scene.measured import exact
from slidekit.scene.model import (
    Box,
    Group,
    Paragraph,
    Point,
    Polyline,
    Rect,
    Run,
    Shape,
    Stroke,
    Text,
)
from slidekit.scene.sights.model import Cast, PlacedRegion
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, line_width_mm, text_height_mm
from slidekit.scene.type_units import em_mm, line_mm
from slidekit.wording import phrase

TICKS_UP = 5
ROOM_SHARE = 0.05  # of the span of values, left free above and below the curve


BOLD = "\N{OBJECT REPLACEMENT CHARACTER}"  # where a letter stands in a translated title


@dataclass(frozen=True)
class ProfilePlot:
    """A measured line, and which of its ends comes first."""

    region: PlacedRegion
    profile: Profile
    start: str  # "left", "right", "upper" or "lower"

    @property
    def names(self) -> tuple[str, ...]:
        """No region: the key explains the line."""
        return ()

    def height_mm(self, cast: Cast, width_mm: float, lettering: Lettering) -> float:
        """Height at these sizes; infinite where the width is too small."""
        em = em_mm(lettering.size_pt)
        if width_mm < LEAST_EM * em:
            return inf
        small = lettering.small_pt
        title = text_height_mm(self._title(cast), width_mm, small)
        line = line_mm(small)
        field = min(ASPECT * width_mm, LOWEST_EM * em)
        return title + 0.3 * em + field + TICK_MM + 2 * line + 1.2

    def _title(self, cast: Cast) -> tuple[Paragraph, ...]:
        letter = cast.letters[self.region.name]
        if self.profile.unit == "HU":
            words = phrase("CT number along {letter}", letter=BOLD)
        else:
            words = phrase("Value along {letter}", letter=BOLD)
        unit = f", {self.profile.unit}" if self.profile.unit else ""
        before, after = words.split(BOLD)
        return (Paragraph((Run(before), Run(letter, bold=True), Run(f"{after}{unit}"))),)

    def compose(
        self, cast: Cast, box: Box, lettering: Lettering, style: Style
    ) -> tuple[Group, ...]:
        """One group, on the click of the line."""
        small = lettering.small_pt
        em = em_mm(lettering.size_pt)
        title_mm = text_height_mm(self._title(cast), box.width_mm, small)
        top = box.top_mm + title_mm + 0.3 * em
        axes = _Axes(self.profile, small, style)
        left = box.left_mm + axes.labels_mm + TICK_MM + 1.2
        below = TICK_MM + 2 * line_mm(small) + 1.2
        height = min(box.bottom_mm - below - top, ASPECT * box.width_mm)
        field = Box(left, top, box.right_mm - left, height)
        title = Text(
            box._replace(height_mm=title_mm), self._title(cast), small, style.colors.ink, "key"
        )
        items = (title, *axes.compose(field, self.start), *self._curve(axes, field, style))
        return (
            Group(
                name=f"Profile {cast.letters[self.region.name]}: {self.region.called}",
                alt=self._alt(cast),
                items=items,
                step=cast.steps.get(self.region.name, 0),
            ),
        )

    def _alt(self, cast: Cast) -> str:
        known = [value for value in self.profile.values if value is not None]
        return phrase(
            "Plot of the values along {letter}, {called}, {end}: from {least} to {most} {unit}",
            letter=cast.letters[self.region.name],
            called=self.region.called,
            end=_from_end(self.start),
            least=exact(round(min(known))),
            most=exact(round(max(known))),
            unit=self.profile.unit,
        ).rstrip()

    def _curve(self, axes: "_Axes", field: Box, style: Style) -> Iterator[Polyline]:
        stretches = list(_stretches(self.profile))
        for color, width in ((style.colors.halo, HALO_PT), (self.region.mark.color, CURVE_PT)):
            for stretch in stretches:
                points = tuple(axes.place(at, value, field) for at, value in stretch)
                yield Polyline(points, stroke=Stroke(color, width))


def _from_end(start: str) -> str:
    """From which end of the line it is measured."""
    match start:
        case "left":
            return phrase("from its left end")
        case "right":
            return phrase("from its right end")
        case "upper":
            return phrase("from its upper end")
    return phrase("from its lower end")


def profile_plot(region: PlacedRegion, picture: ScanPicture) -> ProfilePlot:
    """The plot of a line as it lies on a picture.

    Raises
    ------
    FitError
        If nothing was sampled along it.
    """
    profile = region.profile
    if profile is None or sum(value is not None for value in profile.values) < 2:
        raise FitError(
            f"there is no profile along `{region.name}`: fewer than two samples lie on it",
            "Draw it longer, within a view of a CT or MR scan",
        )
    ends, _ = pixel_from_lps(picture.grid, np.array(region.figure.points_lps))
    dx, dy = ends[-1] - ends[0]
    if abs(dx) >= abs(dy):
        return ProfilePlot(region, profile, "left" if dx >= 0 else "right")
    return ProfilePlot(region, profile, "upper" if dy >= 0 else "lower")


def _stretches(profile: Profile) -> Iterator[list[tuple[float, float]]]:
    """Distance and value, in stretches without a gap; a lone sample is none."""
    stretch: list[tuple[float, float]] = []
    for k, value in enumerate((*profile.values, None)):
        if value is not None:
            stretch.append((k * profile.step_mm, value))
            continue
        if len(stretch) > 1:
            yield stretch
        stretch = []


class _Axes:
    """The scales of a plot at one type size."""

    def __init__(self, profile: Profile, size_pt: float, style: Style) -> None:
        known = [value for value in profile.values if value is not None]
        spare = max((max(known) - min(known)) * ROOM_SHARE, 1e-6)
        self.low, self.high = min(known) - spare, max(known) + spare
        self.length_mm = profile.step_mm * (len(profile.values) - 1)
        self.up = round_steps(self.low, self.high, TICKS_UP)
        self.along = round_steps(0.0, self.length_mm, TICKS_ACROSS)
        self.size_pt = size_pt
        self.style = style

    @property
    def labels_mm(self) -> float:
        """Width of the widest number at the left."""
        return max(line_width_mm(exact(value), self.size_pt) for value in self.up) * 1.03 + 0.4

    def place(self, at_mm: float, value: float, field: Box) -> Point:
        """Where a distance along the line and a value fall on the page."""
        x = field.left_mm + at_mm / self.length_mm * field.width_mm
        share = (value - self.low) / (self.high - self.low)
        return x, field.bottom_mm - share * field.height_mm

    def compose(self, field: Box, start: str) -> Iterator[Shape | Text]:
        """Field, grid lines, axes, ticks and their numbers."""
        colors = self.style.colors
        axis = Stroke(colors.quiet, AXIS_PT)
        line = line_mm(self.size_pt)
        yield Rect(field, fill=colors.halo)
        for value in self.up:
            _, y = self.place(0.0, value, field)
            yield Polyline(((field.left_mm, y), (field.right_mm, y)), stroke=GRID)
            yield Polyline(((field.left_mm - TICK_MM, y), (field.left_mm, y)), stroke=axis)
            label = Box(field.left_mm - TICK_MM - 0.8 - self.labels_mm, y - line / 2, 0, line)
            yield self._text(exact(value), label._replace(width_mm=self.labels_mm), "right")
        yield from ticks_below(
            self.along,
            lambda at: self.place(at, 0.0, field)[0],
            field,
            field.left_mm - self.labels_mm,
            self.size_pt,
            self.style,
        )
        corner = ((field.left_mm, field.top_mm), (field.left_mm, field.bottom_mm))
        yield Polyline((*corner, (field.right_mm, field.bottom_mm)), stroke=axis)
        title = field._replace(top_mm=field.bottom_mm + TICK_MM + 0.3 + line, height_mm=line)
        yield self._text(f"mm {_from_end(start)}", title, "center")

    def _text(self, text: str, box: Box, align: Literal["right", "center"]) -> Text:
        words, color = as_written(text), self.style.colors.quiet
        return Text(box, words, self.size_pt, color, "key", align=align)
