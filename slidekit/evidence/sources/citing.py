"""Short citations, author and date: "van der Berg and Lee 2019a, 112".

After The Chicago Manual of Style (18th edition, 13.102 to 13.128): "et al." from three authors on;
initials where two first authors share a family name; more names where "et al." would hide that two
works of a year are by different people; letters for works of one author and year.
"""

import re
from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from unicodedata import combining, normalize

from slidekit.evidence.dates.words import Manner
from slidekit.evidence.sources.issued import say_year
from slidekit.evidence.sources.pages import with_dashes
from slidekit.evidence.sources.references import full_reference, joined, title_of
from slidekit.evidence.sources.words import CitationWords, words_for
from slidekit.evidence.sources.works import Person, Work

_ALL_NAMED = 2  # authors; of more, the first is named
_ARTICLES = ("a ", "an ", "the ")  # not counted when titles are sorted


@dataclass(frozen=True)
class Bibliography:
    """Works that are cited side by side, by any names; equal ones are one work."""

    works: Mapping[str, Work] = field(default_factory=dict)
    manner: Manner = field(default_factory=Manner)

    @property
    def words(self) -> CitationWords:
        return words_for(self.manner.language)

    def short(self, name: str, page: str = "") -> str:
        """As print has it: "Moor 2019, 112"; a title in italic or quotation marks."""
        work = self.works[name]
        cited = f"{self.authors(name) or title_of(work, self.words, short=True)} {self.year(name)}"
        return f"{cited}, {with_dashes(page)}" if page else cited

    def spoken(self, name: str) -> str:
        """As one says it: "Moor and Lee, 2019"; "Moor and others, c. 1931"."""
        work = self.works[name]
        who = self.spoken_authors(name) or work.short_title or work.title
        return f"{who}, {self.spoken_year(name)}"

    def spoken_authors(self, name: str) -> str:
        """ "Moor and Lee", "Moor and others"; "" for a work without names."""
        words = self.words
        return re.sub(rf",? {re.escape(words.et_al)}$", f" {words.others}", self.authors(name))

    def spoken_year(self, name: str) -> str:
        """Without the letter that only a reader can look up."""
        said = say_year(self.works[name].issued, self.manner, aloud=True)
        return said or self.words.undated_aloud

    def full(self, name: str) -> str:
        """As the list of references has it, `*…*` for italic."""
        return full_reference(self.works[name], self.year(name), self.words, self.manner)

    def authors(self, name: str) -> str:
        """ "Moor", "Moor and Lee", "Moor et al."; "" for a work without names."""
        work = self.works[name]
        people = work.makers
        if not people:
            return ""
        shown = self._shown[work]
        names = [self._first_name(people[0]), *(one.short for one in people[1:shown])]
        if shown < len(people) or work.more_authors:
            together = ", ".join(names)
            return f"{together}{',' if shown > 1 else ''} {self.words.et_al}"
        return joined(names, self.words)

    def year(self, name: str) -> str:
        """ "2019", "2019a", "43 BCE", "n.d."."""
        work = self.works[name]
        said = self._year(work)
        letter = self._letters.get(work, "")
        return f"{said}-{letter}" if letter and not said[-1].isdigit() else f"{said}{letter}"

    @cached_property
    def listed(self) -> tuple[str, ...]:
        """A name of each work, in the order of a list of references."""
        first = {work: name for name, work in reversed(list(self.works.items()))}
        return tuple(first[work] for work in sorted(first, key=_place))

    def references(self, cited: Collection[str]) -> tuple[str, ...]:
        """The list of what is cited under any of these names, each work once, in full."""
        works = {self.works[name] for name in cited}
        return tuple(self.full(name) for name in self.listed if self.works[name] in works)

    def _first_name(self, person: Person) -> str:
        """The first author, with as much of the given name as tells him from others."""
        alike = {one for one in self._first_authors if one.short == person.short}
        if len(alike) < 2 or person.literal:
            return person.short
        initials = [one.initials for one in alike]
        given = person.initials if initials.count(person.initials) == 1 else person.given
        return f"{given} {person.short}".strip()

    @cached_property
    def _first_authors(self) -> frozenset[Person]:
        return frozenset(work.makers[0] for work in self.works.values() if work.makers)

    @cached_property
    def _shown(self) -> Mapping[Work, int]:
        """How many names of each work are given before "et al."."""
        return {work: self._names_needed(work) for work in self.works.values()}

    def _names_needed(self, work: Work) -> int:
        people = work.makers
        if len(people) <= _ALL_NAMED and not work.more_authors:
            return len(people)
        rivals = [
            one.makers
            for one in set(self.works.values())
            if self._year(one) == self._year(work)
            and one.makers != people
            and len(one.makers) > _ALL_NAMED
        ]
        for count in range(1, len(people)):
            if all(one[:count] != people[:count] for one in rivals):
                return count
        return len(people) if rivals else 1

    @cached_property
    def _letters(self) -> Mapping[Work, str]:
        """a, b, … for works that would be cited alike, in the order of their list."""
        keys = {work: self._unlettered(name) for name, work in self.works.items()}
        counts = Counter(keys.values())
        given: Counter[tuple[str, str]] = Counter()
        letters: dict[Work, str] = {}
        for name in self.listed:
            key = keys[self.works[name]]
            if counts[key] > 1:
                letters[self.works[name]] = _letter(given[key])
                given[key] += 1
        return letters

    def _unlettered(self, name: str) -> tuple[str, str]:
        work = self.works[name]
        who = self.authors(name) or title_of(work, self.words, short=True)
        return who, self._year(work)

    def _year(self, work: Work) -> str:
        """Without a letter."""
        return say_year(work.issued, self.manner) or self.words.undated


def _place(work: Work) -> tuple[object, ...]:
    """Sort key: names, then years, then titles; works without names by their titles."""
    title = _plain(work.title)
    title = next((title.removeprefix(a) for a in _ARTICLES if title.startswith(a)), title)
    names = tuple(_plain(one.inverted) for one in work.makers) or (title,)
    return names, work.issued.sort_key, title


def _plain(text: str) -> str:
    """Small letters without accents."""
    apart = normalize("NFKD", text.casefold())
    return "".join(letter for letter in apart if not combining(letter))


def _letter(number: int) -> str:
    """a to z, then aa, ab, …"""
    rest, last = divmod(number, 26)
    return (_letter(rest - 1) if rest else "") + chr(ord("a") + last)
