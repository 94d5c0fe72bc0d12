"""Shares and stages on a printed panel."""

from itertools import combinations

import pytest

from slidekit.errors import FitError
from slidekit.scene.account.listing import Listing
from slidekit.scene.model import Group, Text
from slidekit.scene.panel.compose import MARGIN_SHARE, Beside, compose_panel
from slidekit.scene.series.rows import row_of
from slidekit.scene.series.shares import Shares
from slidekit.scene.series.track import DOT_MM
from slidekit.storyboard.account import Account, Showing, Stage
from slidekit.storyboard.panels import Panel
from tests.scene.builders import DARK, LIGHT
from tests.scene.panel.test_compose import A1, A2, BODY, LEAD, TALK, VIEWS, foot, sights
from tests.storyboard.number_boards import counted

ANSWERS: tuple[Showing, ...] = ("as described", "differs", "absent", "not assessable")
SIZES = {"A2": A2, "A1": A1, "A1 wide": (841.0, 594.0)}


def listing(called: str = "Laying in") -> Listing:
    stages = {
        f"s{i}": Stage(called=called, about="It is done", here=here)
        for i, here in enumerate(ANSWERS)
    }
    account = Account(called="How it was done", source="A handbook", stages=stages)
    return Listing(account, tuple(stages))


@pytest.fixture
def shares(tmp_path) -> Shares:
    tallies = counted(tmp_path)
    return Shares(tuple(row_of(name, tallies) for name in ("holes", "sealed")))


def compose(supplements, size_mm=A2, views=1, style=DARK, body=(LEAD, *BODY)):
    panel = Panel(size_mm=size_mm, headline="Inside the urn", body=body, views=VIEWS[:views])
    return compose_panel("urn", panel, sights(), style, TALK, Beside(tuple(supplements)))


def texts(page) -> list[Text]:
    inner = (i for one in page.items for i in (one.items if isinstance(one, Group) else (one,)))
    return [one for one in inner if isinstance(one, Text)]


def group(page, name: str) -> Group:
    return next(one for one in page.items if isinstance(one, Group) and one.name == name)


def overlap(a: Text, b: Text) -> bool:
    """Whether the boxes of two texts share more than a hair; both ends of an axis stand in one."""
    x = min(a.box.right_mm, b.box.right_mm) - max(a.box.left_mm, b.box.left_mm)
    y = min(a.box.bottom_mm, b.box.bottom_mm) - max(a.box.top_mm, b.box.top_mm)
    return x > 0.1 and y > 0.1 and a.box != b.box


@pytest.mark.parametrize("style", [DARK, LIGHT], ids=["dark", "light"])
@pytest.mark.parametrize("views", [1, 2])
@pytest.mark.parametrize("size", SIZES)
def test_both_stand_with_the_text_and_touch_nothing(shares, size, views, style):
    page = compose([listing(), shares], SIZES[size], views, style)
    labels = [t for t in texts(page) if t.role not in ("label", "data")]  # marks lie on pictures
    clashes = [(a.plain, b.plain) for a, b in combinations(labels, 2) if overlap(a, b)]
    assert clashes == []
    margin = MARGIN_SHARE * min(SIZES[size])
    width, height = SIZES[size]
    for text in labels:
        assert margin - 0.1 <= text.box.left_mm
        assert text.box.right_mm <= width - margin + 0.1
        assert text.box.bottom_mm <= height - margin + 0.1


# US National Park Service, exhibit text: nothing below 24 points
@pytest.mark.parametrize("size", SIZES)
def test_nothing_that_is_to_be_read_is_smaller_than_24_points(shares, size):
    page = compose([listing(), shares], SIZES[size])
    assert min(t.size_pt for t in texts(page) if t.plain != "?") >= 24


def test_a_larger_panel_is_read_from_further_away(shares):
    radii = []
    for size in (A2, (840.0, 1188.0)):
        row = group(compose([shares], size), "Row holes")
        radii.append(max(i.radii_mm[0] for i in row.items if hasattr(i, "radii_mm") and i.fill))
    assert radii[0] > DOT_MM
    assert radii[1] > 1.5 * radii[0]


def test_a_share_is_where_it_is_on_its_axis(shares):
    page = compose([shares])
    row = group(page, "Row holes")  # 3 of 9
    ends = next(t.box for t in texts(page) if t.plain.startswith("0"))
    dot = next(i for i in row.items if hasattr(i, "radii_mm") and i.fill)
    assert dot.center_mm[0] == pytest.approx(ends.left_mm + ends.width_mm * 3 / 9)


def test_the_numbers_are_those_of_the_count(shares):
    row = group(compose([shares]), "Row sealed")
    said = [i.plain for i in row.items if isinstance(i, Text)]
    assert said[:3] == ["Lid sealed", "among: A drilled hole", "2 of 3"]
    assert row.alt.startswith("Lid sealed: 2 of 3 (A drilled hole), 67\N{NO-BREAK SPACE}%; 95 %")


def test_each_stage_is_told_with_its_answer():
    page = compose([listing()])
    said = [group(page, f"Stage s{i}").alt for i in range(4)]
    assert said == [f"Laying in: {here}" for here in ANSWERS]
    assert group(page, "Source of the stages").alt == "A handbook"


def test_without_either_a_panel_is_as_before():
    assert [i for i in compose([]).items if isinstance(i, Group) and i.name.startswith("Row")] == []
    assert foot(compose([])) == foot(compose([listing()]))


def test_too_much_for_the_panel_is_told_with_by_how_much(shares):
    body = ("Everything was laid in, one thing after the other, and nobody knows why. " * 20,)
    with pytest.raises(FitError, match=r"^its texts and pictures need \d+ mm more height at 30 pt"):
        compose([listing(), shares], body=body)


def test_names_too_long_for_any_column_are_told():
    with pytest.raises(
        FitError,
        match=r"^what its counts or stages are called is too long for 360 mm of width at 24 pt, the"
        r" least size\. Shorten what they are called, or make the panel wider\.$",
    ):
        compose([listing(called="Zusammentragen" * 6)])
