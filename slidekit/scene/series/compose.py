"""The chart of a series slide, in the largest type that fits."""

from collections.abc import Mapping

from slidekit.errors import FitError
from slidekit.scene.model import Box, Item
from slidekit.scene.series.cases import CaseChart
from slidekit.scene.series.intervals import IntervalChart
from slidekit.scene.series.rows import rows_of
from slidekit.scene.stacks import pairs_of_sizes
from slidekit.scene.style import Style
from slidekit.storyboard.slides import SeriesSlide
from slidekit.storyboard.tables import Chart
from slidekit.storyboard.tallies import Tallies

_CHARTS: dict[Chart, type[IntervalChart] | type[CaseChart]] = {
    "intervals": IntervalChart,
    "cases": CaseChart,
}

_INSTEAD: dict[Chart, str] = {
    "intervals": "Show fewer counts, or shorten what they are called",
    "cases": "Show fewer counts, or write `chart: intervals`, which takes any number of cases",
}


def compose_series(
    slide: SeriesSlide, room: Box, tallies: Tallies, steps: Mapping[str, int], style: Style
) -> tuple[Item, ...]:
    """Rows with their numbers in `room`; `steps`: the click that brings a count on.

    Raises
    ------
    FitError
        If the rows do not fit at the least type size.
    """
    rows = rows_of(slide, tallies, steps)
    for sizes in pairs_of_sizes(style, style.sizes["body"].least_pt):
        chart = _CHARTS[slide.chart](rows, room, sizes, style)
        if chart.needed_mm <= room.height_mm:
            return chart.items()
    over_mm = chart.needed_mm - room.height_mm
    raise FitError(
        f"the rows need {over_mm:.0f} mm more height at {sizes.name_pt} pt, the least size",
        _INSTEAD[slide.chart],
    )
