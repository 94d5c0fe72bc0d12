"""The best layout of a chronology that fits a box."""

from collections.abc import Iterator, Sequence
from itertools import product
from math import ceil

from slidekit.errors import FitError
from slidekit.scene.model import Box, Item
from slidekit.scene.style import Size, Style
from slidekit.scene.timeline.ground import case_groups, compressed_groups, lane_groups
from slidekit.scene.timeline.groups import axis_group, count_groups, event_groups, period_groups
from slidekit.scene.timeline.heights import heights_in, needed_mm
from slidekit.scene.timeline.legend import compose_legend, legend_height_mm
from slidekit.scene.timeline.places import Span
from slidekit.scene.timeline.plan import Plan, plans_at
from slidekit.scene.timeline.story import Dates, Story, Wish, story_of
from slidekit.storyboard.chronology import Chronology

_DATES: dict[Dates, float] = {"all": 0.0, "chosen": 1.5, "events": 2.5, "none": 4.0}
"""What it costs to leave dates out, in points of type."""
_ROW_COST = 3.0  # of each row of bars, so that lanes are not torn apart lightly


def compose_timeline(
    chronology: Chronology, wish: Wish, box: Box, style: Style
) -> tuple[Item, ...]:
    """The timeline in `box`: what lies behind, the axis, one group per period and event, the case
    of the talk last, and a legend if needed.

    Labels are of one size. When it is tight, smaller labels are weighed against leaving out dates
    and against tearing lanes apart.

    Raises
    ------
    FitError
        If it does not fit at the least size of a label, even without dates; if there is nothing to
        show, or nothing beside what is zoomed at.
    """
    story = story_of(chronology, wish)
    if not story.periods and not story.events:
        raise FitError("The timeline has nothing to show", "Add a period or an event")
    plan = _best_plan(story, box, style)
    legend_mm = legend_height_mm(story, plan.scale, box.width_mm, style)
    heights = heights_in(plan, box._replace(height_mm=box.height_mm - legend_mm))
    return (
        *compressed_groups(plan, heights, style),
        *case_groups(story, plan, heights, style),
        axis_group(story, plan, heights, style),
        *lane_groups(plan, heights, style, box.left_mm),
        *period_groups(story, plan, heights, style),
        *event_groups(story, plan, heights, style),
        *count_groups(story, plan, heights, style),
        *compose_legend(story, plan.scale, box, style),
    )


def _best_plan(story: Story, box: Box, style: Style) -> Plan:
    room = Span(box.left_mm, box.right_mm)
    size = style.sizes["label"]
    least_rows = story.least_rows
    best: tuple[float, float, Plan] | None = None
    lacking_mm: list[float] = []
    for dates, size_pt in sorted(product(_DATES, _sizes(size)), key=lambda pair: _cost(*pair)):
        if best is not None and best[0] <= _cost(dates, size_pt) + least_rows * _ROW_COST:
            break  # nothing from here on is better
        for plan in plans_at(story, room, size_pt, dates, style):
            cost = _cost(dates, size_pt) + len(plan.bars.rows_mm) * _ROW_COST
            legend_mm = legend_height_mm(story, plan.scale, box.width_mm, style)
            lacking_mm.append(needed_mm(plan) + legend_mm - box.height_mm)
            if lacking_mm[-1] <= 0 and (best is None or (cost, lacking_mm[-1]) < best[:2]):
                best = (cost, lacking_mm[-1], plan)
    if best is None:
        raise _misfit(lacking_mm, size.least_pt)
    return best[2]


def _cost(dates: Dates, size_pt: float) -> float:
    return _DATES[dates] - size_pt


def _sizes(size: Size) -> Iterator[float]:
    size_pt = size.pt
    while size_pt > size.least_pt:
        yield size_pt
        size_pt -= 1
    yield size.least_pt


def _misfit(lacking_mm: Sequence[float], least_pt: float) -> FitError:
    at_size = f"at {least_pt:g} pt, the least size of its labels"
    if lacking_mm:
        return FitError(
            f"The timeline needs {ceil(min(lacking_mm))} mm more height {at_size}",
            "Leave out periods or events, shorten their labels, or give periods that do not"
            " overlap the same lane",
        )
    return FitError(
        f"The labels of the timeline cannot be kept apart {at_size}",
        "Shorten the longest labels, or leave out events that lie close together",
    )
