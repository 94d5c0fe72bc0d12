"""Shapes of the scene as DrawingML, read back by python-pptx or by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pptx import Presentation
from pptx.util import Emu, Pt

from slidekit.scene.model import Box, Ellipse, Group, Picture, Polyline, Rect, Stroke
from slidekit.writers.decks.shapes import Sheet, written_shape
from slidekit.writers.decks.text import Setting
from tests.writers.deck_samples import (
    NS,
    finding,
    grey_pixels,
    page,
    slide_xml,
    text,
    written,
)

MM = 36_000  # EMU; ECMA-376 Part 1, 20.1.2.1


def shapes_of(tmp_path, *items, layout="title_only"):
    """Name to shape, as python-pptx reads the first slide."""
    path = written(tmp_path, [page("only", items, layout)])
    return {shape.name: shape for shape in Presentation(str(path)).slides[0].shapes}


def element_of(tmp_path, name, *items, layout="title_only"):
    return shapes_of(tmp_path, *items, layout=layout)[name]._element


def path_points(element):
    """Corners of custom geometry on the slide, EMU."""
    left, top = (int(element.xpath(f".//a:off/@{axis}")[0]) for axis in "xy")
    return [
        (left + int(point.get("x")), top + int(point.get("y")))
        for point in element.iterfind(".//a:path//a:pt", NS)
    ]


def test_an_outline_keeps_every_corner_to_the_emu(tmp_path):
    corners = ((10.0, 30.0), (40.5, 33.3333), (22.2, 61.123456))
    outline = Polyline(corners, True, Stroke("#FF9524", 3), name="Outline")
    element = element_of(tmp_path, "Outline", outline)
    assert path_points(element) == [(round(x * MM), round(y * MM)) for x, y in corners]
    assert element.find(".//a:path/a:close", NS) is not None


def test_the_units_of_an_outline_are_those_of_the_slide(tmp_path):
    """A path is scaled from its own w and h to the shape's extent: equal, nothing is scaled."""
    outline = Polyline(((10, 30), (40, 30), (40, 70)), True, name="Outline")
    element = element_of(tmp_path, "Outline", outline)
    path, extent = element.find(".//a:path", NS), element.find(".//a:xfrm/a:ext", NS)
    assert (path.get("w"), path.get("h")) == (extent.get("cx"), extent.get("cy"))


def test_an_open_outline_is_not_closed(tmp_path):
    bracket = Polyline(((10, 30), (10, 32), (40, 32), (40, 30)), name="Bracket")
    assert element_of(tmp_path, "Bracket", bracket).find(".//a:close", NS) is None


def test_a_flat_bracket_has_no_path_of_width_zero(tmp_path):
    """Its points are scaled by extent / w: zero would divide by zero."""
    flat = Polyline(((10, 30), (10, 40), (10, 50)), name="Flat")
    path = element_of(tmp_path, "Flat", flat).find(".//a:path", NS)
    assert (path.get("w"), path.get("h")) == ("1", str(20 * MM))


@given(
    st.tuples(st.floats(0, 300), st.floats(0, 180)),
    st.tuples(st.floats(0, 300), st.floats(0, 180)),
)
def test_a_line_of_two_points_runs_between_them(start, end):
    sheet = Sheet(Setting(1, "en", "#000000", str), lambda _picture: "")
    xml = written_shape(Polyline((start, end)), sheet).xml
    box = written_shape(Polyline((start, end)), sheet).box
    first_x = box.right if 'flipH="1"' in xml else box.x
    first_y = box.bottom if 'flipV="1"' in xml else box.y
    last_x = box.x if 'flipH="1"' in xml else box.right
    last_y = box.y if 'flipV="1"' in xml else box.bottom
    assert [first_x, first_y] == [round(length * MM) for length in start]
    assert [last_x, last_y] == [round(length * MM) for length in end]


def test_an_ellipse_is_native_and_turned_clockwise(tmp_path):
    ellipse = Ellipse((100, 90), (30, 15), 20, name="E")
    shape = shapes_of(tmp_path, ellipse)["E"]
    assert shape._element.find(".//a:prstGeom", NS).get("prst") == "ellipse"
    # ST_Angle: 60 000 to the degree, so 20 degrees are 1 200 000
    assert shape._element.find(".//a:xfrm", NS).get("rot") == "1200000"
    assert (shape.left, shape.top) == (Emu(70 * MM), Emu(75 * MM))
    assert (shape.width, shape.height) == (Emu(60 * MM), Emu(30 * MM))


@pytest.mark.parametrize(("turn", "read"), [(-90, 270.0), (450, 90.0), (0, 0.0)])
def test_angles_beyond_a_full_turn_come_back_into_it(tmp_path, turn, read):
    shape = shapes_of(tmp_path, Ellipse((100, 90), (30, 15), turn, name="E"))["E"]
    assert shape.rotation == read


def test_a_corner_radius_is_given_as_a_share_of_the_shorter_side(tmp_path):
    """ECMA-376 presetShapeDefinitions, roundRect: radius = shorter side x adj / 100 000."""
    rect = Rect(Box(10, 30, 40, 20), 4, name="R")
    assert shapes_of(tmp_path, rect)["R"].adjustments[0] == pytest.approx(4 / 20)


def test_a_corner_radius_is_at_most_half_the_shorter_side(tmp_path):
    rect = Rect(Box(10, 30, 40, 20), 15, name="R")
    assert shapes_of(tmp_path, rect)["R"].adjustments[0] == 0.5


def test_a_rectangle_with_sharp_corners_is_a_rect(tmp_path):
    element = element_of(tmp_path, "R", Rect(Box(10, 30, 40, 20), name="R"))
    assert element.find(".//a:prstGeom", NS).get("prst") == "rect"


def test_a_stroke_keeps_colour_width_and_dash(tmp_path):
    """12 700 EMU to the point (ECMA-376 Part 1, 20.1.2.1)."""
    rect = Rect(Box(10, 30, 40, 20), stroke=Stroke("#ff9524", 2.5, "lgDashDot"), name="R")
    shape = shapes_of(tmp_path, rect)["R"]
    assert str(shape.line.color.rgb) == "FF9524"
    assert shape.line.width == Pt(2.5) == 31_750
    assert shape._element.find(".//a:ln/a:prstDash", NS).get("val") == "lgDashDot"


def test_a_shape_without_stroke_and_fill_says_so_and_refers_to_no_theme_style(tmp_path):
    element = element_of(tmp_path, "R", Rect(Box(10, 30, 40, 20), name="R"))
    properties = element.find("p:spPr", NS)
    assert [child.tag.partition("}")[2] for child in properties][-2:] == ["noFill", "ln"]
    assert properties.find("a:ln/a:noFill", NS) is not None
    assert element.find("p:style", NS) is None


def test_shapes_outside_groups_are_decoration_and_those_inside_are_not(tmp_path):
    path = written(tmp_path, [page("only", (Rect(Box(10, 30, 9, 9)), finding("A", (80, 100), 0)))])
    names = [
        flag.xpath("ancestor::p:cNvPr/@name", namespaces=NS)[0]
        for flag in slide_xml(path).iter("{*}decorative")
    ]
    assert names == ["Rectangle 3"]


def test_a_plate_without_words_is_decoration(tmp_path):
    plate = text("", Box(10, 30, 40, 20), fill="#1E242D", name="Plate")
    assert list(element_of(tmp_path, "Plate", plate).iter("{*}decorative"))


def test_a_group_has_its_name_its_alternative_text_and_the_extent_of_its_parts(tmp_path):
    group = Group(
        "Finding A",
        'Charcoal, called "the dark band"',
        (Rect(Box(20, 40, 30, 10)), Rect(Box(60, 35, 5, 40))),
    )
    shape = shapes_of(tmp_path, group)["Finding A"]
    assert shape._element.xpath("p:nvGrpSpPr/p:cNvPr/@descr") == [
        'Charcoal, called "the dark band"'
    ]
    assert [length / MM for length in (shape.left, shape.top, shape.width, shape.height)] == [
        20,
        35,
        45,
        40,
    ]
    transform = shape._element.find("p:grpSpPr/a:xfrm", NS)
    own = [dict(transform.find(f"a:{tag}", NS).attrib) for tag in ("off", "ext")]
    assert own == [dict(transform.find(f"a:{tag}", NS).attrib) for tag in ("chOff", "chExt")]


def test_the_first_picture_fills_the_placeholder_and_the_second_is_free(tmp_path):
    first = Picture(Box(14, 30, 100, 50), grey_pixels(), "First", "One")
    second = Picture(Box(150, 30, 50, 50), grey_pixels(), "Second", "Two")
    shapes = shapes_of(tmp_path, first, second, layout="pictures")
    assert (shapes["One"].is_placeholder, shapes["Two"].is_placeholder) == (True, False)


def test_a_picture_in_a_placeholder_is_neither_cropped_nor_moved(tmp_path):
    picture = Picture(Box(14, 30, 100, 50), grey_pixels(), "First", "One")
    shape = shapes_of(tmp_path, picture, layout="pictures")["One"]
    assert (shape.crop_left, shape.crop_right, shape.crop_top, shape.crop_bottom) == (0, 0, 0, 0)
    assert [length / MM for length in (shape.left, shape.top, shape.width, shape.height)] == [
        14,
        30,
        100,
        50,
    ]


def test_ids_are_unique_and_above_that_of_the_tree(tmp_path):
    path = written(tmp_path, [page("only", [finding(letter, (80, 90), 1) for letter in "ABC"])])
    ids = [int(node.get("id")) for node in slide_xml(path).iter("{*}cNvPr")]
    assert ids == list(range(1, len(ids) + 1))


def test_items_keep_their_order_which_is_the_reading_order(tmp_path):
    names = list(
        shapes_of(
            tmp_path,
            Rect(Box(10, 30, 9, 9), name="back"),
            finding("A", (80, 90), 1),
            Rect(Box(10, 30, 9, 9), name="front"),
        )
    )
    assert names == ["Title 2", "back", "Finding A", "front", "Footer 9", "Page number 10"]


def test_boxes_that_touch_on_the_page_touch_in_the_deck(tmp_path):
    """Thirds of a millimetre do not divide into whole EMU: edges are rounded, not widths."""
    width = 100 / 3 + 1e-5
    boxes = [Rect(Box(10 + i * width, 30, width, 5), name=f"R{i}") for i in range(6)]
    shapes = shapes_of(tmp_path, *boxes)
    for i in range(5):
        assert shapes[f"R{i}"].left + shapes[f"R{i}"].width == shapes[f"R{i + 1}"].left


def test_many_corners_cost_time_in_proportion(tmp_path):
    corners = tuple(
        (170 + 90 * math.cos(a / 1000), 100 + 60 * math.sin(a / 1000)) for a in range(6000)
    )
    element = element_of(tmp_path, "Outline", Polyline(corners, True, name="Outline"))
    assert len(path_points(element)) == 6000
