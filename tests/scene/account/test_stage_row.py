"""The row of stages along the top of a scan slide."""

import pytest

from slidekit.errors import FitError
from slidekit.scene.account.stage_row import BELOW_MM, compose_stage_row
from slidekit.scene.frame import compose_title, content_below
from slidekit.scene.model import Rect, Text
from slidekit.storyboard.account import Account, Stage, Stages
from tests.scene.builders import DARK, LIGHT

TITLE = compose_title("A coil of bronze lies at the very bottom", DARK)
ROOM = content_below(TITLE)


def stages(*called: str) -> Stages:
    every = {
        f"s{i}": Stage(called=one, about="It is done", here="absent")
        for i, one in enumerate(called)
    }
    return Stages(Account(called="How it was done", source="A handbook", stages=every))


EIGHT = stages("Burning", "Picking", "Washing", "Gift", "Bone", "Soil", "Closing", "Marking")


@pytest.mark.parametrize("style", [DARK, LIGHT], ids=["dark", "light"])
@pytest.mark.parametrize("count", [2, 8])
def test_the_cells_are_alike_and_fill_the_width(count, style):
    some = stages(*(s.called for s in list(EIGHT.known.values())[:count]))
    row, _ = compose_stage_row(some, "s1", ROOM, style)
    rules = [item.box for item in row.items if isinstance(item, Rect)]
    assert len({round(box.width_mm, 6) for box in rules}) == 1
    assert rules[0].left_mm == ROOM.left_mm
    texts = [item for item in row.items if isinstance(item, Text)]
    assert max(t.box.right_mm for t in texts) == pytest.approx(ROOM.right_mm)
    assert min(t.size_pt for t in texts) >= style.sizes["label"].least_pt


def test_it_touches_neither_the_title_nor_what_the_slide_shows():
    row, below = compose_stage_row(EIGHT, "s3", ROOM, DARK)
    boxes = [item.box for item in row.items]
    assert min(box.top_mm for box in boxes) >= TITLE.box.bottom_mm
    assert max(box.bottom_mm for box in boxes) == pytest.approx(below.top_mm - BELOW_MM)
    assert below.bottom_mm == ROOM.bottom_mm


def test_it_costs_less_than_a_twelfth_of_the_height_of_the_slide():
    _, below = compose_stage_row(EIGHT, "s3", ROOM, DARK)
    assert below.top_mm - ROOM.top_mm < 190.5 / 12


def test_the_present_stage_is_marked_by_more_than_its_colour():
    row, _ = compose_stage_row(EIGHT, "s3", ROOM, DARK)
    heights = [item.box.height_mm for item in row.items if isinstance(item, Rect)]
    assert [i for i, height in enumerate(heights) if height == max(heights)] == [3]
    bold = [i.plain for i in row.items if isinstance(i, Text) and i.paragraphs[0].runs[0].bold]
    assert bold == ["Gift"]


def test_the_cells_do_not_move_from_slide_to_slide():
    lefts = [
        [item.box.left_mm for item in compose_stage_row(EIGHT, one, ROOM, DARK)[0].items]
        for one in EIGHT
    ]
    assert all(one == lefts[0] for one in lefts)


def test_a_name_too_long_for_its_cell_is_answered_with_what_to_do():
    long = stages("Burning", "Gathering of the burnt bone from the ashes", *"ABCDEF")
    with pytest.raises(
        FitError,
        match=r"^the name of the stage `s1` is \d+ mm wider than its cell in the row of stages at"
        r" 14 pt, the least size\. Shorten `called` of `s1`, or give the account fewer stages\.$",
    ):
        compose_stage_row(long, "s0", ROOM, DARK)
