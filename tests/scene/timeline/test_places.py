"""Rows for flags and bars."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.scene.timeline.places import Bar, Span, place_bars, place_flags, spread_apart

ROOM = Span(0.0, 300.0)


def test_flags_with_room_stand_in_one_row() -> None:
    flags = place_flags([10.0, 100.0, 200.0], [50.0, 50.0, 50.0], ROOM, 1)
    assert flags is not None
    assert [flag.side for flag in flags] == ["right", "right", "right"]


def test_a_flag_near_the_right_end_hangs_to_the_left() -> None:
    flags = place_flags([290.0], [50.0], ROOM, 1)
    assert flags is not None
    assert flags[0].side == "left"
    assert flags[0].label.right_mm < 290.0


def test_the_earlier_of_two_close_flags_stands_higher() -> None:
    flags = place_flags([10.0, 20.0], [50.0, 50.0], ROOM, 2)
    assert flags is not None
    assert [flag.row for flag in flags] == [1, 0]


def test_too_many_flags_for_the_rows_have_no_arrangement() -> None:
    assert place_flags([150.0, 151.0, 152.0], [140.0] * 3, ROOM, 1) is None


@given(
    st.lists(
        st.tuples(st.floats(0, 300), st.floats(5, 80)).map(lambda pair: (round(pair[0]), pair[1])),
        min_size=1,
        max_size=8,
    )
)
def test_flags_of_a_row_are_apart_and_no_pole_crosses_a_label(
    wanted: list[tuple[float, float]],
) -> None:
    poles, widths = zip(*wanted, strict=True)
    flags = place_flags(poles, widths, ROOM, 8)
    if flags is None:
        return
    for i, one in enumerate(flags):
        assert one.label.left_mm >= ROOM.left_mm
        assert one.label.right_mm <= ROOM.right_mm
        for j, other in enumerate(flags):
            if i != j and one.row == other.row:
                assert not one.label.meets(other.label, 3.99)
            if one.row >= other.row:
                assert not other.label.left_mm < one.pole_mm < other.label.right_mm


def _bar(left: float, right: float, label: float, lane: int = 1) -> Bar:
    return Bar(Span(left, right), Span(left + 1, right - 1), lane, label)


def test_a_label_stands_inside_its_bar_where_it_fits() -> None:
    placed = place_bars([_bar(0, 100, 50), _bar(100, 120, 50)], ROOM)
    assert placed is not None
    assert [bar.place for bar in placed] == ["inside", "right"]
    assert [bar.row for bar in placed] == [0, 0]


def test_a_label_beside_a_bar_does_not_cover_the_next_bar() -> None:
    placed = place_bars([_bar(50, 60, 30), _bar(62, 160, 30)], ROOM)
    assert placed is not None
    assert placed[0].place == "left"
    assert placed[0].row == placed[1].row == 0


def test_lanes_keep_their_order() -> None:
    placed = place_bars([_bar(0, 50, 10, lane=3), _bar(0, 50, 10, lane=1)], ROOM)
    assert placed is not None
    assert [bar.row for bar in placed] == [1, 0]


def test_a_label_wider_than_bar_and_room_has_no_place() -> None:
    assert place_bars([_bar(100, 200, 150)], ROOM) is None


@given(st.lists(st.tuples(st.floats(0, 300), st.floats(3, 30)), max_size=12))
def test_numbers_are_moved_apart_and_keep_their_order(wanted: list[tuple[float, float]]) -> None:
    middles = sorted(middle for middle, _ in wanted)
    widths = [width for _, width in wanted]
    spans = spread_apart(middles, widths, ROOM, 2.0)
    if spans is None:
        assert sum(widths) + 2 * (len(widths) - 1) > ROOM.width_mm
        return
    for one, other in pairwise(spans):
        assert other.left_mm - one.right_mm >= 2.0 - 1e-9
    for span, width in zip(spans, widths, strict=True):
        assert span.width_mm == pytest.approx(width)
        assert ROOM.left_mm - 1e-9 <= span.left_mm
        assert span.right_mm <= ROOM.right_mm + 1e-9


def test_a_number_with_room_stands_in_its_middle() -> None:
    assert spread_apart([50.0, 150.0], [10.0, 10.0], ROOM, 2.0) == (
        Span(45.0, 55.0),
        Span(145.0, 155.0),
    )
