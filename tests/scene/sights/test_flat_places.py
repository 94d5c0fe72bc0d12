"""Oblique and curved views on a page: places, lengths, letters, scale bar, rulers and record."""

import json
from dataclasses import replace

import numpy as np
import pytest

from slidekit.build import Options, build_talk
from slidekit.errors import FitError, ScanError
from slidekit.scans.geometry import pixel_from_lps
from slidekit.scene.look import compose_grid_page
from slidekit.scene.look.rulers import rulers_of
from slidekit.scene.measured import spoken_measure
from slidekit.scene.model import Box, Group, Text
from slidekit.scene.pictures.compose import compose_sight, data_line, sides_in_words
from slidekit.scene.pictures.scale_bar import bar_in_words, bar_length_mm
from slidekit.scene.pictures.whereabouts import place_in_words
from slidekit.scene.sights.figures import page_points
from slidekit.scene.sights.flat_places import project
from tests.scene.builders import DARK, cast
from tests.scene.sights.test_make import faults, sights_of
from tests.talks import TALK, no_progress, write_talk

BOX = Box(0, 0, 100, 100)

PLANES = {
    "slope": "plane: oblique, normal: [0, -0.6, -0.8], through_mm: [[16, 12, 4]]",
    "bend": "plane: curved, path_mm: [[4, 6, 4], [16, 14, 4], [28, 6, 4]], across: [0, 0, 1],"
    " width_mm: 6",
    "spine": "plane: curved, path: straight, path_mm: [[16, 4, 4], [16, 12, 4], [16, 20, 4]],"
    " across: [1, 0, 0], width_mm: 8",
}


def view(name: str, fields: str) -> str:
    return f"  {name}: {{scan: block, window: bone, {fields}}}\n"


FREE = "".join(view(name, fields) for name, fields in PLANES.items()) + "regions:\n"

REGIONS = {
    "dot": "{view: slope, shape: point, at_mm: [3, -2], called: a dot}",
    "ring": "{view: slope, shape: ellipse, center_mm: [1, 0], radii_mm: [4, 3], called: a ring}",
    "span": "{view: bend, shape: line, from_mm: [-8, 1], to_mm: [8, 1], called: a span}",
    "bow": "{view: bend, shape: ellipse, center_mm: [2, 0], radii_mm: [3, 2], called: a bow}",
    "place": "{view: bend, shape: point, at_mm: [16, 14, 4], called: a place}",
}


def talk_with(shown: str, **regions: str) -> str:
    """The talk with its second slide showing these views and regions."""
    defined = "".join(f"  {name}: {one}\n" for name, one in regions.items())
    text = TALK.replace("regions:\n", FREE + defined, 1)
    head, rest = text.split("    views:\n      - {view: base", 1)
    _, say = rest.split("    say: |\n", 1)
    _, after = say.split("  - id: times", 1)
    text = f"{head}    views:\n      - {shown}\n    say: Look.\n  - id: times{after}"
    return text.replace("evidence: [coil]", f"evidence: [{next(iter(regions))}]")


@pytest.fixture(scope="module")
def seen(tmp_path_factory):
    folder = tmp_path_factory.mktemp("talk")
    shown = (
        "{view: slope, regions: [dot, ring]}\n      - {view: bend, regions: [span, bow, place]}\n"
        "      - {view: spine}"
    )
    return sights_of(folder, talk_with(shown, **REGIONS))


def picture(seen, name):
    return seen.views[name].picture


def test_two_numbers_on_an_oblique_view_are_right_and_down_from_its_middle(seen):
    # seen from the feet: right is x; down is y turned by the slope, (0, 0.8, -0.6)
    (place,) = seen.regions["dot"].figure.points_lps
    np.testing.assert_allclose(place, (16 + 3, 12 - 2 * 0.8, 4 + 2 * 0.6), atol=1e-9)


def test_an_ellipse_on_an_oblique_view_lies_in_its_plane(seen):
    center, right, down = np.array(seen.regions["ring"].figure.points_lps)
    np.testing.assert_allclose(center, (17, 12, 4), atol=1e-9)
    np.testing.assert_allclose(right - center, (4, 0, 0), atol=1e-9)
    np.testing.assert_allclose(down - center, 3 * np.array([0, 0.8, -0.6]), atol=1e-9)


def test_a_place_on_a_page_is_where_the_ruler_says(seen):
    for name, region, expected in (("slope", "dot", (3, -2)), ("bend", "place", (0, 0))):
        shown = picture(seen, name)
        rulers = rulers_of(shown, None)
        ((x, y),) = page_points(seen.regions[region].figure, shown, BOX)
        assert rulers.across[0].name == "right"
        assert rulers.down[0].name == "down"
        assert rulers.across[0].at_share(expected[0]) == pytest.approx(x / 100, abs=1e-3)
        assert rulers.down[0].at_share(expected[1]) == pytest.approx(y / 100, abs=1e-3)


def test_a_line_along_a_curve_is_as_long_as_its_arc(seen):
    figure = seen.regions["span"].figure
    assert figure.length_mm == pytest.approx(16, abs=1e-6)
    assert np.linalg.norm(np.subtract(*figure.points_lps)) < 15  # straight, it is shorter
    (x0, y0), (x1, y1) = page_points(figure, picture(seen, "bend"), BOX)
    grid = picture(seen, "bend").grid
    assert (x1 - x0) / 100 * grid.columns * grid.column_mm == pytest.approx(16, abs=0.01)
    assert y0 == pytest.approx(y1)


def test_an_ellipse_on_a_curved_view_is_one_on_its_picture(seen):
    figure, shown = seen.regions["bow"].figure, picture(seen, "bend")
    assert figure.kind == "polygon"
    points, away = project(shown, figure.points_lps)
    middle, _ = pixel_from_lps(shown.grid, shown.middle_lps)
    right, down = ((points - middle) * shown.grid.column_mm).T
    np.testing.assert_allclose(((right - 2) / 3) ** 2 + (down / 2) ** 2, 1, atol=0.02)
    assert away.max() < 1e-6


def test_data_lines_say_how_a_plane_lies(seen):
    assert data_line(seen.views["slope"]) == (
        "oblique, 37° from axial: normal [0, 0.6, 0.8] through [16, 12, 4] mm"
        " · window bone 400/1800 HU"
    )
    assert data_line(seen.views["bend"]).startswith(
        "curved, flattened along 30 mm of a smooth path"
    )
    assert data_line(seen.views["spine"]).startswith(
        "curved, flattened along 16 mm of a path of straight pieces"
    )


def test_a_data_line_says_what_laying_flat_does_to_a_curved_picture(seen):
    bent = picture(seen, "bend")
    flattening = replace(bent.flattening, lean_deg=22.4, meets_itself=True)
    assert place_in_words(replace(bent, flattening=flattening)) == (
        "curved, flattened along 30 mm of a smooth path; sheared, what lies across it leans up"
        " to 22°; it meets itself and shows something twice"
    )


def test_the_scale_bar_of_a_curved_picture_lies_along_its_path(seen):
    assert bar_in_words(picture(seen, "bend"), 5) == "5 mm along the curve"
    assert bar_in_words(picture(seen, "slope"), 5) == "5 mm"
    upright = picture(seen, "spine")
    assert upright.flattening.runs_down
    assert bar_length_mm(upright) <= 0.3 * 17
    furniture = next(
        item
        for item in compose_sight(seen.views["spine"], (), BOX, cast(), DARK)
        if isinstance(item, Group)
    )
    bar = next(item for item in furniture.items if hasattr(item, "points_mm"))
    xs, ys = zip(*bar.points_mm, strict=True)
    shown = upright.grid
    length = (max(ys) - min(ys)) / 100 * shown.rows * shown.row_mm
    assert length == pytest.approx(bar_length_mm(upright))
    assert max(ys) - min(ys) > max(xs) - min(xs)


def test_letters_stand_only_where_they_are_true(seen):
    assert picture(seen, "spine").letters == ("R", "A", "L", "P")
    assert picture(seen, "slope").letters == ("R", "AH", "L", "PF")
    assert picture(seen, "bend").letters == ("R", "H", "L", "F")
    assert sides_in_words(picture(seen, "slope")) == (
        "Left edge R, right edge L, top AH, bottom PF."
    )


def test_a_side_that_no_letter_names_is_said(tmp_path):
    text = talk_with("{view: bend, regions: [dot]}", dot=REGIONS["place"]).replace(
        "[[4, 6, 4], [16, 14, 4], [28, 6, 4]]", "[[4, 20, 4], [16, 4, 4], [28, 20, 4]]"
    )
    text = text.replace("at_mm: [16, 14, 4]", "at_mm: [16, 4, 4]")
    bent = sights_of(tmp_path, text).views["bend"]
    assert bent.picture.letters == ("", "H", "", "F")
    assert sides_in_words(bent.picture) == (
        "Top H, bottom F; along its path no side holds throughout."
    )
    texts = [
        item.plain
        for group in compose_sight(bent, (), BOX, cast(), DARK)
        if isinstance(group, Group)
        for item in group.items
        if isinstance(item, Text)
    ]
    assert "" not in texts
    assert {"H", "F"} < set(texts)


def test_the_grid_says_how_places_are_written(seen):
    page = compose_grid_page(seen.views["bend"], None, (), DARK)
    words = " ".join(item.plain for item in page.items if isinstance(item, Text))
    assert "Write [right, down] in millimetres from the view's middle, which is [0, 0]." in words
    assert "the middle is [16, 14, 4]." in words
    assert "The path runs to the right: along it, and only along it, a line may measure." in words


REFUSED = {
    "a line across a curve": (
        {"bad": "{view: bend, shape: line, from_mm: [-8, -2], to_mm: [8, 2], called: a line}"},
        "{view: bend, regions: [bad]}",
        "on a curved view only distances along the path are true, and this line runs 4.0 mm across"
        " it. Give both ends the same second number, or measure on a flat view.",
    ),
    "an angle on a curve": (
        {
            "bad": "{view: bend, shape: angle, vertex_mm: [0, 0], arms_mm: [[5, 0], [0, 2]],"
            " called: an angle}"
        },
        "{view: bend, regions: [bad]}",
        "on a curved view only distances along the path are true, and no angle is. Measure the"
        " angle on a flat view.",
    ),
    "an angle carried to a curve": (
        {
            "bad": "{view: base, shape: angle, vertex_mm: [16, 14], arms_mm: [[17, 14], [16, 15]],"
            " called: an angle}"
        },
        "{view: bend, regions: [bad]}",
        "region `bad` on view `bend`: on a curved view only distances along the path are true, and"
        " no angle is. Measure the angle on a flat view.",
    ),
    "a straight length on a curve": (
        {"bad": "{view: base, shape: line, from_mm: [10, 12], to_mm: [22, 12], called: a line}"},
        "{view: bend, regions: [bad]}",
        "region `bad` on view `bend`: its length was measured on a flat view, and is not what this"
        " view shows. Define a line on this view.",
    ),
    "a length along a curve on a plane": (
        {"bad": REGIONS["span"]},
        "{view: base, regions: [bad]}",
        "region `bad` on view `base`: its length was measured along another view's curve, and is"
        " not what this view shows. Define a line on this view.",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_lengths_that_a_view_cannot_show_are_refused(name, tmp_path):
    regions, shown, message = REFUSED[name]
    (fault,) = faults(tmp_path, talk_with(shown, **regions))
    assert fault.endswith(message)


def test_a_plane_beside_the_scan_is_told_at_its_place(tmp_path):
    text = talk_with("{view: slope, regions: [dot]}", dot=REGIONS["dot"])
    text = text.replace("through_mm: [[16, 12, 4]]", "through_mm: [[16, 12, 90]]")
    (fault,) = faults(tmp_path, text)
    assert "views.slope.through_mm: The oblique plane does not pass through the scan." in fault
    assert "x 0.0 to 31.0, y 0.0 to 23.0 and z 0.0 to 7.0 mm" in fault


def test_a_normal_without_a_direction_is_told_at_its_line(tmp_path):
    text = talk_with("{view: slope, regions: [dot]}", dot=REGIONS["dot"])
    (fault,) = faults(tmp_path, text.replace("normal: [0, -0.6, -0.8]", "normal: [0, 0, 0]"))
    assert "views.slope.normal: normal: [0, 0, 0] has no direction." in fault


def test_the_record_tells_how_to_find_the_picture_again(tmp_path):
    shown = "{view: slope, regions: [dot]}\n      - {view: bend, regions: [span, bow]}"
    regions = {name: REGIONS[name] for name in ("dot", "span", "bow")}
    path = write_talk(tmp_path, talk_with(shown, **regions))
    build_talk(path, tmp_path / "out", Options(), no_progress)
    record = json.loads((tmp_path / "out" / "record.json").read_text(encoding="utf-8"))
    slope, bend = (record["pictures"][name] for name in ("slope", "bend"))
    assert slope["plane"] == "oblique"
    assert slope["middle_lps"] == [16, 12, 4]
    assert slope["right_lps"] == [1, 0, 0]
    assert slope["down_lps"] == pytest.approx([0, 0.8, -0.6])
    assert slope["at_mm"] == pytest.approx(0.6 * 12 + 0.8 * 4)
    path_told = bend["path"]
    assert path_told["points_lps"] == [[4, 6, 4], [16, 14, 4], [28, 6, 4]]
    assert path_told["course"] == "smooth"
    assert path_told["runs"] == "to the right"
    assert path_told["length_mm"] == pytest.approx(29.5, abs=0.3)
    assert "origin_lps" not in bend
    assert record["regions"]["span"]["length_mm"] == 16
    bow = record["regions"]["bow"]
    assert "n" in str(bow)
    assert "area_mm2" not in str(bow)


def test_a_region_off_a_curve_is_refused_there(tmp_path):
    regions = {"bad": "{view: bend, shape: point, at_mm: [16, 20, 4], called: it}"}
    (fault,) = faults(tmp_path, talk_with("{view: bend, regions: [bad]}", **regions))
    assert "it lies 6.0 mm away from the plane of this view" in fault


@pytest.mark.parametrize("part", ["area", "perimeter", "feret"])
def test_a_size_on_a_curved_view_is_not_said_and_its_values_are(part, seen):
    measure = seen.regions["bow"].measure
    assert measure.laid_flat
    assert spoken_measure(measure, "mean", "bow").endswith("HU")
    message = (
        rf"^`bow` is outlined on a curved view, where only lengths along the path are true, so its"
        rf" {part} is unknown\. Outline it on a flat view, or say its values alone\.$"
    )
    with pytest.raises(FitError, match=message):
        spoken_measure(measure, part, "bow")


def test_a_figure_off_a_curve_is_refused_on_its_picture(seen):
    with pytest.raises(ScanError, match=r"^it lies 1\.2 mm away from the plane of this view"):
        page_points(seen.regions["dot"].figure, picture(seen, "spine"), BOX)


@pytest.mark.parametrize(("name", "region"), [("slope", "ring"), ("bend", "bow")])
def test_a_view_is_cut_around_a_region_on_it(name, region, tmp_path):
    around = f"crop_around: {{region: {region}, margin_mm: 1}}"
    near = view("near", f"{around}, {PLANES[name]}")
    text = talk_with(f"{{view: near, regions: [{region}]}}", **{region: REGIONS[region]})
    seen = sights_of(tmp_path, text.replace("regions:\n", f"{near}regions:\n", 1))
    shown = picture(seen, "near")
    corners = np.array(page_points(seen.regions[region].figure, shown, BOX))
    assert shown.grid.columns * shown.grid.column_mm < 13
    assert corners.min() > 0
    assert corners.max() < 100
    # the middle from which places are counted stays where it was
    assert shown.middle_lps == pytest.approx((16, 12, 4) if name == "slope" else (16, 14, 4))


def test_a_locator_shows_where_an_oblique_cut_lies_and_none_where_a_curve_does(tmp_path):
    dot = {"dot": REGIONS["dot"]}
    sights_of(tmp_path / "a", talk_with("{view: slope, regions: [dot], locator: front}", **dot))
    place = {"place": REGIONS["place"]}
    text = talk_with("{view: bend, regions: [place], locator: base}", **place)
    (fault,) = faults(tmp_path / "b", text)
    assert "view `base`: a curved surface is no line on a flat picture. Remove `locator`." in fault
