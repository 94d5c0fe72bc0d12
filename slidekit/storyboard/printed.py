"""Numbers in what is printed: `{side_hole}` in titles, points, captions, findings and panels.

In print only numbers are filled in; other braces are printed as they stand.
"""

import re
from collections.abc import Callable, Container, Iterable, Iterator
from functools import cache
from typing import Annotated, Literal, Protocol, TypeVar, get_args, get_origin

from pydantic.fields import FieldInfo

from slidekit.storyboard.parts import Part
from slidekit.storyboard.words import NAME_AND_PART, after_stop, opens_sentence

PLACEHOLDER = re.compile(rf"\{{{NAME_AND_PART}\}}")
_BEFORE_STOP = re.compile(rf"{PLACEHOLDER.pattern}(\.?)")

PrintedPart = TypeVar("PrintedPart", bound=Part)

_UNPRINTED = {"say"}


class Numbers(Protocol):
    """What is known by name, and how it is said."""

    def __contains__(self, name: object, /) -> bool: ...

    def say(self, name: str, part: str) -> str:
        """The words of `{name.part}`, or of `{name}` where `part` is ""."""
        ...


def with_numbers(part: PrintedPart, numbers: Numbers) -> PrintedPart:
    """The part with every `{name}` and `{name.part}` of a number in words.

    What opens a sentence gets a capital.
    """
    return with_texts(part, lambda text: _filled_text(text, numbers) if "{" in text else text)


def with_texts(
    part: PrintedPart, change: Callable[[str], str], leave: Container[str] = ()
) -> PrintedPart:
    """The part with everything that is printed of it changed, in the order of its fields, but for
    the fields to `leave` as they are."""
    fields = (name for name in _fields_of_words(type(part)) if name not in leave)
    update = {name: _changed(getattr(part, name), change) for name in fields}
    return part.model_copy(update=update)


@cache
def _fields_of_words(kind: type[Part]) -> tuple[str, ...]:
    """The fields that hold words for readers, and not names, numbers or choices alone."""
    return tuple(
        name
        for name, field in kind.model_fields.items()
        if name not in _UNPRINTED and _holds_words(field.annotation, field.metadata)
    )


def _holds_words(written: object, limits: Iterable[object] = ()) -> bool:
    if written is str:  # names have a pattern, words have none
        return not any(getattr(limit, "pattern", None) for limit in limits)
    if get_origin(written) is Annotated:
        inner, *fields = get_args(written)
        return _holds_words(inner, [one for field in fields for one in _limits_of(field)])
    if get_origin(written) is Literal:
        return False
    if isinstance(written, type) and issubclass(written, Part):
        return True
    return any(map(_holds_words, get_args(written)))


def _limits_of(field: object) -> Iterable[object]:
    return field.metadata if isinstance(field, FieldInfo) else (field,)


def numbers_printed_in(part: Part, numbers: Container[str]) -> tuple[str, ...]:
    """The names of the numbers that a slide, panel or finding prints, each once."""
    return tuple(dict.fromkeys(name for name in placeholders_in(part) if name in numbers))


def placeholders_in(part: object) -> Iterator[str]:
    """The names in braces in all that is printed of a part."""
    return (name for first, more in printed_in(part) for name in (first, *more.split(".")[1:]))


def printed_in(part: object) -> Iterator[tuple[str, str]]:
    """All `{name.part}` in what is printed of a part; `part` is "" for the bare name."""
    match part:
        case str():
            yield from ((found[1], found[2] or "") for found in PLACEHOLDER.finditer(part))
        case Part():
            for name in type(part).model_fields:
                if name not in _UNPRINTED:
                    yield from printed_in(getattr(part, name))
        case tuple():
            for inner in part:
                yield from printed_in(inner)
        case dict():
            for inner in part.values():
                yield from printed_in(inner)


def _changed(value: object, change: Callable[[str], str]) -> object:
    match value:
        case str():
            return change(value)
        case Part():
            return with_texts(value, change)
        case tuple():
            return tuple(_changed(inner, change) for inner in value)
        case dict():
            return {key: _changed(inner, change) for key, inner in value.items()}
    return value


def _filled_text(text: str, numbers: Numbers) -> str:
    def words(found: re.Match[str]) -> str:
        name, part, stop = found[1], found[2] or "", found[3]
        if name not in numbers:
            return found[0]
        said = numbers.say(name, part)
        if opens_sentence(text[: found.start()]):
            said = said[:1].upper() + said[1:]
        return said + after_stop(said, stop)

    return _BEFORE_STOP.sub(words, text)
