"""The scale of a timeline and the years written on it."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.evidence.dates import Era, parse_date
from slidekit.scene.timeline.axis import scale_for
from slidekit.scene.timeline.places import Span

ROOM = Span(14.0, 324.0)


def _width_mm(text: str) -> float:
    return 4.0 * len(text)


@pytest.mark.parametrize(
    ("first", "last", "era", "labels"),
    [
        ("1600 BCE", "476 CE", "BCE/CE", ["1500 BCE", "1000 BCE", "500 BCE", "1 CE", "500 CE"]),
        ("30 BCE", "30 CE", "BCE/CE", ["30 BCE", "20 BCE", "10 BCE", "1 CE", "10 CE", "20 CE"]),
        ("1 BCE", "60 CE", "BC/AD", ["AD 1", "AD 10", "AD 20", "AD 30", "AD 40", "AD 50", "AD 60"]),
        ("1922", "2019", "BCE/CE", [f"{year} CE" for year in range(1920, 2021, 20)]),
        ("12,000 BCE", "4000 BCE", "BC/AD", ["12,000 BC", "10,000 BC", "8000 BC", "6000 BC"]),
    ],
)
def test_the_years_written_are_round(first: str, last: str, era: Era, labels: list[str]) -> None:
    years = parse_date(first).earliest, parse_date(last).latest
    _, ticks = scale_for(years, ROOM, era, _width_mm)
    assert [tick.label for tick in ticks][: len(labels)] == labels


@given(st.integers(-100_000, 3000), st.integers(0, 50_000), st.sampled_from(["BCE/CE", "BC/AD"]))
def test_years_ascend_are_true_and_do_not_touch(first: int, length: int, era: Era) -> None:
    scale, ticks = scale_for((first, first + length), ROOM, era, _width_mm)
    assert all(one.label_mm.right_mm < other.label_mm.left_mm for one, other in pairwise(ticks))
    for tick in ticks:
        assert parse_date(tick.label).earliest == tick.year
        x = scale.x_mm(tick.year)
        assert ROOM.left_mm - 1e-6 <= x <= ROOM.right_mm + 1e-6
        assert ROOM.left_mm - 1e-6 <= tick.label_mm.left_mm
        assert tick.label_mm.right_mm <= ROOM.right_mm + 1e-6


@given(st.integers(-100_000, 3000), st.integers(0, 50_000))
def test_the_axis_holds_all_years_and_little_more(first: int, length: int) -> None:
    last = first + length
    scale, _ = scale_for((first, last), ROOM, "BCE/CE", _width_mm)
    assert scale.first <= first
    assert last <= scale.last
    assert scale.last - scale.first <= 1.13 * max(length, 10)


def test_equal_times_are_equally_long_across_1_bce() -> None:
    scale, _ = scale_for((-100, 100), ROOM, "BCE/CE", _width_mm)
    before, turn, after = (
        scale.x_mm(parse_date(text).earliest) for text in ("50 BCE", "1 CE", "51 CE")
    )
    assert turn - before == pytest.approx(after - turn)  # 50 years each: there is no year 0
