"""One to four scan pictures side by side, each with its marks, data line, caption and key.

The pictures come first: they take the room, the words share what is left.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil, inf
from typing import TypeAlias

from slidekit.errors import FitError
from slidekit.scene.asides.column import (
    Lettering,
    asides_height_mm,
    compose_asides,
    lettering,
)
from slidekit.scene.exhibits import Exhibit
from slidekit.scene.frame import GAP_MM
from slidekit.scene.model import Box, Item, Text
from slidekit.scene.pictures.key import ROW_GAP_MM, compose_key, key_height_mm
from slidekit.scene.sights.model import Cast, PlacedRegion
from slidekit.scene.style import Style
from slidekit.scene.text import text_height_mm

SIDE_COLUMN_MM = 84.0  # least width of the words beside a single picture
ASIDE_COLUMN_MM = 112.0  # the same, when a table or a plot stands there
LEAST_COLUMN_MM = 62.0  # least width of the words under one of several pictures
LEAST_PICTURE_MM = 55.0  # least height of a picture in a row
LEAST_SIDE_MM = 24.0  # of any picture: room for the letters of its sides and the scale bar
DATA_COLUMN_MM = 40.0  # least width of a data line, however narrow its picture is
WIDE_ASPECT = 1.9  # a single picture wider than this has its words underneath
KEY_COLUMN_MM = 70.0  # of the key beside several pictures, and least width of one below
TEXT_GAP_MM = 3.0
WORDS_GAP_MM = 6.0  # between a caption and the key under it
DATA_GAP_MM = 1.2
ASIDE_SHARE = 0.95  # a picture may shrink to this share of its height to have its key beside it
ROOMY_SHARE = 0.8  # the same, to keep the words at their first size
HEIGHT_STEP_MM = 1.0


@dataclass(frozen=True)
class Sizes:
    """Type sizes shared by all exhibits of a page, in points."""

    caption_pt: float
    key_pt: float
    data_pt: float

    @property
    def lettering(self) -> Lettering:
        """Of keys, tables and plots."""
        return lettering(self.key_pt, self.data_pt)


def compose_exhibits(
    exhibits: Sequence[Exhibit], room: Box, cast: Cast, style: Style
) -> tuple[Item, ...]:
    """Pictures and words in `room`; FitError if the words do not fit, ScanError (naming the
    region) if a region cannot be shown."""
    if len(exhibits) == 1 and exhibits[0].aspect < WIDE_ASPECT:
        return _beside(exhibits[0], room, cast, style)
    return _in_a_row(exhibits, room, cast, style)


def _beside(exhibit: Exhibit, room: Box, cast: Cast, style: Style) -> tuple[Item, ...]:
    """Picture at the left as large as the room allows, words in a column at its right."""
    for sizes in _size_ladder(style, style.sizes["body"].pt):
        picture = _single_picture(exhibit, room, sizes)
        column = max(picture.width_mm, DATA_COLUMN_MM)
        words_left = picture.left_mm + column + GAP_MM + 2
        words = Box(words_left, room.top_mm, room.right_mm - words_left, room.height_mm)
        if not exhibit.has_words():
            over = 0.0
        else:
            over = _words_height_mm(exhibit, cast, words.width_mm, sizes) - words.height_mm
        if over <= 0:
            _check_sides(exhibit, picture)
            return (
                *exhibit.pictures(picture, cast, style),
                *_data_items(exhibit, picture, column, sizes, style),
                *_words_items(exhibit, words, cast, sizes, style),
            )
    raise _words_misfit(exhibit, over, sizes)


def _words_misfit(exhibit: Exhibit, over_mm: float, sizes: Sizes) -> FitError:
    """By how much the words beside a picture are too tall."""
    if over_mm == inf:
        return FitError(
            "a table or plot is wider than the column beside the picture",
            "Show fewer columns of numbers, or a view that is narrower",
        )
    what, more = "caption and key", ""
    if exhibit.asides:
        what, more = "caption, key and values", ", or show fewer values"
    return FitError(
        f"{what} need {over_mm:.0f} mm more height at {sizes.caption_pt:g} pt, the least size",
        f"Shorten the caption or the names of the regions{more}",
    )


def _single_picture(exhibit: Exhibit, room: Box, sizes: Sizes) -> Box:
    """As large as the room allows beside a column for words, with its data line underneath."""
    least = ASIDE_COLUMN_MM if exhibit.asides else SIDE_COLUMN_MM
    column = least + GAP_MM if exhibit.has_words() else 0.0
    aspect = exhibit.aspect
    height = min(room.height_mm, (room.width_mm - column) / aspect)
    while _column_height_mm(exhibit, height, sizes) > room.height_mm:
        height -= HEIGHT_STEP_MM  # a narrower picture may need more lines: step by step
    return Box(room.left_mm, room.top_mm, height * aspect, height)


def _column_height_mm(exhibit: Exhibit, height_mm: float, sizes: Sizes) -> float:
    """Of a picture and its data line."""
    width = max(height_mm * exhibit.aspect, DATA_COLUMN_MM)
    return height_mm + _data_height_mm([exhibit], [width], sizes)


def _check_sides(exhibit: Exhibit, picture: Box) -> None:
    """FitError for a picture so narrow or low that what stands on it would hide it."""
    width, height = picture.width_mm, picture.height_mm * exhibit.share
    if min(width, height) < LEAST_SIDE_MM:
        raise FitError(
            f"the picture of view `{exhibit.sight.name}` would be {width:.0f} mm wide and "
            f"{height:.0f} mm high, and needs {LEAST_SIDE_MM:.0f} mm of both",
            "Crop it with `crop_mm`, or show it with fewer others"
            + (", or without `same_scale`" if exhibit.share < 1 else ""),
        )


def _in_a_row(exhibits: Sequence[Exhibit], room: Box, cast: Cast, style: Style) -> tuple[Item, ...]:
    """Pictures of one height, each with its caption under it, and one key for all of them."""
    row = _roomy_row(exhibits, room, cast, style)
    items: list[Item] = []
    widths = _columns(exhibits, row.height_mm)
    captions_top = room.top_mm + row.height_mm + TEXT_GAP_MM
    captions_top += _data_height_mm(exhibits, widths, row.sizes)
    left = row.pictures.left_mm
    for exhibit, width in zip(exhibits, widths, strict=True):
        picture = Box(left, room.top_mm, row.height_mm * exhibit.aspect, row.height_mm)
        _check_sides(exhibit, picture)
        place = Box(left, captions_top, width, 0.0)
        items += exhibit.pictures(picture, cast, style)
        items += _data_items(exhibit, picture, width, row.sizes, style)
        items += _under_items(exhibit, place, cast, row.sizes, style)
        left += width + GAP_MM
    captions_bottom = captions_top + max(
        _under_height_mm(exhibit, cast, width, row.sizes)
        for exhibit, width in zip(exhibits, widths, strict=True)
    )
    for place, regions in _drawn_close(row, left + GAP_MM / 2, captions_bottom + WORDS_GAP_MM):
        items += compose_key(regions, cast, place, row.sizes.key_pt, style)
    return tuple(items)


@dataclass(frozen=True)
class _Row:
    """Pictures of `height_mm` at the left and top of `pictures`, and where the key stands."""

    sizes: Sizes
    height_mm: float
    pictures: Box
    key: tuple[tuple[Box, tuple[PlacedRegion, ...]], ...]


def _roomy_row(exhibits: Sequence[Exhibit], room: Box, cast: Cast, style: Style) -> "_Row":
    """The row with the largest type whose pictures are nearly as tall as in any; FitError if the
    words leave the pictures too little height."""
    ladder = _size_ladder(style, style.sizes["caption"].pt)
    found = [_best_arrangement(exhibits, room, cast, sizes) for sizes in ladder]
    best = max(row.height_mm for row in found)
    bare = [replace(exhibit, caption=(), asides=()) for exhibit in exhibits]
    least = min(LEAST_PICTURE_MM, _row_height(bare, room, cast, ladder[-1]) * ROOMY_SHARE)
    if best < least:
        words = "captions and keys"
        if any(exhibit.asides for exhibit in exhibits):
            words = "captions, keys and values"
        raise FitError(
            f"{words} leave {best:.0f} mm of height for the pictures, "
            f"which need at least {least:.0f} mm",
            "Shorten the captions, show fewer regions, or split the slide in two",
        )
    return next(row for row in found if row.height_mm >= ROOMY_SHARE * best)


def _drawn_close(row: "_Row", left_mm: float, top_mm: float) -> Iterator["_KeyPlace"]:
    """The boxes of the key, drawn to the pictures at their left or the captions above them."""
    lift = max(min((box.top_mm for box, _ in row.key), default=0.0) - top_mm, 0.0)
    for box, regions in row.key:
        if box.left_mm > row.pictures.right_mm:
            yield box._replace(left_mm=left_mm, width_mm=box.right_mm - left_mm), regions
        else:
            yield box._replace(top_mm=box.top_mm - lift), regions


def _best_arrangement(exhibits: Sequence[Exhibit], room: Box, cast: Cast, sizes: Sizes) -> _Row:
    """The key in a column at the right, or in rows along the foot if that makes the pictures
    clearly taller. The height is 0 if neither fits."""
    explained = {n for exhibit in exhibits for aside in exhibit.asides for n in aside.names}
    keyed = {r.name: r for exhibit in exhibits for r in exhibit.regions}
    regions = tuple(r for name, r in keyed.items() if name not in explained)
    aside, below = (
        _Row(sizes, _row_height(exhibits, pictures, cast, sizes), pictures, key)
        for pictures, key in (
            _key_aside(regions, room, cast, sizes),
            _key_below(regions, room, cast, sizes),
        )
    )
    return aside if aside.height_mm >= ASIDE_SHARE * below.height_mm else below


_KeyPlace: TypeAlias = tuple[Box, tuple[PlacedRegion, ...]]
_Split: TypeAlias = tuple[Box, tuple[_KeyPlace, ...]]


def _key_aside(regions: tuple[PlacedRegion, ...], room: Box, cast: Cast, sizes: Sizes) -> _Split:
    if not regions:
        return room, ()
    column = room._replace(left_mm=room.right_mm - KEY_COLUMN_MM, width_mm=KEY_COLUMN_MM)
    if key_height_mm(regions, cast, KEY_COLUMN_MM, sizes.key_pt) > room.height_mm:
        return room._replace(height_mm=0.0), ()
    return room._replace(width_mm=room.width_mm - KEY_COLUMN_MM - GAP_MM), ((column, regions),)


def _key_below(regions: tuple[PlacedRegion, ...], room: Box, cast: Cast, sizes: Sizes) -> _Split:
    if not regions:
        return room, ()
    most = int((room.width_mm + GAP_MM) // (KEY_COLUMN_MM + GAP_MM))
    count = ceil(len(regions) / ceil(len(regions) / most))  # rows of much the same length
    width = (room.width_mm + GAP_MM) / count - GAP_MM
    rows = [regions[i : i + count] for i in range(0, len(regions), count)]
    heights = [
        max(key_height_mm((region,), cast, width, sizes.key_pt) for region in row) for row in rows
    ]
    total = sum(heights) + ROW_GAP_MM * (len(rows) - 1)
    cells: list[tuple[Box, tuple[PlacedRegion, ...]]] = []
    top = room.bottom_mm - total
    for row, height in zip(rows, heights, strict=True):
        for i, region in enumerate(row):
            cells.append((Box(room.left_mm + i * (width + GAP_MM), top, width, height), (region,)))
        top += height + ROW_GAP_MM
    return room._replace(height_mm=room.height_mm - total - TEXT_GAP_MM), tuple(cells)


def _size_ladder(style: Style, first_pt: float) -> list[Sizes]:
    """Caption and key sizes to try, from `first_pt` to the style's least, point by point."""
    caption, key = style.sizes["caption"], style.sizes["key"]
    data_pt = style.sizes["data"].pt
    least = min(caption.least_pt, key.least_pt)
    return [
        Sizes(max(first_pt - step, caption.least_pt), max(first_pt - step, key.least_pt), data_pt)
        for step in range(int(first_pt - least) + 1)
    ]


def _columns(exhibits: Sequence[Exhibit], height_mm: float) -> list[float]:
    """Width of each exhibit: its picture's, or what its data line and its caption need."""
    return [max(exhibit.aspect * height_mm, _least_column_mm(exhibit)) for exhibit in exhibits]


def _least_column_mm(exhibit: Exhibit) -> float:
    if exhibit.asides:
        return SIDE_COLUMN_MM
    return LEAST_COLUMN_MM if exhibit.caption else DATA_COLUMN_MM


def _row_height(exhibits: Sequence[Exhibit], room: Box, cast: Cast, sizes: Sizes) -> float:
    """The greatest picture height at which pictures and captions still fit the room; 0 for none."""
    gaps = GAP_MM * (len(exhibits) - 1)
    widest = (room.width_mm - gaps) / sum(exhibit.aspect for exhibit in exhibits)
    height = min(room.height_mm, widest)
    while height > 0:
        widths = _columns(exhibits, height)
        across = sum(widths) + gaps
        down = _data_height_mm(exhibits, widths, sizes) + max(
            _under_height_mm(exhibit, cast, width, sizes)
            for exhibit, width in zip(exhibits, widths, strict=True)
        )
        if across <= room.width_mm and height + down <= room.height_mm:
            return height
        height -= HEIGHT_STEP_MM
    return 0.0


def _under_height_mm(exhibit: Exhibit, cast: Cast, width_mm: float, sizes: Sizes) -> float:
    """Of caption, table and plot under a picture, with the gap above each."""
    caption = text_height_mm(exhibit.caption, width_mm, sizes.caption_pt)
    asides = asides_height_mm(exhibit.asides, cast, width_mm, sizes.lettering, WORDS_GAP_MM)
    gaps = [TEXT_GAP_MM for height in (caption, asides) if height]
    return caption + asides + sum(gaps)


def _data_height_mm(exhibits: Sequence[Exhibit], widths_mm: Sequence[float], sizes: Sizes) -> float:
    """Of the tallest data line, so that all captions start on one line."""
    return DATA_GAP_MM + max(
        text_height_mm(exhibit.data, width, sizes.data_pt)
        for exhibit, width in zip(exhibits, widths_mm, strict=True)
    )


def _words_height_mm(exhibit: Exhibit, cast: Cast, width_mm: float, sizes: Sizes) -> float:
    caption = text_height_mm(exhibit.caption, width_mm, sizes.caption_pt)
    rest = asides_height_mm(exhibit.explained, cast, width_mm, sizes.lettering, WORDS_GAP_MM)
    return caption + rest + (WORDS_GAP_MM if caption and rest else 0.0)


def _data_items(
    exhibit: Exhibit, picture: Box, width_mm: float, sizes: Sizes, style: Style
) -> tuple[Text, ...]:
    height = text_height_mm(exhibit.data, width_mm, sizes.data_pt)
    box = Box(picture.left_mm, picture.bottom_mm + DATA_GAP_MM, width_mm, height)
    return (Text(box, exhibit.data, sizes.data_pt, style.colors.quiet, "data"),)


def _caption_items(exhibit: Exhibit, place: Box, sizes: Sizes, style: Style) -> tuple[Text, ...]:
    """The caption from the top of `place` down, in its width."""
    if not exhibit.caption:
        return ()
    height = text_height_mm(exhibit.caption, place.width_mm, sizes.caption_pt)
    box = place._replace(height_mm=height)
    return (Text(box, exhibit.caption, sizes.caption_pt, style.colors.ink, "caption"),)


def _words_items(
    exhibit: Exhibit, words: Box, cast: Cast, sizes: Sizes, style: Style
) -> tuple[Item, ...]:
    captions = _caption_items(exhibit, words, sizes, style)
    top = captions[-1].box.bottom_mm + WORDS_GAP_MM if captions else words.top_mm
    rest = words._replace(top_mm=top, height_mm=words.bottom_mm - top)
    look = (sizes.lettering, WORDS_GAP_MM, style)
    return (*captions, *compose_asides(exhibit.explained, cast, rest, look))


def _under_items(
    exhibit: Exhibit, place: Box, cast: Cast, sizes: Sizes, style: Style
) -> tuple[Item, ...]:
    """Caption, table and plot from the top of `place` down, in its width."""
    captions = _caption_items(exhibit, place, sizes, style)
    top = captions[-1].box.bottom_mm + TEXT_GAP_MM if captions else place.top_mm
    look = (sizes.lettering, WORDS_GAP_MM, style)
    asides = compose_asides(exhibit.asides, cast, place._replace(top_mm=top), look)
    return (*captions, *asides)
