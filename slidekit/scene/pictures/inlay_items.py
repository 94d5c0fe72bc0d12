"""A picture with its small ones, drawn: the line where it cuts another plane, the frame around
the part that is shown larger, and what ties the two together.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from slidekit.errors import ScanError
from slidekit.scans.geometry import (
    AXES,
    Array,
    crossing,
    lps_from_pixel,
    normal,
    pixel_from_lps,
    to_vector,
)
from slidekit.scans.model import ScanPicture
from slidekit.scene.color import contrast_ratio, mix
from slidekit.scene.model import (
    Box,
    Group,
    Item,
    Picture,
    Point,
    Polyline,
    Rect,
    Shape,
    Stroke,
    Text,
)
from slidekit.scene.palette import MARK_ON_HALO_CONTRAST
from slidekit.scene.pictures.compose import (
    Heed,
    compose_sight,
    data_line,
    shown_mark,
    side_letters,
    sides_in_words,
)
from slidekit.scene.pictures.halves import seam_lines
from slidekit.scene.pictures.inlays import Ensemble, Inlay, regions_within
from slidekit.scene.pictures.marks import compose_marks
from slidekit.scene.pictures.scale_bar import EDGE_MM, bar_length_mm, plate, scale_bar
from slidekit.scene.sights.model import Cast, Sight
from slidekit.scene.style import Style
from slidekit.scene.text import line_width_mm
from slidekit.scene.type_units import MM_PER_PT, line_mm
from slidekit.wording import figures, phrase

LIGHTER_STEPS = 20
FRAME_PT, FRAME_HALO_PT = 1.75, 4.0
WAY_PT, WAY_HALO_PT = 1.0, 2.5


def compose_ensemble(
    ensemble: Ensemble, box: Box, cast: Cast, style: Style, bar_mm: float | None = None
) -> tuple[Item, ...]:
    """All pictures in `box`, with everything that is drawn on them.

    ScanError if a region cannot be shown on the picture.
    """
    picture = ensemble.picture_in(box)
    taken: list[Box] = []
    if ensemble.locator is not None:
        taken.append(_on_page(ensemble.locator, box))
    if ensemble.inset is not None:
        taken += _edges(_frame_box(ensemble.sight, ensemble.inset.sight, picture))
    heed = Heed(tuple(taken), bar_mm)
    first, furniture, *marks = compose_sight(
        ensemble.sight, ensemble.regions, picture, cast, style, heed
    )
    if ensemble.movie is not None and isinstance(first, Picture):
        alt = f"{first.alt} {phrase('The picture moves by itself.')}"
        first = replace(first, moving=ensemble.movie.gif, alt=alt)
    items: list[Item] = [first]
    late: list[Item] = []
    if ensemble.inset is not None:
        drawn, marks_on_it = _inset_items(ensemble, ensemble.inset, box, cast, style)
        items += drawn
        late += marks_on_it
    if ensemble.locator is not None:
        items += _locator_items(ensemble, ensemble.locator, box, style)
    return (*items, furniture, *marks, *late)


def _on_page(inlay: Inlay, box: Box) -> Box:
    left, top, width, height = (length * box.height_mm for length in inlay.box)
    return Box(box.left_mm + left, box.top_mm + top, width, height)


def _two_strokes(style: Style) -> tuple[Stroke, Stroke]:
    """Halo and line: the accent, lightened until it stands out from any grey, as marks do."""
    halo, white = style.colors.halo, "#FFFFFF"
    lighter = (
        mix(style.colors.accent, white, step / LIGHTER_STEPS) for step in range(LIGHTER_STEPS)
    )
    clear = (color for color in lighter if contrast_ratio(color, halo) >= MARK_ON_HALO_CONTRAST)
    return Stroke(halo, FRAME_HALO_PT), Stroke(next(clear, white), FRAME_PT)


def _locator_items(ensemble: Ensemble, locator: Inlay, box: Box, style: Style) -> list[Item]:
    """The picture, the cut as a line with a halo, and small letters of the sides. Thin lines are
    the ends of the way of a picture that moves."""
    place, sight = _on_page(locator, box), ensemble.sight
    picture = locator.sight.picture
    line = _cut_line(sight, locator.sight, place)
    ends = _way_ends(ensemble, locator.sight, place)
    letters = _clear_letters(picture, place, (line, *ends), style)
    shapes: list[Shape | Text] = [Rect(place, stroke=Stroke(style.colors.quiet, 1.0))]
    halo, bright = _two_strokes(style)
    shapes += [Polyline(end, stroke=Stroke(halo.color, WAY_HALO_PT)) for end in ends]
    shapes += [Polyline(end, stroke=Stroke(bright.color, WAY_PT, "dash")) for end in ends]
    shapes += [Polyline(line, stroke=stroke) for stroke in (halo, bright)]
    name = f"Where {sight.name} cuts {locator.sight.name}"
    alt = phrase(
        "A line on the small picture shows where the cut of {view} lies. {sides}",
        view=sight.name,
        sides=sides_in_words(picture),
    )
    if ends:
        alt += " " + phrase("Thin lines show how far it moves.")
    small = phrase(
        "Small picture: {data}. {sides}",
        data=data_line(locator.sight),
        sides=sides_in_words(picture),
    )
    return [
        Picture(place, picture.pixels, small, locator.sight.name),
        Group(name, alt, (*shapes, *letters)),
    ]


def _way_ends(ensemble: Ensemble, locator: Sight, place: Box) -> list[tuple[Point, ...]]:
    """Where the way of a picture that moves begins and ends, on the page; nothing where that lies
    outside the small picture."""
    picture, into = ensemble.sight.picture, normal(ensemble.sight.picture.grid)
    along = np.eye(3)[AXES[picture.plane]] if picture.plane in AXES else into
    own = 0.0 if picture.middle_lps is not None else picture.at_mm
    found = []
    for end in ensemble.way_mm:
        origin = np.add(picture.grid.origin_lps, (end - own) * along)
        moved = replace(picture.grid, origin_lps=to_vector(origin))
        if end != own and (ends := crossing(moved, locator.picture.grid)) is not None:
            found.append(_on_small(ends, locator, place))
    return found


def _cut_line(sight: Sight, locator: Sight, place: Box) -> tuple[Point, ...]:
    """The ends of the cut on the page."""
    ends = crossing(sight.picture.grid, locator.picture.grid)
    if ends is None:
        raise ScanError(
            f"the cut of `{sight.name}` does not pass through `{locator.name}`",
            "Name another view as `locator`, or crop it less",
        )
    return _on_small(ends, locator, place)


def _on_small(ends: Array, locator: Sight, place: Box) -> tuple[Point, ...]:
    """Places of a small picture on the page."""
    scale = place.width_mm / locator.picture.grid.columns
    return tuple(
        (place.left_mm + (x + 0.5) * scale, place.top_mm + (y + 0.5) * scale)
        for x, y in ends.tolist()
    )


def _clear_letters(
    picture: ScanPicture, place: Box, lines: Sequence[tuple[Point, ...]], style: Style
) -> list[Text]:
    """Two letters, at the left and the top: in the middle of their edge, else along it, else
    farther in, where no line is near."""
    left, top, *_ = side_letters(picture, place, style.sizes["data"].least_pt, style)
    along_left, along_top = -0.25 * place.height_mm, -0.25 * place.width_mm
    into_left, into_top = 1.6 * left.box.width_mm, 1.6 * top.box.height_mm
    return [
        _moved(left, lines, ((0.0, 0.0), (0.0, along_left), (into_left, 0.0))),
        _moved(top, lines, ((0.0, 0.0), (along_top, 0.0), (0.0, into_top))),
    ]


def _moved(letter: Text, lines: Sequence[tuple[Point, ...]], steps_mm: Sequence[Point]) -> Text:
    """The letter after the first of the steps that leaves it clear of all lines, else as it is."""
    for dx, dy in steps_mm:
        left, top = letter.box.left_mm + dx, letter.box.top_mm + dy
        box = letter.box._replace(left_mm=left, top_mm=top)
        if not any(_is_near(box, line) for line in lines):
            return replace(letter, box=box)
    return letter


def _is_near(box: Box, line: tuple[Point, ...]) -> bool:
    (x0, y0), (x1, y1) = line
    roomy = box.inset(-1.0, -1.0)
    shares = np.linspace(0, 1, 51)
    x, y = x0 + (x1 - x0) * shares, y0 + (y1 - y0) * shares
    across = (roomy.left_mm <= x) & (x <= roomy.right_mm)
    return bool((across & (roomy.top_mm <= y) & (y <= roomy.bottom_mm)).any())


def _frame_box(sight: Sight, part: Sight, picture: Box) -> Box:
    """The outer edge of the part on the picture, in page millimetres."""
    grid, inner = sight.picture.grid, part.picture.grid
    corners = lps_from_pixel(inner, [(-0.5, -0.5), (inner.columns - 0.5, inner.rows - 0.5)])
    (left, top), (right, bottom) = (pixel_from_lps(grid, corners)[0] + 0.5).tolist()
    scale = picture.width_mm / grid.columns
    return Box(
        picture.left_mm + left * scale,
        picture.top_mm + top * scale,
        (right - left) * scale,
        (bottom - top) * scale,
    )


def _edges(frame: Box) -> list[Box]:
    """The four sides of a frame as thin boxes: letters may stand inside it, not on its line."""
    thick = FRAME_HALO_PT * MM_PER_PT
    return [
        Box(frame.left_mm, side - thick / 2, frame.width_mm, thick)
        for side in (frame.top_mm, frame.bottom_mm)
    ] + [
        Box(side - thick / 2, frame.top_mm, thick, frame.height_mm)
        for side in (frame.left_mm, frame.right_mm)
    ]


def _inset_items(
    ensemble: Ensemble, inset: Inlay, box: Box, cast: Cast, style: Style
) -> tuple[list[Item], list[Item]]:
    """Picture and frames; then the marks on it, which come last in reading order."""
    place, sight = _on_page(inset, box), inset.sight
    frame = _frame_box(ensemble.sight, sight, ensemble.picture_in(box))
    ties = [
        ((frame.right_mm, frame.top_mm), (place.left_mm, place.top_mm)),
        ((frame.right_mm, frame.bottom_mm), (place.left_mm, place.bottom_mm)),
    ]
    halo, bright = _two_strokes(style)
    shapes: list[Shape | Text] = [Polyline(tie, stroke=halo) for tie in ties]
    shapes.append(Rect(frame, stroke=halo))
    shapes += [Polyline(tie, stroke=Stroke(bright.color, 1.0)) for tie in ties]
    shapes += [Rect(frame, stroke=bright), Rect(place, stroke=bright)]
    if sight.picture.seam_column is not None:
        shapes += seam_lines(sight.picture.seam_column / sight.picture.grid.columns, place, style)
    within = regions_within(ensemble.regions, sight)
    marks = [shown_mark(region, sight.picture, place, cast) for region in within]
    times = _times_plate(ensemble.times, place, style)
    larger = figures(f"{ensemble.times:g}")
    alt = phrase("The framed part of the picture is shown {times} times larger", times=larger)
    bar: tuple[Shape | Text, ...] = ()
    if sight.picture.grid.space != "pixels":
        bar_mm = bar_length_mm(sight.picture)
        bar = scale_bar(bar_mm, (sight.picture, place), [], style)
        length = figures(f"{bar_mm:g}")
        alt = phrase("{shown}, with a scale bar of {mm} mm", shown=alt, mm=length)
    group = Group(
        f"Part of {ensemble.sight.name} {larger} times larger", alt, (*shapes, times, *bar)
    )
    taken = [item.box for item in (times, *bar) if isinstance(item, Text)]
    part = phrase("Part of the picture, {times} times larger", times=larger)
    picture = Picture(place, sight.picture.pixels, part, sight.name)
    return [picture, group], [*compose_marks(marks, place, taken, style)]


def _times_plate(times: float, place: Box, style: Style) -> Text:
    size = style.sizes["data"].pt
    text = figures(f"×{times:g}")
    width = line_width_mm(text, size, bold=True) * 1.02 + 1.6
    height = line_mm(size) + 0.4
    at = Box(place.left_mm + EDGE_MM, place.top_mm + EDGE_MM, width, height)
    return plate(text, at, size, style)
