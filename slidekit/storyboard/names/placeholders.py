"""What may stand in braces, in words that are spoken and in words that are printed."""

from collections.abc import Iterator, Mapping

from slidekit.storyboard.account import STAGE_PARTS
from slidekit.storyboard.chronology import Chronology
from slidekit.storyboard.materials import CONTRAST_PARTS, QUESTION_PARTS, Question
from slidekit.storyboard.measured import (
    AREA_PARTS,
    MEASURED_PARTS,
    PARTS_OF,
    VOLUME_PARTS,
    parts_of,
)
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.dates import complaints_about_date
from slidekit.storyboard.names.lookup import (
    CONTRASTS,
    FINDINGS,
    QUESTIONS,
    SOURCES,
    SPOKEN,
    STAGES,
    VOLUMES,
    Definitions,
    Section,
    complaint_about,
)
from slidekit.storyboard.names.numbers import complaint_about_part, number_section
from slidekit.storyboard.words import Placeholder
from slidekit.storyboard.works import SOURCE_PARTS

_ON_PAGE_ONLY = ("mark", "letter")  # parts that mean nothing where the region is not to be seen
_REGION_PARTS = ("mark", "letter", "called")


_PLAIN: Mapping[Section, tuple[str, ...]] = {
    VOLUMES: ("", "called", *VOLUME_PARTS),
    STAGES: ("", *STAGE_PARTS),
    CONTRASTS: ("", "called", *CONTRAST_PARTS),
    SOURCES: ("", *SOURCE_PARTS),
    FINDINGS: ("certainty",),
}
"""Kinds of names that have the same parts wherever they stand."""


def complaints_about(
    place: Placeholder, on_page: tuple[str, ...], board: Storyboard, defined: Definitions
) -> Iterator[tuple[str, str]]:
    """What is wrong with a placeholder on a page that shows the regions `on_page`, and what to
    write instead."""
    name, part = place.name, place.part
    if complaint := complaint_about(name, SPOKEN, defined):
        yield complaint
    elif name in board.regions:
        yield from _about_region(place, on_page, board)
    elif number_section(name, defined):
        if flaw := complaint_about_part(name, part, defined):
            yield flaw
    elif term := board.glossary.get(name):
        if part != "plain" and term.form(part) is None:
            yield _not_known(place, (*filter(None, term.forms), "plain"))
    elif parts := _parts_of(name, defined):
        if part not in parts:
            yield _not_known(place, tuple(filter(None, parts)))
    elif place.name in defined[QUESTIONS]:
        yield from _about_question(place, board.materials[place.name])
    else:
        yield from complaints_about_date(place, board.chronology or Chronology(), defined)


def _about_question(place: Placeholder, question: Question) -> Iterator[tuple[str, str]]:
    parts = ("called", *(one for one in QUESTION_PARTS if one != "share" or question.mix))
    if place.part == "share" and not question.mix:
        wrong = f"{{{place.name}.share}} is said, and `{place.name}` asks about no mixture"
        yield wrong, "Add `mix:` with two candidates to the question"
    elif place.part not in ("", *parts):
        yield _not_known(place, parts)


def _parts_of(name: str, defined: Definitions) -> tuple[str, ...]:
    """What may follow a name of one of those kinds, "" for nothing; () for other names."""
    return next((parts for section, parts in _PLAIN.items() if name in defined[section]), ())


def _about_region(
    place: Placeholder, on_page: tuple[str, ...], board: Storyboard
) -> Iterator[tuple[str, str]]:
    name, part = place.name, place.part
    measured = parts_of(board.regions[name])
    if part in ("", *_REGION_PARTS, *measured):
        if part in _ON_PAGE_ONLY and name not in on_page:
            wrong = f"{{{name}.{part}}} is said, and no view of this page has the region"
            instead = f"List it under `regions` of a view of this page, or write {{{name}.called}}"
            yield wrong, instead
    elif part in AREA_PARTS:
        wrong = f"{{{name}.{part}}} is said, and `{name}` has no area"
        yield wrong, "Use a region of `shape: ellipse`, `rectangle` or `polygon`"
    elif part in MEASURED_PARTS:  # a length or an angle
        shape = next(shape for shape, parts in PARTS_OF.items() if part in parts)
        article = "an" if shape[0] in "aeiou" else "a"
        wrong = f"{{{name}.{part}}} is said, and `{name}` is no {shape}"
        yield wrong, f"Use a region of `shape: {shape}` for {article} {part}"
    else:
        yield _not_known(place, (*_REGION_PARTS, *measured))


def _not_known(place: Placeholder, parts: tuple[str, ...]) -> tuple[str, str]:
    listing = ", ".join(f"{{{place.name}.{known}}}" for known in parts)
    written = f"{place.name}.{place.part}".rstrip(".")
    return f"{{{written}}} is not known", f"Write {'one of ' if len(parts) > 1 else ''}{listing}"
