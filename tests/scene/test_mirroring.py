"""Pages of languages that are written from right to left."""

import numpy as np
import pytest

from slidekit.scene.mirroring import mirrored_for_language
from slidekit.scene.model import Box, Ellipse, Page, Paragraph, Picture, Polyline, Rect, Run, Text

WORDS = (Paragraph((Run("words"),)),)
TITLE = Text(Box(10, 10, 100, 20), WORDS, 20, "#000000", "title")
BODY = Text(Box(10, 40, 80, 20), WORDS, 20, "#000000", "body")
NUMBER = Text(Box(180, 90, 10, 5), WORDS, 10, "#000000", "page_number", align="right")
PICTURE = Picture(Box(10, 40, 50, 50), np.zeros((2, 2), np.uint8), "alt", "name")


def page(*items, language="he") -> Page:
    return Page("p", "p", "text", (200, 100), "#FFFFFF", items, language=language)


@pytest.mark.parametrize("language", ["en", "ja", "ar-Latn"])
def test_other_languages_keep_their_pages(language):
    drawn = page(TITLE, BODY, language=language)
    assert mirrored_for_language(drawn, words_only=True) is drawn


def test_a_slide_of_words_is_mirrored_as_a_whole():
    rule, line = Rect(Box(10, 35, 30, 1)), Polyline(((10, 5), (30, 8)))
    dot = Ellipse((50, 50), (3, 2), 20)
    title, body, rule, line, dot, number = mirrored_for_language(
        page(TITLE, BODY, rule, line, dot, NUMBER), words_only=True
    ).items
    assert (title.box.left_mm, title.align) == (90, "right")
    assert (body.box.left_mm, body.align) == (110, "right")
    assert rule.box.left_mm == 160
    assert line.points_mm == ((190, 5), (170, 8))
    assert (dot.center_mm, dot.rotation_deg) == ((150, 50), -20)
    assert (number.box.left_mm, number.align) == (10, "left")


@pytest.mark.parametrize("words_only", [True, False])
def test_beside_a_picture_only_title_and_foot_change_sides(words_only):
    drawn = mirrored_for_language(page(TITLE, BODY, PICTURE, NUMBER), words_only=words_only)
    title, body, picture, number = drawn.items
    assert (title.align, number.align) == ("right", "left")
    assert (body, picture) == (BODY, PICTURE)
