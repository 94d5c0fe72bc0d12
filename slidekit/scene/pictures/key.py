"""The key of marks: for each region a sample of its line, its letter and what it is called."""

from collections.abc import Sequence

from slidekit.evidence.certainty import certainty_in_words
from slidekit.scene.model import Box, Group, Paragraph, Polyline, Rect, Run, Stroke, Text
from slidekit.scene.pictures.marks import arrow_outline, cross
from slidekit.scene.sights.model import Cast, PlacedRegion
from slidekit.scene.style import Style
from slidekit.scene.text import text_height_mm
from slidekit.scene.type_units import line_mm
from slidekit.wording import phrase

SAMPLE_MM = (13.0, 6.0)  # width, height of the plate that carries the line sample
SAMPLE_GAP_MM = 3.0
SAMPLE_EDGE_MM = 1.5  # of the plate, left free at both ends
ROW_GAP_MM = 2.0


def key_height_mm(
    regions: Sequence[PlacedRegion], cast: Cast, width_mm: float, size_pt: float
) -> float:
    """Height of all rows, with the gaps between them; 0 for no regions."""
    rows = [_row_height_mm(region, cast, width_mm, size_pt) for region in regions]
    return sum(rows) + ROW_GAP_MM * max(len(rows) - 1, 0)


def compose_key(
    regions: Sequence[PlacedRegion], cast: Cast, box: Box, size_pt: float, style: Style
) -> tuple[Group, ...]:
    """One group per region, appearing on the same click as its mark, from the box's top down."""
    groups = []
    top = box.top_mm
    for region in regions:
        height = _row_height_mm(region, cast, box.width_mm, size_pt)
        row = Box(box.left_mm, top, box.width_mm, height)
        groups.append(compose_key_row(region, cast, row, size_pt, style))
        top += height + ROW_GAP_MM
    return tuple(groups)


def key_words(region: PlacedRegion, cast: Cast) -> tuple[Paragraph, ...]:
    """Letter, name and note of a region, and how sure it is that it is that, unless it is seen."""
    note = f", {region.note}" if region.note else ""
    letter = Run(f"{cast.letters[region.name]}  ", bold=True)
    words = [letter, Run(f"{region.called}{note}")]
    if region.certainty != "observed":
        words.append(Run(f" ({certainty_in_words(region.certainty)})", italic=True))
    return (Paragraph(tuple(words)),)


def _row_height_mm(region: PlacedRegion, cast: Cast, width_mm: float, size_pt: float) -> float:
    text_width = key_text_width_mm(width_mm)
    return max(text_height_mm(key_words(region, cast), text_width, size_pt), SAMPLE_MM[1])


def key_text_width_mm(width_mm: float) -> float:
    """What the words of a row have of its width."""
    return width_mm - SAMPLE_MM[0] - SAMPLE_GAP_MM


def compose_key_row(
    region: PlacedRegion, cast: Cast, row: Box, size_pt: float, style: Style
) -> Group:
    """One region in its row: the sample beside the first line of the words."""
    letter = cast.letters[region.name]
    width, height = SAMPLE_MM
    first_line_mm = line_mm(size_pt)
    plate = Box(row.left_mm, row.top_mm + (first_line_mm - height) / 2, width, height)
    text_left = plate.right_mm + SAMPLE_GAP_MM
    text = Text(
        Box(text_left, row.top_mm, row.right_mm - text_left, row.height_mm),
        key_words(region, cast),
        size_pt,
        style.colors.ink,
        "key",
    )
    return Group(
        name=f"Key {letter}: {region.called}",
        alt=phrase(
            "Key: {letter}, {mark}, is {called}",
            letter=letter,
            mark=region.spoken,
            called=region.called,
        ),
        items=(Rect(plate, 1.0, fill=style.colors.halo), *_sample(region, plate, style), text),
        step=cast.steps.get(region.name, 0),
    )


def _sample(region: PlacedRegion, plate: Box, style: Style) -> tuple[Polyline, ...]:
    """An arrow, a cross, or a stretch of the outline's own line."""
    x, y = plate.center_mm
    left, right = (plate.left_mm + SAMPLE_EDGE_MM, y), (plate.right_mm - SAMPLE_EDGE_MM, y)
    match region.figure.kind:
        case "arrow":
            return (Polyline(arrow_outline(left, right), closed=True, fill=region.mark.color),)
        case "angle":
            stroke = Stroke(region.mark.color, style.mark_line_pt)
            low, high = y + plate.height_mm / 4, y - plate.height_mm / 3.5
            return (
                Polyline(((left[0], low), (right[0], low)), stroke=stroke),
                Polyline(((left[0], low), (x + 2, high)), stroke=stroke),
            )
        case "point":
            stroke = Stroke(region.mark.color, style.mark_line_pt)
            arm = plate.height_mm / 2 - 1
            return tuple(Polyline(path, stroke=stroke) for path in cross((x, y), arm))
    stroke = Stroke(region.mark.color, style.mark_line_pt, region.mark.dash)
    return (Polyline((left, right), stroke=stroke),)
