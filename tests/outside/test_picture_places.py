"""Pictures as two independent renderers draw them: those that move begin at their first frame, and
those of one scale show a patient's millimetre equally long."""

import numpy as np
import pytest

from slidekit.scans.model import Grid
from slidekit.scans.movies import encode_gif
from slidekit.scene.exhibits import exhibits_of
from slidekit.scene.model import Box, Picture
from slidekit.scene.scan_slide import compose_exhibits
from slidekit.scene.sights.model import Sights
from slidekit.scene.speech import cast_of
from slidekit.storyboard.views import ShownView
from tests.outside.test_renderers import PX_PER_MM, RENDERERS
from tests.scene.builders import DARK, axial_picture, axial_sight
from tests.writers.deck_samples import page, written

BOX = Box(100, 50, 120, 90)


def bright(side: int) -> np.ndarray:
    """A picture whose left (0) or right (1) half is bright."""
    pixels = np.full((90, 120), 20, np.uint8)
    pixels[:, 60 * side : 60 * side + 60] = 230
    return pixels


@pytest.mark.parametrize("render", RENDERERS)
def test_a_moving_picture_begins_with_its_first_frame(tmp_path, render):
    gif = encode_gif([bright(1), bright(0), bright(0)], 20_000)
    moving = Picture(BOX, bright(0), "A moving picture", "base", moving=gif)
    [image] = render(written(tmp_path, [page("moving", (moving,))]))
    pixels = np.asarray(image.convert("L")).astype(float)
    rows = slice(round(55 * PX_PER_MM), round(135 * PX_PER_MM))
    left = pixels[rows, round(105 * PX_PER_MM) : round(155 * PX_PER_MM)].mean()
    right = pixels[rows, round(165 * PX_PER_MM) : round(215 * PX_PER_MM)].mean()
    assert left == pytest.approx(20, abs=3)
    assert right == pytest.approx(230, abs=3)


def squared(name: str, rows_mm: int, columns_mm: int):
    """A black picture with a bright square of 30 mm in its middle, at two pixels to the mm."""
    pixels = np.zeros((rows_mm * 2, columns_mm * 2), np.uint8)
    pixels[rows_mm - 30 : rows_mm + 30, columns_mm - 30 : columns_mm + 30] = 200
    grid = Grid((-60, -60, 30), (1, 0, 0), (0, 1, 0), 0.5, 0.5, rows_mm * 2, columns_mm * 2)
    return axial_sight(name, axial_picture(grid, pixels=pixels))


@pytest.mark.parametrize("render", RENDERERS)
def test_a_patient_millimetre_is_as_long_on_all_pictures_of_one_scale(tmp_path, render):
    sights = {"tall": squared("tall", 130, 90), "low": squared("low", 60, 110)}
    shown = [ShownView(view=name) for name in sights]
    exhibits = exhibits_of(shown, Sights(sights, {}), same_scale=True)
    items = compose_exhibits(exhibits, Box(14, 40, 310, 130), cast_of(shown), DARK)
    [image] = render(written(tmp_path, [page("scaled", items)]))
    pixels = np.asarray(image.convert("L"))
    lengths = []
    for item in items:
        if isinstance(item, Picture):
            x, y = (round(at * PX_PER_MM) for at in item.box.center_mm)
            lengths.append(extent(pixels[y, :], x))
            lengths.append(extent(pixels[:, x], y))
    assert lengths == pytest.approx([lengths[0]] * 4, abs=2)
    assert lengths[0] > 60


def extent(line: np.ndarray, at: int) -> int:
    """How far the bright stretch around `at` goes."""
    dark = np.flatnonzero(line < 100)
    return int(dark[dark > at].min() - dark[dark < at].max())
