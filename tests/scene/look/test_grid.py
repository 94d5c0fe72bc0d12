"""A view with its grid: every line stands where its number says."""

from itertools import combinations

import pytest

from slidekit.errors import ScanError
from slidekit.scene.look import compose_grid_page
from slidekit.scene.model import Box, Group, Page, Picture, Polyline, Text
from slidekit.scene.sights.figures import page_points
from tests.scene.builders import AXIAL, DARK, axial_picture, axial_sight, round_region
from tests.scene.look.test_rulers import _series

SERIES = _series(AXIAL)


def _named(page: Page, name: str) -> Group:
    return next(item for item in page.items if isinstance(item, Group) and item.name == name)


def _picture(page: Page) -> Picture:
    return next(item for item in page.items if isinstance(item, Picture))


def _texts(page: Page) -> list[Text]:
    parts = [
        part for item in page.items for part in (item.items if isinstance(item, Group) else (item,))
    ]
    return [part for part in parts if isinstance(part, Text)]


def test_a_grid_line_stands_at_its_patient_coordinate() -> None:
    page = compose_grid_page(axial_sight(), SERIES, (), DARK)
    box = _picture(page).box
    (number,) = [
        part
        for part in _named(page, "Ruler bottom").items
        if isinstance(part, Text) and part.plain == "−40"
    ]
    region = round_region("coil", -40.0, 10.0)
    ((x, _), *_) = page_points(region.figure, axial_picture(), box)
    upright = [
        line.points_mm[0][0]
        for line in _named(page, "Grid").items
        if isinstance(line, Polyline) and line.points_mm[0][0] == line.points_mm[1][0]
    ]
    assert number.box.center_mm[0] == pytest.approx(x)
    assert any(at == pytest.approx(x) for at in upright)


def test_regions_are_outlined_and_named() -> None:
    regions = (round_region("coil", -40, 10), round_region("plug", 30, -20, mark_key="blue"))
    page = compose_grid_page(axial_sight(), SERIES, regions, DARK)
    assert _named(page, "Mark A: the coil").step == 0
    assert _named(page, "Mark B: the plug").step == 0
    assert "the plug" in " ".join(text.plain for text in _texts(page))


def test_the_page_says_how_coordinates_are_written() -> None:
    page = compose_grid_page(axial_sight(), SERIES, (), DARK)
    words = max((text.plain for text in _texts(page)), key=len)
    assert words.splitlines() == [
        "axial z 30 mm · window soft tissue 40/400 HU",
        "Write [x, y] in patient millimetres; the middle is [0, 0].",
        "x grows towards the side marked L, y towards P.",
    ]


def test_an_acquired_slice_is_written_in_pixels_or_in_three_coordinates() -> None:
    picture = axial_picture(plane="acquired", slice_number=1)
    page = compose_grid_page(axial_sight(picture=picture), SERIES, (), DARK)
    words = max((text.plain for text in _texts(page)), key=len)
    assert words.splitlines()[1:] == [
        "Write [column, row] in pixels of this slice; the middle is [50, 40].",
        "In patient millimetres write all three, [x, y, z]; here z is 30.",
    ]
    assert _named(page, "Ruler top").alt == "Ruler at the top: column from 0 to 100 pixels"
    assert _named(page, "Ruler right").alt == "Ruler at the right: y from -80 to 80 millimetres"


@pytest.mark.parametrize("plane", ["axial", "acquired"])
def test_nothing_overlaps_or_leaves_the_page(plane: str) -> None:
    picture = axial_picture(plane=plane, slice_number=1 if plane == "acquired" else None)
    regions = (round_region("coil", -40, 10), round_region("plug", 30, -20, mark_key="blue"))
    page = compose_grid_page(axial_sight(picture=picture), SERIES, regions, DARK)
    width, height = page.size_mm
    boxes = [text.box for text in _texts(page)]
    for box in boxes:
        assert box.left_mm >= 0
        assert box.top_mm >= 0
        assert box.right_mm <= width
        assert box.bottom_mm <= height
    assert not any(_overlap(one, other) for one, other in combinations(boxes, 2))


def _overlap(one: Box, other: Box) -> bool:
    across = min(one.right_mm, other.right_mm) - max(one.left_mm, other.left_mm)
    down = min(one.bottom_mm, other.bottom_mm) - max(one.top_mm, other.top_mm)
    return across > 1e-6 and down > 1e-6


def test_a_region_off_the_picture_is_refused() -> None:
    with pytest.raises(ScanError, match=r"^it reaches .* beyond the edge of the picture"):
        compose_grid_page(axial_sight(), SERIES, (round_region("coil", 150, 0),), DARK)


def test_more_regions_than_letters_stay_apart() -> None:
    regions = [round_region(f"r{i}", -80 + 5 * i, 0, radius=2) for i in range(28)]
    page = compose_grid_page(axial_sight(), SERIES, regions, DARK)
    assert _named(page, "Mark Z: the r25")
    assert _named(page, "Mark A1: the r26")
