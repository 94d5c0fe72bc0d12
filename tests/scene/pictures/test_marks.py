from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.scene.model import Box, Ellipse, Polyline, Text
from slidekit.scene.pictures.letters import ShownMark
from slidekit.scene.pictures.marks import angle_arc, compose_marks
from tests.scene.builders import DARK

PICTURE = Box(10, 10, 150, 120)


def shown(letter: str, kind: str, points, mark="orange", note="") -> ShownMark:
    spoken = f"{DARK.marks[mark].spoken} {kind}"
    return ShownMark(
        letter.lower(), letter, "a thing", spoken, DARK.marks[mark], kind, points, note
    )


def circle(letter: str, x: float, y: float, radius: float = 10) -> ShownMark:
    return shown(letter, "ellipse", ((x, y), (x + radius, y), (x, y + radius)))


def pill(group) -> Box:
    return next(item.box for item in group.items if isinstance(item, Text))


def overlap(a: Box, b: Box) -> bool:
    return (
        min(a.right_mm, b.right_mm) - max(a.left_mm, b.left_mm) > 1e-9
        and min(a.bottom_mm, b.bottom_mm) - max(a.top_mm, b.top_mm) > 1e-9
    )


def test_a_halo_lies_under_every_bright_line():
    kinds = {
        "ellipse": ((50, 50), (60, 50), (50, 55)),
        "polygon": ((40, 40), (60, 40), (50, 60)),
        "line": ((40, 40), (60, 40)),
        "angle": ((60, 40), (40, 40), (55, 55)),
        "point": ((50, 50),),
    }
    for kind, points in kinds.items():
        (group,) = compose_marks([shown("A", kind, points)], PICTURE, [], DARK)
        strokes = [i.stroke for i in group.items if isinstance(i, (Ellipse, Polyline))]
        halos = [s for s in strokes if s.color == DARK.colors.halo]
        bright = [s for s in strokes if s.color == DARK.marks["orange"].color]
        assert len(halos) == len(bright)
        assert strokes[: len(halos)] == halos
        assert {s.width_pt for s in halos} == {DARK.mark_halo_pt}
        assert {s.width_pt for s in bright} == {DARK.mark_line_pt}


def test_the_halo_of_a_dashed_line_is_solid():
    (group,) = compose_marks([circle("A", 60, 60)], PICTURE, [], DARK)
    halo, bright = [i.stroke for i in group.items if isinstance(i, Ellipse)]
    assert (halo.dash, bright.dash) == ("solid", DARK.marks["orange"].dash)


def test_an_arrow_ends_at_its_tip():
    (group,) = compose_marks([shown("A", "arrow", ((30, 80), (70, 50)))], PICTURE, [], DARK)
    outline = next(i for i in group.items if isinstance(i, Polyline))
    assert outline.points_mm[3] == pytest.approx((70, 50))


def test_a_note_stands_behind_the_letter():
    mark = shown("B", "line", ((30, 80), (70, 50)), note="43 mm")
    (group,) = compose_marks([mark], PICTURE, [], DARK)
    assert next(i.plain for i in group.items if isinstance(i, Text)) == "B  43 mm"
    assert group.alt == "Mark B, orange line: a thing, 43 mm"


spots = st.tuples(st.floats(25, 140), st.floats(25, 110))


@settings(max_examples=60)
@given(st.lists(spots, min_size=1, max_size=5))
def test_letters_stay_on_the_picture(centers):
    marks = [circle(chr(65 + i), x, y) for i, (x, y) in enumerate(centers)]
    for group in compose_marks(marks, PICTURE, [], DARK):
        box = pill(group)
        assert box.left_mm >= PICTURE.left_mm - 1e-9
        assert box.top_mm >= PICTURE.top_mm - 1e-9
        assert box.right_mm <= PICTURE.right_mm + 1e-9
        assert box.bottom_mm <= PICTURE.bottom_mm + 1e-9


@settings(max_examples=60)
@given(st.lists(spots, min_size=2, max_size=3))
def test_letters_of_up_to_three_marks_never_cover_each_other(centers):
    marks = [circle(chr(65 + i), x, y) for i, (x, y) in enumerate(centers)]
    pills = [pill(group) for group in compose_marks(marks, PICTURE, [], DARK)]
    assert not any(overlap(a, b) for a, b in combinations(pills, 2))


def test_a_letter_keeps_off_what_is_already_written():
    scale_bar = Box(71.6, 20, 30, 28)  # exactly where the letter would stand
    (group,) = compose_marks([circle("A", 60, 60)], PICTURE, [scale_bar], DARK)
    assert not overlap(pill(group), scale_bar)


def test_the_arc_of_an_angle_runs_from_arm_to_arm_the_short_way():
    # arms to the right and straight down: the arc lies between them, not around the other side
    arc = angle_arc((60, 40), (40, 40), (40, 70))
    assert arc[0] == pytest.approx((49, 40))
    assert arc[-1] == pytest.approx((40, 49))
    assert all(x >= 40 - 1e-9 and y >= 40 - 1e-9 for x, y in arc)
