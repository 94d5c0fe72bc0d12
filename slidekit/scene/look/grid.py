"""One view, large, with a grid to read coordinates from."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from slidekit.scans.model import PLANE_AXES, ScanPicture, Series, Vector
from slidekit.scene.look.edges import Edge, compose_edge, compose_lines, edges_of
from slidekit.scene.look.rulers import AXES, GROWS_TOWARDS, Rulers, rulers_of
from slidekit.scene.model import Box, Group, Page, Paragraph, Run, Text
from slidekit.scene.pictures.compose import compose_sight, data_line
from slidekit.scene.pictures.key import compose_key, key_height_mm
from slidekit.scene.pictures.whereabouts import signed
from slidekit.scene.sights.model import Cast, PlacedRegion, Sight
from slidekit.scene.style import Style
from slidekit.scene.text import paragraphs_of, text_height_mm

_MARGIN_MM = 10.0
_PICTURE_MM = (240.0, 200.0)  # at most
_COLUMN_MM = 84.0  # beside the picture: what the numbers mean, and the regions
_GAP_MM = 9.0
_PARAGRAPH_PT = 6.0


def compose_grid_page(
    sight: Sight, series: Series, regions: Sequence[PlacedRegion], style: Style
) -> Page:
    """The view with its grid, and `regions` outlined and named; sizes are for reading at a desk.

    Standard planes carry patient millimetres. Acquired slices carry the pixel numbers of the slice
    at the top and the left, and patient millimetres at the other edges where the slice lies along
    the patient's axes.

    Raises
    ------
    ScanError
        If a region cannot be shown on this view.
    """
    rulers = rulers_of(sight.picture, series)
    sheet = _lay_out(sight, rulers, style)
    cast = Cast({region.name: _letter(i) for i, region in enumerate(regions)}, {})
    picture, *upon = compose_sight(sight, regions, sheet.picture, cast, style)
    beside = _beside(sight, rulers, sheet.column, style)
    key = _key(regions, cast, beside.box, sheet.column, style)
    lowest = max(sheet.bottom_mm, beside.box.bottom_mm, *(_bottom_mm(row) for row in key))
    return Page(
        f"view-{sight.name}",
        f"View {sight.name}",
        "title_only",
        (sheet.column.right_mm + _MARGIN_MM, lowest + _MARGIN_MM),
        style.colors.ground,
        (
            sheet.title,
            picture,
            compose_lines(sheet.edges, sheet.picture, style),
            *(compose_edge(edge, sheet.picture, style) for edge in sheet.edges),
            *upon,
            beside,
            *key,
        ),
    )


def _letter(number: int) -> str:
    """A to Z, then A1 to Z1 and so on."""
    turn, letter = divmod(number, 26)
    return f"{chr(ord('A') + letter)}{turn or ''}"


@dataclass(frozen=True)
class _Sheet:
    title: Text
    picture: Box
    column: Box  # as wide as it is, as high as the picture
    edges: tuple[Edge, ...]
    bottom_mm: float  # of the lowest ruler


def _lay_out(sight: Sight, rulers: Rulers, style: Style) -> _Sheet:
    width = min(_PICTURE_MM[0], _PICTURE_MM[1] * sight.aspect)
    size_mm = (width, width / sight.aspect)
    edges = edges_of(rulers, size_mm)
    reach = {edge.side: edge.depth_mm(style) for edge in edges}

    size = style.sizes["caption"].pt
    paragraphs = paragraphs_of(f"View {sight.name}", bold=True)
    title_mm = text_height_mm(paragraphs, width + _COLUMN_MM, size)
    title_box = Box(_MARGIN_MM, _MARGIN_MM - 2, width + _COLUMN_MM, title_mm)
    title = Text(title_box, paragraphs, size, style.colors.ink, "title", name="Title")

    left = _MARGIN_MM + reach.get("left", 0.0)
    top = title_box.bottom_mm + 3 + reach.get("top", 0.0)
    picture = Box(left, top, *size_mm)
    column_left = picture.right_mm + reach.get("right", 0.0) + _GAP_MM
    column = Box(column_left, top, _COLUMN_MM, size_mm[1])
    return _Sheet(title, picture, column, edges, picture.bottom_mm + reach.get("bottom", 0.0))


def _beside(sight: Sight, rulers: Rulers, column: Box, style: Style) -> Text:
    """The picture's data, and how its coordinates are written."""
    size = style.sizes["data"].pt
    words = [data_line(sight), *_coordinates_in_words(sight.picture, rulers)]
    paragraphs = tuple(
        Paragraph((Run(text),), space_before_pt=_PARAGRAPH_PT if i else 0.0)
        for i, text in enumerate(words)
    )
    height = text_height_mm(paragraphs, column.width_mm, size)
    return Text(column._replace(height_mm=height), paragraphs, size, style.colors.ink, "data")


def _coordinates_in_words(picture: ScanPicture, rulers: Rulers) -> Iterator[str]:
    if picture.middle_lps is not None:
        yield from _free_coordinates_in_words(picture, picture.middle_lps)
        return
    middle = ", ".join(str(round(pair[0].middle)) for pair in (rulers.across, rulers.down) if pair)
    if picture.plane in PLANE_AXES:
        first, second = tuple(PLANE_AXES[picture.plane])
        yield f"Write [{first}, {second}] in patient millimetres; the middle is [{middle}]."
        yield (
            f"{first} grows towards the side marked {GROWS_TOWARDS[first]},"
            f" {second} towards {GROWS_TOWARDS[second]}."
        )
        return
    if picture.plane == "picture":
        yield f"Write [column, row] in pixels of the upright picture; the middle is [{middle}]."
        if picture.grid.space == "pixels":
            yield "Without mm_per_px on its scan it has no scale bar and no lengths."
        return
    if any(ruler.is_pixels for ruler in rulers.across):
        yield f"Write [column, row] in pixels of this slice; the middle is [{middle}]."
    named = {ruler.name for ruler in (*rulers.across, *rulers.down)}
    missing = [axis for axis in AXES if axis not in named]
    if len(missing) > 1:
        yield "The slice lies obliquely in the patient: millimetres cannot be read off it."
        return
    third = signed(picture.grid.origin_lps[AXES.index(missing[0])])
    yield f"In patient millimetres write all three, [x, y, z]; here {missing[0]} is {third}."


def _free_coordinates_in_words(picture: ScanPicture, middle: Vector) -> Iterator[str]:
    """Of oblique and curved views."""
    yield "Write [right, down] in millimetres from the view's middle, which is [0, 0]."
    place = ", ".join(signed(value) for value in middle)
    yield f"In patient millimetres, [x, y, z], the middle is [{place}]."
    if picture.flattening is not None:
        way = "down" if picture.flattening.runs_down else "to the right"
        yield f"The path runs {way}: along it, and only along it, a line may measure."


def _key(
    regions: Sequence[PlacedRegion], cast: Cast, above: Box, column: Box, style: Style
) -> tuple[Group, ...]:
    size = style.sizes["data"].pt
    top = above.bottom_mm + _GAP_MM
    height = key_height_mm(regions, cast, column.width_mm, size)
    box = Box(column.left_mm, top, column.width_mm, height)
    return tuple(compose_key(regions, cast, box, size, style))


def _bottom_mm(row: Group) -> float:
    return max(item.box.bottom_mm for item in row.items if isinstance(item, Text))
