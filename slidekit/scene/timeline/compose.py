"""The best layout of a chronology that fits a box."""

from collections.abc import Iterator, Sequence
from itertools import product
from math import ceil

from slidekit.errors import FitError
from slidekit.scene.model import Box, Item
from slidekit.scene.style import Size, Style
from slidekit.scene.timeline.groups import axis_group, event_groups, period_groups
from slidekit.scene.timeline.heights import heights_in, needed_mm
from slidekit.scene.timeline.legend import compose_legend, legend_height_mm
from slidekit.scene.timeline.places import Span
from slidekit.scene.timeline.plan import Plan, plans_at
from slidekit.scene.timeline.story import Dates, Story, story_of
from slidekit.storyboard.model import Chronology

_DATES: dict[Dates, float] = {"all": 0.0, "chosen": 1.5, "none": 4.0}
"""What it costs to leave dates out, in points of type."""


def compose_timeline(
    chronology: Chronology, highlight: Sequence[str], box: Box, style: Style
) -> tuple[Item, ...]:
    """The timeline in `box`: the axis, one group per period and event, and a legend if needed.

    `highlight` names periods (or events) of the chronology. Labels are of one size. When it
    is tight, smaller labels are weighed against leaving out dates and against tearing lanes apart.

    Raises
    ------
    FitError
        If it does not fit at the least size of a label, even without dates.
    """
    story = story_of(chronology, highlight)
    if not story.periods and not story.events:
        raise FitError("The timeline has nothing to show", "Add a period or an event")
    legend_mm = legend_height_mm(story, box.width_mm, style)
    upper = box._replace(height_mm=box.height_mm - legend_mm)
    plan = _best_plan(story, upper, style)
    heights = heights_in(plan, upper)
    return (
        axis_group(story, plan, heights, style),
        *period_groups(story, plan, heights, style),
        *event_groups(story, plan, heights, style),
        *compose_legend(story, box, style),
    )


def _best_plan(story: Story, box: Box, style: Style) -> Plan:
    room = Span(box.left_mm, box.right_mm)
    size = style.sizes["label"]
    plans = [
        plan
        for dates, size_pt in product(_DATES, _sizes(size))
        for plan in plans_at(story, room, size_pt, dates, style)
    ]
    fitting = [plan for plan in plans if needed_mm(plan) <= box.height_mm]
    if not fitting:
        raise _misfit([needed_mm(plan) - box.height_mm for plan in plans], size.least_pt)
    return min(fitting, key=lambda plan: (_drawbacks(plan), needed_mm(plan)))


def _drawbacks(plan: Plan) -> float:
    """How much is lost, in points of type: a lane torn apart weighs like three."""
    return _DATES[plan.dates] + 3.0 * len(plan.bars.rows_mm) - plan.size_pt


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
