from itertools import pairwise
from math import inf

import pytest

from slidekit.errors import FitError
from slidekit.scene.frame import compose_title, content_below
from slidekit.scene.materials import compose_materials
from slidekit.scene.materials.axis import Axis, limits_of
from slidekit.scene.model import Box, Group, Polyline, Rect, Text
from tests.scene.builders import DARK, LIGHT, measured_area
from tests.scene.reading_builders import answer, band

RESIN, WAX, SAND = band("resin", -20, 50), band("wax", -100, -46), band("sand", 500, 1300)
BRONZE = band("bronze", 50_000, 90_000)
STYLES = pytest.mark.parametrize("style", [DARK, LIGHT], ids=["dark", "light"])


def composed(found, style=DARK):
    return compose_materials(found, content_below(compose_title("Title", style)), style)


def group(items, name: str) -> Group:
    return next(item for item in items if isinstance(item, Group) and item.name == name)


def texts(item) -> list[str]:
    return [one.plain for one in getattr(item, "items", (item,)) if isinstance(one, Text)]


def bars(row: Group) -> list[Rect]:
    return [item for item in row.items if isinstance(item, Rect)]


def test_the_answer_stands_first_as_sentences():
    said = composed(answer(WAX, RESIN, mix=(WAX, RESIN)))[0]
    assert said.paragraphs[0].plain == ("The CT numbers exclude wax; resin remains possible.")
    assert said.paragraphs[1].plain.endswith("of wax by volume in resin would fit.")


@STYLES
def test_the_caution_is_always_printed(style):
    items = composed(answer(RESIN), style)
    caution = next(item for item in items if getattr(item, "name", "") == "Caution")
    assert caution.plain.startswith("CT numbers alone do not name a substance: beam hardening")
    assert caution.size_pt >= style.sizes["caption"].least_pt


def test_excluded_candidates_differ_by_word_and_shape_and_not_by_colour_alone():
    items = composed(answer(WAX, RESIN))
    excluded, possible = group(items, "Candidate wax"), group(items, "Candidate resin")
    assert "excluded" in texts(excluded)
    assert "possible" in texts(possible)
    assert bars(excluded)[0].stroke.dash == "dash"
    assert bars(excluded)[0].fill == DARK.colors.ground  # hollow
    assert bars(possible)[0].fill == DARK.colors.accent


def test_bars_are_calculated_and_whiskers_reach_as_far_as_scanners_differ():
    found = answer(WAX, RESIN)
    row = group(composed(found), "Candidate resin")
    (bar,) = bars(row)
    whisker = next(item for item in row.items if isinstance(item, Polyline))
    left, right = whisker.points_mm[0][0], whisker.points_mm[1][0]
    per_hu = bar.box.width_mm / 70  # -20 to 50
    assert bar.box.left_mm - left == pytest.approx(12 * per_hu)  # 10 and a tenth of 20
    assert right - bar.box.right_mm == pytest.approx(15 * per_hu)


def test_what_was_measured_crosses_all_rows():
    items = composed(answer(WAX, RESIN, SAND))
    strip = next(i for i in group(items, "Measured range").items if isinstance(i, Rect)).box
    for name in ("wax", "resin", "sand"):
        for text in (i for i in group(items, f"Candidate {name}").items if isinstance(i, Text)):
            assert strip.top_mm < text.box.center_mm[1] < strip.bottom_mm


def test_the_strip_ends_where_the_measured_range_does():
    found = answer(WAX, RESIN)
    items = composed(found)
    strip = next(i for i in group(items, "Measured range").items if isinstance(i, Rect)).box
    (bar,) = bars(group(items, "Candidate resin"))
    per_hu = bar.box.width_mm / 70
    assert strip.left_mm == pytest.approx(bar.box.left_mm + 17 * per_hu)  # -3
    assert strip.width_mm == pytest.approx(40 * per_hu)  # to 37


def test_candidates_are_sorted_as_they_are_given_from_the_top_down():
    items = composed(answer(WAX, RESIN, SAND))
    rows = [group(items, f"Candidate {name}") for name in ("wax", "resin", "sand")]
    tops = [next(i for i in row.items if isinstance(i, Text)).box.top_mm for row in rows]
    assert tops == sorted(tops)


def test_a_band_beyond_the_axis_ends_in_an_arrow_and_is_told_in_figures():
    items = composed(answer(RESIN, BRONZE))
    row = group(items, "Candidate bronze")
    assert "45,000 to 99,000" in texts(row)
    tips = [i for i in row.items if isinstance(i, Polyline) and i.closed]
    assert len(tips) == 1
    details = next(i for i in items if getattr(i, "name", "") == "What the bands rest on")
    assert "Arrows: beyond the axis." in details.plain


def test_the_axis_holds_all_that_was_measured_and_all_that_remains():
    low, high = limits_of(answer(RESIN, WAX, SAND, BRONZE), [RESIN, WAX, SAND, BRONZE])
    assert low < -23  # the least sample, and the lower end of resin, -32
    assert 65 < high < 500  # sand would squeeze resin


def test_excluded_candidates_near_by_are_on_the_axis():
    low, _ = limits_of(answer(WAX, RESIN), [WAX, RESIN])
    assert low < -120


def test_an_axis_never_shows_the_whole_range_of_metals():
    metal = measured_area(n=500, mean=2900, sd=100, clipped=400, clipped_at_top=400)
    found = answer(BRONZE, mean=2900, sd=100, measure=metal)
    assert found.measured[1] == inf
    _, high = limits_of(found, [BRONZE])
    assert high < 4500


def test_ct_numbers_beyond_the_axis_stand_at_its_edge():
    axis = Axis((-100, 100), Box(50, 0, 200, 10), 14)
    assert (axis.x_mm(-100), axis.x_mm(0), axis.x_mm(100)) == (50, 150, 250)
    assert (axis.x_mm(-5000), axis.x_mm(5000)) == (50, 250)


def test_ticks_are_round_and_have_room():
    axis = Axis((-130, 95), Box(0, 0, 120, 10), 14)
    assert axis.ticks == (-100, -50, 0, 50)


@STYLES
@pytest.mark.parametrize("count", [1, 4, 8, 11])
def test_everything_stays_within_its_room(style, count):
    bands = [band(f"a_rather_long_resin_{i}", -30 + i, 40 + i) for i in range(count)]
    room = content_below(compose_title("Title", style))
    for item in composed(answer(*bands), style):
        for one in getattr(item, "items", (item,)):
            if isinstance(one, (Text, Rect)):
                assert one.box.top_mm >= room.top_mm - 1e-6
                assert one.box.bottom_mm <= room.bottom_mm + 1e-6
                assert one.box.left_mm >= room.left_mm - 1e-6
                assert one.box.right_mm <= room.right_mm + 1e-6


def test_texts_of_a_row_do_not_meet_the_next_row():
    items = composed(answer(*(band(f"resin_{i}", -30 + i, 40 + i) for i in range(10))))
    rows = [i for i in items if isinstance(i, Group) and i.name.startswith("Candidate")]
    for above, below in pairwise(rows):
        bottom = max(t.box.bottom_mm for t in above.items if isinstance(t, Text))
        top = min(t.box.top_mm for t in below.items if isinstance(t, Text))
        assert bottom <= top + 1e-6


def test_where_not_all_have_a_row_those_that_remain_and_the_nearest_do():
    far = [band(f"metal_{i:02}", 5000 + 100 * i, 5100 + 100 * i) for i in range(30)]
    items = composed(answer(RESIN, *far))
    shown = {i.name for i in items if isinstance(i, Group)}
    assert {"Candidate resin", "Candidate metal_00", "Candidate metal_01"} <= shown
    assert "Candidate metal_29" not in shown
    details = next(i for i in items if getattr(i, "name", "") == "What the bands rest on")
    assert "Excluded too, farther off:" in details.plain


def test_too_many_that_remain_are_refused_with_what_to_write():
    with pytest.raises(FitError, match=r"^40 candidates remain possible, and"):
        composed(answer(*(band(f"resin_{i}", -20, 50) for i in range(40))))


def test_every_group_can_be_read_without_being_seen():
    items = composed(answer(WAX, RESIN))
    assert group(items, "Candidate wax").alt == "wax: −120 to −31 HU, excluded"
    assert group(items, "Measured").alt == (
        "Measured in the seal: 500 samples, of which the middle 90 % are −3 to 37 HU"
    )
