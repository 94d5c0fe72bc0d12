"""Scan pictures on a page: what must stand on each of them, and what is said under it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from slidekit.scans.model import ScanPicture
from slidekit.scene.model import (
    Box,
    Group,
    Item,
    Picture,
    Rect,
    Stroke,
    Text,
)
from slidekit.scene.pictures.halves import compose_halves
from slidekit.scene.pictures.letters import Crowd, ShownMark, clearest, extent_of
from slidekit.scene.pictures.marks import compose_marks
from slidekit.scene.pictures.scale_bar import (
    BAR_FOOT_MM,
    EDGE_MM,
    bar_in_words,
    bar_length_mm,
    extent_of_bar,
    plate,
    scale_bar,
)
from slidekit.scene.pictures.whereabouts import place_in_words, slab_in_words
from slidekit.scene.sights.figures import page_points
from slidekit.scene.sights.model import Cast, PlacedRegion, Sight
from slidekit.scene.sights.windowing import windows_in_words
from slidekit.scene.style import Style
from slidekit.scene.text import line_width_mm
from slidekit.scene.type_units import line_mm
from slidekit.wording import figures, phrase, sides

SIDE_SHIFTS = (0, 0.04, -0.04, 0.08, -0.08, 0.12, -0.12, 0.16, -0.16)  # short of the scale bar
EDGE_PT = 0.75  # a hairline around the picture: a white scan must not melt into a white page
ALONE = Crowd((), ())


@dataclass(frozen=True)
class Heed:
    """What a picture must heed besides its own marks."""

    taken: tuple[Box, ...] = ()  # on the page: what nothing may cover
    bar_mm: float | None = None  # length of the scale bar, when several pictures share one


def data_line(sight: Sight) -> str:
    """Plane, position, slab and window: what another reader needs to find the same picture."""
    picture = sight.picture
    if picture.plane == "picture":
        return _plain_data_line(sight)
    parts = [place_in_words(picture)]
    if picture.slab_mm > 0:
        parts.append(slab_in_words(picture))
    return " · ".join([*parts, *_look_in_words(sight)])


def _plain_data_line(sight: Sight) -> str:
    """What is known of a picture without a place in the patient: above all, of its scale."""
    picture = sight.picture
    parts = [phrase("picture")]
    if picture.slice_number is not None:
        parts = [phrase("picture {number}", number=picture.slice_number)]
    parts += _look_in_words(sight)
    if picture.grid.space == "pixels":
        parts.append(phrase("no scale"))
    else:
        size = figures(f"{picture.native_mm[0]:g}")
        parts.append(phrase("{mm} mm per pixel, as stated", mm=size))
    return " · ".join(parts)


def _look_in_words(sight: Sight) -> list[str]:
    parts = []
    if sight.windows:
        windows = windows_in_words(sight.windows, sight.picture.unit)
        parts.append(phrase("window {window}", window=windows))
    if sight.view.overlays:
        parts.append(phrase("overlay of the file"))
    return parts


def compose_sight(
    sight: Sight,
    regions: Sequence[PlacedRegion],
    box: Box,
    cast: Cast,
    style: Style,
    heed: Heed = Heed(),
) -> tuple[Item, ...]:
    """The picture in `box`, with scale bar, letters of the sides, and its marks.

    ScanError if a region cannot be shown on this view.
    """
    picture = sight.picture
    marks = [shown_mark(region, picture, box, cast) for region in regions]
    halves = _halves(sight, box, style, heed)
    heed = replace(heed, taken=(*heed.taken, *_plates(halves)))
    furniture = _furniture(sight, box, marks, style, heed)
    taken = [*_plates((furniture,)), *heed.taken]
    alt = f"{data_line(sight)}. {sides_in_words(picture)}".rstrip()
    return (
        Picture(box, picture.pixels, alt, sight.name),
        *halves,
        furniture,
        *compose_marks(marks, box, taken, style),
    )


def _halves(sight: Sight, box: Box, style: Style, heed: Heed) -> tuple[Group, ...]:
    seam = sight.picture.seam_column
    if seam is None:
        return ()
    share = seam / sight.picture.grid.columns
    return (compose_halves(sight.windows, share, box, heed.taken, style),)


def _plates(groups: Sequence[Group]) -> tuple[Box, ...]:
    """Where the texts of these groups stand."""
    return tuple(item.box for group in groups for item in group.items if isinstance(item, Text))


def _furniture(
    sight: Sight, box: Box, marks: Sequence[ShownMark], style: Style, heed: Heed
) -> Group:
    """The edge; scale bar and letters of the sides, as far as the picture has a scale and sides."""
    picture = sight.picture
    edge = Rect(box, stroke=Stroke(style.colors.plate, EDGE_PT))
    if picture.grid.space == "pixels":
        alt = phrase("Edge of the picture, which has no scale")
        return Group(f"Edge of {sight.name}", alt, (edge,))
    bar_mm = heed.bar_mm or bar_length_mm(picture)
    bar = scale_bar(bar_mm, (picture, box), [*map(extent_of, marks), *heed.taken], style)
    name = "Scale and sides" if picture.letters else "Scale"
    alt = phrase("Scale bar {length}.", length=bar_in_words(picture, bar_mm))
    alt = f"{alt} {sides_in_words(picture)}".rstrip()
    crowd = Crowd((*heed.taken, extent_of_bar(bar)), tuple(marks))
    items = (edge, *bar, *side_letters(picture, box, style.sizes["data"].pt, style, crowd))
    return Group(f"{name} of {sight.name}", alt, items)


def shown_mark(region: PlacedRegion, picture: ScanPicture, box: Box, cast: Cast) -> ShownMark:
    """The region on `picture` drawn in `box`; ScanError if it cannot be shown there."""
    return ShownMark(
        region.name,
        cast.letters[region.name],
        region.called,
        region.spoken,
        region.mark,
        region.figure.kind,
        page_points(region.figure, picture, box),
        region.note,
        cast.steps.get(region.name, 0),
    )


def sides_in_words(picture: ScanPicture) -> str:
    """Which side of the patient each edge of the picture is, for those who cannot see it; "" for a
    plain picture."""
    if picture.letters is None:
        return ""
    edges = phrase("left edge"), phrase("right edge"), phrase("top"), phrase("bottom")
    letters = [picture.letters[k] for k in (0, 2, 1, 3)]
    named = [f"{edge} {sides(one)}" for edge, one in zip(edges, letters, strict=True) if one]
    words = ", ".join(named)
    if "" in letters:
        words = phrase("{edges}; along its path no side holds throughout", edges=words)
    return f"{words[0].upper()}{words[1:]}."


def side_letters(
    picture: ScanPicture, box: Box, size: float, style: Style, crowd: Crowd = ALONE
) -> tuple[Text, ...]:
    """The letters of the four sides, `size` points high, each in the middle of its edge, or as
    near to it as the crowd leaves it clear."""
    height = line_mm(size) + 0.4
    placed: list[Text] = []
    for letters, edge in zip(
        picture.letters or (), ("left", "top", "right", "bottom"), strict=False
    ):
        if not letters:
            continue
        written = sides(letters)
        width = line_width_mm(written, size, bold=True) * 1.02 + 1.6
        spots = _along(edge, box, (width, height))
        if edge == "bottom":  # above a scale bar that leaves no room beside it
            spots += [s._replace(top_mm=s.top_mm - height - BAR_FOOT_MM) for s in spots]
        placed.append(plate(written, clearest(spots, crowd), size, style))
    return tuple(placed)


def _along(edge: str, box: Box, size_mm: tuple[float, float]) -> list[Box]:
    """Places for a plate along an edge of `box`, from its middle to both sides."""
    width, height = size_mm
    cx, cy = box.center_mm
    left = {"left": box.left_mm + EDGE_MM, "right": box.right_mm - EDGE_MM - width}
    top = {"top": box.top_mm + EDGE_MM, "bottom": box.bottom_mm - EDGE_MM - height}
    spots = []
    for shift in SIDE_SHIFTS:
        across = cx - width / 2 + shift * box.width_mm
        down = cy - height / 2 + shift * box.height_mm
        spots.append(Box(left.get(edge, across), top.get(edge, down), width, height))
    return spots
