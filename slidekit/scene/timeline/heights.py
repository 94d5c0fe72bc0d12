"""Where the parts of a timeline stand one above the other."""

from dataclasses import dataclass
from itertools import accumulate

from slidekit.scene.model import Box
from slidekit.scene.timeline.plan import BAR_GAP_MM, FLAG_GAP_MM, Plan
from slidekit.scene.timeline.shapes import DOT_MM
from slidekit.scene.type_units import line_mm

TICK_MM = 2.2
_FOOT_MM = 5.0  # between the lowest flags and the axis
_LIFT_MM = 4.4  # between markers that would cover each other
_BELOW_YEARS_MM = 3.0
_BAR_GROWTH = 0.35  # a bar may grow by this share of itself
_MOST_STRETCH_MM = 8.0  # of a gap
_COLUMNS_GAP_MM = 3.0  # between the lowest bars and the counts
COLUMN_MM = (4.0, 12.0)  # least and greatest length of the longest column


@dataclass(frozen=True)
class Heights:
    """Page millimetres from the top."""

    top_mm: float
    flag_bottoms_mm: tuple[float, ...]  # row 0 is the nearest to the axis
    axis_mm: float
    years_mm: tuple[float, float]  # top and bottom of the years under the axis
    bars_mm: tuple[tuple[float, float], ...]  # top and height of each row
    counts_mm: tuple[float, float]  # top of the counts, and the line on which their columns stand
    bottom_mm: float

    def marker_mm(self, level: int) -> float:
        """The middle of a marker that is lifted off the axis so many times."""
        return self.axis_mm - level * _LIFT_MM


def needed_mm(plan: Plan) -> float:
    """The least height of the whole."""
    return _above_axis_mm(plan) + _years_mm(plan) + _below_years_mm(plan) + _counts_mm(plan)


def _above_axis_mm(plan: Plan) -> float:
    if not plan.flags.rows_mm:
        return DOT_MM
    return plan.flags.height_mm + _foot_mm(plan)


def _foot_mm(plan: Plan) -> float:
    """From the gap under the lowest flags to the axis."""
    return _FOOT_MM + _LIFT_MM * max(plan.flags.levels)


def _years_mm(plan: Plan) -> float:
    return TICK_MM + line_mm(plan.size_pt)


def _below_years_mm(plan: Plan) -> float:
    return _BELOW_YEARS_MM + plan.bars.height_mm if plan.bars.rows_mm else 0.0


def _counts_mm(plan: Plan) -> float:
    if not plan.columns:
        return 0.0
    return _COLUMNS_GAP_MM + line_mm(plan.size_pt) + COLUMN_MM[0]


def heights_in(plan: Plan, box: Box) -> Heights:
    """The plan spread over the box: spare height makes columns and bars taller, then gaps, then
    margins."""
    spare = box.height_mm - needed_mm(plan)
    column = min(spare / 3, COLUMN_MM[1] - COLUMN_MM[0]) if plan.columns else 0.0
    spare -= column
    rows = len(plan.flags.rows_mm) + len(plan.bars.rows_mm)
    bars_mm = sum(plan.bars.rows_mm)
    growth = min(spare / 2 / bars_mm, _BAR_GROWTH) if bars_mm else 0.0
    spare -= growth * bars_mm
    gap = min(spare / 2 / rows, _MOST_STRETCH_MM)
    spare -= gap * rows

    top = box.top_mm + spare / 2
    axis = top + _above_axis_mm(plan) + gap * len(plan.flags.rows_mm)
    years_bottom = axis + _years_mm(plan)
    first_bar = years_bottom + _BELOW_YEARS_MM + gap
    bars = _bar_rows([row * (1 + growth) for row in plan.bars.rows_mm], first_bar, gap)
    under_bars = sum(bars[-1]) if bars else years_bottom
    counts = (under_bars + _COLUMNS_GAP_MM, under_bars + _counts_mm(plan) + column)
    return Heights(
        top,
        _flag_bottoms(plan, axis, gap),
        axis,
        (axis + TICK_MM, years_bottom),
        bars,
        counts,
        counts[1] if plan.columns else under_bars,
    )


def _flag_bottoms(plan: Plan, axis_mm: float, gap_mm: float) -> tuple[float, ...]:
    bottoms = []
    bottom = axis_mm - _foot_mm(plan) if plan.flags.rows_mm else axis_mm
    for row_mm in plan.flags.rows_mm:
        bottom -= FLAG_GAP_MM + gap_mm
        bottoms.append(bottom)
        bottom -= row_mm
    return tuple(bottoms)


def _bar_rows(
    rows_mm: list[float], first_mm: float, gap_mm: float
) -> tuple[tuple[float, float], ...]:
    tops = accumulate((row + BAR_GAP_MM + gap_mm for row in rows_mm[:-1]), initial=first_mm)
    return tuple(zip(tops, rows_mm, strict=False))
