"""The pictures of a panel in rows, each with its data line, caption and key, as large as may be.

Pictures of a row have one height and fill the width between the margins; a picture alone in its
row may have its words beside it. Of all ways to break the pictures into rows the one is taken
that shows them largest.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, pairwise
from math import inf, sqrt
from typing import Literal, TypeAlias

from slidekit.scene.asides.column import (
    Lettering,
    asides_height_mm,
    compose_asides,
    lettering,
    with_key,
)
from slidekit.scene.enlarge import enlarged, enlarged_box
from slidekit.scene.exhibits import Exhibit
from slidekit.scene.fonts import cap_height_em, first_baseline_em
from slidekit.scene.model import Box, Item, Text
from slidekit.scene.panel.type_sizes import PanelType
from slidekit.scene.pictures.key import SAMPLE_GAP_MM, SAMPLE_MM
from slidekit.scene.sights.model import Cast, PlacedRegion
from slidekit.scene.style import Size, Style
from slidekit.scene.text import drawn_height_mm, paragraphs_of, words_whole
from slidekit.scene.type_units import em_mm

WORDS_EM = 11.0  # least width of a column of words, in caption sizes: about 22 letters
LONGEST_LINE_EM = 28.0  # of a caption: about 56 letters
SHARE_STEPS = 10  # halvings in the search for the largest pictures: to a thousandth

Words: TypeAlias = Literal["under", "beside"]


@dataclass(frozen=True)
class Setting:
    """What all exhibits of a panel share."""

    style: Style
    type: PanelType
    cast: Cast

    @cached_property
    def factor(self) -> float:
        """Marks and keys are drawn as on a slide and enlarged by this, line widths and all."""
        return self.type.label_pt / self.style.sizes["label"].pt

    @cached_property
    def slide_style(self) -> Style:
        """The style that, enlarged by `factor`, has the panel's sizes."""
        data_pt = self.type.data_pt / self.factor
        sizes = {**self.style.sizes, "data": Size(pt=data_pt, least_pt=data_pt)}
        return self.style.model_copy(update={"sizes": sizes})

    @property
    def lettering(self) -> Lettering:
        """Of keys, tables and plots, before they are enlarged."""
        return lettering(self.type.key_pt / self.factor, self.type.data_pt / self.factor)

    @property
    def column_gap_mm(self) -> float:
        return 1.5 * em_mm(self.type.body_pt)

    @property
    def row_gap_mm(self) -> float:
        return 1.4 * em_mm(self.type.body_pt)

    @property
    def text_gap_mm(self) -> float:
        """Between a picture, its data line, its caption and its key."""
        return 0.55 * em_mm(self.type.caption_pt)


@dataclass(frozen=True)
class Hung:
    """An exhibit in its place. `regions` are those that its key explains: a region shown on two
    pictures is explained at the first."""

    exhibit: Exhibit
    regions: tuple[PlacedRegion, ...]
    picture: Box
    data: Box
    words: Box

    @property
    def bottom_mm(self) -> float:
        return max(self.data.bottom_mm, self.words.bottom_mm)

    def items(self, setting: Setting) -> Iterator[Item]:
        exhibit, factor = self.exhibit, setting.factor
        on_slide = enlarged_box(self.picture, 1 / factor)
        drawn = exhibit.pictures(on_slide, setting.cast, setting.slide_style)
        yield from (enlarged(item, factor) for item in drawn)
        colors, sizes = setting.style.colors, setting.type
        yield Text(self.data, exhibit.data, sizes.data_pt, colors.quiet, "data")
        top_mm = self.words.top_mm
        if exhibit.caption:
            height_mm = drawn_height_mm(exhibit.caption, self.words.width_mm, sizes.caption_pt)
            box = self.words._replace(height_mm=height_mm)
            yield Text(box, exhibit.caption, sizes.caption_pt, colors.ink, "caption")
            top_mm = box.bottom_mm + setting.text_gap_mm
        box = self.words._replace(top_mm=top_mm, height_mm=self.words.bottom_mm - top_mm)
        look = (setting.lettering, setting.text_gap_mm / factor, setting.slide_style)
        explained = with_key(exhibit.asides, self.regions)
        for group in compose_asides(explained, setting.cast, enlarged_box(box, 1 / factor), look):
            yield enlarged(group, factor)


@dataclass(frozen=True)
class Gallery:
    """All exhibits in their places."""

    hung: tuple[Hung, ...]

    @property
    def bottom_mm(self) -> float:
        return max(hung.bottom_mm for hung in self.hung)

    @property
    def last_row(self) -> tuple[Hung, ...]:
        lowest_mm = max(hung.picture.top_mm for hung in self.hung)
        return tuple(hung for hung in self.hung if hung.picture.top_mm == lowest_mm)

    @property
    def areas_mm2(self) -> tuple[float, ...]:
        return tuple(hung.picture.width_mm * hung.picture.height_mm for hung in self.hung)

    @property
    def smallest_mm(self) -> float:
        """Side of the square that has the area of the smallest picture."""
        return sqrt(min(self.areas_mm2))

    @property
    def presence_mm2(self) -> float:
        """How much the pictures are to the eye: their area, the smallest counting for all as much
        as they do together, since four of one size tell more than a large and three tiny ones."""
        return (sum(self.areas_mm2) + len(self.hung) * min(self.areas_mm2)) / 2


def arrange_gallery(
    exhibits: Sequence[Exhibit], room: Box, setting: Setting, least_mm: float
) -> Gallery | None:
    """The exhibits in `room`, as large as they go; None if the words leave less than a square of
    `least_mm` for some picture."""
    fitting = (
        gallery
        for hanging in _hangings(exhibits, setting)
        if (gallery := hanging.largest_in(room, least_mm)) is not None
    )
    return max(fitting, key=lambda gallery: gallery.presence_mm2, default=None)


def least_height_mm(
    exhibits: Sequence[Exhibit], width_mm: float, setting: Setting, least_mm: float
) -> float:
    """Height at which every picture would have the area of a square of `least_mm`."""
    heights = []
    for hanging in _hangings(exhibits, setting):
        for share in (i / 50 for i in range(1, 51)):
            gallery = hanging.at(share, Box(0, 0, width_mm, 0))
            if gallery is not None and gallery.smallest_mm >= least_mm:
                heights.append(gallery.bottom_mm)
                break
    return min(heights, default=float("inf"))


def _hangings(exhibits: Sequence[Exhibit], setting: Setting) -> Iterator["_Hanging"]:
    count = len(exhibits)
    explained: set[str] = set()
    regions = []
    for exhibit in exhibits:
        regions.append(tuple(r for r in exhibit.keyed if r.name not in explained))
        explained |= {region.name for region in exhibit.regions}
    pieces = tuple(zip(exhibits, regions, strict=True))
    for breaks in range(count):
        for cuts in combinations(range(1, count), breaks):
            bounds = (0, *cuts, count)
            rows = tuple(pieces[start:end] for start, end in pairwise(bounds))
            yield _Hanging(rows, "under", setting)
            if any(len(row) == 1 for row in rows):
                yield _Hanging(rows, "beside", setting)


_Piece: TypeAlias = tuple[Exhibit, tuple[PlacedRegion, ...]]
_Row: TypeAlias = tuple[_Piece, ...]


@dataclass(frozen=True)
class _Hanging:
    """One way to break the exhibits into rows; `alone` says where the words of a picture go that
    has a row for itself."""

    rows: tuple[_Row, ...]
    alone: Words
    setting: Setting

    def largest_in(self, room: Box, least_mm: float) -> Gallery | None:
        """Found by halving: larger pictures never need less height."""
        whole = self.at(1.0, room)
        if whole is not None and whole.bottom_mm <= room.bottom_mm:
            return whole if whole.smallest_mm >= least_mm else None
        smallest_mm = self._smallest_whole_mm(room.width_mm)
        if smallest_mm < least_mm:
            return None
        fits = least_mm / smallest_mm  # the sides of all pictures grow with the share
        best = self.at(fits, room)
        if best is None or best.bottom_mm > room.bottom_mm:
            return None
        too_large = 1.0
        for _ in range(SHARE_STEPS):
            share = (fits + too_large) / 2
            gallery = self.at(share, room)
            if gallery is not None and gallery.bottom_mm <= room.bottom_mm:
                best, fits = gallery, share
            else:
                too_large = share
        return best

    def _smallest_whole_mm(self, width_mm: float) -> float:
        """Side of the square that has the area of the smallest picture at full width."""
        heights_mm = [
            _full_height_mm(row, width_mm, self._beside(row), self.setting) for row in self.rows
        ]
        return min(
            sqrt(exhibit.aspect) * height_mm
            for row, height_mm in zip(self.rows, heights_mm, strict=True)
            for exhibit, _ in row
        )

    def _beside(self, row: _Row) -> bool:
        return len(row) == 1 and self.alone == "beside" and _has_words(row[0])

    def at(self, share: float, room: Box) -> Gallery | None:
        """Every picture at `share` of the height at which its row fills the width; None if the
        columns do not fit beside each other."""
        hung: list[Hung] = []
        top_mm = room.top_mm
        for row in self.rows:
            place = Box(room.left_mm, top_mm, room.width_mm, 0)
            set_words = _words_beside if self._beside(row) else _words_under
            found = set_words(row, place, share, self.setting)
            if not found:
                return None
            hung += found
            top_mm = max(one.bottom_mm for one in found) + self.setting.row_gap_mm
        return Gallery(tuple(hung))


def _has_words(piece: _Piece) -> bool:
    return bool(piece[0].caption or piece[1] or piece[0].asides)


def _full_height_mm(row: _Row, width_mm: float, beside: bool, setting: Setting) -> float:
    """Height at which the pictures of a row fill the width, or leave it to the column of words."""
    aspects = [exhibit.aspect for exhibit, _ in row]
    gaps = len(row) if beside else len(row) - 1
    words_mm = WORDS_EM * em_mm(setting.type.caption_pt) if beside else 0.0
    return max(width_mm - gaps * setting.column_gap_mm - words_mm, 0.0) / sum(aspects)


def _words_beside(row: _Row, place: Box, share: float, setting: Setting) -> list[Hung]:
    """A picture alone at the left, its words in the column that remains."""
    [piece] = row
    exhibit, regions = piece
    column_mm = WORDS_EM * em_mm(setting.type.caption_pt)
    height_mm = share * _full_height_mm(row, place.width_mm, True, setting)
    width_mm = height_mm * exhibit.aspect
    if width_mm <= 0:
        return []
    picture = Box(place.left_mm, place.top_mm, width_mm, height_mm)
    left_mm = picture.right_mm + setting.column_gap_mm
    words_mm = min(place.right_mm - left_mm, LONGEST_LINE_EM * em_mm(setting.type.caption_pt))
    if not _words_whole(piece, words_mm, setting):
        return []
    # a text beside a picture begins so much higher that its capitals begin with it
    above_capitals_mm = (first_baseline_em() - cap_height_em()) * em_mm(setting.type.caption_pt)
    top_mm = place.top_mm - above_capitals_mm
    words = Box(left_mm, top_mm, words_mm, _words_height_mm(piece, words_mm, setting))
    data = _data_box(exhibit, picture, max(width_mm, column_mm), setting)
    return [Hung(exhibit, regions, picture, data, words)]


def _words_under(row: _Row, place: Box, share: float, setting: Setting) -> list[Hung]:
    """Pictures of one height side by side, the words of each in its column."""
    gaps_mm = setting.column_gap_mm * (len(row) - 1)
    aspects = [exhibit.aspect for exhibit, _ in row]
    height_mm = share * _full_height_mm(row, place.width_mm, False, setting)
    least_mm = WORDS_EM * em_mm(setting.type.caption_pt)
    widths_mm = _column_widths(
        [max(aspect * height_mm, least_mm) for aspect in aspects], place.width_mm - gaps_mm
    )
    if not widths_mm:
        return []
    hung = []
    left_mm = place.left_mm
    for piece, aspect, column_mm in zip(row, aspects, widths_mm, strict=True):
        picture = Box(left_mm, place.top_mm, aspect * height_mm, height_mm)
        data = _data_box(piece[0], picture, column_mm, setting)
        words_mm = min(column_mm, LONGEST_LINE_EM * em_mm(setting.type.caption_pt))
        if not _words_whole(piece, words_mm, setting):
            return []
        words = Box(
            left_mm,
            data.bottom_mm + setting.text_gap_mm,
            words_mm,
            _words_height_mm(piece, words_mm, setting),
        )
        hung.append(Hung(piece[0], piece[1], picture, data, words))
        left_mm += column_mm + setting.column_gap_mm
    return hung


def _column_widths(least_mm: Sequence[float], width_mm: float) -> list[float]:
    """Columns over the whole width: alike if each is wide enough so, else with equal reserves;
    none if there is not enough width."""
    alike_mm = width_mm / len(least_mm)
    if max(least_mm) <= alike_mm:
        return [alike_mm] * len(least_mm)
    spare_mm = width_mm - sum(least_mm)
    return [least + spare_mm / len(least_mm) for least in least_mm] if spare_mm > -1e-6 else []


def _data_box(exhibit: Exhibit, picture: Box, width_mm: float, setting: Setting) -> Box:
    height_mm = drawn_height_mm(exhibit.data, width_mm, setting.type.data_pt)
    top_mm = picture.bottom_mm + 0.5 * setting.text_gap_mm
    return Box(picture.left_mm, top_mm, width_mm, height_mm)


def _words_whole(piece: _Piece, width_mm: float, setting: Setting) -> bool:
    exhibit, regions = piece
    sample_mm = setting.factor * (SAMPLE_MM[0] + SAMPLE_GAP_MM)
    names = tuple(name for region in regions for name in paragraphs_of(region.called))
    return (
        words_whole(exhibit.caption, width_mm, setting.type.caption_pt)
        and words_whole(names, width_mm - sample_mm, setting.type.key_pt)
        and _explained_mm(piece, width_mm, setting) < inf
    )


def _explained_mm(piece: _Piece, width_mm: float, setting: Setting) -> float:
    """Height of tables, key and plots; infinite where the width is too small for one."""
    exhibit, regions = piece
    factor = setting.factor
    explained, gap_mm = with_key(exhibit.asides, regions), setting.text_gap_mm / factor
    return factor * asides_height_mm(
        explained, setting.cast, width_mm / factor, setting.lettering, gap_mm
    )


def _words_height_mm(piece: _Piece, width_mm: float, setting: Setting) -> float:
    caption_mm = drawn_height_mm(piece[0].caption, width_mm, setting.type.caption_pt)
    rest_mm = _explained_mm(piece, width_mm, setting)
    return caption_mm + rest_mm + (setting.text_gap_mm if caption_mm and rest_mm else 0.0)
