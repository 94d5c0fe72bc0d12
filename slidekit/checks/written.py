"""What an author has written himself: on a slide, on a panel, in its sentences."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from slidekit.checks.heard import Heard
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.parts import Part
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.slides import FindingsSlide, OwnSlide
from slidekit.storyboard.words import NAME, PART, opens_sentence

_WORDS = {
    "title", "subtitle", "caption", "points", "quote", "headline", "body", "statement", "against",
}  # fmt: skip
"""Fields that hold words for the audience, besides `say`."""

_PLACEHOLDER = re.compile(rf"\{{\s*({NAME})(?:\.({PART}))?\s*\}}")
_BRACKET = re.compile(r"\[[^\]]*\]\s*")
_CLICK = re.compile(rf"\[\s*show\s+({NAME}(?:\s*,\s*{NAME})*)\s*\]")
_STOP = re.compile(r"""[.!?…]["'”’)\]]*\s+|\n\s*\n""")


@dataclass(frozen=True)
class Sentence:
    """One sentence as it is written, and what precedes it in its field."""

    text: str
    before: str

    @property
    def typed(self) -> str:
        """Its words on one line; each placeholder is a stroke, clicks and pauses are gone."""
        return " ".join(_PLACEHOLDER.sub("|", _BRACKET.sub("", self.text)).split())

    @property
    def names(self) -> tuple[tuple[str, str], ...]:
        """Its placeholders: name and part."""
        return tuple((found[1], found[2] or "") for found in _PLACEHOLDER.finditer(self.text))

    @property
    def clicked(self) -> set[str]:
        """What clicks have brought on when it ends."""
        clicks = _CLICK.finditer(self.before + self.text)
        return {name.strip() for click in clicks for name in click[1].split(",")}


def sentences(text: str) -> Iterator[Sentence]:
    """The sentences of a field, in their order."""
    start = 0
    for stop in (*_STOP.finditer(text), None):
        end = len(text) if stop is None else stop.end()
        ends = stop is None or "\n" in stop[0].strip(" ") or opens_sentence(text[:end])
        if ends and text[start:end].strip():
            yield Sentence(text[start:end], text[:start])
            start = end


def printed_on(page: OwnSlide | Panel | Part) -> Iterator[tuple[FieldPath, str]]:
    """The words of a slide, panel or finding that are shown, with their fields."""
    for name in type(page).model_fields:
        value = getattr(page, name)
        if name in _WORDS:
            yield from _texts((name,), value)
        elif isinstance(value, tuple):
            for i, inner in enumerate(value):
                if isinstance(inner, Part):
                    yield from (((name, i, *path), text) for path, text in printed_on(inner))


def _texts(path: FieldPath, value: object) -> Iterator[tuple[FieldPath, str]]:
    if isinstance(value, str) and value:
        yield path, value
    elif isinstance(value, tuple):
        for i, inner in enumerate(value):
            yield from _texts((*path, i), inner)


def fields_of(heard: Heard, path: FieldPath, slide: OwnSlide) -> Iterator[tuple[FieldPath, str]]:
    """All words of a slide with their places: spoken, printed, and of the findings it lists."""
    if slide.say:
        yield (*path, "say"), slide.say
    yield from (((*path, *below), text) for below, text in printed_on(slide))
    if isinstance(slide, FindingsSlide):
        for name in slide.findings:
            for below, text in printed_on(heard.source.board.findings[name]):
                yield ("findings", name, *below), text


def all_words(heard: Heard) -> Iterator[tuple[FieldPath, str]]:
    """Everything that slides and panels say and print, with its place."""
    for path, told in heard.slides:
        yield from fields_of(heard, path, told.slide)
    for name, panel in heard.source.board.panels.items():
        yield from ((("panels", name, *field), text) for field, text in printed_on(panel))
