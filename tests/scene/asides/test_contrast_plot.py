from math import inf

import pytest

from slidekit.scene.asides.column import lettering
from slidekit.scene.asides.contrast_plot import ContrastPlot
from slidekit.scene.model import Box, Polyline, Rect, Text
from tests.scene.builders import DARK, cast, round_region
from tests.scene.reading_builders import contrast

CAST = cast("one", "other", steps={"one": 1, "other": 2})
TYPE = lettering(18, 12)
ROOM = Box(10, 20, 120, 90)


def plot(**changes) -> ContrastPlot:
    regions = (round_region("one", 0, 0, mark_key="blue"), round_region("other", 20, 0))
    return ContrastPlot(contrast(**changes), regions)


def drawn(one: ContrastPlot):
    (group,) = one.compose(CAST, ROOM, TYPE, DARK)
    return group


def curve(group, mark: str) -> Polyline:
    color = DARK.marks[mark].color
    return next(i for i in group.items if isinstance(i, Polyline) and i.stroke.color == color)


def test_each_curve_has_the_look_of_its_region():
    group = drawn(plot())
    assert curve(group, "blue").stroke.dash == DARK.marks["blue"].dash
    assert curve(group, "orange").stroke.dash == DARK.marks["orange"].dash


def test_the_greater_values_lie_to_the_right():
    group = drawn(plot())
    curves = (curve(group, mark).points_mm for mark in ("blue", "orange"))
    greater, less = (min(points, key=lambda p: p[1])[0] for points in curves)
    assert greater > less


def test_a_letter_stands_above_its_peak():
    group = drawn(plot())
    for letter, mark in (("A", "blue"), ("B", "orange")):
        x, y = min(curve(group, mark).points_mm, key=lambda p: p[1])
        box = next(i.box for i in group.items if isinstance(i, Text) and i.plain == letter)
        assert box.center_mm[0] == pytest.approx(x)
        assert box.bottom_mm <= y + 1e-6


def test_curves_and_letters_stay_in_the_field():
    group = drawn(plot())
    field = next(i.box for i in group.items if isinstance(i, Rect))
    for mark in ("blue", "orange"):
        for x, y in curve(group, mark).points_mm:
            assert field.left_mm - 1e-6 <= x <= field.right_mm + 1e-6
            assert field.top_mm <= y <= field.bottom_mm + 1e-6


def test_the_numbers_stand_below():
    texts = [i.plain for i in drawn(plot()).items if isinstance(i, Text)]
    said = texts[-1].replace("\N{NO-BREAK SPACE}", " ")
    assert said == (
        "Difference 80 HU (95 % interval 76 to 84)\n8.0 standard deviations; overlap less than 1 %"
    )
    assert texts[0] == "CT numbers in A and B, HU"


def test_the_plot_comes_with_the_later_of_its_regions():
    assert drawn(plot()).step == 2


def test_its_height_is_what_it_takes():
    one = plot()
    height = one.height_mm(CAST, ROOM.width_mm, TYPE)
    (group,) = one.compose(CAST, ROOM._replace(height_mm=height), TYPE, DARK)
    bottom = max(i.box.bottom_mm for i in group.items if isinstance(i, Text))
    assert bottom == pytest.approx(ROOM.top_mm + height)
    assert one.height_mm(CAST, 20, TYPE) == inf


def test_equal_values_can_be_drawn():
    assert drawn(plot(first=(5.0, 0.0), second=(5.0, 0.0))).items
