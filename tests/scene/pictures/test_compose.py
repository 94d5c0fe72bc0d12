import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.scans.model import GreyWindow, Grid, PlaneRequest
from slidekit.scene.model import Box, Group, Picture, Polyline, Text
from slidekit.scene.pictures.compose import compose_sight, data_line
from slidekit.scene.pictures.whereabouts import signed
from slidekit.scene.sights.model import letters_for
from slidekit.scene.sights.requests import plane_request
from slidekit.scene.sights.windowing import UsedWindow
from slidekit.storyboard.views import ShownView, View
from tests.scene.builders import DARK, axial_picture, axial_sight, cast, round_region

BOX = Box(20, 40, 150, 120)


def furniture(sight) -> Group:
    return next(i for i in compose_sight(sight, (), BOX, cast(), DARK) if isinstance(i, Group))


def test_the_data_line_says_plane_position_and_window():
    assert data_line(axial_sight()) == "axial z 30 mm · window soft tissue 40/400 HU"


def test_the_data_line_says_the_slab():
    picture = axial_picture(slab_mm=5.0, slab="max", at_mm=-12.5)
    assert data_line(axial_sight(picture=picture)).startswith("axial z −12.5 mm · slab 5 mm max")


def test_a_unit_that_is_not_known_is_not_called_hu():
    sight = axial_sight(
        picture=axial_picture(unit=""), windows=(UsedWindow(GreyWindow(40, 400), "author"),)
    )
    assert data_line(sight) == "axial z 30 mm · window 40/400"


def test_an_acquired_slice_is_named_by_its_number():
    picture = axial_picture(plane="acquired", slice_number=7)
    assert data_line(axial_sight(picture=picture)).startswith("acquired slice 7 · ")


@pytest.mark.parametrize(
    ("value", "written"), [(0.0, "0"), (-3.0, "−3"), (12.34, "12.3"), (-0.04, "0"), (40.0, "40")]
)
def test_numbers_are_written_to_a_tenth_with_a_true_minus(value, written):
    assert signed(value) == written


def test_all_four_sides_are_lettered_where_they_are():
    texts = {i.plain: i.box for i in furniture(axial_sight()).items if isinstance(i, Text)}
    assert texts["R"].center_mm[0] < texts["A"].center_mm[0] < texts["L"].center_mm[0]
    assert texts["A"].center_mm[1] < texts["R"].center_mm[1] < texts["P"].center_mm[1]


@given(st.integers(40, 900), st.floats(0.1, 3))
def test_the_scale_bar_is_as_long_as_it_says(columns, pixel_mm):
    grid = Grid((0, 0, 30), (1, 0, 0), (0, 1, 0), pixel_mm, pixel_mm, columns, columns)
    group = furniture(axial_sight(picture=axial_picture(grid)))
    bar = next(i for i in group.items if isinstance(i, Polyline))
    label = next(i.plain for i in group.items if isinstance(i, Text) and i.plain.endswith(" mm"))
    drawn = bar.points_mm[2][0] - bar.points_mm[1][0]
    patient_mm = drawn / BOX.width_mm * columns * pixel_mm
    assert patient_mm == pytest.approx(float(label.removesuffix(" mm")))
    assert drawn <= 0.3 * BOX.width_mm + 1e-9


def test_the_grey_picture_itself_is_left_alone():
    sight = axial_sight()
    picture = compose_sight(sight, (round_region("coil", 0, 0),), BOX, cast("coil"), DARK)[0]
    assert isinstance(picture, Picture)
    assert picture.pixels is sight.picture.pixels
    assert picture.box == BOX


def test_those_who_cannot_see_the_picture_learn_what_it_is():
    picture = compose_sight(axial_sight(), (), BOX, cast(), DARK)[0]
    assert picture.alt == (
        "axial z 30 mm · window soft tissue 40/400 HU. Left edge R, right edge L, top A, bottom P."
    )


def test_a_region_appears_on_its_click():
    items = compose_sight(
        axial_sight(), (round_region("coil", 0, 0),), BOX, cast("coil", steps={"coil": 2}), DARK
    )
    assert [i.step for i in items if isinstance(i, Group)] == [0, 2]


def test_letters_follow_the_order_of_the_author_once_each():
    shown = [
        ShownView(view="a", regions=("plug", "coil")),
        ShownView(view="b", regions=("coil", "seal")),
    ]
    assert letters_for(shown) == {"plug": "A", "coil": "B", "seal": "C"}


def test_the_request_passes_the_authors_numbers_on():
    view = View(
        scan="ct", plane="coronal", at_mm=4, slab_mm=3, slab="max", window="bone",
        crop_mm=((-10, 0), (20, 40)),
    )  # fmt: skip
    wanted = PlaneRequest("coronal", 4, None, 3, "max", ((-10, 0), (20, 40)))
    assert plane_request(view) == wanted


def test_the_scale_bar_leaves_a_corner_to_a_mark():
    def bar_center(*regions) -> float:
        items = compose_sight(axial_sight(), regions, BOX, cast("coil"), DARK)
        group = next(i for i in items if isinstance(i, Group))
        xs = [x for i in group.items if isinstance(i, Polyline) for x, _ in i.points_mm]
        return sum(xs) / len(xs)

    assert bar_center() > BOX.center_mm[0]
    assert bar_center(round_region("coil", 85, 65)) < BOX.center_mm[0]


def test_a_letter_of_a_side_stands_clear_of_the_marks():
    def letter_a(*regions) -> Box:
        items = compose_sight(axial_sight(), regions, BOX, cast("coil"), DARK)
        group = next(i for i in items if isinstance(i, Group))
        return next(i.box for i in group.items if isinstance(i, Text) and i.plain == "A")

    middle = (BOX.center_mm[0], letter_a().center_mm[1])
    assert letter_a().center_mm == pytest.approx(middle)
    # a circle whose outline runs through the middle of the upper edge; 0.75 mm of page to a
    # patient millimetre
    aside = letter_a(round_region("coil", 0, -70, radius=6))
    assert aside.center_mm[1] == middle[1]
    assert abs(aside.center_mm[0] - middle[0]) > 6 * 0.75


def test_a_lower_letter_stands_above_the_scale_bar_of_a_narrow_picture():
    narrow = Box(20, 40, 25, 120)
    items = compose_sight(axial_sight(), (), narrow, cast(), DARK)
    group = next(i for i in items if isinstance(i, Group))
    texts = {i.plain: i.box for i in group.items if isinstance(i, Text)}
    bar = next(box for text, box in texts.items() if text.endswith(" mm"))
    assert texts["P"].bottom_mm <= bar.top_mm
