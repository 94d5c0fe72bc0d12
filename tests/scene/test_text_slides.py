import pytest

from slidekit.errors import FitError
from slidekit.scene.frame import PAGE_MM, compose_title
from slidekit.scene.model import Group, Item, Picture, Rect, Text
from slidekit.scene.text import text_height_mm
from slidekit.scene.text_slides import (
    compose_notice,
    compose_points,
    compose_quote,
    compose_title_slide,
)
from slidekit.storyboard.slides import NoticeSlide, QuoteSlide, TextSlide
from slidekit.storyboard.talk import Talk
from tests.scene.builders import DARK, axial_sight

TALK = Talk(title="What the urn holds", subtitle="Read before opening", slot_min=15)
TITLE = compose_title("What we may say", DARK)


def texts(items: list[Item]) -> list[Text]:
    inner = [i for item in items if isinstance(item, Group) for i in item.items]
    return [i for i in [*items, *inner] if isinstance(i, Text)]


def assert_fits(items: list[Item]) -> None:
    for text in texts(items):
        room = text.box.inset(*text.inset_mm)
        needed = text_height_mm(text.paragraphs, room.width_mm, text.size_pt)
        assert needed <= room.height_mm + 1e-6, text.plain
        assert text.box.right_mm <= PAGE_MM[0]
        assert text.box.bottom_mm <= PAGE_MM[1]


def test_a_title_slide_says_who_speaks_and_where():
    talk = TALK.model_copy(update={"speaker": "A. Speaker", "occasion": "Evening lecture"})
    items = compose_title_slide(talk.title, talk, None, DARK)
    assert [t.plain for t in texts(items)] == [
        "What the urn holds",
        "Read before opening\nA. Speaker\nEvening lecture",
    ]
    assert_fits(items)


def test_a_picture_stands_beside_the_title_and_never_under_it():
    items = compose_title_slide(TALK.title, TALK, axial_sight(), DARK)
    picture = next(i for i in items if isinstance(i, Picture))
    title = next(t for t in texts(items) if t.role == "title")
    assert title.box.right_mm < picture.box.left_mm
    assert picture.box.right_mm < PAGE_MM[0]


def test_a_long_title_is_refused_with_the_measure():
    with pytest.raises(FitError, match=r"^the title of the talk needs \d+ mm more height"):
        compose_title_slide("What the urn holds and why " * 40, TALK, None, DARK)


def test_a_slide_title_has_at_most_two_lines():
    with pytest.raises(FitError, match=r"^the title needs "):
        compose_title("A title that goes on and on about everything " * 6, DARK)


def test_points_are_bulleted_with_air_between():
    slide = TextSlide(id="a", kind="text", title="x", points=("One", "Two", "Three"))
    (text,) = compose_points(TITLE, slide, DARK)
    assert isinstance(text, Text)
    assert all(p.bullet for p in text.paragraphs)
    assert text.paragraphs[0].space_before_pt == 0
    assert text.paragraphs[1].space_before_pt > 8
    assert_fits([text])


def test_a_quotation_stands_above_its_source():
    slide = QuoteSlide(id="a", kind="quote", title="x", quote="We stopped.", source="A diary")
    items = compose_quote(TITLE, slide, DARK)
    quote, source = texts(items)
    assert (quote.plain, source.plain) == ("“We stopped.”", "A diary")
    assert quote.box.bottom_mm < source.box.top_mm
    assert_fits(items)


def test_a_notice_of_human_remains_names_the_code_of_ethics():
    slide = NoticeSlide(id="a", kind="notice", title="x", points=("Bone is shown.",))
    plain = texts(compose_notice(TITLE, slide, DARK, human_remains=True))[0].plain
    assert "ICOM Code of Ethics for Museums, 3.7" in plain


def test_a_notice_of_something_else_does_not():
    slide = NoticeSlide(id="a", kind="notice", title="x", points=("Loud.",))
    items = compose_notice(TITLE, slide, DARK, human_remains=False)
    assert texts(items)[0].plain == "Loud."
    plate = next(i for i in items if isinstance(i, Rect))
    assert plate.box.bottom_mm > texts(items)[0].box.bottom_mm
