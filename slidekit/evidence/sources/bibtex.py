"""BibTeX and biblatex files as CSL-JSON items: the one module that knows the format."""

import logging
import re
from collections.abc import Container, Mapping
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any

from slidekit.errors import CitationError, Fault, StoryboardError
from slidekit.evidence.sources.works import Entry
from slidekit.wording import phrase, phrase_key

_TYPES: Mapping[str, str] = {
    "article": "article-journal",
    "book": "book",
    "mvbook": "book",
    "collection": "book",
    "proceedings": "book",
    "booklet": "pamphlet",
    "inbook": "chapter",
    "incollection": "chapter",
    "inproceedings": "paper-conference",
    "conference": "paper-conference",
    "inreference": "entry-encyclopedia",
    "manual": "book",
    "mastersthesis": "thesis",
    "phdthesis": "thesis",
    "thesis": "thesis",
    "techreport": "report",
    "report": "report",
    "unpublished": "manuscript",
    "online": "webpage",
    "electronic": "webpage",
    "www": "webpage",
    "dataset": "dataset",
    "software": "software",
    "letter": "personal_communication",
    "misc": "document",
}
"""Entry type: CSL type."""

_GENRES = {"phdthesis": phrase_key("PhD diss."), "mastersthesis": phrase_key("Master’s thesis")}

_VARIABLES: Mapping[str, tuple[str, ...]] = {
    "title-short": ("shorttitle",),
    "container-title": ("journaltitle", "journal", "booktitle"),
    "collection-title": ("series",),
    "volume": ("volume",),
    "edition": ("edition",),
    "genre": ("type",),
    "page": ("pages",),
    "publisher": ("publisher", "school", "institution", "organization", "howpublished"),
    "publisher-place": ("location", "address"),
    "archive": ("library",),
    "DOI": ("doi",),
    "URL": ("url",),
    "accessed": ("urldate",),
}
"""CSL variable: the fields it may come from, the first that is there."""

_DAMAGE = (Exception,)  # what names and LaTeX that are written wrongly raise has no one class
_MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
_ORDINALS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"]
_WHOLE_IN_BRACES = re.compile(r"\{(?:[^{}]|\{(?:[^{}]|\{[^{}]*\})*\})*\}")
_COMMAND = re.compile(r"\\(?:emph|textit|textbf|textsc|textrm|mkbibquote|enquote|url)(?=\s*\{)")


def read_bibtex(path: Path, text: str) -> dict[str, Entry]:
    """The entries of a BibTeX file by their keys, with letters for LaTeX's accents.

    Raises
    ------
    StoryboardError
        With the lines of what is no BibTeX: a brace that is not closed, a comma that lacks.
    """
    bibtexparser = import_module("bibtexparser")
    logging.getLogger("bibtexparser").setLevel(logging.CRITICAL)  # we tell what it tells
    library = bibtexparser.parse_string(text)
    twice = {block.key for block in library.failed_blocks if hasattr(block, "key")}
    if broken := [block for block in library.failed_blocks if not hasattr(block, "key")]:
        wrong = "the entry cannot be read as BibTeX"
        instead = "Close every brace and put a comma after every field but the last"
        lines = (block.start_line + 1 for block in broken)
        raise StoryboardError([Fault(path, line, "entry", wrong, instead) for line in lines])
    strings = {key.lower(): str(one.value) for key, one in library.strings_dict.items()}
    return {
        one.key: Entry(one.start_line + 1, partial(_read, one, strings, twice))
        for one in library.entries
    }


def _read(entry: Any, strings: Mapping[str, str], twice: Container[str]) -> dict[str, Any]:
    if entry.key in twice:
        wrong = f"there are several entries `{entry.key}`"
        raise CitationError(wrong, "Remove or rename all but one")
    fields = {one.key.lower(): _value(one, strings) for one in entry.fields}
    try:
        return _item(entry.entry_type.lower(), fields)
    except _DAMAGE as error:
        why = " ".join(str(error).split()).rstrip(".")
        wrong = f"the entry cannot be read: {why}"
        raise CitationError(wrong, "Mend its braces and backslashes") from error


def _value(field: Any, strings: Mapping[str, str]) -> str:
    """The value of a field; of one that is put together with `#`, all its pieces."""
    written = str(field.value)
    if field.enclosing != "no-enclosing" or "#" not in written:
        return written
    pieces = (piece.strip() for piece in written.split("#"))
    return "".join(
        piece[1:-1] if piece[:1] in ("{", '"') else strings.get(piece.lower(), piece)
        for piece in pieces
    )


def _item(kind: str, fields: Mapping[str, str]) -> dict[str, Any]:
    csl_type = _TYPES.get(kind, "document")
    title = _letters(fields.get("title", ""))
    if subtitle := _letters(fields.get("subtitle", "")):
        title = f"{title}: {subtitle}"
    item: dict[str, Any] = {"type": csl_type, "title": title}
    for variable, sources in _VARIABLES.items():
        value = next((fields[source] for source in sources if fields.get(source)), None)
        if value is not None:
            item[variable] = value if variable in ("URL", "DOI") else _letters(value)
    if kind in _GENRES:
        item.setdefault("genre", phrase(_GENRES[kind]))
    item["edition"] = _edition(item.get("edition", ""))
    number = _letters(fields.get("number", "") or fields.get("issue", ""))
    belongs = "issue" if csl_type == "article-journal" else "number"
    item["collection-number" if fields.get("series") else belongs] = number
    for role in ("author", "editor", "translator"):
        if written := fields.get(role):
            item[role] = [_name(one) for one in _names(written)]
    if (issued := _issued(fields)) is not None:
        item["issued"] = issued
    return item


def _edition(written: str) -> str:
    """A number where it is one: BibTeX's style files expect "Second"."""
    if written.lower() in _ORDINALS:
        return str(_ORDINALS.index(written.lower()) + 1)
    return re.sub(r"(?<=\d)(?:st|nd|rd|th)$", "", written)


def _issued(fields: Mapping[str, str]) -> object:
    """biblatex's `date` is EDTF; BibTeX's `year` and `month` are what people write."""
    if date := fields.get("date"):
        return _letters(date)
    year, month = _letters(fields.get("year", "")), _letters(fields.get("month", "")).lower()
    if not year:
        return None
    if not re.search(r"\d", year):
        return {"literal": year}
    number = _MONTHS.index(month[:3]) + 1 if month[:3] in _MONTHS else month
    return f"{year}-{int(number):02d}" if str(number).isdecimal() and year.isdecimal() else year


def _names(written: str) -> list[str]:
    from_middleware = import_module("bibtexparser.middlewares.names")
    names: list[str] = from_middleware.split_multiple_persons_names(written)
    return names


def _name(written: str) -> dict[str, str]:
    """A name of BibTeX; one that stands in braces as a whole is no person's."""
    if written == "others" or _WHOLE_IN_BRACES.fullmatch(written.strip()):
        return {"literal": _letters(written)}
    names = import_module("bibtexparser.middlewares.names")
    parts = names.parse_single_name_into_parts(written)
    first, von, last, jr = (
        _letters(" ".join(words)) for words in (parts.first, parts.von, parts.last, parts.jr)
    )
    return {"family": last, "given": first, "non-dropping-particle": von, "suffix": jr}


def _letters(text: str) -> str:
    """LaTeX as letters: accents, dashes, quotation marks, Greek; braces and emphasis go."""
    latex = import_module("pylatexenc.latex2text")
    decoded = latex.LatexNodes2Text(keep_comments=True).latex_to_text(
        _COMMAND.sub("", text).replace("~", "\N{NO-BREAK SPACE}")
    )
    return re.sub(r"[ \t\n]+", " ", decoded).strip()
