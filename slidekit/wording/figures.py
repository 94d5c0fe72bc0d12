"""Numbers as a language writes them."""

import re
from functools import cache

from slidekit.wording.catalogue import SOURCE_LANGUAGE, language_now

_NUMBER = re.compile(r"(?<![\w.])(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+\.\d+)(?!\.?\d)")


def figures(text: str) -> str:
    """The text, its English numbers ("1,930.5") with the marks of the language of the run: CLDR's
    symbols of decimals and of groups."""
    if language_now().partition("-")[0].lower() == SOURCE_LANGUAGE:
        return text
    decimal, group = _marks_of(language_now())
    marks = str.maketrans({",": group, ".": decimal})
    return _NUMBER.sub(lambda found: found[0].translate(marks), text)


@cache
def _marks_of(language: str) -> tuple[str, str]:
    # speak_in has seen to it that the library is there
    from babel.core import Locale, UnknownLocaleError
    from babel.numbers import get_decimal_symbol, get_group_symbol

    try:
        locale = Locale.parse(language, sep="-")
    except (UnknownLocaleError, ValueError):
        return ".", ","
    return get_decimal_symbol(locale), get_group_symbol(locale)
