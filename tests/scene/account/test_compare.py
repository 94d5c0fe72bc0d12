"""The compare slide: native shapes, measured, two to eight stages, legible in both styles."""

from itertools import pairwise

import pytest

from slidekit.errors import FitError
from slidekit.scene.account.compare import compose_compare
from slidekit.scene.account.entries import Entry, Spot
from slidekit.scene.account.signs import compose_sign
from slidekit.scene.color import contrast_ratio
from slidekit.scene.model import Box, Ellipse, Group, Polyline, Text
from slidekit.storyboard.account import Account, Showing, Stage
from tests.scene.builders import DARK, LIGHT

ROOM = Box(14.0, 28.5, 310.7, 148.0)
ANSWERS: tuple[Showing, ...] = ("as described", "differs", "absent", "not assessable")
STYLES = pytest.mark.parametrize("style", [DARK, LIGHT], ids=["dark", "light"])


def stage(i: int, about: str = "It is laid upon the rest", note: str = "It lies below") -> Stage:
    answer = ANSWERS[i % 4]
    return Stage(called=f"Stage {i}", about=about, here=answer, note=note, by=("coil",))


def account(count: int, **words) -> Account:
    stages = {f"stage_{i}": stage(i, **words) for i in range(count)}
    return Account(called="How it was done", source="A handbook", stages=stages)


def entries(of: Account) -> list[Entry]:
    spots = (Spot(9, "coil", "B"), Spot(4, "plug"), Spot(9, "coil", "A"))
    return [Entry(n, i, s, spots, None, i) for i, (n, s) in enumerate(of.stages.items(), 1)]


def rows(items) -> list[Group]:
    return [one for one in items if isinstance(one, Group)]


def texts(items) -> list[Text]:
    inner = [i for one in items for i in (one.items if isinstance(one, Group) else (one,))]
    return [one for one in inner if isinstance(one, Text)]


@STYLES
@pytest.mark.parametrize("count", [2, 6, 8])
def test_two_to_eight_stages_fit_without_touching_each_other(count, style):
    told = account(count)
    items = compose_compare(told, entries(told), ROOM, style)
    assert len(rows(items)) == count
    bottoms = [max(t.box.bottom_mm for t in texts([row])) for row in rows(items)]
    tops = [min(t.box.top_mm for t in texts([row])) for row in rows(items)]
    assert all(bottom <= top for bottom, top in zip(bottoms, tops[1:], strict=False))
    assert all(ROOM.top_mm <= t.box.top_mm for t in texts(items))
    assert all(t.box.bottom_mm <= ROOM.bottom_mm + 0.01 for t in texts(items))
    assert all(t.box.right_mm <= ROOM.right_mm + 0.01 for t in texts(items))
    foot = next(one for one in items if isinstance(one, Text) and one.name == "Sources")
    assert bottoms[-1] < foot.box.top_mm


# ANSI/AVIXA V202.01 (basic decision making) at 7 picture heights asks for 3.5 % of the height of
# capitals; the style's least sizes are chosen by it, and nothing here may go below them.
@STYLES
def test_nothing_is_smaller_than_the_style_allows(style):
    told = account(8)
    items = compose_compare(told, entries(told), ROOM, style)
    answers = [t for t in texts(items) if t.plain in ANSWERS]
    assert min(t.size_pt for t in answers) > style.sizes["caption"].least_pt
    words = [t for t in texts(items) if t.plain != "?"]
    assert min(t.size_pt for t in words) >= style.sizes["caption"].least_pt


def test_fewer_stages_are_set_larger():
    sizes = []
    for count in (2, 8):
        told = account(count)
        items = compose_compare(told, entries(told), ROOM, DARK)
        sizes.append(next(t.size_pt for t in texts(items) if t.plain == "differs"))
    assert sizes[0] > sizes[1]


def test_too_many_words_are_answered_with_what_to_do():
    told = account(8, about="Everything that was brought is laid in again, in order. " * 3)
    with pytest.raises(
        FitError,
        match=r"^the stages need \d+ mm more height at 16 pt, the least size\. Shorten `about` and"
        r" `note` of the stages, or show only some of them with `stages`\.$",
    ):
        compose_compare(told, entries(told), ROOM, DARK)


def test_slides_come_in_their_order_each_with_its_letters_and_a_link():
    told = account(2)
    (paragraph,) = entries(told)[0].links("#112233")
    assert paragraph.plain == "4, 9\N{NO-BREAK SPACE}(A,\N{NO-BREAK SPACE}B)"
    assert [run.link for run in paragraph.runs if run.link] == ["plug", "coil"]


def test_a_row_is_told_to_those_who_cannot_see_it():
    told = account(2)
    assert entries(told)[1].alt == (
        "2, Stage 1: It is laid upon the rest; this case: differs; It lies below; on slide:"
        " 4, 9\N{NO-BREAK SPACE}(A,\N{NO-BREAK SPACE}B)"
    )


def outline(sign) -> tuple[str, bool, str]:
    """What makes a sign in grey, to somebody who sees no colour."""
    first = sign[0]
    dash = first.stroke.dash if first.stroke else ""
    kind = "ellipse" if isinstance(first, Ellipse) else "corners"
    return kind, first.fill is not None, dash


@STYLES
def test_the_four_signs_differ_without_colour(style):
    signs = [compose_sign(one, (10.0, 10.0), 4.0, style) for one in ANSWERS]
    assert len({outline(sign) for sign in signs}) == 4


@STYLES
def test_a_sign_stands_out_from_the_ground_and_its_glyph_from_the_sign(style):
    """WCAG 2.2, success criterion 1.4.11: 3:1."""
    for answer in ANSWERS:
        first, *rest = compose_sign(answer, (10.0, 10.0), 4.0, style)
        color = first.fill or first.stroke.color
        assert contrast_ratio(color, style.colors.ground) >= 3
        for glyph in rest:
            drawn = glyph.color if isinstance(glyph, Text) else glyph.fill or glyph.stroke.color
            assert contrast_ratio(drawn, first.fill or style.colors.ground) >= 3


@pytest.mark.parametrize("answer", ANSWERS)
def test_a_sign_stays_within_its_size(answer):
    for item in compose_sign(answer, (10.0, 10.0), 4.0, DARK):
        if isinstance(item, Polyline):
            assert all(abs(x - 10) <= 5.01 and abs(y - 10) <= 5.01 for x, y in item.points_mm)
        if isinstance(item, Ellipse):
            half = item.stroke.width_pt * 25.4 / 72 / 2 if item.stroke else 0.0
            assert item.radii_mm[0] + half <= 4.01


def test_heads_and_cells_stand_in_line():
    told = account(3)
    items = compose_compare(told, entries(told), ROOM, DARK)
    head = [t.box.left_mm for t in items if isinstance(t, Text)][:3]
    first = [t.box.left_mm for t in texts(rows(items)[:1])]
    assert head[0] == first[0]
    assert head[2] == first[-1]
    assert all(a < b for a, b in pairwise(head))
