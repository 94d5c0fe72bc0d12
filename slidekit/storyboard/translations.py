"""Texts that are given in several languages: `{en: The coil, de: Die Spirale}`.

One language is chosen before anything else looks at the storyboard, so that the rest of it knows
plain texts only. A text that is written plainly holds for every language; where it looks like a
sentence, and the talk is not in its first language, it counts as not translated.
"""

import re
from collections.abc import Container, Iterator
from dataclasses import dataclass, field

from slidekit.errors import Fault, StoryboardError
from slidekit.storyboard.names.naming import listed
from slidekit.storyboard.places import FieldPath, Place, Places
from slidekit.storyboard.yaml_text import Data

PROSE = frozenset(
    [
        "title",
        "subtitle",
        "occasion",
        "section",
        "say",
        "points",
        "caption",
        "called",
        "label",
        "statement",
        "against",
        "why_less",
        "headline",
        "body",
        "summary",
        "about",
        "note",
        "plain",
        "term",
        "cases",
        "lanes",
        "general",
        "student",
        "specialist",
    ]
)
"""Fields whose words an audience reads or hears."""

_GIVEN_IN = re.compile(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8})*")
_TEXTS = PROSE | {"term", "also", "speaker", "quote", "source", "headline", "credit", "cases"}
"""Fields in which a mapping from two or three letters can be nothing but languages."""


@dataclass(frozen=True)
class InOneLanguage:
    """A storyboard's data with plain texts. `untranslated` are the places of texts that are not in
    the language."""

    data: Data
    places: Places
    untranslated: tuple[FieldPath, ...] = ()


def choose_language(
    data: dict[str, Data], places: Places, asked: str | None, *, strict: bool = True
) -> InOneLanguage:
    """The data in the language asked for, else in the talk's own; if not `strict`, a talk that is
    not given in that language is taken as it is.

    Raises
    ------
    StoryboardError
        If the talk is not given in the language asked for, or texts in one that it does not list.
    """
    talk = data.get("talk")
    written = talk.get("languages") if isinstance(talk, dict) else None
    languages = (
        [one for one in written if isinstance(one, str)] if isinstance(written, list) else []
    )
    own = talk.get("language") if isinstance(talk, dict) else None
    first = own if isinstance(own, str) else languages[0] if languages else "en"
    unknown = asked is not None and asked not in (*languages, first)
    if unknown and strict:
        wrong = f"the talk is not given in `{asked}`"
        known = listed(list(dict.fromkeys((first, *languages))))
        instead = f"Ask for one of {known}, or add it to `languages` and give its texts"
        raise StoryboardError([places.fault(("talk",), wrong, instead)])
    if faults := _unlisted(data, places, languages):
        raise StoryboardError(faults)
    if not isinstance(talk, dict) or not (languages or unknown):
        return InOneLanguage(data, places)
    language = first if unknown or asked is None else asked
    choice = _Choice(language, languages, places, dict(places.known))
    chosen = choice.of({**data, "talk": {**talk, "language": language}}, ())
    translated = unknown or _primary(language) != _primary(first)
    untranslated = tuple(choice.untranslated) if translated else ()
    return InOneLanguage(chosen, Places(places.top, choice.known), (*choice.missing, *untranslated))


def _unlisted(data: Data, places: Places, languages: list[str]) -> list[Fault]:
    """Texts in languages that the talk does not list: one fault if it lists none."""
    given = list(_given_in(data, ()))
    if not languages:
        tags = ", ".join(dict.fromkeys(str(path[-1]) for path in given))
        wrong = f"texts are given by language ({tags}), and `languages` is missing"
        return [places.fault(("talk",), wrong, f"Add `languages: [{tags}]`")] if given else []
    known = listed(languages)
    return [
        places.fault(
            path,
            f"`{path[-1]}` is none of the talk's `languages`",
            f"Write one of {known}, or add `{path[-1]}` to `languages`",
        )
        for path in given
        if path[-1] not in languages
    ]


def _given_in(data: Data, path: FieldPath) -> Iterator[FieldPath]:
    """The place of every text that is given by language."""
    if isinstance(data, list):
        for at, value in enumerate(data):
            yield from _given_in(value, (*path, at))
    if isinstance(data, dict):
        named = [step for step in path if isinstance(step, str)]
        if named and named[-1] in _TEXTS and data and all(map(_GIVEN_IN.fullmatch, data)):
            yield from ((*path, tag) for tag in data)
        else:
            for key, value in data.items():
                yield from _given_in(value, (*path, key))


@dataclass
class _Choice:
    """One walk through the data."""

    language: str
    languages: list[str]
    places: Places
    known: dict[FieldPath, Place]
    missing: list[FieldPath] = field(default_factory=list)  # given in other languages only
    untranslated: list[FieldPath] = field(default_factory=list)  # written plainly

    def of(self, data: Data, path: FieldPath) -> Data:
        if isinstance(data, dict):
            if self._is_text(data):
                return self._text(data, path)
            return {key: self.of(value, (*path, key)) for key, value in data.items()}
        if isinstance(data, list):
            return [self.of(value, (*path, at)) for at, value in enumerate(data)]
        if isinstance(data, str) and self._is_prose(data, path):
            self.untranslated.append(path)
        return data

    def _is_text(self, data: dict[str, Data]) -> bool:
        """A mapping from languages to texts, or to lists of them."""
        texts = all(isinstance(value, str | list) for value in data.values())
        return bool(data) and texts and all(key in self.languages for key in data)

    def _text(self, data: dict[str, Data], path: FieldPath) -> Data:
        """The text in the language, or else in the first that it is given in."""
        language = find_language(self.language, data)
        if language is None:
            self.missing.append(path)
            language = next(iter(data))
        for rest, place in self.places.below((*path, language)):
            self.known[(*path, *rest)] = place
        return data[language]

    @staticmethod
    def _is_prose(text: str, path: FieldPath) -> bool:
        named = [step for step in path if isinstance(step, str)]
        if named[:1] == ["sources"] or "columns" in named:
            return False  # a title is what stands on the work; no slide prints a dictionary
        return bool(named) and named[-1] in PROSE and len(text.split()) > 1


def find_language(wanted: str, given: Container[str]) -> str | None:
    """The language that is given for the one that is wanted: en for en-GB, whose tag is shortened
    until one fits (lookup, RFC 4647, 3.4)."""
    while wanted not in given:
        wanted, region, _ = wanted.rpartition("-")
        if not region:
            return None
    return wanted


def _primary(language: str) -> str:
    return language.partition("-")[0].lower()
