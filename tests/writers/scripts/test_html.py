import re

import html5lib

from slidekit.scene.clock.schedule import Cue, Said
from slidekit.storyboard.talk import Talk
from slidekit.writers.scripts.html import script_html
from tests.scene.paper.samples import schedule_of, thumbnail, turn_of

TALK = Talk(title="Urns <& pots>", speaker="A. Speaker", slot_min=60, language="en-GB")
WORDS = Said("At the foot it is <bright>."), Cue(1, "the coil"), Said("There.")
PAGE = script_html(TALK, schedule_of(turn_of(1, WORDS), turn_of(2)), thumbnail)


def test_the_page_is_sound_html():
    # html5lib parses by the WHATWG standard and notes what the standard calls a parse error
    parser = html5lib.HTMLParser(strict=False)
    parser.parse(PAGE)
    assert [code for _, code, _ in parser.errors] == []


def test_the_page_asks_nothing_of_a_network():
    assert not re.search(r"https?://|@import|url\(", PAGE)


def test_there_is_a_picture_before_the_first_click_and_after_each():
    assert PAGE.count("<img ") == 3
    assert "<b>[1]</b> the coil" in PAGE


def test_slides_begin_sheets_and_paragraphs_are_not_parted():
    assert "section { break-before: page; }" in PAGE
    assert re.search(r"\.row \{[^}]*break-inside: avoid", PAGE)


def test_texts_of_the_author_are_text():
    assert "<title>Urns &lt;&amp; pots&gt;</title>" in PAGE
    assert "At the foot it is &lt;bright&gt;." in re.sub(r"</?span[^>]*>", "", PAGE)


def test_the_page_says_its_language_and_the_cautions():
    assert '<html lang="en-GB">' in PAGE
    assert "not for diagnosis" in PAGE
