"""What is wrong with a field, in a sentence a lecturer understands: one for every fault that the
models can find.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from slidekit.errors import CitationError, DateError, Fault, RightsError
from slidekit.storyboard.names.naming import as_name, listed, nearest
from slidekit.storyboard.places import FieldPath, Places
from slidekit.storyboard.schema import Shape, alternatives_at, shape_at, shapes_with
from slidekit.storyboard.tables import DIGITS
from slidekit.storyboard.windows import FORMS

_TAGGED = ("slides", "regions")
"""Sections of alternatives; after their second step comes the tag, which is no field."""

_MOST_KINDS = 16  # of slides there are that many or fewer, and each may be meant
_AFTER_BAR = "write them on the next lines after `|`"


@dataclass(frozen=True)
class _Problem:
    """One fault as the models report it."""

    type: str
    path: FieldPath
    value: object
    facts: Mapping[str, object]
    message: str
    data: object
    is_written: bool  # the field stands in the file, if only with nothing after it

    @cached_property
    def shape(self) -> Shape:
        return shape_at(self.data, self.path)

    @cached_property
    def around(self) -> Shape:
        return shape_at(self.data, self.path[:-1])

    @property
    def key(self) -> str:
        return str(self.path[-1]) if self.path else ""

    @property
    def as_in(self) -> str:
        """ ", as in `key: example`", or nothing."""
        example = _example(self.shape)
        if example is None:
            return ""
        before = f"{self.key}: " if self.path and isinstance(self.path[-1], str) else ""
        return f", as in `{before}{_as_yaml(example)}`"


_Advice = tuple[str, str]


def faults_of(invalid: ValidationError, data: object, places: Places) -> list[Fault]:
    """Everything that is wrong with `data`, in the order of the file."""
    problems = [_problem(error, data, places) for error in invalid.errors(include_url=False)]
    faults: dict[tuple[FieldPath, str], Fault] = {}
    for problem in problems:
        if _is_said_elsewhere(problem, problems):
            continue
        path, (wrong, instead) = problem.path, _ADVICE.get(problem.type, _unforeseen)(problem)
        if problem.type == "missing" and isinstance(path[-1], int):
            path = path[:-1]  # an entry that a list lacks
        faults.setdefault((path, wrong), places.fault(path, wrong, instead))
    return sorted(faults.values(), key=lambda fault: fault.line)


def _problem(error: ErrorDetails, data: object, places: Places) -> _Problem:
    steps = [step for step in error["loc"] if step != "[key]"]
    if steps and steps[0] in _TAGGED:
        del steps[2:3]
    steps = [step for step in steps if step not in FORMS]
    facts = error.get("ctx", {})
    kind = error["type"]
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        steps.append(str(facts["discriminator"]).strip("'"))
    path = tuple(steps)
    return _Problem(kind, path, error["input"], facts, error["msg"], data, path in places.known)


def _is_said_elsewhere(problem: _Problem, problems: list[_Problem]) -> bool:
    """A missing field that a misspelt one is meant for."""
    if problem.type == "too_short" and isinstance(problem.value, list):
        # counted without its faulty entries, which are told of themselves
        return len(problem.value) >= int(str(problem.facts.get("min_length", 0)))
    return problem.type == "missing" and any(
        other.type == "extra_forbidden"
        and other.path[:-1] == problem.path[:-1]
        and _meant_field(other) == problem.key
        for other in problems
    )


def _missing(problem: _Problem) -> _Advice:
    if isinstance(problem.path[-1], int):
        return _length(problem)
    wrong = "is empty" if problem.is_written else "is missing"
    return wrong, ("Fill it in" if problem.is_written else "Add it") + problem.as_in


def _meant_field(problem: _Problem) -> str | None:
    return nearest(problem.key, problem.around.get("properties", {}))


def _extra(problem: _Problem) -> _Advice:
    wrong = "is not a field here"
    fields = problem.around.get("properties", {})
    if meant := _meant_field(problem):
        return wrong, f"Write `{meant}` if you mean that"
    if problem.path[0] in _TAGGED and len(problem.path) == 3:
        alternatives = alternatives_at(problem.path[:2])
        if kinds := shapes_with(alternatives, problem.key):
            tag = alternatives["discriminator"]["propertyName"]
            return wrong, f"Remove it, or choose a {tag} that has it: {listed(kinds)}"
    if len(problem.path) > 1 and problem.key in shape_at(None, ()).get("properties", {}):
        return wrong, f"Begin the line of `{problem.key}:` without spaces: it is a section itself"
    return wrong, f"The fields here are {listed(fields, 12)}"


def _not_words(problem: _Problem) -> _Advice:
    if problem.value is None:
        return "is empty", f"Write words{problem.as_in}; after # they are a comment"
    examples = problem.shape.get("examples", [])
    if any(isinstance(example, dict) for example in examples):  # words or a group: the window
        ways = (f"`{problem.key}: {_as_yaml(example)}`" for example in examples)
        return f"is {_noun(problem.value)}", f"Write {' or '.join(ways)}, for example"
    if "pattern" in problem.shape:
        return f"is {_noun(problem.value)} where one name is expected", (
            f"Write one name{problem.as_in}"
        )
    if isinstance(problem.value, list):
        return "was read as a list, because of its brackets or dashes", (
            f"Put quotes around the words, or {_AFTER_BAR}"
        )
    return "was read as a field with a value, because of its colon or braces", (
        f"Put quotes around the words, or {_AFTER_BAR}"
    )


def _not_a_number(problem: _Problem) -> _Advice:
    kind = "whole number" if problem.type.startswith("int") else "number"
    if not isinstance(problem.value, str | int | float):
        return f"is {_noun(problem.value)}, not a {kind}", f"Write a {kind}{problem.as_in}"
    text = str(problem.value)
    wrong = f"{_shown(text)} is not a {kind}"
    if kind == "number" and re.fullmatch(r"[-−+]?\d+,\d+", text):
        return wrong, f"Write it with a point: {text.replace(',', '.')}"
    if number := re.fullmatch(r"([-+]?\d[\d.]*)\s*(?:[a-zA-Zµ%°]+|minutes)", text):
        return wrong, f"Write the number alone: {number[1]}"
    if re.fullmatch(r"−[\d.]+", text):
        return wrong, f"Write the minus as a hyphen: {text.replace('−', '-')}"
    return wrong, f"Write a {kind}{problem.as_in}"


def _not_truth(problem: _Problem) -> _Advice:
    return f"{_shown(problem.value)} is neither true nor false", "Write true or false"


_BOUNDS = {
    "minimum": "{:g} or more",
    "exclusiveMinimum": "more than {:g}",
    "maximum": "at most {:g}",
    "exclusiveMaximum": "less than {:g}",
}


def _range(problem: _Problem) -> _Advice:
    wrong = f"{_shown(problem.value)} is too {'small' if 'greater' in problem.type else 'large'}"
    least, most = problem.shape.get("minimum"), problem.shape.get("maximum")
    if least is not None and most is not None:
        return wrong, f"Write a number from {least:g} to {most:g}"
    bounds = (
        words.format(problem.shape[bound])
        for bound, words in _BOUNDS.items()
        if bound in problem.shape
    )
    return wrong, f"Write {' and '.join(bounds)}"


def _not_a_list(problem: _Problem) -> _Advice:
    if problem.value is None or problem.value == "":
        return "is empty", f"Write a list{problem.as_in}"
    if isinstance(problem.value, dict):
        return "is not a list", "Begin each entry with a dash and a space: `- `"
    several = ", ".join([f"{problem.value}"] * int(problem.shape.get("minItems", 1)))
    return f"{_shown(problem.value)} is not a list", f"Write [{several}]"


def _length(problem: _Problem) -> _Advice:
    path = problem.path[:-1] if problem.type == "missing" else problem.path
    shape = shape_at(problem.data, path)
    least, most = shape.get("minItems", 0), shape.get("maxItems")
    entries = problem.value
    count = len(entries) if isinstance(entries, list) else 0
    if problem.type == "missing" or least == most:
        instead = f"Write exactly {least}"
    elif most is None:
        instead = f"Write {least} or more"
    else:
        instead = f"Write {least} {'or' if most == least + 1 else 'to'} {most}"
    return f"has {_count(count)}", instead


def _not_a_group(problem: _Problem) -> _Advice:
    if problem.value is None:
        return "is empty", "Write its fields on the lines below, indented"
    fields, required = problem.shape.get("properties"), problem.shape.get("required", [])
    if len(required) == 1 and isinstance(problem.value, str):
        instead = f"Write `{required[0]}: {problem.value}`, and below it what else it has"
    elif fields:
        instead = f"Write its fields on the lines below, indented: {listed(fields, 12)}"
    elif tag := problem.shape.get("discriminator"):
        instead = f"Write its fields, beginning with `{tag['propertyName']}: `"
    elif isinstance(problem.value, list):
        instead = "Write each entry as a name with a colon, without the dash"
    else:
        instead = f"Write a name with a colon, and after it what it stands for{problem.as_in}"
    return f"is {_noun(problem.value)} where fields with values are expected", instead


def _not_a_choice(problem: _Problem) -> _Advice:
    choices = [str(choice) for choice in _choices(problem.shape)]
    if not isinstance(problem.value, str | int):
        return f"is {_noun(problem.value)} where one word is expected", (
            f"Write one of {listed(choices, _MOST_KINDS)}"
        )
    return _no_such_choice(str(problem.value), choices)


def _no_such_choice(value: str, choices: list[str]) -> _Advice:
    wrong = f"{_shown(value)} is not allowed here"
    if meant := nearest(value, choices) or next((c for c in choices if c == value.lower()), None):
        return (
            wrong,
            f"Write `{meant}` if you mean that; allowed are {listed(choices, _MOST_KINDS)}",
        )
    return wrong, f"Write one of {listed(choices, _MOST_KINDS)}"


def _no_such_tag(problem: _Problem) -> _Advice:
    choices = _tags(problem)
    tag = problem.value.get(problem.key) if isinstance(problem.value, dict) else None
    if not isinstance(tag, str | int):
        return (
            f"is {_noun(tag)} where one word is expected",
            f"Write one of {listed(choices, _MOST_KINDS)}",
        )
    return _no_such_choice(str(tag), choices)


def _no_tag(problem: _Problem) -> _Advice:
    wrong = "is empty" if problem.is_written else "is missing"
    return wrong, f"Write one of {listed(_tags(problem), _MOST_KINDS)}"


def _tags(problem: _Problem) -> list[str]:
    return list(alternatives_at(problem.path[:-1])["discriminator"]["mapping"])


def _too_few_letters(problem: _Problem) -> _Advice:
    return "is empty", f"Write words{problem.as_in}"


def _spelling(problem: _Problem) -> _Advice:
    word = str(problem.value)
    wrong = f"{_shown(word)} is not a name"
    rule = "Use small letters, digits and _, and begin with a letter"
    if problem.path == ("talk", "language"):
        return f"{_shown(word)} is not a language tag", f"Write one{problem.as_in} (BCP 47)"
    if problem.shape.get("pattern") == DIGITS:
        return f"{_shown(word)} is no plain number", f"Write its digits alone{problem.as_in}"
    name = as_name(word)
    return wrong, f"{rule}: {name}" if name else rule


def _date(problem: _Problem) -> _Advice:
    error = problem.facts.get("error")
    if isinstance(error, CitationError | DateError | RightsError):
        return error.wrong, error.instead
    return _unforeseen(problem)


def _our_own(problem: _Problem) -> _Advice:
    return str(problem.facts["wrong"]), str(problem.facts["instead"])


def _unforeseen(problem: _Problem) -> _Advice:
    return f"{_shown(problem.value)} cannot stand here ({problem.message})", "Write another value"


_ADVICE: Mapping[str, Callable[[_Problem], _Advice]] = {
    "advised": _our_own,
    "bool_parsing": _not_truth,
    "bool_type": _not_truth,
    "dict_type": _not_a_group,
    "extra_forbidden": _extra,
    "finite_number": _not_a_number,
    "float_parsing": _not_a_number,
    "float_type": _not_a_number,
    "greater_than": _range,
    "greater_than_equal": _range,
    "int_parsing": _not_a_number,
    "int_parsing_size": _not_a_number,
    "int_type": _not_a_number,
    "less_than_equal": _range,
    "literal_error": _not_a_choice,
    "missing": _missing,
    "model_attributes_type": _not_a_group,
    "model_type": _not_a_group,
    "string_pattern_mismatch": _spelling,
    "string_too_short": _too_few_letters,
    "string_type": _not_words,
    "too_long": _length,
    "too_short": _length,
    "tuple_type": _not_a_list,
    "union_tag_invalid": _no_such_tag,
    "union_tag_not_found": _no_tag,
    "value_error": _date,
}


ADVISED_TYPES = frozenset(_ADVICE)
"""The faults that have a sentence of their own."""


def _choices(shape: Shape) -> list[object]:
    return list(shape.get("enum", [shape["const"]] if "const" in shape else []))


def _example(shape: Shape) -> object:
    return next(iter([*shape.get("examples", []), *_choices(shape)]), None)


def _as_yaml(value: object) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_as_yaml, value))}]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_as_yaml(inner)}" for key, inner in value.items()) + "}"
    return f'"{value}"' if re.search(r": | #|^[\[{]", str(value)) else str(value)


def _shown(value: object) -> str:
    if isinstance(value, str | int | float) and value != "":
        text = " ".join(str(value).split())
        return f"`{text}`" if len(text) <= 40 else f"`{text[:36]}...`"
    return _noun(value)


def _noun(value: object) -> str:
    if value is None or value == "":
        return "nothing"
    if isinstance(value, list):
        return "a list"
    return "a group of fields" if isinstance(value, dict) else _shown(value)


def _count(entries: int) -> str:
    return {0: "no entries", 1: "1 entry"}.get(entries, f"{entries} entries")
