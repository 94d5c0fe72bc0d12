"""What is cited: works as CSL-JSON (1.0.2) describes them, as far as a reference tells them."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from slidekit.errors import CitationError
from slidekit.evidence.sources.issued import Issued, read_issued

_UNDATED = Issued()
_MARKUP = re.compile(r"</?(?:i|b|sub|sup|sc|span)(?: [^>]*)?>")


@dataclass(frozen=True)
class Person:
    """Whoever wrote or edited a work; one that is no person has a `literal` name alone."""

    family: str = ""
    given: str = ""
    particle: str = ""  # CSL's non-dropping one: "van" of van Gogh, said with the family name
    dropping: str = ""  # "von" of Alexander von Humboldt, left out where the family name is alone
    suffix: str = ""
    literal: str = ""

    @property
    def short(self) -> str:
        """As in a citation: "van der Berg"."""
        return self.literal or _spaced(self.particle, self.family) or self.given

    @property
    def inverted(self) -> str:
        """As at the head of a list: "Berg, Anna van der"; "Knuth, Donald, Jr."."""
        if self.literal or not self.family:
            return self.short
        rest = _spaced(self.given, self.dropping, self.particle)
        return ", ".join(filter(None, (self.family, rest, self.suffix)))

    @property
    def natural(self) -> str:
        """As inside a sentence: "Anna van der Berg"; "Donald Knuth Jr."."""
        name = _spaced(self.given, self.dropping, self.particle, self.family, self.suffix)
        return self.literal or name

    @property
    def initials(self) -> str:
        """ "A.", "S.-H."; what tells two of one family name apart."""
        return re.sub(r"(\w)[\w'’]*\.?", r"\1.", self.given)


def _spaced(*parts: str) -> str:
    """Parts with spaces between them, none after an apostrophe: "d’Alembert"."""
    return re.sub(r"(?<=['’]) ", "", " ".join(filter(None, parts)))


@dataclass(frozen=True)
class Work:
    """One work. `kind` is a CSL type, as "article-journal"; texts are "" where nothing is known."""

    kind: str
    title: str
    short_title: str = ""
    authors: tuple[Person, ...] = ()
    editors: tuple[Person, ...] = ()
    translators: tuple[Person, ...] = ()
    more_authors: bool = False  # and others, whose names the description does not give
    issued: Issued = _UNDATED
    accessed: Issued = _UNDATED
    container: str = ""
    series: str = ""
    series_number: str = ""
    volume: str = ""
    issue: str = ""
    number: str = ""
    edition: str = ""
    genre: str = ""
    pages: str = ""
    publisher: str = ""
    place: str = ""
    archive: str = ""
    archive_place: str = ""
    archive_location: str = ""
    doi: str = ""
    url: str = ""

    @property
    def makers(self) -> tuple[Person, ...]:
        """Under whose names it stands: authors, or else editors, or else translators."""
        return self.authors or self.editors or self.translators


@dataclass(frozen=True)
class Entry:
    """One entry of a bibliography: where it begins, and what makes a CSL-JSON item of it.

    `read` raises CitationError if that cannot be done: of a long list only what is cited matters.
    """

    line: int  # 1-based
    read: Callable[[], Mapping[str, Any]]


_TEXTS: Mapping[str, str] = {
    "short_title": "title-short",
    "container": "container-title",
    "series": "collection-title",
    "series_number": "collection-number",
    "volume": "volume",
    "issue": "issue",
    "number": "number",
    "edition": "edition",
    "genre": "genre",
    "pages": "page",
    "publisher": "publisher",
    "place": "publisher-place",
    "archive": "archive",
    "archive_place": "archive-place",
    "archive_location": "archive_location",
    "doi": "DOI",
    "url": "URL",
}
"""Field: CSL variable."""


def work_of(item: Mapping[str, Any]) -> Work:
    """The work that a CSL-JSON item describes; variables that no reference tells are passed over.

    Raises
    ------
    CitationError
        If it has no type or title, or a name or a date is no name or date.
    """
    title, kind = _text(item.get("title")), _text(item.get("type"))
    if not title:
        raise CitationError("has no title", "Write its `title`, or what it is called")
    if not kind:
        raise CitationError("has no type", "Write `type: book`, article-journal, manuscript, …")
    authors = _people(item.get("author", ()), "author")
    named = tuple(one for one in authors if one.literal != "others")
    return Work(
        kind=kind,
        title=title,
        authors=named,
        more_authors=len(named) < len(authors),
        editors=_people(item.get("editor", ()), "editor"),
        translators=_people(item.get("translator", ()), "translator"),
        issued=read_issued(item.get("issued")),
        accessed=read_issued(item.get("accessed")),
        **{field: _text(item.get(variable)) for field, variable in _TEXTS.items()},
    )


def _text(value: object) -> str:
    """One line without the markup that CSL-JSON allows in titles."""
    if value is None or isinstance(value, Mapping | list | tuple):
        return ""
    return re.sub(r"[ \t\r\n]+", " ", _MARKUP.sub("", str(value))).strip()


def _people(value: object, role: str) -> tuple[Person, ...]:
    if not isinstance(value, Iterable) or isinstance(value, str | Mapping):
        raise CitationError(f"its {role} is no list", f"Write `{role}: [{{family: …, given: …}}]`")
    return tuple(_person(one, role) for one in value)


def _person(name: object, role: str) -> Person:
    if not isinstance(name, Mapping) or not (_text(name.get("family") or name.get("literal"))):
        wrong = f"its {role} has a name without a family name"
        instead = "Write {family: …, given: …}, or {literal: …} for a body of people"
        raise CitationError(wrong, instead)
    return Person(
        _text(name.get("family")),
        _text(name.get("given")),
        _text(name.get("non-dropping-particle")),
        _text(name.get("dropping-particle")),
        _text(name.get("suffix")),
        "" if name.get("family") else _text(name.get("literal")),
    )
