import pytest

from slidekit.errors import FitError
from slidekit.scene.clock.schedule import Cue, Said
from slidekit.scene.model import Text
from slidekit.scene.paper.cue_sheet import compose_cue_sheet
from slidekit.scene.paper.sheet import CONTENT
from tests.scene.paper.samples import IMPRINT, schedule_of, turn_of


def test_each_click_stands_with_the_words_before_it_and_what_appears():
    pieces = Said("At the foot something is bright."), Cue(1, "the coil"), Said("A coil of wire.")
    talk = schedule_of(turn_of(1, pieces), turn_of(2, (Said("Thank you."),)))
    (page,) = compose_cue_sheet(talk, IMPRINT, "What the urn holds")
    lines = "\n".join(item.plain for item in page.items if isinstance(item, Text)).splitlines()
    assert "1  Slide 1  0:00" in lines
    assert "[1] “… foot something is bright.” the coil" in lines
    assert "next “… A coil of wire.”" in lines
    assert "end “… Thank you.”" in lines


@pytest.mark.parametrize("slides", [1, 20, 35])
def test_it_is_one_sheet(slides):
    pieces = Said("At the foot it is bright."), Cue(1, "the coil"), Said("There."), Cue(2, "a gap")
    talk = schedule_of(*(turn_of(number + 1, pieces) for number in range(slides)))
    (page,) = compose_cue_sheet(talk, IMPRINT, "A talk")
    for item in page.items[:-2]:
        if isinstance(item, Text):
            assert item.box.bottom_mm <= CONTENT.bottom_mm + 1e-6
            assert item.box.right_mm <= CONTENT.right_mm + 1e-6


def test_more_clicks_than_a_sheet_holds_are_told():
    pieces = [piece for n in range(1, 9) for piece in (Said("Look there."), Cue(n, "a region"))]
    talk = schedule_of(*(turn_of(number + 1, tuple(pieces)) for number in range(60)))
    with pytest.raises(FitError, match=r"^480 clicks on 60 slides do not fit on one sheet"):
        compose_cue_sheet(talk, IMPRINT, "A talk")
