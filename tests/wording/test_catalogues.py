"""Every phrase of the code stands in every catalogue, and nothing else does."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest
from babel.messages.pofile import read_po

import slidekit
from slidekit.evidence.dates.words import TABLES
from slidekit.scene.speech import SPOKEN_SHAPES
from slidekit.scene.style import load_style
from slidekit.shipped import styles_folder
from slidekit.wording.catalogue import FOLDER

PACKAGE = Path(slidekit.__file__).parent
LANGUAGES = sorted({path.parent.name for path in FOLDER.glob("*/*.po")})
ASKED_BY = ("phrase", "phrase_key")


@cache
def phrases_of_the_code() -> dict[str, str]:
    """Each phrase and a place where it is asked for."""
    found: dict[str, str] = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if (
                isinstance(node, ast.Call)
                and getattr(node.func, "id", "") in ASKED_BY
                and node.args
            ):
                first = node.args[0]
                if isinstance(first, ast.Constant) and isinstance(first.value, str):
                    found[first.value] = f"{path.relative_to(PACKAGE)}:{node.lineno}"
    return found


@cache
def phrases_of_the_styles() -> frozenset[str]:
    """What marks and windows are called."""
    styles = [
        load_style(styles_folder() / f"{name}.yaml") for name in ("lecture-dark", "lecture-light")
    ]
    spoken = {mark.spoken for style in styles for mark in style.marks.values()}
    marks = [f"{word} {shape}" for word in spoken for shape in SPOKEN_SHAPES.values()]
    windows = [name.replace("_", " ") for style in styles for name in style.windows]
    return frozenset([*marks, *(f"the {mark}" for mark in marks), *windows])


@cache
def catalogue(language: str) -> dict[str, str]:
    messages: dict[str, str] = {}
    for path in sorted((FOLDER / language).glob("*.po")):
        with path.open("rb") as file:
            for message in read_po(file):
                if message.id:
                    assert message.id not in messages, f"{path.name} has it twice: {message.id}"
                    assert not message.fuzzy, message.id
                    messages[message.id] = message.string
    return messages


def braces(text: str) -> list[str]:
    return sorted(re.findall(r"\{(\w*)\}", text))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_phrase_of_the_code_is_in_the_catalogue(language):
    known = phrases_of_the_code()
    lacking = (known.keys() | phrases_of_the_styles()) - catalogue(language).keys()
    assert {text: known.get(text, "a style") for text in lacking} == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_nothing_else_is_in_the_catalogue(language):
    known = phrases_of_the_code().keys() | phrases_of_the_styles()
    assert sorted(catalogue(language).keys() - known) == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_phrase_is_translated_with_the_same_braces(language):
    for text, translated in catalogue(language).items():
        assert translated.strip(), text
        assert braces(translated) == braces(text), text


def test_dates_have_words_in_every_language_that_has_a_catalogue():
    assert sorted(TABLES.keys() - {"en"}) == LANGUAGES
