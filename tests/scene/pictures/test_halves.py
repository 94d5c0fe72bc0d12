"""Pictures in two windows: the line between them and the names of the halves."""

from dataclasses import replace

import pytest

from slidekit.scans.model import GreyWindow
from slidekit.scene.model import Box, Group, Polyline, Text
from slidekit.scene.pictures.compose import Heed, compose_sight, data_line
from slidekit.scene.pictures.halves import compose_halves
from slidekit.scene.pictures.letters import overlap_mm2
from slidekit.scene.sights.windowing import UsedWindow
from tests.scene.builders import AXIAL, DARK, axial_picture, axial_sight, cast, round_region

BOX = Box(20, 40, 150, 120)
WINDOWS = (
    UsedWindow(GreyWindow(40, 400), "style", "soft_tissue"),
    UsedWindow(GreyWindow(400, 1800), "style", "bone"),
)


def split_sight(**changes):
    picture = axial_picture(scales=tuple(window.scale for window in WINDOWS), **changes)
    return axial_sight(picture=picture, windows=WINDOWS)


def texts(items) -> list[Text]:
    return [i for group in items if isinstance(group, Group) for i in group.items
            if isinstance(i, Text)]  # fmt: skip


def test_the_line_stands_on_the_seam_of_the_pixels():
    for columns in (400, 401):
        sight = split_sight(grid=replace(AXIAL, columns=columns))
        halves = next(i for i in compose_sight(sight, (), BOX, cast(), DARK) if i.name == "Halves")
        lines = [item for item in halves.items if isinstance(item, Polyline)]
        across = BOX.left_mm + 200 / columns * BOX.width_mm
        for line in lines:
            assert [x for x, _ in line.points_mm] == pytest.approx([across, across])
            assert [y for _, y in line.points_mm] == [BOX.top_mm, BOX.bottom_mm]
        assert lines[0].stroke.width_pt > lines[1].stroke.width_pt  # the halo lies under it


def test_halves_are_named_for_eyes_and_for_those_who_cannot_see():
    items = compose_sight(split_sight(), (), BOX, cast(), DARK)
    assert {"soft tissue", "bone"} <= {text.plain for text in texts(items)}
    halves = next(item for item in items if item.name == "Halves")
    assert halves.alt == "Left half in window soft tissue, right half in window bone"
    assert data_line(split_sight()) == (
        "axial z 30 mm · window soft tissue 40/400 HU at left, bone 400/1800 HU at right"
    )


def test_a_picture_in_one_window_has_no_line():
    assert all(i.name != "Halves" for i in compose_sight(axial_sight(), (), BOX, cast(), DARK))


def test_names_letters_and_the_scale_bar_keep_clear_of_each_other():
    region = round_region("coil", -92, -72, radius=6)
    items = compose_sight(split_sight(), (region,), BOX, cast("coil"), DARK)
    boxes = [text.box for text in texts(items)]
    for i, one in enumerate(boxes):
        assert not any(overlap_mm2(one, other) for other in boxes[i + 1 :])


def test_names_stand_below_where_a_corner_is_taken():
    locator = Box(BOX.left_mm, BOX.top_mm, 40, 30)
    items = compose_sight(split_sight(), (), BOX, cast(), DARK, Heed(taken=(locator,)))
    names = [text.box for text in texts(items) if text.plain in ("soft tissue", "bone")]
    assert len(names) == 2
    assert all(box.bottom_mm > BOX.bottom_mm - 10 for box in names)


def test_names_are_left_out_of_narrow_pictures():
    narrow = Box(0, 0, 40, 60)
    halves = compose_halves(WINDOWS, 0.5, narrow, (), DARK)
    assert texts([halves]) == []
    assert halves.alt.endswith("bone")
