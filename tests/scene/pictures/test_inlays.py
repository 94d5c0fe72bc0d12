from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import ScanError
from slidekit.scans.geometry import lps_from_pixel
from slidekit.scans.model import Grid
from slidekit.scene.color import contrast_ratio
from slidekit.scene.model import Box, Group, Picture, Polyline, Rect, Text
from slidekit.scene.pictures.inlay_items import compose_ensemble
from slidekit.scene.pictures.inlays import arrange
from slidekit.scene.pictures.letters import overlap_mm2
from tests.scene.builders import (
    AXIAL,
    DARK,
    LIGHT,
    axial_picture,
    axial_sight,
    cast,
    round_region,
)

BOX = Box(20, 40, 150, 120)
CORONAL = Grid((-100, 0, 130), (1, 0, 0), (0, 0, -1), 0.5, 0.5, rows=320, columns=400)
BLACK = np.zeros((320, 400), np.uint8)


def front(grid: Grid = CORONAL, **changes):
    picture = axial_picture(
        grid, plane="coronal", at_mm=grid.origin_lps[1], letters=("R", "H", "L", "F"), **changes
    )
    return axial_sight("front", picture)


def part(column: int, row: int, columns: int, rows: int):
    """A part of the axial picture, at its own pixels."""
    origin = tuple(lps_from_pixel(AXIAL, (column, row)).tolist())
    grid = replace(AXIAL, origin_lps=origin, rows=rows, columns=columns)
    return axial_sight("base, part", axial_picture(grid))


def drawn(sight=None, regions=(), locator=None, inset=None, style=DARK):
    ensemble = arrange(sight or axial_sight(), regions, locator, inset)
    box = BOX._replace(width_mm=BOX.height_mm * ensemble.aspect)
    return compose_ensemble(ensemble, box, cast(*(r.name for r in regions)), style)


def boxes(items) -> dict[str, Box]:
    return {item.name: item.box for item in items if isinstance(item, Picture)}


def named(items, start: str) -> Group:
    return next(i for i in items if isinstance(i, Group) and i.name.startswith(start))


def test_the_line_lies_where_the_plane_does():
    # axial z = 30 on a coronal picture whose top pixel row is at z = 130, bottom row at -29.5
    items = drawn(locator=front())
    place = boxes(items)["front"]
    line = next(i for i in named(items, "Where").items if isinstance(i, Polyline))
    share = (130.25 - 30) / 160
    for _x, y in line.points_mm:
        assert y == pytest.approx(place.top_mm + share * place.height_mm)
    # the axial picture reaches from x = -100.25 to 99.75, as the coronal one does
    ends = sorted(x for x, _ in line.points_mm)
    assert ends == pytest.approx([place.left_mm, place.right_mm])


@pytest.mark.parametrize("style", [DARK, LIGHT])
def test_the_line_or_its_halo_stands_out_from_any_grey(style):
    # WCAG 2.2, 1.4.11: 3:1
    lines = [i for i in named(drawn(locator=front(), style=style), "Where").items if stroked(i)]
    halo, line = (one.stroke.color for one in lines[-2:])
    for level in range(256):
        grey = f"#{level:02X}{level:02X}{level:02X}"
        assert max(contrast_ratio(grey, halo), contrast_ratio(grey, line)) >= 3


def stroked(item) -> bool:
    return isinstance(item, Polyline) and item.stroke is not None


@pytest.mark.parametrize("z", [127.0, 110.0, 50.0, -20.0])
def test_the_letters_of_a_locator_stand_clear_of_its_line(z):
    sight = axial_sight(picture=axial_picture(replace(AXIAL, origin_lps=(-100.0, -100.0, z))))
    group = named(drawn(sight, locator=front()), "Where")
    line = next(one for one in group.items if isinstance(one, Polyline))
    texts = [one for one in group.items if isinstance(one, Text)]
    assert {text.plain for text in texts} == {"R", "H"}
    for text in texts:
        assert not text.box.top_mm <= line.points_mm[0][1] <= text.box.bottom_mm


def test_the_line_is_as_long_as_the_picture_reaches():
    small = axial_sight(picture=axial_picture(replace(AXIAL, columns=100)))
    items = drawn(small, locator=front())
    place = boxes(items)["front"]
    line = next(i for i in named(items, "Where").items if isinstance(i, Polyline))
    ends = sorted(x for x, _ in line.points_mm)
    assert ends == pytest.approx([place.left_mm, place.left_mm + place.width_mm / 4])


def test_a_cut_that_misses_the_locator_is_refused():
    high = front(replace(CORONAL, origin_lps=(-100, 0, 300)))
    with pytest.raises(ScanError, match=r"^the cut of `base` does not pass through `front`\. "):
        drawn(locator=high)


@pytest.mark.parametrize("share", [1.0, 0.5, 0.2])
@pytest.mark.parametrize("larger", [False, True])
def test_a_locator_beside_a_low_picture_of_a_row_is_as_large_as_others(share, larger):
    empty = axial_sight(picture=axial_picture(pixels=BLACK))
    inset = (part(40, 40, 40, 30), 3.0) if larger else None
    ensemble = arrange(empty, (), front(), inset, share)
    box = ensemble.locator.box
    assert max(box.width_mm, box.height_mm) * share >= 0.28 - 1e-9
    assert box.bottom_mm == pytest.approx(1) or box.right_mm < empty.aspect
    others = [] if ensemble.inset is None else [ensemble.inset.box]
    assert not any(overlap_mm2(box, other) for other in others)


def test_a_corner_that_is_empty_may_not_stay_so_while_a_picture_moves():
    empty = axial_sight(picture=axial_picture(pixels=BLACK))
    still, moving = (arrange(empty, (), front(), None, moving=m) for m in (False, True))
    assert still.locator.box.right_mm < empty.aspect
    assert moving.locator.box.left_mm > empty.aspect


def test_a_locator_stands_in_an_empty_corner():
    empty = axial_sight(picture=axial_picture(pixels=BLACK))
    items = drawn(empty, locator=front())
    whole, small = boxes(items)["base"], boxes(items)["front"]
    assert overlap_mm2(whole, small) == pytest.approx(small.width_mm * small.height_mm)
    assert small.center_mm[0] > whole.center_mm[0]
    assert small.center_mm[1] < whole.center_mm[1]


def test_a_locator_leaves_a_corner_to_a_mark():
    empty = axial_sight(picture=axial_picture(pixels=BLACK))
    regions = (round_region("coil", 80, -60),)  # patient left, front: the upper right
    items = drawn(empty, regions, locator=front())
    whole, small = boxes(items)["base"], boxes(items)["front"]
    assert small.center_mm[0] < whole.center_mm[0]


def test_a_locator_never_covers_what_is_to_be_seen():
    items = drawn(locator=front())  # a picture of one grey
    assert overlap_mm2(boxes(items)["base"], boxes(items)["front"]) == 0


@settings(max_examples=40, deadline=None)
@given(st.floats(-90, 90), st.floats(-70, 70), st.booleans())
def test_locators_cover_no_mark_and_no_letter(x, y, dark):
    sight = axial_sight(picture=axial_picture(pixels=BLACK)) if dark else axial_sight()
    regions = (round_region("coil", x, y, radius=9),)
    items = drawn(sight, regions, locator=front())
    small = boxes(items)["front"]
    mark = named(items, "Mark A")
    letters = [i.box for i in mark.items if isinstance(i, Text)]
    sides = [i.box for i in named(items, "Scale and sides").items if isinstance(i, Text)]
    assert not any(overlap_mm2(small, box) > 0 for box in (*letters, *sides))


def test_the_letters_of_a_locator_stay_off_its_line():
    items = drawn(locator=front(replace(CORONAL, origin_lps=(-100, 0, 110))))  # line in the middle
    group = named(items, "Where")
    (_, y), _ = next(i for i in group.items if isinstance(i, Polyline)).points_mm
    for text in (i for i in group.items if isinstance(i, Text)):
        assert not text.box.top_mm <= y <= text.box.bottom_mm


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 320), st.integers(0, 240), st.floats(1.5, 3.5))
def test_an_inset_is_as_many_times_larger_as_it_says(column, row, times):
    inset = part(column, row, 80, 80)
    items = drawn(inset=(inset, times))
    whole, larger = boxes(items)["base"], boxes(items)["base, part"]
    per_mm = whole.width_mm / 200  # 400 columns of half a millimetre
    assert larger.width_mm == pytest.approx(40 * per_mm * times)
    assert larger.height_mm == pytest.approx(40 * per_mm * times)
    assert overlap_mm2(whole, larger) == 0


def test_the_frame_is_the_edge_of_the_part():
    items = drawn(inset=(part(100, 80, 80, 40), 3.0))
    whole = boxes(items)["base"]
    rects = [i.box for i in named(items, "Part of base").items if isinstance(i, Rect)]
    frame = min(rects, key=lambda box: box.width_mm)
    assert frame == pytest.approx(
        Box(
            whole.left_mm + whole.width_mm * 100 / 400,
            whole.top_mm + whole.height_mm * 80 / 320,
            whole.width_mm * 80 / 400,
            whole.height_mm * 40 / 320,
        )
    )


def test_a_region_within_the_part_is_marked_on_both():
    inside, outside = round_region("coil", -30, -20, radius=3), round_region("plug", 60, 40)
    items = drawn(regions=(inside, outside), inset=(part(100, 80, 80, 80), 3.0))
    larger = boxes(items)["base, part"]
    marks = [i for i in items if isinstance(i, Group) and i.name.startswith("Mark A")]
    assert len(marks) == 2
    assert sum(i.name.startswith("Mark B") for i in items if isinstance(i, Group)) == 1
    letter = next(i for i in marks[1].items if isinstance(i, Text))
    assert overlap_mm2(letter.box, larger) > 0


def test_an_inset_has_a_scale_bar_of_its_own():
    items = drawn(inset=(part(100, 80, 80, 80), 3.0))
    group = named(items, "Part of base")
    bar = next(i for i in group.items if isinstance(i, Polyline) and len(i.points_mm) == 4)
    larger = boxes(items)["base, part"]
    length = bar.points_mm[2][0] - bar.points_mm[1][0]
    assert length / larger.width_mm * 40 == pytest.approx(10)
    assert "10 mm" in [i.plain for i in group.items if isinstance(i, Text)]
    assert "×3" in [i.plain for i in group.items if isinstance(i, Text)]


def test_locator_and_inset_stand_clear_of_each_other():
    for rows in (40, 60, 90):
        items = drawn(locator=front(), inset=(part(100, 80, 80, rows), 3.0))
        places = boxes(items).values()
        assert all(overlap_mm2(a, b) == 0 for a, b in combinations(places, 2))
        assert all(box.bottom_mm <= BOX.bottom_mm + 1e-6 for box in places)
