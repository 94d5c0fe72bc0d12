"""Whatever is wrong with a storyboard is said in our own words."""

import copy
from pathlib import Path

import pytest
from pydantic import ValidationError

from slidekit.storyboard.advice import ADVISED_TYPES, faults_of
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.yaml_text import parse_yaml, without_empty
from tests.storyboard.boards import BOARD

DATA, PLACES = parse_yaml(BOARD + "borrow: {full: full.yaml}\n", Path("talk.yaml"))
DATA["slides"].append({"kind": "borrowed", "origin": "full", "slide": "x", "captions": {"a": "b"}})
DATA["talk"] |= {"words_per_min": "120", "audience": "student", "style": "x", "speaker": "y"}
DATA["scans"]["urn"]["human_remains"] = "true"

WRONG = [
    *(None, "", "x", "Bad Name", "12,5", "12 mm", "nan", "maybe", "−5", "9" * 30),
    *(-1, 0, 99999, [], {}, ["a"], {"a": "b"}, list("1234567")),
]
FOREIGN = ("Input should", "valid ", "Field required", "validation", "str_", "type=", "None", "[]")
"""Words of the library that finds the faults, and of Python."""


def paths(data, path=()):
    if isinstance(data, dict | list):
        for key, value in data.items() if isinstance(data, dict) else enumerate(data):
            yield (*path, key)
            yield from paths(value, (*path, key))


def spoiled(path, wrong):
    data = copy.deepcopy(DATA)
    around = data
    for step in path[:-1]:
        around = around[step]
    if wrong is DELETED:
        del around[path[-1]]
    elif wrong is ADDED:
        around[path[-1]]["superfluous"] = "1"
    else:
        around[path[-1]] = wrong
    return data


DELETED, ADDED = object(), object()


def value_at(path):
    found = DATA
    for step in path:
        found = found[step]
    return found


def all_errors():
    for path in paths(DATA):
        adding = [ADDED] if isinstance(value_at(path), dict) else []
        for wrong in (*WRONG, DELETED, *adding):
            data = spoiled(path, wrong)
            try:
                Storyboard.model_validate(data)
            except ValidationError as invalid:
                yield path, data, invalid


def test_every_spoiled_field_is_told_in_our_own_words():
    count = 0
    types = set()
    for path, data, invalid in all_errors():
        faults = faults_of(invalid, data, PLACES)
        assert faults, path
        for fault in faults:
            text = f"{fault.wrong}. {fault.instead}."
            said = text.replace("None is not a date", "").replace("[] is not a date", "")
            assert not any(word in said for word in FOREIGN), f"{path}: {text}"
            assert "cannot stand here" not in text, f"{path}: {text}"
            assert ".." not in text.replace("../", ""), f"{path}: {text}"
            assert fault.line > 0
        types |= {error["type"] for error in invalid.errors()}
        count += 1
    assert count > 1000
    assert types <= ADVISED_TYPES
    assert len(types) > 20


def test_the_untouched_storyboard_is_sound():
    Storyboard.model_validate(without_empty(DATA))


@pytest.mark.parametrize("wrong", ["", "x", [], {"a": "b"}])
def test_a_fault_names_the_field_that_is_wrong(wrong):
    with pytest.raises(ValidationError) as raised:
        Storyboard.model_validate(spoiled(("views", "base", "at_mm"), wrong))
    (fault,) = faults_of(raised.value, DATA, PLACES)
    assert (fault.field, fault.line) == ("views.base.at_mm", 11)
