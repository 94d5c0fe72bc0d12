"""Names and labels, as a language joins them."""

from collections.abc import Iterable
from functools import reduce

from slidekit.wording.catalogue import phrase


def alternatives(names: Iterable[str]) -> str:
    """Names of which one holds: "seven of 76 or eight of 87"; "" for none."""
    held = list(names)
    return reduce(_either, held) if held else ""


def _either(first: str, second: str) -> str:
    return phrase("{first} or {second}", first=first, second=second)


def labelled(label: str, text: str) -> str:
    """A label, a colon, and what it is for; French has a space before the colon."""
    return phrase("{label}: {text}", label=label, text=text)
