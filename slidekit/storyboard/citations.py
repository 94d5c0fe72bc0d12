"""The sources of a storyboard, read and ready to be cited: every place that names one asks here."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any

from slidekit.errors import CitationError, Fault, StoryboardError
from slidekit.evidence.dates.words import Manner
from slidekit.evidence.sources.bibliographies import read_bibliography
from slidekit.evidence.sources.citing import Bibliography
from slidekit.evidence.sources.pages import with_dashes
from slidekit.evidence.sources.works import Entry, Work, work_of
from slidekit.storyboard.names.naming import listed
from slidekit.storyboard.printed import PLACEHOLDER
from slidekit.storyboard.source import Source
from slidekit.storyboard.works import CitedWork


@dataclass(frozen=True)
class Citations:
    """Sources by name: their works, and the pages that are meant."""

    bibliography: Bibliography = field(default_factory=Bibliography)
    pages: Mapping[str, str] = field(default_factory=dict)

    def __contains__(self, name: object) -> bool:
        return name in self.bibliography.works

    def say(self, name: str, part: str, *, aloud: bool = False) -> str:
        """The words of `{name}` or `{name.part}`, where they are read or where they are heard."""
        works = self.bibliography
        match part:
            case "author":
                return works.spoken_authors(name) if aloud else works.authors(name)
            case "year":
                return works.spoken_year(name) if aloud else works.year(name)
            case "title":
                return works.works[name].title
            case "page":
                return with_dashes(self.pages[name])
        return works.spoken(name) if aloud else works.short(name, self.pages[name])

    def filled(self, text: str, *, aloud: bool = False) -> str:
        """A text with every `{name}` of a source in words."""

        def words(found: re.Match[str]) -> str:
            name, part = found[1], found[2] or ""
            return self.say(name, part, aloud=aloud) if name in self else found[0]

        return PLACEHOLDER.sub(words, text)


def read_citations(source: Source) -> Citations:
    """Read the bibliographies that a storyboard names.

    Raises
    ------
    StoryboardError
        With all that cannot be read, is not there, or cannot be cited.
    """
    board = source.board
    reading = _Reading(source)
    works = {name: work for name in board.sources if (work := reading.work(name)) is not None}
    if reading.faults:
        raise StoryboardError(reading.faults)
    era = board.chronology.era if board.chronology else "BCE/CE"
    bibliography = Bibliography(works, Manner(era, board.talk.language))
    return Citations(bibliography, {name: one.page for name, one in board.sources.items()})


@dataclass
class _Reading:
    """Each file is read once."""

    source: Source
    files: dict[Path, dict[str, Entry] | None] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def work(self, name: str) -> Work | None:
        cited = self.source.board.sources[name]
        if cited.file is None:
            fault = partial(self.source.places.fault, ("sources", name))
            return self._described(lambda: cited.item, fault)
        path = Path(cited.file)
        if path not in self.files:
            self.files[path] = self._file(name, path)
        entries = self.files[path]
        if entries is None:
            return None
        entry = entries.get(cited.entry or "")
        if entry is None:
            self.faults.append(self._no_entry(name, cited, list(entries)))
            return None
        return self._described(entry.read, partial(Fault, path, entry.line, cited.entry or ""))

    def _described(
        self, read: Callable[[], Mapping[str, Any]], fault: Callable[[str, str], Fault]
    ) -> Work | None:
        try:
            return work_of(read())
        except CitationError as error:
            self.faults.append(fault(error.wrong, error.instead))
            return None

    def _file(self, name: str, path: Path) -> dict[str, Entry] | None:
        try:
            return read_bibliography(path)
        except StoryboardError as error:
            self.faults += error.faults
        except CitationError as error:
            place = ("sources", name, "file")
            self.faults.append(self.source.places.fault(place, error.wrong, error.instead))
        return None

    def _no_entry(self, name: str, cited: CitedWork, known: list[str]) -> Fault:
        meant = [one for one in known if one.lower() == str(cited.entry).lower()]
        instead = f"Write `{meant[0]}`" if meant else f"Its entries are {listed(known)}"
        place = ("sources", name, "entry")
        wrong = f"there is no entry `{cited.entry}` in {Path(cited.file or '').name}"
        return self.source.places.fault(place, wrong, instead if known else "It has no entry")
