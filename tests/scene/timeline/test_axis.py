"""The scale of a timeline and the years written on it."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.errors import FitError
from slidekit.evidence.dates.parse import parse_date
from slidekit.evidence.dates.words import Era, Manner
from slidekit.scene.timeline.axis import Extent, Scale, scale_for
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
    years = Extent(parse_date(first).first or 0, parse_date(last).last or 0)
    _, ticks = scale_for(years, ROOM, Manner(era), _width_mm)
    assert [tick.label for tick in ticks][: len(labels)] == labels


@given(st.integers(-100_000, 3000), st.integers(0, 50_000), st.sampled_from(["BCE/CE", "BC/AD"]))
def test_years_ascend_are_true_and_do_not_touch(first: int, length: int, era: Era) -> None:
    scale, ticks = scale_for(Extent(first, first + length), ROOM, Manner(era), _width_mm)
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
    scale, _ = scale_for(Extent(first, last), ROOM, Manner(), _width_mm)
    (shown,) = scale.stretches
    assert shown.first <= first
    assert last <= shown.last
    assert shown.last - shown.first <= 1.13 * max(length, 10)


def test_equal_times_are_equally_long_across_1_bce() -> None:
    scale, _ = scale_for(Extent(-100, 100), ROOM, Manner(), _width_mm)
    before, turn, after = (
        scale.x_mm(parse_date(text).earliest) for text in ("50 BCE", "1 CE", "51 CE")
    )
    assert turn - before == pytest.approx(after - turn)  # 50 years each: there is no year 0


def test_months_are_written_where_days_are_known() -> None:
    years = Extent(parse_date("21 April 1931").first or 0, 1932.1, in_days=True)
    _, ticks = scale_for(years, ROOM, Manner("BC/AD", "de"), _width_mm)
    assert [tick.label for tick in ticks] == [
        "April 1931",
        "Juli 1931",
        "Oktober 1931",
        "Januar 1932",
        "April 1932",
    ]
    assert ticks[1].year == pytest.approx(1931 + (30 + 31 + 30 + 90) / 365)  # the 1st of July


def test_beyond_what_is_known_the_axis_goes_on_without_years() -> None:
    scale, ticks = scale_for(Extent(-300_000, 2019, opens=(True, True)), ROOM, Manner(), _width_mm)
    assert (scale.left_mm, scale.right_mm) == ROOM
    assert scale.x_mm(-300_000) > ROOM.left_mm + 9
    assert scale.x_mm(2019) < ROOM.right_mm - 9
    assert max(tick.year for tick in ticks) <= 2019


ZOOMS = st.lists(st.tuples(st.floats(0, 1), st.floats(0, 0.3)), min_size=1, max_size=3)


@given(st.integers(-50_000, 1000), st.integers(200, 60_000), ZOOMS)
def test_a_zoomed_axis_ascends_and_its_years_are_true(
    first: int, length: int, shares: list[tuple[float, float]]
) -> None:
    last = first + length
    zooms = tuple(
        (first + start * length, min(first + (start + share) * length, last))
        for start, share in shares
    )
    try:
        scale, ticks = scale_for(Extent(first, last, zooms=zooms), ROOM, Manner("BC/AD"), _width_mm)
    except FitError:
        return
    _check_stretches(scale)
    assert all(one.label_mm.right_mm < other.label_mm.left_mm for one, other in pairwise(ticks))
    for tick in ticks:
        assert parse_date(tick.label).earliest == tick.year
    for start, end in zooms:  # what is zoomed at is on one stretch
        assert any(
            one.first <= start and end <= one.last and not one.compressed for one in scale.stretches
        )


def _check_stretches(scale: Scale) -> None:
    """They follow each other, in years as in millimetres, and change at every break."""
    for one, other in pairwise(scale.stretches):
        assert one.last == other.first
        assert one.right_mm == pytest.approx(other.left_mm)
        assert one.compressed != other.compressed
    plain = {round(one.mm_per_year, 9) for one in scale.stretches if not one.compressed}
    assert len(plain) == 1
    assert all(factor >= 1.4 for factor in scale.factors)
    assert scale.x_mm(scale.stretches[0].first) >= ROOM.left_mm - 1e-6
    assert scale.x_mm(scale.stretches[-1].last) <= ROOM.right_mm + 1e-6


def test_the_factor_says_how_much_closer_years_stand() -> None:
    scale, _ = scale_for(Extent(-1599, 400, zooms=((-1299, -799),)), ROOM, Manner(), _width_mm)
    (before, zoomed, after) = scale.stretches
    for stretch, factor in zip((before, after), scale.factors, strict=True):
        century_mm = scale.x_mm(stretch.first + 100) - scale.x_mm(stretch.first)
        zoomed_mm = scale.x_mm(-1000) - scale.x_mm(-1100)
        assert zoomed_mm / century_mm == pytest.approx(factor)
    assert zoomed.first == pytest.approx(-1299 - 20)  # with a rim of 4 %


def test_a_zoom_at_everything_is_refused() -> None:
    with pytest.raises(
        FitError,
        match=r"^the periods of `zoom` already fill the timeline: there is nothing to compress\."
        r" Leave out `zoom`, or name fewer periods\.$",
    ):
        scale_for(Extent(-1599, 400, zooms=((-1500, 300),)), ROOM, Manner(), _width_mm)
