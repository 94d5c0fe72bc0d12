"""The stages as one slim row along the top of a scan slide: where the talk has come to."""

from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil

from slidekit.errors import FitError
from slidekit.scene.frame import GAP_MM
from slidekit.scene.model import Box, Group, Rect, Shape, Text
from slidekit.scene.series.track import grid_color
from slidekit.scene.style import Style
from slidekit.scene.text import as_written, line_width_mm
from slidekit.scene.type_units import line_mm
from slidekit.storyboard.account import Stages
from slidekit.wording import phrase

LARGER_PT = 2  # than the least size, at most: the row stays slim
CELL_GAP_MM = 1.6
RULE_MM = 1.4  # under the present stage
THIN_RULE_MM = 0.5
SIDE_MM = 0.8  # free at both sides of a name
WIDENED = 1.04  # other programs set a line a little wider
ABOVE_MM = 1.0  # to the title
BELOW_MM = 4.0  # to what the slide shows


def compose_stage_row(stages: Stages, present: str, room: Box, style: Style) -> tuple[Group, Box]:
    """The row between a title and the room below it, and what it leaves of that room.

    Raises
    ------
    FitError
        If a name is too long for its cell at the least type size.
    """
    least_pt = round(style.sizes["label"].least_pt)
    for size_pt in range(least_pt + LARGER_PT, least_pt - 1, -1):
        row = _Row(stages, present, room, float(size_pt), style)
        if row.over_mm <= 0:
            top = row.box.bottom_mm + BELOW_MM
            return row.compose(), room._replace(top_mm=top, height_mm=room.bottom_mm - top)
    raise FitError(
        f"the name of the stage `{row.longest}` is {ceil(row.over_mm)} mm wider than its cell in"
        f" the row of stages at {size_pt} pt, the least size",
        f"Shorten `called` of `{row.longest}`, or give the account fewer stages",
    )


@dataclass(frozen=True)
class _Row:
    """The row at one type size."""

    stages: Stages
    present: str
    room: Box
    size_pt: float
    style: Style

    @cached_property
    def line_mm(self) -> float:
        return line_mm(self.size_pt)

    @cached_property
    def box(self) -> Box:
        top = self.room.top_mm - GAP_MM + ABOVE_MM
        return self.room._replace(top_mm=top, height_mm=self.line_mm + RULE_MM)

    @cached_property
    def count(self) -> str:
        return phrase("Stage {number}", number=self.stages.say(self.present, "number"))

    @cached_property
    def count_mm(self) -> float:
        return self._width_mm(self.count)

    @cached_property
    def cell_mm(self) -> float:
        """Width of every cell; the count stands at the right of them."""
        cells = self.room.width_mm - self.count_mm - CELL_GAP_MM
        return (cells + CELL_GAP_MM) / len(self.stages.known) - CELL_GAP_MM

    @cached_property
    def longest(self) -> str:
        return max(self.stages, key=self._name_mm)

    @property
    def over_mm(self) -> float:
        return self._name_mm(self.longest) - self.cell_mm

    def _name_mm(self, name: str) -> float:
        return self._width_mm(self.stages.known[name].called)

    def _width_mm(self, words: str) -> float:
        """In bold, so that the cells are alike whichever stage is the present one."""
        return line_width_mm(words, self.size_pt, bold=True) * WIDENED + 2 * SIDE_MM

    def compose(self) -> Group:
        items: list[Shape | Text] = []
        left = self.box.left_mm
        for name in self.stages:
            items += self._cell(name, Box(left, self.box.top_mm, self.cell_mm, self.line_mm))
            left += self.cell_mm + CELL_GAP_MM
        count = Box(left, self.box.top_mm, self.count_mm, self.line_mm)
        items.append(replace(self._text(self.count, count, here=False), align="right"))
        called = self.stages.known[self.present].called
        account = self.stages.account.called if self.stages.account is not None else ""
        return Group("Row of stages", f"{account}. {self.count}: {called}", tuple(items))

    def _cell(self, name: str, box: Box) -> tuple[Rect, Text]:
        here = name == self.present
        height = RULE_MM if here else THIN_RULE_MM
        rule = box._replace(top_mm=self.box.bottom_mm - height, height_mm=height)
        fill = self.style.colors.accent if here else grid_color(self.style)
        return Rect(rule, fill=fill), self._text(self.stages.known[name].called, box, here=here)

    def _text(self, words: str, box: Box, *, here: bool) -> Text:
        colors = self.style.colors
        color = colors.ink if here else colors.quiet
        words_set = as_written(words, bold=here)
        return Text(box, words_set, self.size_pt, color, "label", align="center")
