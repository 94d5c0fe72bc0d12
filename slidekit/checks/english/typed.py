"""A number typed by hand of which it is clear what it is about.

Whether it agrees with what is known or not: it stays as it is when a region or a date is mended.
"""

from dataclasses import dataclass

from slidekit.storyboard.places import FieldPath


@dataclass(frozen=True)
class Typed:
    """A number of a sentence, and the placeholder that says what is known."""

    field: FieldPath
    before: str  # what precedes its sentence
    words: str
    name: str
    placeholder: str
    known: str
    agrees: bool
