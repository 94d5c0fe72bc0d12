import re
from pathlib import Path

import pytest
import yaml

from slidekit.storyboard.schema import shape_at, shapes_with, storyboard_schema
from tests.storyboard.boards import BOARD

README = Path(__file__).parents[2] / "README.md"
TYPES = {"object": dict, "array": list, "string": str, "number": (int, float), "integer": int}
TYPES |= {"boolean": bool}


def examples() -> dict[str, str]:
    """The storyboards of the README that are whole, and the one of the tests."""
    blocks = re.findall(r"```yaml\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    whole = [block for block in blocks if block.startswith("talk:")]
    assert whole, "the README shows no whole storyboard"
    return {"tests": BOARD, **{f"README {i}": block for i, block in enumerate(whole)}}


def parts(data, path=()):
    yield path, data
    if isinstance(data, dict | list):
        for key, value in data.items() if isinstance(data, dict) else enumerate(data):
            yield from parts(value, (*path, key))


def fits(shape: dict, value: object) -> bool:
    """The assertions of JSON Schema (draft 2020-12, Validation, 6) that our schema uses."""
    kinds = shape.get("type", [])
    allowed = tuple(TYPES[kind] for kind in ([kinds] if isinstance(kinds, str) else kinds))
    checks = [
        not allowed or any(isinstance(value, kind) for kind in allowed),
        value in shape.get("enum", [value]),
        value == shape.get("const", value),
    ]
    if isinstance(value, str):
        checks.append(len(value) >= shape.get("minLength", 0))
        checks.append(re.search(shape.get("pattern", ""), value) is not None)
    if isinstance(value, int | float):
        checks.append(shape.get("minimum", value) <= value <= shape.get("maximum", value))
        checks.append(value > shape.get("exclusiveMinimum", value - 1))
    if isinstance(value, list):
        checks.append(shape.get("minItems", 0) <= len(value) <= shape.get("maxItems", len(value)))
    if isinstance(value, dict):
        checks.append(set(shape.get("required", [])) <= set(value))
    return all(checks)


@pytest.mark.parametrize("text", examples().values(), ids=examples().keys())
def test_a_documented_storyboard_has_a_shape_at_every_part(text):
    data = yaml.safe_load(text)
    for path, value in parts(data):
        shape = shape_at(data, path)
        assert shape, f"the schema allows nothing at {path}"
        assert fits(shape, value), f"{value!r} at {path} is not {shape}"


def test_the_schema_says_which_draft_it_follows():
    # JSON Schema Core, draft 2020-12, 8.1.1
    assert storyboard_schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_no_other_fields_are_allowed_anywhere():
    schema = storyboard_schema()
    for name, shape in [("Storyboard", schema), *schema["$defs"].items()]:
        assert shape["additionalProperties"] is False, name


def test_every_field_is_described_for_editors():
    schema = storyboard_schema()
    bare = [
        f"{name}.{field}"
        for name, shape in [("Storyboard", schema), *schema["$defs"].items()]
        for field, of_field in shape["properties"].items()
        if "description" not in of_field and "const" not in of_field
    ]
    assert bare == []
    assert all("description" in shape for shape in schema["$defs"].values())


def test_every_reference_leads_somewhere():
    schema = storyboard_schema()
    references = re.findall(r"#/\$defs/(\w+)", repr(schema))
    assert set(references) == set(schema["$defs"])


def test_every_example_fits_its_field():
    schema = storyboard_schema()
    for name, shape in schema["$defs"].items():
        for field, of_field in shape["properties"].items():
            for example in of_field.get("examples", []):
                options = of_field.get("anyOf", [of_field])
                options = [schema["$defs"].get(o.get("$ref", "")[8:], o) for o in options]
                assert any(fits(option, example) for option in options), f"{name}.{field}"


def test_nothing_may_stand_off_the_map():
    assert shape_at({}, ("talk", "nowhere")) == {}
    assert shape_at({}, ("nowhere", 3)) == {}


def test_the_kind_of_a_slide_chooses_its_shape():
    data = {"slides": [{"kind": "text"}, {"kind": "scan"}, {"kind": "nothing"}]}
    assert "points" in shape_at(data, ("slides", 0))["properties"]
    assert "views" in shape_at(data, ("slides", 1))["properties"]
    assert "properties" not in shape_at(data, ("slides", 2))


def test_alternatives_with_a_field_are_found():
    regions = shape_at(None, ("regions", "coil"))
    assert shapes_with(regions, "radii_mm") == ["ellipse"]
    assert shapes_with(regions, "at_px") == ["point"]
