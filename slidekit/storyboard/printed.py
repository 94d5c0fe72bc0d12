"""Numbers in what is printed: `{side_hole}` in titles, points, captions, findings and panels.

In print only numbers are filled in; other braces are printed as they stand.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from typing import TypeVar

from slidekit.storyboard.parts import Part
from slidekit.storyboard.words import NAME, opens_sentence

PLACEHOLDER = re.compile(rf"\{{({NAME})(?:\.({NAME}))?\}}")

PrintedPart = TypeVar("PrintedPart", bound=Part)

_UNPRINTED = {"say"}


def with_numbers(
    part: PrintedPart, is_number: Callable[[str], bool], say: Callable[[str, str], str]
) -> PrintedPart:
    """The part with every `{name}` and `{name.part}` of a number in words; `say` gives them.

    What opens a sentence gets a capital.
    """
    return part.model_copy(update=_filled_fields(part, is_number, say))


def numbers_printed_in(part: Part, is_number: Callable[[str], bool]) -> tuple[str, ...]:
    """The names of the numbers that a slide, panel or finding prints, each once."""
    return tuple(dict.fromkeys(name for name in placeholders_in(part) if is_number(name)))


def placeholders_in(part: object) -> Iterator[str]:
    """The names in braces in all that is printed of a part."""
    match part:
        case str():
            yield from (found[1] for found in PLACEHOLDER.finditer(part))
        case Part():
            for name in type(part).model_fields:
                if name not in _UNPRINTED:
                    yield from placeholders_in(getattr(part, name))
        case tuple():
            for inner in part:
                yield from placeholders_in(inner)
        case dict():
            for inner in part.values():
                yield from placeholders_in(inner)


def _filled_fields(
    part: Part, is_number: Callable[[str], bool], say: Callable[[str, str], str]
) -> Mapping[str, object]:
    return {
        name: _filled(getattr(part, name), is_number, say)
        for name in type(part).model_fields
        if name not in _UNPRINTED
    }


def _filled(
    value: object, is_number: Callable[[str], bool], say: Callable[[str, str], str]
) -> object:
    match value:
        case str() if "{" in value:
            return _filled_text(value, is_number, say)
        case Part():
            return value.model_copy(update=_filled_fields(value, is_number, say))
        case tuple():
            return tuple(_filled(inner, is_number, say) for inner in value)
        case dict():
            return {key: _filled(inner, is_number, say) for key, inner in value.items()}
    return value


def _filled_text(
    text: str, is_number: Callable[[str], bool], say: Callable[[str, str], str]
) -> str:
    def words(found: re.Match[str]) -> str:
        name, part = found[1], found[2] or ""
        if not is_number(name):
            return found[0]
        said = say(name, part)
        if opens_sentence(text[: found.start()]):
            said = said[:1].upper() + said[1:]
        return said

    return PLACEHOLDER.sub(words, text)
