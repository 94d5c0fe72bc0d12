"""The language of the storyboard as JSON Schema, for editors and for our own advice."""

from difflib import SequenceMatcher
from functools import cache
from typing import Any, TypeAlias

from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.programme import ProgrammeFile

Shape: TypeAlias = dict[str, Any]
"""A schema or a part of one."""


def storyboard_schema() -> Shape:
    """JSON Schema (draft 2020-12) of a storyboard, with a description of every field; texts may be
    given in several languages."""
    schema = _in_languages(Storyboard.model_json_schema())
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def _in_languages(shape: Any) -> Any:
    """The shape with every text, and every list, also as a mapping from languages."""
    if isinstance(shape, list):
        return [_in_languages(one) for one in shape]
    if not isinstance(shape, dict):
        return shape
    inner = {key: _below_key(key, value) for key, value in shape.items() if key not in _WORDS}
    words = {key: value for key, value in shape.items() if key in _WORDS}
    if not _is_text(shape):
        return {**inner, **words}
    tag = {"pattern": "^[A-Za-z]{2,3}(-[A-Za-z0-9]{1,8})*$"}
    by_language = {"type": "object", "additionalProperties": inner, "propertyNames": tag}
    return {"anyOf": [inner, by_language], **words}


def _below_key(key: str, value: Any) -> Any:
    if key in ("properties", "$defs"):  # names of fields, whatever they are called
        return {name: _in_languages(shape) for name, shape in value.items()}
    return _in_languages(value)


_WORDS = ("description", "title", "default", "examples")
"""What a schema says of a field beside its shape."""


def _is_text(shape: Shape) -> bool:
    if shape.get("type") == "array":
        return _is_text(shape.get("items", {}))
    return shape.get("type") == "string" and not {"pattern", "enum", "const"} & shape.keys()


def shape_at(data: object, path: FieldPath) -> Shape:
    """What may stand at `path`, given what `data` says on the way there (its `kind`, its `shape`).

    References are resolved and optional values are as if required; {} where nothing may stand.
    """
    shape = _settled(_schemas()[path[:1] == ("programme",)], data)
    for step in path:
        data = _child(data, step)
        shape = _settled(_below(shape, step), data)
    return shape


def shapes_with(shape: Shape, key: str) -> list[str]:
    """The kinds among the alternatives of `shape` that have the field `key`."""
    mapping: dict[str, str] = shape.get("discriminator", {}).get("mapping", {})
    return [kind for kind, ref in mapping.items() if key in _referred(ref).get("properties", {})]


def alternatives_at(path: FieldPath) -> Shape:
    """The shape at `path` before its `kind` or `shape` has chosen one alternative."""
    return shape_at(None, path)


@cache
def _schemas() -> tuple[Shape, Shape]:
    """Of a storyboard, and of a file with a programme."""
    return Storyboard.model_json_schema(), ProgrammeFile.model_json_schema()


def _referred(ref: str) -> Shape:
    name = ref.removeprefix("#/$defs/")
    return next(schema["$defs"][name] for schema in _schemas() if name in schema["$defs"])


def _settled(shape: Shape, data: object) -> Shape:
    """`shape` without references, its alternatives chosen by `data` where they can be."""
    if ref := shape.get("$ref"):
        return _settled(_with(_referred(ref), shape, "$ref"), data)
    union = "oneOf" if "discriminator" not in shape and "oneOf" in shape else "anyOf"
    if options := shape.get(union):
        options = [_settled(option, data) for option in options if option.get("type") != "null"]
        return _with(_meant(options, data), shape, union)
    if "discriminator" in shape and isinstance(data, dict):
        tag = data.get(shape["discriminator"]["propertyName"])
        ref = shape["discriminator"]["mapping"].get(tag) if isinstance(tag, str) else None
        return _settled(_referred(ref), data) if ref else shape
    return shape


def _meant(options: list[Shape], data: object) -> Shape:
    """The alternative that `data` seems to be: the group that has most of its fields."""
    if not isinstance(data, dict):
        return options[0]
    groups = [option for option in options if option.get("type") == "object"]
    return max(groups or options, key=lambda option: _likeness(option, data))


def _likeness(shape: Shape, data: dict[str, object]) -> float:
    """How far the names in `data` are those of the fields of the shape: 1 for each that is."""
    fields = shape.get("properties", {})
    return sum(
        max((SequenceMatcher(None, str(key), field).ratio() for field in fields), default=0.0)
        for key in data
    )


def _with(inner: Shape, outer: Shape, without: str) -> Shape:
    """What the outer shape says of the inner one (its description, say) goes before."""
    return {**inner, **{key: value for key, value in outer.items() if key != without}}


def _below(shape: Shape, step: str | int) -> Shape:
    below: Shape
    if isinstance(step, int):
        fixed = shape.get("prefixItems", [])
        below = fixed[step] if step < len(fixed) else shape.get("items", {})
        return below
    by_pattern = list(shape.get("patternProperties", {}).values())
    below = shape.get("properties", {}).get(step) or (by_pattern[0] if by_pattern else {})
    return below


def _child(data: object, step: str | int) -> object:
    if isinstance(data, dict):
        return data.get(step)
    if isinstance(data, list) and isinstance(step, int) and step < len(data):
        return data[step]
    return None
