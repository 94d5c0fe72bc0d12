"""Names in a row, as a language joins them."""

from collections.abc import Iterable
from functools import reduce

from slidekit.wording.catalogue import phrase


def alternatives(names: Iterable[str]) -> str:
    """Names of which one holds: "seven of 76 or eight of 87"; "" for none."""
    held = list(names)
    return reduce(_either, held) if held else ""


def _either(first: str, second: str) -> str:
    return phrase("{first} or {second}", first=first, second=second)
