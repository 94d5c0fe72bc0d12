import pytest

from slidekit.scans.measures.on_planes import LineMeasure
from slidekit.scene.sights.figures import Figure
from slidekit.scene.sights.model import Sights
from slidekit.scene.speech import cast_of, compose_speech, spoken_mark
from slidekit.storyboard.chronology import Chronology
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.slides import ScanSlide, TextSlide
from slidekit.storyboard.views import ShownView
from tests.scene.builders import DARK, axial_sight, placed, round_region

LINE = placed(
    "gap",
    Figure("line", ((0, 0, 30), (9.46, 0, 30))),
    "line",
    "blue",
    measure=LineMeasure(9.46, 0.5),
)
SIGHTS = Sights({"base": axial_sight()}, {"coil": round_region("coil", 0, 0), "gap": LINE})
CHRONOLOGY = Chronology.model_validate(
    {
        "periods": {"bronze": {"label": "Bronze Age", "start": "2200 BCE", "end": "800 BCE"}},
        "events": {
            "burial": {"label": "the burial", "at": "c. 950 BCE"},
            "fire": {"label": "the fire", "earliest": "30 BCE", "latest": "20 CE"},
        },
    }
)
SLIDE = ScanSlide(
    id="coil", kind="scan", title="x", views=(ShownView(view="base", regions=("gap", "coil")),)
)


def said(words: str) -> str:
    slide = SLIDE.model_copy(update={"say": words})
    board = Storyboard.model_validate(
        {"talk": {"title": "t", "slot_min": 1}, "slides": [{"id": "a", "kind": "title"}]}
    ).model_copy(update={"chronology": CHRONOLOGY})
    return compose_speech(slide, board, SIGHTS).text


@pytest.mark.parametrize(
    ("words", "spoken"),
    [
        ("Look at {coil.mark}.", "Look at the orange ellipse."),
        ("Look. {coil.mark} is it.", "Look. The orange ellipse is it."),
        ("Look. [show coil] {coil.mark} is it.", "Look. The orange ellipse is it."),
        ("Letter {coil.letter}, {coil.called}.", "Letter B, the coil."),
        ("It is {gap.length} wide.", "It is 9.5 mm wide."),
        ("That was {bronze}.", "That was 2200 to 800 BCE."),
        ("In the {bronze.called}.", "In the Bronze Age."),
        ("It happened {burial}.", "It happened c. 950 BCE."),
        ("Between {fire}.", "Between 30 BCE to 20 CE."),
    ],
)
def test_placeholders_speak_what_is_drawn(words, spoken):
    assert said(words) == spoken


def test_letters_follow_the_slide_and_steps_the_clicks():
    views = (ShownView(view="base", regions=("gap", "coil")),)
    cast = cast_of(views, [("coil",), ("gap", "coil")])
    assert cast.letters == {"gap": "A", "coil": "B"}
    assert cast.steps == {"coil": 1, "gap": 2}


@pytest.mark.parametrize("shape", ["ellipse", "rectangle", "arrow", "line"])
def test_a_mark_is_called_by_its_colour_and_shape(shape):
    assert spoken_mark(DARK.marks["blue"], shape) == f"blue {shape}"


def test_a_polygon_is_called_an_outline():
    assert spoken_mark(DARK.marks["green"], "polygon") == "green outline"


def test_a_slide_without_regions_has_an_empty_cast():
    slide = TextSlide(id="a", kind="text", title="x", points=("p",), say="Words.")
    board = Storyboard(talk={"title": "t", "slot_min": 1}, slides=(slide,))
    speech = compose_speech(slide, board, Sights({}, {}))
    assert (speech.text, speech.cast.letters) == ("Words.", {})
