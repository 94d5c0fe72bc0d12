from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import FitError
from slidekit.scans.measures.on_planes import Caution
from slidekit.scene.asides.column import lettering
from slidekit.scene.asides.value_table import (
    cells_of,
    value_caution,
    value_notes,
    value_table,
    with_value,
)
from slidekit.scene.model import Box, Text
from slidekit.scene.sights.model import Sights
from slidekit.scene.text import line_width_mm
from slidekit.storyboard.views import ShownView
from tests.scene.builders import DARK, axial_sight, cast, measured_area, round_region

COIL = round_region("coil", 0, 0, measure=measured_area())
PLUG = round_region("plug", 9, 9, mark_key="blue", measure=measured_area(90, -64.7, 13.3))
CAST = cast("coil", "plug", steps={"coil": 2, "plug": 1})
DEFAULT = ("mean_sd", "n", "area")
TYPE = lettering(18, 12)


def texts(groups) -> list[Text]:
    return [item for group in groups for item in group.items if isinstance(item, Text)]


def test_a_row_tells_the_numbers_of_its_region():
    assert cells_of(PLUG, DEFAULT) == ("−65 ± 13", "90", "100")


@pytest.mark.parametrize(
    ("column", "cell"),
    [
        ("mean", "40"),
        ("sd", "12"),
        ("median", "40"),
        ("range", "16 to 64"),
        ("min", "0"),
        ("max", "80"),
        ("perimeter", "35.4"),
        ("feret", "11.3"),
    ],
)
def test_every_column_has_its_number(column, cell):
    assert cells_of(COIL, (column,)) == (cell,)


def test_numbers_that_something_speaks_against_are_marked_and_explained():
    thin = measured_area(cautions=(Caution("thin", "it is thinner than two pixels"),))
    region = round_region("coil", 0, 0, measure=thin)
    assert cells_of(region, DEFAULT)[0] == "40 ± 12*"
    table = value_table([region], DEFAULT)
    height = table.height_mm(CAST, 110, TYPE)
    groups = table.compose(CAST, Box(0, 0, 110, height), TYPE, DARK)
    assert "* it is thinner than two pixels" in [text.plain for text in texts(groups)]


def test_a_region_without_samples_has_dashes():
    empty = measured_area(statistics=None, cautions=(Caution("empty", "no sample lies in it"),))
    assert cells_of(round_region("coil", 0, 0, measure=empty), DEFAULT) == ("–*", "0", "100")


def test_a_region_on_a_surface_laid_flat_has_values_and_no_size():
    flat = round_region("coil", 0, 0, measure=measured_area(laid_flat=True))
    assert cells_of(flat, DEFAULT) == ("40 ± 12", "500", "–")


def test_too_few_samples_have_a_mean_and_no_sd():
    few = round_region("coil", 0, 0, measure=measured_area(7, 40.0, None))
    assert cells_of(few, ("mean_sd", "sd")) == ("40", "–")


def test_each_row_comes_with_its_region_and_the_heads_with_the_first():
    groups = value_table([COIL, PLUG], DEFAULT).compose(CAST, Box(0, 0, 150, 60), TYPE, DARK)
    assert [(group.name, group.step) for group in groups] == [
        ("Table of values", 1),
        ("Values A: the coil", 2),
        ("Values B: the plug", 1),
    ]


def test_a_row_can_be_heard():
    groups = value_table([PLUG], DEFAULT).compose(CAST, Box(0, 0, 150, 60), TYPE, DARK)
    assert groups[1].alt == (
        "B, blue ellipse, is the plug: mean ± SD −65 ± 13 HU, n 90 samples, area 100 mm²"
    )


@settings(max_examples=60, deadline=None)
@given(
    width=st.floats(30, 200),
    size=st.integers(14, 26),
    columns=st.lists(
        st.sampled_from(["mean_sd", "median", "range", "max", "n", "area", "feret"]),
        min_size=1, max_size=6, unique=True,
    ),
)  # fmt: skip
def test_a_table_keeps_to_its_column_and_its_height(width, size, columns):
    table, type_ = value_table([COIL, PLUG], columns), lettering(size, 12)
    height = table.height_mm(CAST, width, type_)
    if height == inf:
        return
    box = Box(20, 30, width, height)
    for text in texts(table.compose(CAST, box, type_, DARK)):
        assert text.box.left_mm >= box.left_mm - 1e-6
        assert text.box.right_mm <= box.right_mm + 1e-6
        assert text.box.bottom_mm <= box.bottom_mm + 1e-6
        assert text.size_pt >= 12
        if text.align == "right":  # a number or a head: one line
            bold = text.paragraphs[0].runs[0].bold
            assert line_width_mm(text.plain, text.size_pt, bold=bold) <= text.box.width_mm


def test_a_region_that_was_not_measured_has_no_table():
    message = "^`coil` cannot be measured: its view has no values, or no scale. "
    with pytest.raises(FitError, match=message + "Draw it on a view of a CT or MR scan.$"):
        value_table([round_region("coil", 0, 0)], DEFAULT)


def test_a_mean_may_stand_beside_the_letter():
    assert with_value(COIL).note == "40 HU"


@pytest.mark.parametrize(("table", "notes"), [((), ("* the coil: it is thin",)), (("coil",), ())])
def test_a_marked_mean_is_explained_once(table, notes):
    thin = measured_area(cautions=(Caution("thin", "it is thin"),))
    region = round_region("coil", 0, 0, measure=thin)
    shown = ShownView(view="base", regions=("coil",), values=("coil",), table=table)
    assert with_value(region).note == "40 HU*"
    assert value_notes(shown, Sights({"base": axial_sight()}, {"coil": region})) == notes


@pytest.mark.parametrize(
    ("changes", "unit", "said"),
    [
        ({"table": ("coil",)}, "HU", "SD with n − 1. CT numbers alone do not name a substance."),
        ({"values": ("coil",)}, "HU", "CT numbers alone do not name a substance."),
        ({"table": ("coil",)}, "", "SD with n − 1."),
        ({"values": ("coil",)}, "", ""),
        ({}, "HU", ""),
    ],
)
def test_pages_with_ct_numbers_say_what_these_cannot(changes, unit, said):
    regions = {"coil": round_region("coil", 0, 0, measure=measured_area(unit=unit))}
    shown = ShownView(view="base", regions=("coil",), **changes)
    assert value_caution(shown, Sights({"base": axial_sight()}, regions), "") == said


def test_what_the_foot_of_a_page_says_is_not_said_again():
    shown = ShownView(view="base", regions=("coil",), values=("coil",))
    sights = Sights({"base": axial_sight()}, {"coil": COIL})
    assert value_caution(shown, sights, "CT numbers alone do not name a substance. So.") == ""
