import re
from itertools import pairwise

import pytest
from hypothesis import given, settings

from slidekit.errors import FitError
from slidekit.scene.clock.schedule import Said
from slidekit.scene.model import Picture, Text
from slidekit.scene.paper.script_sheets import SIZE_PT, compose_script
from slidekit.scene.paper.sheet import A4_MM, CONTENT
from tests.scene.paper.samples import IMPRINT, schedule_of, thumbnail, turn_of, turns


def words_on(page) -> list[Text]:
    return [one for one in page.items if isinstance(one, Text) and one.size_pt == SIZE_PT]


def pictures_on(page) -> list[Picture]:
    return [one for one in page.items if isinstance(one, Picture)]


@settings(max_examples=15, deadline=None)
@given(turns())
def test_no_sheet_ends_inside_a_sentence(turn):
    pages = compose_script(schedule_of(turn), IMPRINT, thumbnail)
    for page in pages:
        (words,) = words_on(page)
        assert re.sub(r"\[[^]]*\]", "", words.plain).rstrip().endswith(".")
    joined = " ".join(words_on(page)[0].plain for page in pages)
    said = " ".join(
        p.text for passage in turn.passages for p in passage.pieces if isinstance(p, Said)
    )
    assert re.sub(r"\[[^]]*\]", "", joined).split() == said.split()


@settings(max_examples=15, deadline=None)
@given(turns())
def test_what_a_click_brings_stands_on_the_sheet_of_its_words(turn):
    for page in compose_script(schedule_of(turn), IMPRINT, thumbnail):
        marks = re.findall(r"\[(\d+)\]", words_on(page)[0].plain)
        after = [one.name.removeprefix("After click ") for one in pictures_on(page)]
        assert after[1:] == marks


@settings(max_examples=15, deadline=None)
@given(turns())
def test_everything_stands_inside_the_sheet_and_no_picture_on_another(turn):
    for page in compose_script(schedule_of(turn), IMPRINT, thumbnail):
        assert page.size_mm == A4_MM
        for one in (*words_on(page), *pictures_on(page)):
            assert one.box.left_mm >= CONTENT.left_mm - 1e-6
            assert one.box.right_mm <= CONTENT.right_mm + 1e-6
            assert one.box.bottom_mm <= CONTENT.bottom_mm + 1e-6
        boxes = [one.box for one in pictures_on(page)]
        for above, below in pairwise(boxes):
            assert above.bottom_mm < below.top_mm


def test_each_slide_begins_a_sheet():
    two = schedule_of(turn_of(1, (Said("One."),)), turn_of(2, (Said("Two."),)))
    pages = compose_script(two, IMPRINT, thumbnail)
    assert [words_on(page)[0].plain.strip() for page in pages] == ["One.", "Two."]


def test_a_slide_without_words_has_its_sheet():
    (page,) = compose_script(schedule_of(turn_of(1)), IMPRINT, thumbnail)
    assert len(pictures_on(page)) == 1


def test_a_sentence_longer_than_a_sheet_is_told():
    endless = schedule_of(turn_of(1, (Said("word " * 900),)))
    told = r"^slide `s1` has a sentence that does not fit on a sheet of paper\. Make two sentences"
    with pytest.raises(FitError, match=told):
        compose_script(endless, IMPRINT, thumbnail)
