"""The schema for editors, held against a general validator of JSON Schema (draft 2020-12)."""

from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from slidekit.shipped import demo_folder
from slidekit.storyboard.schema import storyboard_schema
from tests.storyboard.boards import BOARD
from tests.talks import TALK

VALIDATOR = Draft202012Validator(storyboard_schema())


def complaints(text: str) -> list[str]:
    """Where the validator finds fault with a storyboard, as an editor would."""
    found = VALIDATOR.iter_errors(yaml.safe_load(text))
    return ["/".join(map(str, error.absolute_path)) for error in found]


def test_the_schema_is_itself_valid():
    Draft202012Validator.check_schema(storyboard_schema())


@pytest.mark.parametrize("path", sorted(demo_folder().glob("*.yaml")), ids=lambda path: path.name)
def test_the_storyboards_of_the_demo_follow_the_schema(path: Path):
    assert complaints(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("text", [BOARD, TALK], ids=["board", "talk"])
def test_the_storyboards_of_the_tests_follow_the_schema(text: str):
    assert complaints(text) == []


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ("slot_min: 2", "slot_min: two", "talk/slot_min"),
        ("slot_min: 2", "slot: 2", "talk"),
        ("plane: coronal", "plane: frontal", "views/front/plane"),
        ("window: soft_tissue", "window: {center: 40}", "views/front/window"),
        ("center_mm: [16, 12]", "center_mm: [16]", "regions/coil"),
        ("shape: line", "shape: ruler", "regions/gap"),
        ("certainty: observed", "certainty: sure", "findings/wire/certainty"),
        ("kind: timeline", "kind: time", "slides/2"),
        ("size_mm: [420, 594]", "size_mm: A2", "panels/coil/size_mm"),
    ],
)
def test_an_editor_finds_a_mistake_in_its_place(old: str, new: str, where: str):
    assert TALK.count(old) == 1
    assert any(place.startswith(where) for place in complaints(TALK.replace(old, new)))


def test_a_text_in_several_languages_is_sound_to_an_editor():
    talk = {
        "talk": {"title": {"en": "Urns", "de": "Urnen"}, "slot_min": 5, "languages": ["en", "de"]},
        "slides": [
            {
                "id": "one",
                "kind": "text",
                "title": {"en": "One", "de": "Eins"},
                "points": {"en": ["A point"], "de": ["Ein Punkt"]},
            }
        ],
    }
    assert complaints(yaml.safe_dump(talk)) == []
    talk["slides"][0]["id"] = {"en": "one"}
    assert complaints(yaml.safe_dump(talk)) != []
