"""Whole timelines: labels never collide, nothing leaves the box, what is not known is shown so."""

from itertools import combinations, pairwise
from pathlib import Path

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from slidekit.errors import FitError
from slidekit.evidence.dates.words import Manner
from slidekit.evidence.dates.years import Date, Day, date_among, date_of_days
from slidekit.scene.color import contrast_ratio
from slidekit.scene.model import Box, Group, Item, Polyline, Rect, Shape, Text
from slidekit.scene.style import Style, load_style
from slidekit.scene.text import line_width_mm, text_height_mm
from slidekit.scene.timeline import Counted, Wish, compose_timeline
from slidekit.storyboard.chronology import Chronology, Event, Period

DARK = load_style("lecture-dark", Path())
LIGHT = load_style("lecture-light", Path())
BOX = Box(14.0, 30.0, 310.0, 146.0)  # what a slide leaves under a title of one line
CLOSE_MM = 1e-6

WORDS = st.text("abcdefghijklmnopqrstuvwxyz", min_size=1, max_size=10)
LABELS = st.lists(WORDS, min_size=1, max_size=4).map(" ".join)
FLAWS = {"approximate": st.booleans(), "uncertain": st.booleans()}


@st.composite
def dates(draw: st.DrawFn) -> Date:
    first = draw(st.integers(-3000, 2000))
    length = draw(st.sampled_from([0, 0, 0, 9, 99]))
    return Date(first, first + length, draw(st.booleans()), draw(st.booleans()))


@st.composite
def moments(draw: st.DrawFn) -> Date:
    """Dates of events: also days, limits and sets."""
    one = draw(dates())
    match draw(st.sampled_from(["years", "day", "before", "after", "set"])):
        case "day":
            day = Day(one.earliest or 0, 5, 17)
            return date_of_days(day, day)
        case "before":
            return Date(None, one.latest, one.approximate, one.uncertain)
        case "after":
            return Date(one.earliest, None, one.approximate, one.uncertain)
        case "set":
            return date_among([one, draw(dates())], every=draw(st.booleans()))
    return one


@st.composite
def periods(draw: st.DrawFn) -> Period:
    start = draw(dates())
    last = (start.latest or 0) + draw(st.integers(0, 1500))
    end = Date(last, last, draw(st.booleans()), draw(st.booleans()))
    open_end = st.sampled_from([Date(None, None), Date(None, None, lasting=True)])
    which = draw(st.sampled_from(["both", "both", "both", "start", "end"]))
    return Period(
        label=draw(LABELS),
        start=draw(open_end) if which == "end" else start,
        end=draw(open_end) if which == "start" else end,
        lane=draw(st.integers(1, 4)),
    )


EVENTS = st.builds(Event, label=LABELS, at=moments())


@st.composite
def chronologies(draw: st.DrawFn) -> Chronology:
    era = draw(st.sampled_from(["BCE/CE", "BC/AD"]))
    bars = draw(st.lists(periods(), min_size=1, max_size=12))
    events = draw(st.lists(EVENTS, min_size=0, max_size=10))
    lanes = draw(st.sets(st.sampled_from([bar.lane for bar in bars])))
    return Chronology(
        era=era,
        periods={f"p{i}": period for i, period in enumerate(bars)},
        events={f"e{i}": event for i, event in enumerate(events)},
        this_case=draw(st.none() | EVENTS),
        lanes={lane: draw(LABELS) for lane in sorted(lanes)},
    )


@st.composite
def wishes(draw: st.DrawFn, chronology: Chronology) -> Wish:
    names = [*chronology.periods, *chronology.events]
    cases = st.dictionaries(st.sampled_from(list(chronology.periods)), st.integers(0, 80))
    counted = draw(st.none() | st.builds(Counted, cases, LABELS))
    return Wish(
        draw(st.lists(st.sampled_from(names), unique=True, max_size=4)),
        draw(st.lists(st.sampled_from(names), unique=True, max_size=2)),
        counted if counted and counted.cases else None,
        Manner(chronology.era, draw(st.sampled_from(["en", "de", "fr"]))),
    )


def _groups(items: tuple[Item, ...]) -> list[Group]:
    groups = [item for item in items if isinstance(item, Group)]
    assert len(groups) == len(items)
    return groups


def _texts(items: tuple[Item, ...]) -> list[Text]:
    return [part for group in _groups(items) for part in group.items if isinstance(part, Text)]


def _shapes(group: Group) -> list[Shape]:
    return [part for part in group.items if not isinstance(part, Text)]


def _is_within(inner: Box, outer: Box) -> bool:
    return (
        inner.left_mm >= outer.left_mm - CLOSE_MM
        and inner.right_mm <= outer.right_mm + CLOSE_MM
        and inner.top_mm >= outer.top_mm - CLOSE_MM
        and inner.bottom_mm <= outer.bottom_mm + CLOSE_MM
    )


def _overlap(one: Box, other: Box) -> bool:
    return (
        one.left_mm < other.right_mm - CLOSE_MM
        and other.left_mm < one.right_mm - CLOSE_MM
        and one.top_mm < other.bottom_mm - CLOSE_MM
        and other.top_mm < one.bottom_mm - CLOSE_MM
    )


def _extent(shape: Shape) -> Box:
    match shape:
        case Rect():
            return shape.box
        case Polyline():
            xs, ys = zip(*shape.points_mm, strict=True)
            return Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
    (x, y), (rx, ry) = shape.center_mm, shape.radii_mm
    return Box(x - rx, y - ry, 2 * rx, 2 * ry)


def _check_layout(items: tuple[Item, ...], style: Style) -> None:
    texts = _texts(items)
    for text in texts:
        assert _is_within(text.box, BOX), text
        assert text.size_pt >= style.sizes["label"].least_pt
        _check_fits(text)
    for one, other in combinations(texts, 2):
        assert not _overlap(one.box, other.box), (one.plain, other.plain)
    for group in _groups(items):
        for shape in _shapes(group):
            # a dot on the very end of the axis may stand out by its radius
            assert _is_within(_extent(shape), BOX.inset(-2.7, 0)), (group.name, shape)


def _check_fits(text: Text) -> None:
    assert text_height_mm(text.paragraphs, text.box.width_mm, text.size_pt) <= (
        text.box.height_mm + CLOSE_MM
    )
    for paragraph in text.paragraphs:
        for run in paragraph.runs:
            for word in run.text.split(" "):
                width = line_width_mm(word, text.size_pt, bold=run.bold)
                assert width <= text.box.width_mm


@settings(max_examples=25, deadline=None)
@given(chronologies(), st.data())
def test_labels_neither_collide_nor_leave_the_box(
    chronology: Chronology, data: st.DataObject
) -> None:
    wish = data.draw(wishes(chronology))
    try:
        items = compose_timeline(chronology, wish, BOX, DARK)
    except FitError as error:
        event(f"does not fit: {error.wrong[:20]}")
        return
    _check_layout(items, DARK)
    names = [*chronology.periods, *chronology.events]
    assert len(_groups(items)) >= 1 + len(names)


def _crosses(pole: Polyline, label: Box) -> bool:
    (x, top), (_, bottom) = pole.points_mm
    return label.left_mm < x < label.right_mm and top < label.bottom_mm and bottom > label.top_mm


@settings(max_examples=30, deadline=None)
@given(st.lists(EVENTS, min_size=2, max_size=8))
def test_no_pole_runs_through_a_label(events: list[Event]) -> None:
    chronology = Chronology(events={f"e{i}": event for i, event in enumerate(events)})
    groups = [
        group
        for group in _groups(compose_timeline(chronology, Wish(), BOX, DARK))
        if group.name.startswith("Event")
    ]
    poles = [next(one for one in group.items if isinstance(one, Polyline)) for group in groups]
    labels = [text.box for group in groups for text in group.items if isinstance(text, Text)]
    assert len(poles) == len(labels) == len(events)
    assert not any(_crosses(pole, label) for pole in poles for label in labels)


URN = Chronology.model_validate(
    {
        "periods": {
            "middle": {"label": "Middle Bronze Age", "start": "c. 1600 BCE", "end": "1300 BCE"},
            "late": {"label": "Late Bronze Age", "start": "1300 BCE", "end": "800 BCE"},
            "iron": {"label": "Iron Age", "start": "800 BCE", "end": "15 BCE"},
            "cemetery": {
                "label": "Cemetery in use",
                "start": "13th century BCE",
                "end": "950 BCE?",
                "lane": 2,
            },
        },
        "events": {
            "buried": {"label": "The urn is buried", "earliest": "1010 BCE", "latest": "940 BCE"},
            "kiln": {"label": "Kiln of the same clay", "at": "c. 1150 BCE"},
            "road": {"label": "Road cuts the mound", "at": "47 CE"},
        },
    }
)


def _named(items: tuple[Item, ...], name: str) -> Group:
    return next(group for group in _groups(items) if group.name == name)


def test_each_period_and_event_is_a_group_with_its_dates_in_words() -> None:
    items = compose_timeline(URN, Wish(("late", "buried")), BOX, DARK)
    assert [group.alt for group in _groups(items)] == [
        "Time axis; the dates run from 1600 BCE to 47 CE",
        "Period: Middle Bronze Age, c. 1600 to 1300 BCE",
        "Period: Late Bronze Age, 1300 to 800 BCE, highlighted",
        "Period: Iron Age, 800 to 15 BCE",
        "Period: Cemetery in use, 13th century BCE to 950 BCE?",
        "Event: The urn is buried, between 1010 and 940 BCE, highlighted",
        "Event: Kiln of the same clay, c. 1150 BCE",
        "Event: Road cuts the mound, 47 CE",
        "Legend of the timeline: approximate; uncertain; approximate or uncertain moment;"
        " some time within",
    ]


def test_the_axis_says_years_of_both_eras() -> None:
    axis = _named(compose_timeline(URN, Wish(), BOX, DARK), "Time axis")
    years = [text.plain for text in axis.items if isinstance(text, Text)]
    assert years == ["1500 BCE", "1000 BCE", "500 BCE", "1 CE"]


def test_bars_and_markers_are_to_scale() -> None:
    items = compose_timeline(URN, Wish(), BOX, DARK)
    iron = _extent(_shapes(_named(items, "Period: Iron Age"))[0])
    late = _extent(_shapes(_named(items, "Period: Late Bronze Age"))[0])
    span = _extent(_shapes(_named(items, "Event: The urn is buried"))[1])
    mm_per_year = (late.width_mm + 0.7) / 500  # each end is cut by a hairline of 0.35 mm
    assert iron.width_mm + 0.7 == pytest.approx(785 * mm_per_year)
    assert iron.left_mm - 0.35 == pytest.approx(late.right_mm + 0.35)
    assert span.width_mm == pytest.approx(70 * mm_per_year)


def test_periods_of_one_lane_stay_in_one_row() -> None:
    items = compose_timeline(URN, Wish(("late",)), BOX, DARK)
    tops = [
        round(_extent(_shapes(_named(items, f"Period: {name}"))[0]).top_mm, 6)
        for name in ("Middle Bronze Age", "Late Bronze Age", "Iron Age", "Cemetery in use")
    ]
    assert len(set(tops[:3])) == 1
    assert tops[3] > tops[0]


def test_overlapping_periods_of_one_lane_get_rows_of_their_own() -> None:
    both = Chronology.model_validate(
        {
            "periods": {
                "salt": {"label": "Salt mining", "start": "1500 BCE", "end": "300 BCE"},
                "urns": {"label": "Urnfields", "start": "1300 BCE", "end": "750 BCE"},
            }
        }
    )
    bars = [
        _extent(_shapes(group)[0])
        for group in _groups(compose_timeline(both, Wish(), BOX, DARK))[1:]
    ]
    assert not _overlap(*bars)


def test_approximate_ends_fade_towards_the_ground() -> None:
    items = compose_timeline(URN, Wish(("middle",)), BOX, DARK)
    steps = [
        shape.fill
        for shape in _shapes(_named(items, "Period: Middle Bronze Age"))
        if isinstance(shape, Rect) and shape.fill
    ]
    contrasts = [contrast_ratio(fill, DARK.colors.ground) for fill in steps]
    assert len(steps) > 4
    assert contrasts == sorted(contrasts)
    assert steps[-1] == DARK.colors.accent


def test_uncertain_ends_are_dashed() -> None:
    items = compose_timeline(URN, Wish(), BOX, DARK)
    dashed = {
        group.name
        for group in _groups(items)
        for shape in group.items
        if isinstance(shape, Polyline) and shape.stroke and shape.stroke.dash == "dash"
    }
    assert dashed == {"Period: Cemetery in use", "Legend"}


def test_dates_known_to_the_year_need_no_legend() -> None:
    firm = Chronology.model_validate(
        {"periods": {"iron": {"label": "Iron Age", "start": "800 BCE", "end": "15 BCE"}}}
    )
    assert [group.name for group in _groups(compose_timeline(firm, Wish(), BOX, DARK))] == [
        "Time axis",
        "Period: Iron Age",
    ]


@pytest.mark.parametrize("style", [DARK, LIGHT], ids=["dark", "light"])
def test_a_highlighted_label_is_bold_and_reads_on_the_accent(style: Style) -> None:
    group = _named(compose_timeline(URN, Wish(("late",)), BOX, style), "Period: Late Bronze Age")
    (label,) = [part for part in group.items if isinstance(part, Text)]
    assert label.paragraphs[0].runs[0].bold
    assert contrast_ratio(label.color, style.colors.accent) >= 4.5  # WCAG 2.2, 1.4.3


def test_events_alone_make_a_timeline() -> None:
    events = {"found": {"label": "Found", "at": "1922"}, "scan": {"label": "Scan", "at": "2019"}}
    items = compose_timeline(Chronology.model_validate({"events": events}), Wish(), BOX, DARK)
    _check_layout(items, DARK)


def test_two_events_of_one_year_share_a_pole() -> None:
    events = {name: {"label": name, "at": "1922"} for name in ("found", "sold")}
    items = compose_timeline(Chronology.model_validate({"events": events}), Wish(), BOX, DARK)
    _check_layout(items, DARK)
    poles = {
        shape.points_mm[0][0]
        for group in _groups(items)[1:]
        for shape in group.items
        if isinstance(shape, Polyline)
    }
    assert len(poles) == 1


def test_too_much_is_refused_with_the_lacking_height() -> None:
    periods = {
        f"p{i}": {"label": f"Period {i}", "start": "1300 BCE", "end": "800 BCE"} for i in range(20)
    }
    with pytest.raises(
        FitError,
        match=r"^The timeline needs \d+ mm more height at 14 pt, the least size of its labels\."
        r" Leave out periods or events, shorten their labels, or give periods that do not overlap"
        r" the same lane\.$",
    ):
        compose_timeline(Chronology.model_validate({"periods": periods}), Wish(), BOX, DARK)


def test_events_that_crowd_are_refused() -> None:
    events = {
        f"e{i}": {"label": "A rather long name of it", "at": str(1900 + i)} for i in range(40)
    }
    with pytest.raises(
        FitError,
        match=r"^The labels of the timeline cannot be kept apart at 14 pt, the least size of its"
        r" labels\. Shorten the longest labels, or leave out events that lie close together\.$",
    ):
        compose_timeline(Chronology.model_validate({"events": events}), Wish(), BOX, DARK)


def test_a_timeline_without_dates_is_refused() -> None:
    with pytest.raises(
        FitError, match=r"^The timeline has nothing to show\. Add a period or an event\.$"
    ):
        compose_timeline(Chronology(), Wish(), BOX, DARK)


CASE = {"label": "This urn", "earliest": "1000 BCE", "latest": "c. 850 BCE"}
ALL = URN.model_copy(
    update={
        "this_case": Event.model_validate(CASE),
        "lanes": {2: "Burials"},
    }
)


def test_the_case_of_the_talk_goes_through_all_lanes_and_dots_show_on_top_of_it() -> None:
    items = compose_timeline(ALL, Wish(), BOX, DARK)
    names = [group.name for group in _groups(items)]
    case_at = names.index("This case: This urn")
    assert names.index("Event: The urn is buried") < case_at
    assert case_at < names.index("Event: Kiln of the same clay")  # a dot
    assert names.index("When: This urn") < names.index("Period: Iron Age")  # behind the bars
    case = _named(items, "This case: This urn")
    assert case.alt == "This case: This urn, between 1000 and c. 850 BCE"
    band = _extent(_shapes(_named(items, "When: This urn"))[0])
    marker = _extent(_shapes(case)[1])
    assert (band.left_mm, band.width_mm) == pytest.approx((marker.left_mm, marker.width_mm))
    bars = _extent(_shapes(_named(items, "Period: Cemetery in use"))[0])
    assert band.top_mm == pytest.approx(marker.center_mm[1])
    assert band.bottom_mm >= bars.bottom_mm


def test_the_case_of_one_year_is_a_line_through_all_lanes() -> None:
    case = Event.model_validate({"label": "This urn", "at": "c. 1020 BCE"})
    items = compose_timeline(URN.model_copy(update={"this_case": case}), Wish(), BOX, DARK)
    (line,) = _shapes(_named(items, "When: This urn"))
    assert isinstance(line, Polyline)
    assert line.stroke is not None
    assert line.stroke.dash == "dash"  # it is only approximate


def test_only_doubtful_limits_of_the_case_are_dashed() -> None:
    items = compose_timeline(ALL, Wish(), BOX, DARK)
    _, *edges = _shapes(_named(items, "When: This urn"))
    assert [edge.stroke.dash for edge in edges if edge.stroke] == ["solid", "dash"]


def test_the_axis_is_interrupted_where_its_scale_changes() -> None:
    plain, zoomed = (
        [
            shape
            for shape in _shapes(_named(compose_timeline(URN, wish, BOX, DARK), "Time axis"))
            if isinstance(shape, Polyline) and shape.points_mm[0][1] == shape.points_mm[1][1]
        ]
        for wish in (Wish(), Wish(zoom=("late",)))
    )
    assert len(plain) == 1
    assert len(zoomed) == 3
    assert all(
        other.points_mm[0][0] - one.points_mm[1][0] == pytest.approx(1.8)
        for one, other in pairwise(zoomed)
    )


def test_a_lane_has_its_name_beside_its_rows() -> None:
    items = compose_timeline(ALL, Wish(), BOX, DARK)
    (name,) = [part for part in _named(items, "Lane: Burials").items if isinstance(part, Text)]
    bar = _extent(_shapes(_named(items, "Period: Cemetery in use"))[0])
    assert name.box.left_mm == BOX.left_mm
    assert name.box.center_mm[1] == pytest.approx(bar.center_mm[1])


def test_compressed_time_is_hatched_between_breaks_and_the_legend_says_how_much() -> None:
    items = compose_timeline(ALL, Wish(zoom=("late",)), BOX, DARK)
    (plate, *hatches) = _shapes(_named(items, "Compressed time"))[:30]
    assert isinstance(plate, Rect)
    assert plate.fill == DARK.colors.plate
    assert all(_is_within(_extent(line), plate.box) for line in hatches[:5])
    late = _extent(_shapes(_named(items, "Period: Late Bronze Age"))[0])
    iron = _extent(_shapes(_named(items, "Period: Iron Age"))[0])
    assert late.width_mm / 500 > 2 * iron.width_mm / 785
    legend = _named(items, "Legend")
    assert "compressed: years 4 to 5 times closer" in legend.alt


def test_counts_stand_on_columns_as_long_as_cases_are_many() -> None:
    counted = Counted({"middle": 0, "late": 30, "iron": 15}, "Counted: 45 of 50 urns")
    items = compose_timeline(URN, Wish(("late",), counted=counted), BOX, DARK)
    group = _named(items, "Cases by period")
    assert group.alt == (
        "Counted: 45 of 50 urns: Middle Bronze Age 0, Late Bronze Age 30, Iron Age 15"
    )
    late, iron = (shape for shape in _shapes(group) if isinstance(shape, Rect))
    assert late.box.height_mm == pytest.approx(2 * iron.box.height_mm)
    assert late.box.bottom_mm == pytest.approx(iron.box.bottom_mm)
    assert (late.fill, iron.fill) == (DARK.colors.accent, DARK.colors.quiet)
    assert "Counted: 45 of 50 urns" in [text.plain for text in _texts(items)]


def test_what_goes_on_ends_in_a_point_at_the_end_of_the_axis() -> None:
    chronology = Chronology.model_validate(
        {
            "periods": {
                "iron": {"label": "Iron Age", "start": "800 BCE", "end": ".."},
                "clay": {"label": "Clay dug", "start": "unknown", "end": "200 BCE", "lane": 2},
            },
            "events": {"sealed": {"label": "Sealed", "at": "after 300 BCE"}},
        }
    )
    items = compose_timeline(chronology, Wish(), BOX, DARK)
    iron = [_extent(shape) for shape in _shapes(_named(items, "Period: Iron Age"))]
    assert max(box.right_mm for box in iron) == pytest.approx(BOX.right_mm, abs=0.5)
    clay = [_extent(shape) for shape in _shapes(_named(items, "Period: Clay dug"))]
    assert sum(box.width_mm for box in clay[1:2]) < 12  # no length is claimed
    assert "goes on, or no limit is known" in _named(items, "Legend").alt
    assert _named(items, "Event: Sealed").alt == "Event: Sealed, after 300 BCE"


def test_each_date_of_a_set_has_its_marker() -> None:
    events = {
        "robbed": {"label": "Robbed twice", "at": "{-0899,-0599}"},
        "felled": {"label": "Oak felled", "at": "[-0799,-0699..-0649]"},
    }
    items = compose_timeline(Chronology.model_validate({"events": events}), Wish(), BOX, DARK)
    assert len(list(_shapes(_named(items, "Event: Robbed twice")))) == 2 + 2
    felled = _named(items, "Event: Oak felled")
    assert felled.alt == "Event: Oak felled, 800 BCE or between 700 and 650 BCE"


def test_a_calibrated_date_is_drawn_with_its_probability_and_its_sample() -> None:
    date = {"from": "2905 cal BP", "to": "2780 cal BP", "percent": 95.4, "lab": "XY-1234"}
    events = {"twigs": {"label": "Twigs", "calibrated": {**date, "curve": "IntCal20"}}}
    items = compose_timeline(Chronology.model_validate({"events": events}), Wish(), BOX, DARK)
    words = [text.plain.replace("\N{NO-BREAK SPACE}", " ") for text in _texts(items)]
    assert "Twigs\ncal 956–831 BCE (95.4 %)" in words
    assert "Twigs: XY-1234, IntCal20" in words


def test_notes_that_are_too_long_for_a_line_take_several() -> None:
    counted = Counted({"late": 3}, "Counted under the periods: " + "a very long word of it " * 12)
    items = compose_timeline(URN, Wish(counted=counted), BOX, DARK)
    _check_layout(items, DARK)
    assert sum("very long" in text.plain for text in _texts(items)) >= 2
