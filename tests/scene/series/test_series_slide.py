from itertools import combinations, pairwise

import pytest

from slidekit.errors import FitError
from slidekit.scene.model import Box, Ellipse, Group, Polyline, Text
from slidekit.scene.series import compose_series
from slidekit.scene.text import text_height_mm
from slidekit.storyboard.slides import SeriesSlide
from tests.scene.builders import DARK, LIGHT
from tests.storyboard.boards import spoiled
from tests.storyboard.number_boards import BOARD, TABLE, counted

ROOM = Box(14, 30, 310, 145)


def chart(tmp_path, *names, board=BOARD, table=TABLE, style=DARK, room=ROOM, steps=None, **fields):
    slide = SeriesSlide(id="a", kind="series", title="t", counts=names, **fields)
    return compose_series(slide, room, counted(tmp_path, board, table), steps or {}, style)


def group(items, name: str) -> Group:
    return next(item for item in items if isinstance(item, Group) and item.name == name)


def words(item) -> list[str]:
    return [one.plain.replace("\N{NO-BREAK SPACE}", " ") for one in item.items
            if isinstance(one, Text)]  # fmt: skip


def x_of(items, percent: int) -> float:
    """Where the axis puts a share: the middle of its label."""
    label = next(t for t in group(items, "Axis").items
                 if isinstance(t, Text) and t.plain == f"{percent}\N{NO-BREAK SPACE}%")  # fmt: skip
    return label.box.center_mm[0]


def texts(items) -> list[Text]:
    found = []
    for item in items:
        found += [item] if isinstance(item, Text) else []
        found += (
            [one for one in item.items if isinstance(one, Text)] if isinstance(item, Group) else []
        )
    return found


def test_a_row_gives_count_n_percent_interval_and_what_is_missing(tmp_path):
    row = group(chart(tmp_path, "holes"), "Row holes")
    assert words(row) == ["A drilled hole", "not known: 1", "3 of 9", "33 % (12 to 65 %)"]
    assert row.alt.replace("\N{NO-BREAK SPACE}", " ") == (
        "A drilled hole: 3 of 9 urns, 33 %; 95 % interval 12 to 65 %; not known: 1; "
        "P05 is among them"
    )


def test_a_row_of_a_count_of_a_count_says_among_which_cases(tmp_path):
    row = group(chart(tmp_path, "sealed"), "Row sealed")
    assert words(row)[:2] == ["Lid sealed", "among: A drilled hole"]


def test_the_axis_runs_from_nothing_to_everything_and_is_even(tmp_path):
    items = chart(tmp_path, "holes")
    ticks = [x_of(items, percent) for percent in (0, 25, 50, 75, 100)]
    steps = [right - left for left, right in pairwise(ticks)]
    assert steps == pytest.approx([steps[0]] * 4)


def test_dot_and_interval_stand_where_the_axis_says(tmp_path):
    items = chart(tmp_path, "holes")
    row = group(items, "Row holes")
    start, whole = x_of(items, 0), x_of(items, 100) - x_of(items, 0)
    dot = next(one for one in row.items if isinstance(one, Ellipse) and one.fill)
    assert dot.center_mm[0] == pytest.approx(start + whole / 3)
    line = [one for one in row.items if isinstance(one, Polyline)][1]
    assert [x for x, _ in line.points_mm] == pytest.approx(
        [start + whole * 0.120585, start + whole * 0.645799], abs=1e-3
    )


def test_the_commonest_comes_first_unless_the_author_orders(tmp_path):
    names = ("holes", "sealed", "early")  # 3 of 9, 2 of 3, 4 of 10
    rows = [i.name for i in chart(tmp_path, *names) if isinstance(i, Group)][1:]
    assert rows == ["Row sealed", "Row early", "Row holes"]
    rows = [i.name for i in chart(tmp_path, *names, order="written") if isinstance(i, Group)][1:]
    assert rows == ["Row holes", "Row sealed", "Row early"]


@pytest.mark.parametrize("look", ["intervals", "cases"])
def test_a_row_comes_on_at_its_click(tmp_path, look):
    items = chart(tmp_path, "holes", "sealed", chart=look, steps={"holes": 2})
    name = "Row" if look == "intervals" else "Cases"
    assert group(items, f"{name} holes").step == 2
    assert group(items, f"{name} sealed").step == 0


def test_the_case_of_the_talk_is_ringed_in_the_rows_that_have_it(tmp_path):
    items = chart(tmp_path, "holes", "early")
    ellipses = {
        name: sum(isinstance(one, Ellipse) for one in group(items, f"Row {name}").items)
        for name in ("holes", "early")
    }
    assert ellipses == {"holes": 2, "early": 1}
    assert "Ring: with P05 of this talk." in items[-1].plain


def test_every_case_has_a_mark_and_those_that_have_it_are_filled(tmp_path):
    row = group(chart(tmp_path, "holes", chart="cases"), "Cases holes")
    marks = [one for one in row.items if isinstance(one, Ellipse)]
    assert sum(one.fill == DARK.colors.accent for one in marks) == 3
    assert sum(one.fill is not None for one in marks) == 9
    assert sum(one.fill is None for one in marks) == 1 + 1  # one not known, one ring
    assert words(row) == [
        "A drilled hole (not known: 1)", "3 of 9 · 33 % (12 to 65 %)",
    ]  # fmt: skip


def test_the_legend_explains_the_marks_that_are_there(tmp_path):
    assert words(group(chart(tmp_path, "holes", chart="cases"), "Legend")) == [
        "has it", "has it not", "not known", "P05 of this talk",
    ]  # fmt: skip
    board = spoiled("    this_case: P05\n", "", BOARD)
    legend = group(chart(tmp_path, "early", chart="cases", board=board), "Legend")
    assert words(legend) == ["has it", "has it not"]


CASES = [
    (look, names, style)
    for look in ("intervals", "cases")
    for names in (("holes",), ("holes", "sealed", "tall"), ("holes", "early", "late"))
    for style in (DARK, LIGHT)
]


@pytest.mark.parametrize(("look", "names", "style"), CASES)
def test_every_text_fits_its_box_in_the_room_and_none_lies_on_another(tmp_path, look, names, style):
    items = chart(tmp_path, *names, chart=look, style=style)
    found = texts(items)
    for text in found:
        needed = text_height_mm(text.paragraphs, text.box.width_mm, text.size_pt)
        assert needed <= text.box.height_mm + 0.01, text.plain
        assert text.box.left_mm >= ROOM.left_mm - 0.01
        assert text.box.right_mm <= ROOM.right_mm + 0.01
        assert ROOM.top_mm - 0.01 <= text.box.top_mm
        assert text.box.bottom_mm <= ROOM.bottom_mm + 0.01
        role = "body" if text.role == "label" else text.role
        assert text.size_pt >= style.sizes[role].least_pt
    for a, b in combinations([text.box for text in found], 2):
        across = min(a.right_mm, b.right_mm) - max(a.left_mm, b.left_mm)
        down = min(a.bottom_mm, b.bottom_mm) - max(a.top_mm, b.top_mm)
        assert across <= 0.01 or down <= 0.01


@pytest.mark.parametrize(
    ("look", "instead"),
    [
        ("intervals", "or shorten what they are called"),
        ("cases", "or write `chart: intervals`, which takes any number of cases"),
    ],
)
def test_rows_that_do_not_fit_are_told(tmp_path, look, instead):
    low = ROOM._replace(height_mm=40)
    with pytest.raises(
        FitError,
        match=r"^the rows need \d+ mm more height at 20 pt, the least size\. "
        rf"Show fewer counts, {instead}\.$",
    ):
        chart(tmp_path, "holes", "sealed", "early", "late", chart=look, room=low)


def test_marks_of_a_large_series_shrink_until_they_would_not_be_seen(tmp_path):
    rows = [f"Q{i:04d},early,none,none,loose,150" for i in range(900)]
    table = TABLE + "\n".join(rows) + "\n"
    row = group(chart(tmp_path, "holes", chart="cases", table=table), "Cases holes")
    radii = {one.radii_mm[0] for one in row.items if isinstance(one, Ellipse)}
    assert min(radii) > 1.0
    more = [f"R{i:04d},early,none,none,loose,150" for i in range(4000)]
    table += "\n".join(more) + "\n"
    with pytest.raises(FitError, match="write `chart: intervals`"):
        chart(tmp_path, "holes", chart="cases", table=table)
