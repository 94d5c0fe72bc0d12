"""The slide that lays an account beside this case: a row for each stage, in the largest type that
fits."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil

from slidekit.errors import FitError
from slidekit.scene.account.entries import Entry, account_in_words
from slidekit.scene.account.signs import WIDEST, compose_sign
from slidekit.scene.fonts import first_baseline_em
from slidekit.scene.model import Box, Group, Item, Polyline, Shape, Stroke, Text
from slidekit.scene.series.rows import Row, case_note, dot_and_line, sources_of
from slidekit.scene.series.track import Track, grid_color
from slidekit.scene.stacks import Layer, Sizes, Stack, named, pairs_of_sizes, quiet
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, paragraphs_of
from slidekit.scene.type_units import em_mm, line_mm
from slidekit.storyboard.account import Account
from slidekit.wording import phrase

COLUMN_GAP_MM = 8.0
LINKS_MM = 30.0  # column of slides and letters
SERIES_MM = 47.0  # column of the series
SHARES = tuple(share / 100 for share in range(40, 62, 2))
"""Of the width left to words, for the column of the account: the one that needs least height."""
LEAST_LARGER_PT = 2  # a name than what stands below it, however many rows there are
SIGN_EM = 0.48  # radius
SIGN_GAP_MM = 2.2
TRACK_SCALE = 0.6
ROW_GAP_MM = 2.4  # a rule stands in the middle of it
TALLEST_GAP_MM = 9.0
FOOT_GAP_MM = 4.0


def compose_compare(
    account: Account, entries: Sequence[Entry], room: Box, style: Style
) -> tuple[Item, ...]:
    """Heads, a row for each entry, and where it all comes from.

    Raises
    ------
    FitError
        If the rows do not fit at the least type size.
    """
    for sizes in pairs_of_sizes(style, style.sizes["caption"].least_pt + LEAST_LARGER_PT):
        charts = [_Chart(account, entries, room, sizes, style, share) for share in SHARES]
        best = min(charts, key=lambda chart: (not chart.words_whole, chart.needed_mm))
        if best.words_whole and best.needed_mm <= room.height_mm:
            return best.items()
    over_mm = max(ceil(best.needed_mm - room.height_mm), 1)
    raise FitError(
        f"the stages need {over_mm} mm more height at {sizes.name_pt} pt, the least size",
        "Shorten `about` and `note` of the stages, or show only some of them with `stages`",
    )


@dataclass(frozen=True)
class _Chart:
    """The slide at one pair of sizes, with one width for the account."""

    account: Account
    entries: Sequence[Entry]
    room: Box
    sizes: Sizes
    style: Style
    share: float

    @property
    def needed_mm(self) -> float:
        rows = sum(map(self._row_mm, self.entries)) + ROW_GAP_MM * len(self.entries)
        return self._head_mm + rows + self._foot.height_mm + FOOT_GAP_MM

    @property
    def words_whole(self) -> bool:
        rows = [stack for one in self.entries for stack in self._stacks(one)]
        return all(stack.words_whole for stack in (*self._heads, *rows))

    def items(self) -> tuple[Item, ...]:
        """A gap, with a rule in it, is above every row."""
        spare = (self.room.height_mm - self.needed_mm) / len(self.entries)
        gap = min(ROW_GAP_MM + spare, TALLEST_GAP_MM)
        top = self.room.top_mm + self._head_mm
        rows = []
        for entry in self.entries:
            rows.append(self._row(entry, top + gap, gap))
            top += gap + self._row_mm(entry)
        foot_top = self.room.bottom_mm - self._foot.height_mm
        return (*self._head(), *rows, *self._foot.texts(self.room.left_mm, foot_top))

    @cached_property
    def _widths(self) -> tuple[float, float, float, float]:
        """The account, this case, its slides, the series; nothing for a column with no entry."""
        links = LINKS_MM if any(entry.stage.by for entry in self.entries) else 0.0
        series = SERIES_MM if any(entry.row for entry in self.entries) else 0.0
        gaps = COLUMN_GAP_MM * (1 + (links > 0) + (series > 0))
        words = self.room.width_mm - links - series - gaps
        return self.share * words, (1 - self.share) * words, links, series

    @cached_property
    def _lefts(self) -> tuple[float, float, float, float]:
        told, here, links, _ = self._widths
        second = self.room.left_mm + told + COLUMN_GAP_MM
        third = second + here + COLUMN_GAP_MM
        return self.room.left_mm, second, third, third + (links + COLUMN_GAP_MM if links else 0.0)

    @property
    def _sign_mm(self) -> float:
        """Radius of the signs."""
        return SIGN_EM * em_mm(self.sizes.name_pt)

    @property
    def _indent_mm(self) -> float:
        """Of what stands beside a sign."""
        return 2 * WIDEST * self._sign_mm + SIGN_GAP_MM

    @property
    def _drop_mm(self) -> float:
        """How much lower small words begin, to stand on the line of the names."""
        return first_baseline_em() * em_mm(self.sizes.name_pt - self.sizes.small_pt)

    def _stacks(self, entry: Entry) -> tuple[Stack, Stack, Stack, Stack]:
        """The words of a row, column by column."""
        told, here, links, series = self._widths
        stage, colors = entry.stage, self.style.colors
        color = colors.ink if entry.spots else colors.quiet
        spots = Layer(entry.links(colors.accent), self.sizes.small_pt, color, "caption")
        share = entry.row.shares if entry.row else ()
        return (
            self._named(entry.called, stage.about, told),
            self._named(stage.answer, stage.note, here - self._indent_mm),
            Stack((spots,), links),
            Stack((Layer(share, self.sizes.small_pt, colors.ink, "caption"),), series),
        )

    def _named(self, name: str, below: str, width_mm: float) -> Stack:
        words = as_written(name, bold=True), paragraphs_of(below)
        return named(*words, self.sizes, self.style.colors, width_mm)

    def _row_mm(self, entry: Entry) -> float:
        told, here, links, series = (stack.height_mm for stack in self._stacks(entry))
        track = self._track.height_mm if entry.row else 0.0
        return max(told, here, self._drop_mm + links, self._drop_mm + series + track)

    @property
    def _track(self) -> Track:
        reserve = 3.0  # the ends of an interval and a dot at 0 % stand out of the axis
        left, width = self._lefts[3] + reserve, self._widths[3] - 2 * reserve
        return Track(left, width, self.style, TRACK_SCALE)

    def _row(self, entry: Entry, top_mm: float, gap_mm: float) -> Group:
        rule = self._rule(top_mm - gap_mm / 2)
        told, here, links, series = self._stacks(entry)
        lefts, lower = self._lefts, top_mm + self._drop_mm
        middle = top_mm + line_mm(self.sizes.name_pt) / 2
        center = (lefts[1] + WIDEST * self._sign_mm, middle)
        items = (
            rule,
            *told.texts(lefts[0], top_mm),
            *compose_sign(entry.stage.here, center, self._sign_mm, self.style),
            *here.texts(lefts[1] + self._indent_mm, top_mm),
            *links.texts(lefts[2], lower),
            *series.texts(lefts[3], lower),
            *(self._share(entry.row, lower + series.height_mm) if entry.row else ()),
        )
        return Group(f"Stage {entry.name}", entry.alt, items, entry.step)

    def _share(self, row: Row, top_mm: float) -> tuple[Shape, ...]:
        track = self._track
        return track.marks(row, top_mm + track.height_mm / 2)

    def _rule(self, y: float) -> Polyline:
        ends = ((self.room.left_mm, y), (self.room.right_mm, y))
        return Polyline(ends, stroke=Stroke(grid_color(self.style), 0.75))

    @property
    def _heads(self) -> tuple[Stack, ...]:
        words = (
            self.account.called,
            phrase("This case"),
            phrase("On slide"),
            phrase("In the series"),
        )
        return tuple(
            quiet(text, self.sizes.small_pt, self.style.colors, width)
            for text, width in zip(words, self._widths, strict=True)
            if width
        )

    @property
    def _head_mm(self) -> float:
        return max(stack.height_mm for stack in self._heads)

    def _head(self) -> Iterator[Text]:
        lefts = [left for left, width in zip(self._lefts, self._widths, strict=True) if width]
        for stack, left in zip(self._heads, lefts, strict=True):
            yield from stack.texts(left, self.room.top_mm + self._head_mm - stack.height_mm)

    @cached_property
    def _foot(self) -> Stack:
        """Where the account and the series come from."""
        words = [account_in_words(self.account)]
        if rows := [entry.row for entry in self.entries if entry.row]:
            words.append(phrase("Series: {sources}", sources=sources_of(rows)))
            words += [phrase("Axis: 0 to 100 %."), dot_and_line(), *case_note(rows)]
        small_pt = self.style.sizes["caption"].least_pt
        colors, width = self.style.colors, self.room.width_mm
        return quiet(" ".join(words), small_pt, colors, width, name="Sources")
