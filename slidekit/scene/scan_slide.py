"""One to four scan pictures side by side, each with its marks, data line, caption and key.

The pictures come first: they take the room, the words share what is left.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from slidekit.errors import FitError
from slidekit.scene.frame import GAP_MM, line_height_mm
from slidekit.scene.key import compose_key, key_height_mm
from slidekit.scene.model import Box, Item, Paragraph, Run, Text
from slidekit.scene.pictures import Cast, PlacedRegion, Sight, Sights, compose_sight, data_line
from slidekit.scene.style import Style
from slidekit.scene.text import paragraphs_of, text_height_mm
from slidekit.storyboard.model import ShownView

SIDE_COLUMN_MM = 84.0  # least width of the words beside a single picture
LEAST_COLUMN_MM = 62.0  # least width of the words under one of several pictures
LEAST_PICTURE_MM = 55.0  # least height of a picture in a row
WIDE_ASPECT = 1.9  # a single picture wider than this has its words underneath
TEXT_GAP_MM = 3.0
DATA_GAP_MM = 1.2
ROOMY_SHARE = 0.8  # a picture may lose this much height to keep the words at their first size
HEIGHT_STEP_MM = 1.0


@dataclass(frozen=True)
class Exhibit:
    """One shown view with all that stands around it."""

    sight: Sight
    regions: tuple[PlacedRegion, ...]
    caption: tuple[Paragraph, ...]
    data: tuple[Paragraph, ...]

    def has_words(self) -> bool:
        return bool(self.caption or self.regions)


@dataclass(frozen=True)
class Sizes:
    """Type sizes shared by all exhibits of a page, in points."""

    caption_pt: float
    key_pt: float
    data_pt: float


def exhibits_of(shown: Sequence[ShownView], sights: Sights) -> tuple[Exhibit, ...]:
    """The views of a slide or panel with their pictures and regions at hand."""
    return tuple(
        Exhibit(
            sights.views[view.view],
            tuple(sights.regions[name] for name in view.regions),
            paragraphs_of(view.caption) if view.caption else (),
            (Paragraph((Run(data_line(sights.views[view.view])),)),),
        )
        for view in shown
    )


def compose_exhibits(
    exhibits: Sequence[Exhibit], room: Box, cast: Cast, style: Style
) -> tuple[Item, ...]:
    """Pictures and words in `room`; FitError if the words do not fit, ScanError (naming the
    region) if a region cannot be shown."""
    if len(exhibits) == 1 and exhibits[0].sight.aspect < WIDE_ASPECT:
        return _beside(exhibits[0], room, cast, style)
    return _in_a_row(exhibits, room, cast, style)


def _beside(exhibit: Exhibit, room: Box, cast: Cast, style: Style) -> tuple[Item, ...]:
    """Picture at the left as large as the room allows, words in a column at its right."""
    aspect = exhibit.sight.aspect
    for sizes in _size_ladder(style):
        data_mm = line_height_mm(sizes.data_pt) + DATA_GAP_MM
        column = SIDE_COLUMN_MM + GAP_MM if exhibit.has_words() else 0.0
        height = min(room.height_mm - data_mm, (room.width_mm - column) / aspect)
        left = room.left_mm if column else room.center_mm[0] - height * aspect / 2
        picture = Box(left, room.top_mm, height * aspect, height)
        words_left = picture.right_mm + GAP_MM + 2
        words = Box(words_left, room.top_mm, room.right_mm - words_left, room.height_mm)
        if not column or _words_height_mm(exhibit, cast, words.width_mm, sizes) <= words.height_mm:
            return (
                *_sight_items(exhibit, picture, cast, style),
                *_data_items(exhibit, picture, picture.width_mm, sizes, style),
                *_words_items(exhibit, words, cast, sizes, style),
            )
    least = _size_ladder(style)[-1]
    over = _words_height_mm(exhibit, cast, words.width_mm, least) - words.height_mm
    raise FitError(
        f"caption and key need {over:.0f} mm more height "
        f"at {least.caption_pt:g} pt, the least size",
        "Shorten the caption or the names of the regions",
    )


def _in_a_row(exhibits: Sequence[Exhibit], room: Box, cast: Cast, style: Style) -> tuple[Item, ...]:
    """Pictures of one height, words under each in its own column."""
    ladder = _size_ladder(style)
    fits = [(sizes, _row_height(exhibits, room, cast, sizes)) for sizes in ladder]
    best = max(height for _, height in fits)
    if best < LEAST_PICTURE_MM:
        raise FitError(
            f"captions and keys leave {best:.0f} mm of height for the pictures, "
            f"which need at least {LEAST_PICTURE_MM:.0f} mm",
            "Shorten the captions, show fewer regions, or split the slide in two",
        )
    sizes, height = next((s, h) for s, h in fits if h >= ROOMY_SHARE * best)
    widths = _columns(exhibits, height)
    slack = room.width_mm - sum(widths) - GAP_MM * (len(widths) - 1)
    left = room.left_mm + slack / 2
    items: list[Item] = []
    for exhibit, width in zip(exhibits, widths, strict=True):
        picture_width = height * exhibit.sight.aspect
        picture = Box(left, room.top_mm, picture_width, height)
        data = _data_items(exhibit, picture, width, sizes, style)
        top = data[-1].box.bottom_mm + TEXT_GAP_MM - DATA_GAP_MM
        words = Box(left, top, width, room.bottom_mm - top)
        items += _sight_items(exhibit, picture, cast, style)
        items += data
        items += _words_items(exhibit, words, cast, sizes, style)
        left += width + GAP_MM
    return tuple(items)


def _size_ladder(style: Style) -> list[Sizes]:
    """Caption and key sizes to try, from the style's first to its least, point by point."""
    caption, key, data = (style.sizes[role] for role in ("caption", "key", "data"))
    steps = int(max(caption.pt - caption.least_pt, key.pt - key.least_pt))
    return [
        Sizes(max(caption.pt - step, caption.least_pt), max(key.pt - step, key.least_pt), data.pt)
        for step in range(steps + 1)
    ]


def _columns(exhibits: Sequence[Exhibit], height_mm: float) -> list[float]:
    least = LEAST_COLUMN_MM if any(exhibit.has_words() for exhibit in exhibits) else 0.0
    return [max(exhibit.sight.aspect * height_mm, least) for exhibit in exhibits]


def _row_height(exhibits: Sequence[Exhibit], room: Box, cast: Cast, sizes: Sizes) -> float:
    """The greatest picture height at which columns and words still fit the room; 0 for none."""
    height = room.height_mm
    while height > 0:
        widths = _columns(exhibits, height)
        across = sum(widths) + GAP_MM * (len(widths) - 1)
        down = max(
            _data_height_mm(exhibit, width, sizes) + _under_height_mm(exhibit, cast, width, sizes)
            for exhibit, width in zip(exhibits, widths, strict=True)
        )
        if across <= room.width_mm and height + down <= room.height_mm:
            return height
        height -= HEIGHT_STEP_MM
    return 0.0


def _under_height_mm(exhibit: Exhibit, cast: Cast, width_mm: float, sizes: Sizes) -> float:
    if not exhibit.has_words():
        return 0.0
    return TEXT_GAP_MM + _words_height_mm(exhibit, cast, width_mm, sizes)


def _data_height_mm(exhibit: Exhibit, width_mm: float, sizes: Sizes) -> float:
    return DATA_GAP_MM + text_height_mm(exhibit.data, width_mm, sizes.data_pt)


def _words_height_mm(exhibit: Exhibit, cast: Cast, width_mm: float, sizes: Sizes) -> float:
    caption = text_height_mm(exhibit.caption, width_mm, sizes.caption_pt)
    key = key_height_mm(exhibit.regions, cast, width_mm, sizes.key_pt)
    return caption + key + (TEXT_GAP_MM if caption and key else 0.0)


def _sight_items(exhibit: Exhibit, picture: Box, cast: Cast, style: Style) -> tuple[Item, ...]:
    return compose_sight(exhibit.sight, exhibit.regions, picture, cast, style)


def _data_items(
    exhibit: Exhibit, picture: Box, width_mm: float, sizes: Sizes, style: Style
) -> tuple[Text, ...]:
    height = text_height_mm(exhibit.data, width_mm, sizes.data_pt)
    box = Box(picture.left_mm, picture.bottom_mm + DATA_GAP_MM, width_mm, height)
    return (Text(box, exhibit.data, sizes.data_pt, style.colors.quiet, "data"),)


def _words_items(
    exhibit: Exhibit, words: Box, cast: Cast, sizes: Sizes, style: Style
) -> tuple[Item, ...]:
    items: list[Item] = []
    top = words.top_mm
    if exhibit.caption:
        height = text_height_mm(exhibit.caption, words.width_mm, sizes.caption_pt)
        box = words._replace(top_mm=top, height_mm=height)
        items.append(Text(box, exhibit.caption, sizes.caption_pt, style.colors.ink, "caption"))
        top = box.bottom_mm + TEXT_GAP_MM
    key = words._replace(top_mm=top, height_mm=words.bottom_mm - top)
    items += compose_key(exhibit.regions, cast, key, sizes.key_pt, style)
    return tuple(items)
