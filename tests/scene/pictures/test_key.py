from dataclasses import replace

import pytest

from slidekit.scene.model import Box, Polyline, Text
from slidekit.scene.pictures.key import compose_key, key_height_mm
from slidekit.scene.sights.figures import Figure
from tests.scene.builders import DARK, cast, placed, round_region

REGIONS = [round_region("coil", 0, 0), round_region("plug", 9, 9, mark_key="blue", note="12 mm")]
CAST = cast("coil", "plug", steps={"plug": 2})


def test_rows_take_the_height_that_was_measured():
    box = Box(10, 20, 70, 100)
    rows = compose_key(REGIONS, CAST, box, 18, DARK)
    bottom = max(i.box.bottom_mm for row in rows for i in row.items if isinstance(i, Text))
    assert bottom - box.top_mm <= key_height_mm(REGIONS, CAST, 70, 18) + 1e-6


def test_a_row_shows_the_line_it_explains():
    for region, row in zip(
        REGIONS, compose_key(REGIONS, CAST, Box(0, 0, 70, 90), 18, DARK), strict=True
    ):
        sample = next(i for i in row.items if isinstance(i, Polyline))
        assert (sample.stroke.color, sample.stroke.dash) == (region.mark.color, region.mark.dash)


def test_a_row_appears_with_its_region():
    rows = compose_key(REGIONS, CAST, Box(0, 0, 70, 90), 18, DARK)
    assert [row.step for row in rows] == [0, 2]


def test_a_length_stands_behind_the_name():
    row = compose_key(REGIONS, CAST, Box(0, 0, 70, 90), 18, DARK)[1]
    assert next(i.plain for i in row.items if isinstance(i, Text)) == "B  the plug, 12 mm"


def test_what_is_not_certain_says_so_behind_the_name():
    doubtful = replace(REGIONS[1], certainty="probable")
    (row,) = compose_key([doubtful], CAST, Box(0, 0, 70, 90), 18, DARK)
    (text,) = [item for item in row.items if isinstance(item, Text)]
    assert text.plain == "B  the plug, 12 mm (probable)"
    assert text.paragraphs[0].runs[-1].italic


def test_no_regions_need_no_room():
    assert key_height_mm([], CAST, 70, 18) == 0


@pytest.mark.parametrize(
    ("kind", "points", "strokes"),
    [
        ("arrow", ((0, 0, 30), (9, 0, 30)), 0),
        ("point", ((0, 0, 30),), 2),
        ("line", ((0, 0, 30), (9, 0, 30)), 1),
        ("angle", ((9, 0, 30), (0, 0, 30), (7, 5, 30)), 2),
    ],
)
def test_arrows_crosses_and_lines_look_like_themselves(kind, points, strokes):
    region = placed("it", Figure(kind, points), kind)
    (row,) = compose_key([region], cast("it"), Box(0, 0, 70, 90), 18, DARK)
    samples = [i for i in row.items if isinstance(i, Polyline)]
    assert sum(i.stroke is not None for i in samples) == strokes
    assert any(i.fill == region.mark.color for i in samples) == (kind == "arrow")
