"""Who may use a picture, in the statements that everybody knows by their URI.

The twelve statements of rightsstatements.org (version 1.0), and the licences of Creative Commons
(1.0 to 4.0, with those adapted to one country) and its two tools for the public domain.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cache

from slidekit.errors import RightsError
from slidekit.evidence.sources.licence_names import (
    COUNTRIES,
    KINDS,
    ONLY_ADAPTED,
    STATEMENTS,
    licence_name,
)

_URI = re.compile(r"(?:https?://)?(?:www\.)?(creativecommons|rightsstatements)\.org/?(.*)", re.I)
_SHORT = re.compile(r"cc[- ]?(?:0|by|nc|nd|sa|pdm?)\b.*|pdm\b.*", re.IGNORECASE)
_CODE = re.compile(r"(?:inc|noc)(?:-[a-z]+)*(?: \d.*)?", re.IGNORECASE)
_COUNTRY = re.compile(rf"(?<=[123]\.\d)[ /]({'|'.join(COUNTRIES)})$")
_AFTER = re.compile(r"/?(?:[?#].*|/(?:deed|legalcode|rdf)(?:\.[\w-]+)?/?)$", re.IGNORECASE)
_TERMS = re.compile(r"\b(?:by|nc|nd|sa)\b")
_VERSION = re.compile(r"\d\.\d")


@dataclass(frozen=True)
class Rights:
    """What may be done with a picture."""

    short: str  # "CC BY 4.0", "In Copyright": what stands beside a picture; or the author's words
    name: str = ""  # "Attribution 4.0 International"; "" for the author's own words
    uri: str = ""
    forbids_changes: bool = False
    forbids_sale: bool = False  # non-commercial use only
    needs_leave: bool = False  # in copyright, and no licence: somebody must have said yes

    @property
    def full(self) -> str:
        """As a list of credits has it: short form, name and URI."""
        if not self.uri:
            return self.short
        is_whole = self.name.startswith(self.short)
        said = self.name if is_whole else f"{self.short} ({self.name})"
        return f"{said}, {self.uri.split('//', 1)[1]}"


def read_rights(text: str) -> Rights:
    """The statement that an author means by its URI, its code or its name; any other words are
    kept as they are.

    Raises
    ------
    RightsError
        If the text means to be a statement or licence, and there is none of that name.
    """
    tidy = " ".join(text.split())
    key = _key(tidy)
    if (found := _known().get(key)) and ONLY_ADAPTED not in found[0].short:
        return found[0]
    country = _COUNTRY.search(key)
    if country and (general := _known().get(key[: country.start()])):
        return _adapted(general[0], country[1])
    if not any(kind.fullmatch(tidy) for kind in (_URI, _SHORT, _CODE)):
        return Rights(tidy)
    if f"{key} 4.0" in _known():
        raise RightsError(f"{tidy!r} does not say which version", f"Write {tidy} 4.0, or yours")
    raise RightsError(f"there is no statement of rights {tidy!r}", _nearest(key))


def _key(text: str) -> str:
    """One spelling for all that are taken: small letters, no scheme, no "deed", no hyphens."""
    if found := _URI.fullmatch(text):
        path = _AFTER.sub("", found[2]).rstrip("/").lower()
        return f"{found[1].lower()}/{path.replace('page/', 'vocab/', 1)}"
    return re.sub(r"[\s_-]+", " ", text).lower()


def _adapted(general: Rights, country: str) -> Rights:
    """A licence as adapted to the law of one country."""
    name = general.name.rsplit(" ", 1)[0]
    return replace(
        general,
        short=f"{general.short} {country.upper()}",
        name=f"{name} {COUNTRIES[country]}",
        uri=f"{general.uri}{country}/",
    )


@cache
def _known() -> dict[str, tuple[Rights, str]]:
    """By each spelling that is understood, a statement and the spelling to recommend."""
    known: dict[str, tuple[Rights, str]] = {}
    for rights, codes in (*_statements(), *_licences()):
        for spelling in (rights.uri, *codes, rights.short, rights.name):
            recommended = rights.uri if spelling == rights.uri else codes[0]
            known.setdefault(_key(spelling), (rights, recommended))
    return known


def _statements() -> Iterator[tuple[Rights, tuple[str, ...]]]:
    for code, name in STATEMENTS.items():
        rights = Rights(
            name,
            name,
            f"http://rightsstatements.org/vocab/{code}/1.0/",
            forbids_sale=code in ("InC-NC", "NoC-NC"),
            needs_leave=code == "InC",
        )
        yield rights, (code, f"{code} 1.0")


def _licences() -> Iterator[tuple[Rights, tuple[str, ...]]]:
    for version, kinds in KINDS.items():
        for kind in kinds:
            short = f"CC {kind.upper()} {version}"
            rights = Rights(
                short,
                licence_name(kind, version),
                f"https://creativecommons.org/licenses/{kind}/{version}/",
                forbids_changes="nd" in kind,
                forbids_sale="nc" in kind,
            )
            also = short.replace("ND-NC", "NC-ND")  # as SPDX writes the one of version 1.0
            yield rights, (short, also)
    domain = "https://creativecommons.org/publicdomain"
    waiver = Rights("CC0 1.0", "CC0 1.0 Universal", f"{domain}/zero/1.0/")
    yield waiver, ("CC0 1.0", "CC0", "CC 0", "CC 0 1.0", "CC Zero")
    name = "Public Domain Mark 1.0"
    mark = Rights(name, f"{name} Universal", f"{domain}/mark/1.0/")
    yield mark, ("PDM 1.0", "PDM", "CC PDM 1.0", "Public Domain Mark")


def _nearest(key: str) -> str:
    """What may be meant: the licence of the same terms, or the spelling most like it."""
    known = _known()
    usable = (one for one in known if ONLY_ADAPTED not in one)
    of_form = [one for one in usable if ("/" in one) == ("/" in key)]
    if terms := set(_TERMS.findall(key)):
        of_form = [one for one in of_form if set(_TERMS.findall(one)) == terms] or of_form
        version = _VERSION.findall(key)
        of_form = [one for one in of_form if _VERSION.findall(one) == version] or of_form
    if meant := get_close_matches(key, of_form[::-1], 1):
        return f"Write {known[meant[0]][1]} if you mean that"
    return "Write CC BY 4.0, CC0 1.0, InC, or the URI of a statement"
