import numpy as np
import pytest

from slidekit.scene.enlarge import enlarged
from slidekit.scene.model import (
    Box,
    Ellipse,
    Group,
    Paragraph,
    Picture,
    Polyline,
    Rect,
    Run,
    Stroke,
    Text,
)

STROKE, TWICE = Stroke("#FF9524", 3, "dash"), Stroke("#FF9524", 6, "dash")
PIXELS = np.zeros((2, 2), np.uint8)


def text(scale):
    return Text(
        Box(1 * scale, 2 * scale, 30 * scale, 40 * scale),
        (Paragraph((Run("A"),), space_before_pt=5 * scale),),
        20 * scale,
        "#FFFFFF",
        "label",
        inset_mm=(1 * scale, 2 * scale),
        corner_mm=0.5 * scale,
    )


@pytest.mark.parametrize(
    ("item", "twice"),
    [
        pytest.param(text(1), text(2), id="text"),
        pytest.param(
            Picture(Box(1, 2, 3, 4), PIXELS, "a", "n"),
            Picture(Box(2, 4, 6, 8), PIXELS, "a", "n"),
            id="picture",
        ),
        pytest.param(
            Polyline(((1, 2), (3, 4)), stroke=STROKE, fill="#000000"),
            Polyline(((2, 4), (6, 8)), stroke=TWICE, fill="#000000"),
            id="polyline",
        ),
        pytest.param(
            Ellipse((1, 2), (3, 4), 30, stroke=STROKE),
            Ellipse((2, 4), (6, 8), 30, stroke=TWICE),
            id="ellipse",
        ),
        pytest.param(Rect(Box(1, 2, 3, 4), 1), Rect(Box(2, 4, 6, 8), 2), id="rectangle"),
        pytest.param(
            Group("g", "a", (Rect(Box(1, 2, 3, 4)), text(1)), 3),
            Group("g", "a", (Rect(Box(2, 4, 6, 8)), text(2)), 3),
            id="group",
        ),
    ],
)
def test_every_length_grows_and_nothing_else(item, twice):
    assert enlarged(item, 2) == twice
