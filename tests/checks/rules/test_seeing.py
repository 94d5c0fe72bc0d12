from types import SimpleNamespace

import numpy as np
import pytest

from slidekit.checks.grounds import placed_texts
from slidekit.checks.rules.seeing import find_low_contrast, least_height_share
from slidekit.scene.model import Box, Group, Page, Paragraph, Picture, Rect, Run, Text
from slidekit.storyboard.talk import Room

BOX = Box(10, 10, 40, 10)
ROUND = Box(0, 0, 60, 30)


def text(color: str, size_pt: float = 12, *, bold: bool = False, fill: str | None = None) -> Text:
    paragraph = Paragraph((Run("Coil", bold=bold),))
    return Text(BOX, (paragraph,), size_pt, color, "body", fill=fill)


def page(*items, ground: str = "#FFFFFF") -> Page:
    return Page("coil", "Coil", "text", (338.7, 190.5), ground, items)


def complaints(*items, ground: str = "#FFFFFF") -> list[str]:
    told = SimpleNamespace(page=page(*items, ground=ground))
    heard = SimpleNamespace(slides=[(("slides", 0), told)])
    return [one.text for one in find_low_contrast(heard)]


@pytest.mark.parametrize(
    ("height_m", "depth_m", "share"),
    [  # ANSI/AVIXA V202.01:2016, Basic Decision Making; the first is its published example
        (1.5, 10.5, 0.035),
        (2.0, 12.0, 0.030),
        (1.5, 15.0, 0.050),
        (1.0, 6.0, 0.030),
    ],
)
def test_the_back_row_reads_as_the_standard_says(height_m, depth_m, share):
    room = Room(depth_m=depth_m, screen_height_m=height_m)
    assert least_height_share(room) == pytest.approx(share)


@pytest.mark.parametrize(
    ("color", "size_pt", "bold", "is_fine"),
    [  # WCAG 2.2, 1.4.3: on white #767676 is 4.54:1 and #777777 4.48:1; #949494 3.03, #959595 2.995
        ("#767676", 12, False, True),
        ("#777777", 12, False, False),
        ("#777777", 18, False, True),
        ("#777777", 14, True, True),
        ("#777777", 13, True, False),
        ("#949494", 18, False, True),
        ("#959595", 18, False, False),
    ],
)
def test_text_has_the_contrast_of_the_standard(color, size_pt, bold, is_fine):
    assert (complaints(text(color, size_pt, bold=bold)) == []) is is_fine


def test_low_contrast_is_told_with_its_ground():
    assert complaints(text("#777777")) == ["“Coil” has a contrast of 4.48:1 to its ground #FFFFFF"]


def test_text_stands_on_what_is_drawn_below_it():
    plate = Rect(ROUND, fill="#000000")
    beside = Rect(Box(100, 0, 60, 30), fill="#FF0000")
    group = Group("Key", "key", (plate, beside, text("#FFFFFF")))
    assert [one.ground for one in placed_texts(page(group))] == ["#000000"]


def test_text_with_a_plate_of_its_own_stands_on_that():
    picture = Picture(ROUND, np.zeros((2, 2), np.uint8), "", "cut")
    assert [one.ground for one in placed_texts(page(picture, text("#FFFFFF", fill="#101010")))] == [
        "#101010"
    ]


def test_text_on_a_picture_has_no_one_ground():
    picture = Picture(ROUND, np.zeros((2, 2), np.uint8), "", "cut")
    assert list(placed_texts(page(picture, text("#FFFFFF")))) == []
