from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import FitError
from slidekit.scans.measures.on_planes import Profile
from slidekit.scene.asides.column import lettering
from slidekit.scene.asides.plot_field import round_steps
from slidekit.scene.asides.profile_plot import profile_plot
from slidekit.scene.model import Box, Polyline, Rect, Text
from slidekit.scene.sights.figures import Figure
from tests.scene.builders import DARK, axial_picture, cast, placed

CAST = cast("gap", steps={"gap": 3})
TYPE = lettering(18, 12)


def plot(values=(0.0, 50.0, 100.0), points=((0, 0, 30), (9, 0, 30))):
    line = placed("gap", Figure("line", points), "line", profile=Profile(1.5, values, "HU"))
    return profile_plot(line, axial_picture())


def drawn(one):
    (group,) = one.compose(CAST, Box(10, 20, 120, 80), TYPE, DARK)
    return group


def curves(group) -> list[Polyline]:
    color = DARK.marks["orange"].color
    return [i for i in group.items if isinstance(i, Polyline) and i.stroke.color == color]


def test_the_curve_goes_through_its_values():
    group = drawn(plot())
    field = next(item.box for item in group.items if isinstance(item, Rect))
    (curve,) = curves(group)
    (x0, y0), (x1, y1), (x2, y2) = curve.points_mm
    assert (x0, x2) == (pytest.approx(field.left_mm), pytest.approx(field.right_mm))
    assert x1 == pytest.approx((x0 + x2) / 2)
    assert y1 == pytest.approx((y0 + y2) / 2)
    assert field.top_mm < y2 < y0 < field.bottom_mm


def test_a_tick_stands_where_its_number_says():
    group = drawn(plot((0.0, 50.0, 100.0)))
    (curve,) = curves(group)
    label = next(i for i in group.items if isinstance(i, Text) and i.plain == "100")
    assert label.box.center_mm[1] == pytest.approx(curve.points_mm[2][1])


def test_a_gap_in_the_values_is_a_gap_in_the_curve():
    assert [len(c.points_mm) for c in curves(drawn(plot((1, 2, None, 4, 5, 6, None, 8))))] == [2, 3]


def test_the_plot_comes_with_its_line():
    assert drawn(plot()).step == 3


@pytest.mark.parametrize(
    ("points", "start"),
    [
        (((0, 0, 30), (9, 2, 30)), "left"),
        (((9, 0, 30), (0, 2, 30)), "right"),
        (((0, 0, 30), (2, 9, 30)), "upper"),
        (((0, 9, 30), (2, 0, 30)), "lower"),
    ],
)
def test_it_says_from_which_end_it_runs(points, start):
    assert f"mm from its {start} end" in [
        i.plain for i in drawn(plot(points=points)).items if isinstance(i, Text)
    ]


def test_it_can_be_heard():
    assert drawn(plot()).alt == (
        "Plot of the values along A, the gap, from its left end: from 0 to 100 HU"
    )


@settings(max_examples=60, deadline=None)
@given(
    values=st.lists(st.floats(-1024, 3071), min_size=2, max_size=80),
    width=st.floats(40, 200),
    size=st.integers(14, 26),
    more=st.floats(0, 60),
)
def test_a_plot_keeps_to_its_box(values, width, size, more):
    one, type_ = plot(tuple(values)), lettering(size, 12)
    height = one.height_mm(CAST, width, type_)
    if height == inf:
        return
    box = Box(20, 30, width, height + more)
    (group,) = one.compose(CAST, box, type_, DARK)
    for item in group.items:
        if isinstance(item, Text):
            assert item.box.left_mm >= box.left_mm - 1e-6
            assert item.box.right_mm <= box.right_mm + 1e-6
            assert item.box.bottom_mm <= box.bottom_mm + 1e-6
            assert item.size_pt >= 12


def test_a_line_without_samples_has_no_plot():
    message = "^there is no profile along `gap`: fewer than two samples lie on it. "
    with pytest.raises(FitError, match=message):
        plot((None, 5.0, None))


@given(st.floats(-2000, 3000), st.floats(1, 4000), st.integers(3, 8))
def test_ticks_are_round_few_and_within(low, span, most):
    steps = round_steps(low, low + span, most)
    assert len(steps) <= most + 1
    assert all(low - 1e-6 <= step <= low + span + 1e-6 for step in steps)
