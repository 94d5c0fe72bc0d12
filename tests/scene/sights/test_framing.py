"""Pictures cut to a region, and parts of pictures: on a synthetic block with known places."""

import json

import numpy as np
import pytest
from pypdf import PdfReader

from slidekit.build import Options, build_talk, compose_show
from slidekit.errors import StoryboardError
from slidekit.panels import build_panels
from slidekit.scans.geometry import lps_from_pixel, pixel_from_lps
from slidekit.scene.model import Group, Picture, Polyline
from tests.talks import TALK, no_progress, write_talk

BASE = "      - {view: base, regions: [coil], caption: Section through the base}\n"
FRONT = "      - {view: front, regions: [gap]}\n"
VIEW = "    plane: axial\n    at_mm: 4\n"


def show(tmp_path, text: str):
    return compose_show(write_talk(tmp_path, text), Options(only=("base",)), no_progress)


def said(tmp_path, text: str) -> list[str]:
    with pytest.raises(StoryboardError) as raised:
        show(tmp_path, text)
    return [str(fault).split("talk.yaml:")[1] for fault in raised.value.faults]


def reach(sight) -> np.ndarray:
    """Lowest and highest x and y of the pixels' outer edges of an axial picture."""
    grid = sight.picture.grid
    ends = [(-0.5, -0.5), (grid.columns - 0.5, grid.rows - 0.5)]
    return lps_from_pixel(grid, ends)[:, :2]


def test_a_view_is_cut_to_its_region_and_the_rim(tmp_path):
    text = TALK.replace(VIEW, VIEW + "    crop_around: {region: coil, margin_mm: 2}\n")
    sights = show(tmp_path, text).sights
    # an ellipse at (16, 12) with radii 5 and 4; samples lie at whole millimetres
    assert reach(sights.views["base"]) == pytest.approx(np.array([[8.5, 5.5], [23.5, 18.5]]))


def test_an_acquired_slice_is_cut_by_its_pixels(tmp_path):
    text = TALK.replace(
        VIEW, "    plane: acquired\n    slice: 5\n    crop_px: [[24, 20], [9, 6]]\n"
    )
    sights = show(tmp_path, text.replace("[16, 12]", "[16, 12, 4]")).sights
    assert reach(sights.views["base"]) == pytest.approx(np.array([[8.5, 5.5], [24.5, 20.5]]))


def test_a_plane_through_the_slices_has_no_pixels_to_cut_by(tmp_path):
    text = TALK.replace(VIEW, VIEW + "    crop_px: [[9, 6], [24, 20]]\n")
    assert said(tmp_path, text) == [
        "16: views.base.crop_px: `crop_px` counts pixels, and a view with plane axial has none of "
        "the scan. Write `crop_mm`."
    ]


def test_a_rim_ends_at_the_edge_of_the_scan(tmp_path):
    text = TALK.replace(VIEW, VIEW + "    crop_around: {region: coil, margin_mm: 90}\n")
    sights = show(tmp_path, text).sights
    assert reach(sights.views["base"]) == pytest.approx(np.array([[-0.5, -0.5], [31.5, 23.5]]))


def test_a_region_off_the_plane_cannot_be_cut_to(tmp_path):
    text = TALK.replace(VIEW, VIEW + "    crop_around: {region: gap}\n")
    assert said(tmp_path, text)[0] == (
        "16: views.base.crop_around: region `gap`: it lies 2.0 mm away from the plane of this "
        "view, which shows what is within 1.0 mm. Choose a view whose plane touches it, or make "
        "the slab thicker."
    )


def with_inset(inset: str, also: str = "") -> str:
    return TALK.replace(BASE, f"      - {{view: base, regions: [coil], inset: {inset}{also}}}\n")


def test_an_inset_shows_its_rectangle_from_the_scan_itself(tmp_path):
    text = with_inset("{center_mm: [16, 12], size_mm: [8, 6], times: 2}")
    sights = show(tmp_path, text).sights
    [name] = [name for name in sights.views if name.startswith("base, ")]
    part = sights.views[name]
    assert reach(part) == pytest.approx(np.array([[11.5, 8.5], [20.5, 15.5]]))
    whole = sights.views["base"].picture
    factor = round(whole.grid.column_mm / part.picture.grid.column_mm * 3) / 3
    assert factor >= 1  # at least as fine as the picture it is a part of
    assert part.picture.source_slices == whole.source_slices


SPLIT = "window: {split: [{center: 1024, width: 401}, {center: 1324, width: 801}]}"
LEFT, RIGHT = 128, 32  # grey of 1024 in the two windows


@pytest.mark.parametrize(
    ("middle", "greys"), [((6, 15.5, 26), None), ((6,), (LEFT, LEFT)), ((26,), (RIGHT, RIGHT))]
)
def test_an_inset_on_a_split_picture_has_the_greys_that_its_part_has(tmp_path, middle, greys):
    for x in middle:
        text = with_inset(f"{{center_mm: [{x}, 5], size_mm: [8, 4], times: 2}}")
        sights = show(tmp_path, text.replace("window: {center: 100, width: 400}", SPLIT)).sights
        [name] = [name for name in sights.views if name.startswith("base, ")]
        part, whole = sights.views[name].picture, sights.views["base"].picture
        grey = part.pixels[2].astype(int)
        places, _ = pixel_from_lps(
            whole.grid, lps_from_pixel(part.grid, [(k, 2) for k in range(part.grid.columns)])
        )
        expected = np.where(places[:, 0] < whole.seam_column - 0.5, LEFT, RIGHT)
        assert np.array_equal(grey, expected)
        assert greys is None or (grey[0], grey[-1]) == greys
        assert len(sights.views[name].windows) == len(part.scales)


def test_the_seam_is_drawn_in_the_part_shown_larger(tmp_path):
    text = with_inset("{center_mm: [17, 5], size_mm: [8, 4], times: 2}")
    items = (
        show(tmp_path, text.replace("window: {center: 100, width: 400}", SPLIT)).told[0].page.items
    )
    group = next(i for i in items if isinstance(i, Group) and i.name.startswith("Part of base"))
    part = next(i for i in items if isinstance(i, Picture) and i.name.startswith("base, "))
    lines = [one.points_mm for one in group.items if isinstance(one, Polyline)]
    [across] = {
        ends[0][0]
        for ends in lines
        if ends == ((ends[0][0], part.box.top_mm), (ends[0][0], part.box.bottom_mm))
    }
    # samples from x = 13 to 21 are shown, and the seam is at 15.5
    assert (across - part.box.left_mm) / part.box.width_mm == pytest.approx(3 / 9)


def test_an_inset_around_a_region_holds_it(tmp_path):
    sights = show(tmp_path, with_inset("{region: coil, margin_mm: 1, times: 1.5}")).sights
    [name] = [name for name in sights.views if name.startswith("base, ")]
    assert reach(sights.views[name]) == pytest.approx(np.array([[9.5, 6.5], [22.5, 17.5]]))


def test_an_inset_that_does_not_fit_is_told_how_much_does(tmp_path):
    assert said(tmp_path, with_inset("{region: coil, times: 4}")) == [
        "55: slides[1].views[0].inset: 15 by 13 mm shown 4 times larger do not fit beside the "
        "picture. Write times: 1.8 or less, or show a smaller part."
    ]


def test_an_inset_off_the_picture_is_told(tmp_path):
    assert said(tmp_path, with_inset("{center_mm: [300, 12], size_mm: [8, 6]}")) == [
        "55: slides[1].views[0].inset: less than 4 samples of the scan lie in the part it names. "
        "Choose a larger part within the picture."
    ]


def test_a_locator_in_the_same_plane_is_told(tmp_path):
    text = TALK.replace(
        "  front:\n", f"  other:\n    scan: block\n{VIEW}    window: bone\n  front:\n"
    )
    text = text.replace(BASE, "      - {view: base, regions: [coil], locator: other}\n")
    assert said(tmp_path, text) == [
        "60: slides[1].views[0].locator: view `other`: it lies in nearly the same plane. Name a "
        "view in another plane."
    ]


def test_what_was_done_is_said_and_recorded(tmp_path):
    text = with_inset("{region: coil, times: 1.5}", ", locator: front")
    talk = write_talk(tmp_path, text)
    built, _ = build_talk(talk, tmp_path / "out", Options(), no_progress)
    data = [item.plain for item in built.told[1].page.items if getattr(item, "role", "") == "data"]
    assert data[0] == (
        "axial z 4 mm · window 100/400 HU · part magnified 1.5 times · locator coronal y 12 mm"
    )
    record = json.loads((tmp_path / "out" / "record.json").read_text(encoding="utf-8"))
    assert set(record["pictures"]) == {"base", "front", "base, coil with 2 mm"}
    part = record["pictures"]["base, coil with 2 mm"]
    assert part["pixels_per_sample"] == 3
    whole = record["pictures"]["base"]
    assert part["samples_per_inch"] == pytest.approx(whole["samples_per_inch"] / 1.5, abs=0.1)


def test_a_panel_says_what_prints_soft(tmp_path):
    text = TALK.replace("png_dpi: 50", "png_dpi: 150")
    build_panels(write_talk(tmp_path, text), tmp_path / "out", None, no_progress)
    record = json.loads((tmp_path / "out" / "coil.json").read_text(encoding="utf-8"))
    shown = record["pictures"]["base"]
    sample_mm = shown["shown_width_mm"] / 32  # 32 columns of the scan
    assert shown["samples_per_inch"] == pytest.approx(25.4 / sample_mm, abs=0.05)
    panel = PdfReader(tmp_path / "out" / "coil.pdf").pages[0].extract_text()
    assert f"enlarged: one scan sample is {sample_mm:.1f} mm here" in " ".join(panel.split())
