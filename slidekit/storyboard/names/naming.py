"""Names in messages: the nearest known one, and short lists of the others."""

import re
from collections.abc import Collection
from difflib import get_close_matches

_CLOSE_ENOUGH = 0.6  # difflib's own default ratio


def nearest(word: str, known: Collection[str]) -> str | None:
    """The known name that `word` may be meant for; None if nothing is like it."""
    tidy = as_name(word)
    if tidy in known:
        return tidy
    found = get_close_matches(tidy, known, 1, _CLOSE_ENOUGH)
    return found[0] if found else None


def as_name(word: str) -> str:
    """`word` in the letters of a name: "Coil 1" becomes "coil_1"."""
    return re.sub(r"[^a-z0-9]+", "_", word.lower()).strip("_").lstrip("0123456789_")


def listed(names: Collection[str], most: int = 8) -> str:
    """Names with commas, in their order: "coil, plug, seal and 4 more"."""
    first = ", ".join(list(names)[:most])
    more = len(names) - most
    return f"{first} and {more} more" if more > 0 else first


def with_article(noun: str) -> str:
    """ "an ellipse", "a line"."""
    return f"an {noun}" if noun[0] in "aeiou" else f"a {noun}"
