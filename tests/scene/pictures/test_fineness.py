from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.scans.enlarging import enlarged_grid
from slidekit.scene.model import Box, Page, Picture
from slidekit.scene.pictures.fineness import fineness_of, refined, softness_notes, with_pictures
from slidekit.scene.sights.figures import page_points
from slidekit.scene.sights.model import Sights
from tests.scene.builders import AXIAL, axial_picture, axial_sight, round_region


def page(*widths_mm: float) -> Page:
    """The picture of 400 columns at some widths."""
    pixels = np.zeros((320, 400), np.uint8)
    items = [Picture(Box(0, 0, w, w * 0.8), pixels, "", "base") for w in widths_mm]
    return Page("p", "P", "pictures", (338.7, 190.5), "#000000", tuple(items))


def sights(**changes) -> Sights:
    return Sights({"base": axial_sight(picture=axial_picture(**changes))}, {})


@pytest.mark.parametrize(
    ("width_mm", "factor"),
    # 400 columns; 144 pixels to the inch of 25.4 mm: 105.8 mm hold 600 pixels, 176.4 mm 1000
    [(20, 1), (105, 1), (106.5, 2), (176, 2), (177, 3), (330, 3), (1000, 3)],
)
def test_a_picture_gets_the_pixels_of_its_place(width_mm, factor):
    assert fineness_of([page(width_mm)], sights(), 144)["base"].factor == factor


def test_the_largest_place_decides():
    assert fineness_of([page(20), page(150, 30)], sights(), 144)["base"].width_mm == 150


def test_samples_to_the_inch_are_those_of_the_coarser_direction():
    # 200 mm of the patient on 100 mm of the page: samples of 0.5 and 3 mm come to 0.25 and 1.5 mm
    fine = fineness_of([page(100)], sights(native_mm=(0.5, 3.0)), 144)["base"]
    assert fine.sample_mm == pytest.approx(1.5)
    assert fine.samples_per_inch == pytest.approx(25.4 / 1.5)


def test_what_prints_soft_is_said():
    soft = fineness_of([page(100)], sights(), 300)  # 400 samples on 100 mm: 102 to the inch
    assert softness_notes(soft) == {"base": "enlarged: one scan sample is 0.2 mm here"}
    assert softness_notes(fineness_of([page(60)], sights(), 300)) == {}  # 169 to the inch


def test_enlarged_pictures_take_the_places_of_those_they_were_laid_out_with():
    pages = [page(150)]
    fine = refined(sights(), fineness_of(pages, sights(), 144))
    item = with_pictures(pages[0], fine).items[0]
    assert item.pixels is fine.enlarged["base"]
    assert item.drawn.shape == (640, 800)
    assert item.box == pages[0].items[0].box


def test_a_picture_in_two_windows_is_left_as_it_is():
    two = sights(scales=axial_picture().scales * 2)
    laid_out = page(150)
    fine = refined(two, fineness_of([laid_out], two, 144))
    assert not fine.enlarged
    assert with_pictures(laid_out, fine) == laid_out


@given(st.floats(-80, 80), st.floats(-60, 60), st.sampled_from([2, 3]))
def test_marks_do_not_move_when_their_picture_is_enlarged(x, y, factor):
    figure = round_region("coil", x, y).figure
    small = sights().views["base"].picture
    large = replace(small, grid=enlarged_grid(small.grid, factor))
    box = Box(10, 20, 150, 120)
    assert np.allclose(page_points(figure, small, box), page_points(figure, large, box))
    assert AXIAL.columns * factor == large.grid.columns
