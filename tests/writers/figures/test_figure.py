import base64
import io

import matplotlib
import numpy as np
import pytest
from lxml import etree
from PIL import Image

from slidekit.errors import FitError, WriteError
from slidekit.scene.model import (
    Box,
    Ellipse,
    Group,
    Page,
    Paragraph,
    Picture,
    Polyline,
    Rect,
    Run,
    Stroke,
    Text,
)
from slidekit.scene.text import paragraphs_of
from slidekit.scene.typeset import set_lines
from slidekit.writers.figures.figure import page_pixels, write_png, write_svg

SVG = "{http://www.w3.org/2000/svg}"
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
RAMP = np.arange(0, 240, dtype=np.uint8).reshape(12, 20)


def page(*items, size_mm=(100.0, 60.0), ground="#000000"):
    return Page("p", "A page", "title_only", size_mm, ground, items, language="en-GB")


def weight(pixels):
    """Where light is on a black page: centroid (x, y) in pixels from the top left edge."""
    light = pixels.astype(float).sum(axis=2)
    rows, columns = np.indices(light.shape)
    total = light.sum()
    return ((columns + 0.5) * light).sum() / total, ((rows + 0.5) * light).sum() / total


@pytest.mark.parametrize("dpi", [50, 96, 150])
@pytest.mark.parametrize(
    ("item", "center_mm"),
    [
        pytest.param(Ellipse((30.2, 40.7), (9, 4), 25, fill="#FFFFFF"), (30.2, 40.7), id="ellipse"),
        pytest.param(
            Ellipse((71, 22), (9, 4), 25, stroke=Stroke("#FFFFFF", 3)), (71, 22), id="outline"
        ),
        pytest.param(Rect(Box(60, 5, 8, 3), 1, fill="#FFFFFF"), (64, 6.5), id="plate"),
        pytest.param(
            Polyline(((80, 40), (86, 40), (83, 49)), closed=True, fill="#FFFFFF"),
            (83, 43),
            id="triangle",
        ),
        pytest.param(
            Polyline(((11, 50), (51, 55)), stroke=Stroke("#FFFFFF", 2)), (31, 52.5), id="line"
        ),
        pytest.param(
            Picture(Box(20.3, 10.4, 11, 7), np.full((7, 11), 255, np.uint8), "", "white"),
            (25.8, 13.9),
            id="picture",
        ),
    ],
)
def test_a_mark_stands_where_the_scene_says(item, center_mm, dpi):
    x, y = weight(page_pixels(page(item), dpi))
    assert x == pytest.approx(center_mm[0] / 25.4 * dpi, abs=0.5)
    assert y == pytest.approx(center_mm[1] / 25.4 * dpi, abs=0.5)


def test_rotation_is_clockwise():
    narrow = Ellipse((50, 30), (20, 1), 45, fill="#FFFFFF")
    pixels = page_pixels(page(narrow), 100)
    rows, columns = np.nonzero(pixels[..., 0] > 128)
    assert np.corrcoef(rows, columns)[0, 1] > 0.99  # down to the right


def test_letters_stand_on_the_baseline_from_the_left_edge():
    text = Text(Box(10, 10, 80, 40), paragraphs_of("HHH"), 60, "#FFFFFF", "title")
    [line] = set_lines(text)
    rows, columns = np.nonzero(page_pixels(page(text), 150)[..., 0] > 128)
    per_mm = 150 / 25.4
    assert rows.max() + 1 == pytest.approx(line.baseline_mm * per_mm, abs=1)
    # a capital is 1409 of 2048 units high (OS/2 table)
    assert np.ptp(rows) + 1 == pytest.approx(60 * 1409 / 2048 * 150 / 72, abs=1)
    stem = 0.079 * 60 / 72 * 150  # left side bearing of H, 162 units
    assert columns.min() == pytest.approx(10 * per_mm + stem, abs=1)
    right = line.left_mm + line.width_mm
    assert columns.max() + 1 == pytest.approx(right * per_mm - stem, abs=1.5)


def test_the_page_has_its_size_in_pixels_and_states_its_resolution(tmp_path):
    write_png(page(size_mm=(210.0, 297.0)), tmp_path / "a4.png", 150)
    with Image.open(tmp_path / "a4.png") as image:
        assert image.size == (1240, 1754)  # 210 / 25.4 * 150 = 1240.2; 297 / 25.4 * 150 = 1753.9
        assert image.mode == "RGB"
        assert image.info["dpi"] == pytest.approx((150, 150), abs=0.02)  # whole pixels a metre
        assert set(image.info) == {"dpi"}


def test_a_picture_at_its_own_resolution_keeps_every_pixel():
    pixels = page_pixels(page(Picture(Box(0, 0, 20, 12), RAMP, "", "ramp")), 25.4)
    assert (pixels[:12, :20] == RAMP[..., np.newaxis]).all()


def test_colour_pictures_keep_their_colours():
    rgb = np.zeros((10, 10, 3), np.uint8)
    rgb[:] = (200, 100, 50)
    pixels = page_pixels(page(Picture(Box(10, 10, 40, 40), rgb, "", "rust")), 50)
    assert tuple(pixels[60, 60]) == (200, 100, 50)


def test_later_items_cover_earlier_ones_and_groups_show_on_every_click():
    below = Rect(Box(0, 0, 100, 60), fill="#112233")
    above = Group("g", "", (Rect(Box(10, 10, 20, 20), fill="#445566"),), step=3)
    pixels = page_pixels(page(below, above), 25.4)
    assert tuple(pixels[20, 20]) == (0x44, 0x55, 0x66)
    assert tuple(pixels[50, 50]) == (0x11, 0x22, 0x33)


def test_dashes_are_as_long_as_the_preset_says():
    # ECMA-376 Part 1, 20.1.10.48, dash: 4 line widths on, 3 off
    line = Polyline(((0, 30), (100, 30)), stroke=Stroke("#FFFFFF", 72 / 25.4 * 2, "dash"))
    row = page_pixels(page(line), 254)[300, :, 0] > 128  # 10 pixels a mm, the line 2 mm wide
    edges = np.flatnonzero(np.diff(row.astype(int)))
    assert np.diff(edges)[:6] == pytest.approx([60, 80] * 3, abs=1)


def test_corners_are_rounded_by_quarter_circles():
    plate = Rect(Box(10, 10, 40, 30), 10, fill="#FFFFFF")
    light = page_pixels(page(plate), 254).astype(float).mean(axis=2) / 255
    assert light.sum() / 100 == pytest.approx(40 * 30 - (4 - np.pi) * 10**2, rel=1e-3)


def test_a_plate_lies_under_its_letters():
    pill = Text(
        Box(10, 10, 30, 20),
        paragraphs_of("H"),
        40,
        "#FF0000",
        "label",
        align="center",
        anchor="middle",
        fill="#0000FF",
    )
    pixels = page_pixels(page(pill), 100)
    colors = {tuple(color) for color in pixels.reshape(-1, 3)}
    assert {(255, 0, 0), (0, 0, 255)} <= colors


def test_what_the_user_configured_changes_nothing():
    shape = Polyline(((10, 10), (90, 50)), stroke=Stroke("#FFFFFF", 2, "lgDash"))
    shown = page(shape, Text(Box(0, 0, 90, 30), paragraphs_of("$x_1$"), 20, "#FFFFFF", "body"))
    expected = page_pixels(shown, 60)
    with matplotlib.rc_context({"lines.scale_dashes": False, "text.hinting": "force_autohint"}):
        assert (page_pixels(shown, 60) == expected).all()
        assert not matplotlib.rcParams["lines.scale_dashes"]


def test_the_same_page_gives_the_same_bytes(tmp_path):
    shown = page(Text(Box(0, 0, 90, 30), paragraphs_of("one"), 20, "#FFFFFF", "body"))
    for name in ("a", "b"):
        write_png(shown, tmp_path / f"{name}.png", 80)
        write_svg(shown, tmp_path / f"{name}.svg")
    assert (tmp_path / "a.png").read_bytes() == (tmp_path / "b.png").read_bytes()
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()


def test_a_picture_too_large_to_draw_is_refused(tmp_path):
    with pytest.raises(
        WriteError,
        match=r"^p at 600 dpi would be a picture of 33071 x 33071 pixels, which is too large to "
        r"draw\. Lower png_dpi to 229 or less\.$",
    ):
        write_png(page(size_mm=(1400.0, 1400.0)), tmp_path / "p.png", 600)
    assert not list(tmp_path.iterdir())


def test_a_letter_that_the_font_lacks_stops_the_picture():
    text = Text(Box(0, 0, 90, 30), (Paragraph((Run("漢"),)),), 20, "#FFFFFF", "body")
    with pytest.raises(FitError, match=r"^the letters have no glyph for '漢'"):
        page_pixels(page(text), 50)


# SVG


def svg_of(tmp_path, *items):
    write_svg(page(*items), tmp_path / "p.svg")
    return etree.parse(tmp_path / "p.svg").getroot()


def test_svg_is_in_millimetres(tmp_path):
    root = svg_of(tmp_path)
    assert (root.get("width"), root.get("height")) == ("100mm", "60mm")
    assert root.get("viewBox") == "0 0 100 60"


def test_svg_says_what_it_shows(tmp_path):
    picture = Picture(Box(0, 0, 20, 12), RAMP, "Axial section of the urn", "fill")
    mark = Group("Mark A: band", "Mark A, orange ellipse: band.", ())
    root = svg_of(tmp_path, picture, mark)
    assert root.findtext(f"{SVG}title") == "A page"
    assert root.findtext(f"{SVG}desc") == "Axial section of the urn. Mark A, orange ellipse: band."
    labels = {root.get("aria-labelledby"), root.get("aria-describedby")}
    assert labels == {element.get("id") for element in root[:2]}
    assert root.get("{http://www.w3.org/XML/1998/namespace}lang") == "en-GB"
    group = root.find(f"{SVG}g")
    assert group.findtext(f"{SVG}title") == "Mark A: band"
    assert group.findtext(f"{SVG}desc") == "Mark A, orange ellipse: band."


def test_svg_identifiers_are_unique_names(tmp_path):
    groups = [
        Group(name, "", ()) for name in ("Mark A: band", "Mark A, band", "7", "", "page-title")
    ]
    root = svg_of(tmp_path, *groups)
    assert [group.get("id") for group in root.findall(f"{SVG}g")] == [
        "Mark-A-band",
        "Mark-A-band-2",
        "item-7",
        "item",
        "page-title-2",
    ]


def test_svg_text_is_words_on_the_same_baselines(tmp_path):
    text = Text(
        Box(10, 5, 40, 50), paragraphs_of("The *urn* was lifted"), 20, "#FFFFFF", "body", "center"
    )
    root = svg_of(tmp_path, text)
    [element] = root.findall(f"{SVG}text")
    lines = element.findall(f"{SVG}tspan")
    assert ["".join(line.itertext()) for line in lines] == ["The urn was", "lifted"]
    for line, expected in zip(lines, set_lines(text), strict=True):
        assert line.get("text-anchor") == "middle"
        assert float(line.get("x")) == pytest.approx(30, abs=1e-3)  # middle of the box
        assert float(line.get("y")) == pytest.approx(expected.baseline_mm, abs=1e-3)
    assert [run.get("font-style") for run in lines[0]] == [None, "italic", None]
    assert float(element.get("font-size")) == pytest.approx(20 / 72 * 25.4, abs=1e-3)
    assert "\n" not in "".join(element.itertext())  # white space would be drawn


def test_svg_shapes_are_shapes(tmp_path):
    root = svg_of(
        tmp_path,
        Ellipse((30, 20), (10, 5), -15, stroke=Stroke("#FF9524", 72 / 25.4, "dashDot")),
        Polyline(((1, 2), (3, 4))),
        Polyline(((1, 2), (3, 4), (5, -0.00001)), closed=True, fill="#000000"),
        Rect(Box(1, 2, 3, 4), 0.5),
    )
    ellipse = root.find(f"{SVG}ellipse").attrib
    assert ellipse["transform"] == "rotate(-15 30 20)"
    assert (ellipse["stroke-dasharray"], ellipse["stroke-width"]) == ("4 3 1 3", "1")
    assert root.find(f"{SVG}polyline").get("points") == "1,2 3,4"
    assert root.find(f"{SVG}polygon").get("points") == "1,2 3,4 5,0"
    assert root.findall(f"{SVG}rect")[1].get("rx") == "0.5"


def test_svg_pictures_keep_their_pixels(tmp_path):
    root = svg_of(tmp_path, Picture(Box(5, 6, 20, 12), RAMP, "ramp", "ramp"))
    image = root.find(f"{SVG}image")
    assert [image.get(key) for key in ("x", "y", "width", "height")] == ["5", "6", "20", "12"]
    data = base64.b64decode(image.get(XLINK_HREF).removeprefix("data:image/png;base64,"))
    with Image.open(io.BytesIO(data)) as png:
        assert png.mode == "L"
        assert (np.asarray(png) == RAMP).all()
