"""A picture in two windows: the line where they meet, and the name of each half."""

from collections.abc import Sequence

from slidekit.scans.geometry import lps_from_pixel, pixel_from_lps
from slidekit.scans.model import Grid, ScanPicture
from slidekit.scene.model import Box, Group, Polyline, Stroke, Text
from slidekit.scene.pictures.letters import overlap_mm2
from slidekit.scene.pictures.scale_bar import WHITE, plate
from slidekit.scene.sights.windowing import UsedWindow
from slidekit.scene.style import Style
from slidekit.scene.text import line_width_mm
from slidekit.scene.type_units import line_mm
from slidekit.wording import phrase

SEAM_PT = 1.0
SEAM_HALO_PT = 2.5  # under the line, so that it shows on any grey
MARGIN_MM = 2.0  # between the picture's edge and a name
MIDDLE_MM = 8.0  # left free for the letter of the side above


def halves_of_part(whole: ScanPicture, part: Grid) -> tuple[slice, float]:
    """Which of a picture's scales a part of it shows, and how much of the part's width lies left
    of the seam."""
    if whole.seam_column is None:
        return slice(None), 0.5
    seam = lps_from_pixel(whole.grid, (whole.seam_column - 0.5, 0.0))
    column, _ = pixel_from_lps(part, seam)
    share = float(column[0] + 0.5) / part.columns
    if share <= 0 or share >= 1:
        return (slice(1, 2) if share <= 0 else slice(0, 1)), 0.5
    return slice(None), share


def seam_lines(share: float, box: Box, style: Style) -> tuple[Polyline, ...]:
    """A thin line at `share` of the width of a picture, with a halo."""
    across = box.left_mm + share * box.width_mm
    path = ((across, box.top_mm), (across, box.bottom_mm))
    return (
        Polyline(path, stroke=Stroke(style.colors.halo, SEAM_HALO_PT)),
        Polyline(path, stroke=Stroke(WHITE, SEAM_PT)),
    )


def compose_halves(
    windows: Sequence[UsedWindow], seam_share: float, box: Box, taken: Sequence[Box], style: Style
) -> Group:
    """A thin line at `seam_share` of the picture's width, and the names at its upper corners.

    Where those are taken the names stand at the lower corners. Where nothing is free, or the
    halves are too narrow, they are left out: the data line says them too.
    """
    across = box.left_mm + seam_share * box.width_mm
    line = seam_lines(seam_share, box, style)
    left, right = (window.label for window in windows)
    return Group(
        name="Halves",
        alt=phrase(
            "Left half in window {left}, right half in window {right}", left=left, right=right
        ),
        items=(*line, *_names((left, right), across, box, (taken, style))),
    )


def _names(
    labels: tuple[str, str], across_mm: float, box: Box, around: tuple[Sequence[Box], Style]
) -> tuple[Text, ...]:
    taken, style = around
    size = style.sizes["data"].pt
    height = line_mm(size) + 0.4
    widths = [line_width_mm(label, size, bold=True) * 1.02 + 1.6 for label in labels]
    rooms = (across_mm - box.left_mm, box.right_mm - across_mm)
    if any(w + MARGIN_MM + MIDDLE_MM / 2 > room for w, room in zip(widths, rooms, strict=True)):
        return ()
    lefts = (box.left_mm + MARGIN_MM, box.right_mm - MARGIN_MM - widths[1])
    for top in (box.top_mm + MARGIN_MM, box.bottom_mm - MARGIN_MM - height):
        places = [Box(lefts[i], top, widths[i], height) for i in (0, 1)]
        if not any(overlap_mm2(place, other) for place in places for other in taken):
            return tuple(
                plate(label, place, size, style)
                for label, place in zip(labels, places, strict=True)
            )
    return ()
