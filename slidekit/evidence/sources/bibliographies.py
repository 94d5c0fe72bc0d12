"""Bibliographies as files."""

import json
from functools import partial
from pathlib import Path

from slidekit.errors import CitationError, Fault, StoryboardError
from slidekit.evidence.sources.bibtex import read_bibtex
from slidekit.evidence.sources.works import Entry


def read_bibliography(path: Path) -> dict[str, Entry]:
    """The entries of a BibTeX file (.bib) or of a CSL-JSON file (.json), by their keys.

    Raises
    ------
    CitationError
        If the file cannot be opened, or is neither.
    StoryboardError
        With the lines of what cannot be read in it.
    """
    readers = {".bib": read_bibtex, ".json": _read_csl_json}
    reader = readers.get(path.suffix.lower())
    if reader is None:
        instead = "Name a BibTeX file (.bib) or a CSL-JSON file (.json)"
        raise CitationError(f"`{path.name}` is no bibliography", instead)
    try:
        return reader(path, path.read_bytes().decode("utf-8-sig"))
    except OSError as error:
        why = "there is no such file" if isinstance(error, FileNotFoundError) else error.strerror
        instead = "Write its path, seen from the storyboard"
        raise CitationError(f"the bibliography cannot be read: {why}", instead) from error
    except UnicodeDecodeError as error:
        wrong = "the bibliography is not encoded as UTF-8"
        raise CitationError(wrong, "Save it as UTF-8 in your editor") from error


def _read_csl_json(path: Path, text: str) -> dict[str, Entry]:
    try:
        items = json.loads(text)
    except json.JSONDecodeError as error:
        wrong = f"the file is not JSON: {error.msg}"
        raise StoryboardError(
            [Fault(path, error.lineno, "bibliography", wrong, "Export it as CSL-JSON again")]
        ) from error
    if not isinstance(items, list) or not all(isinstance(one, dict) for one in items):
        wrong = "the file holds no list of items"
        raise StoryboardError(
            [Fault(path, 1, "bibliography", wrong, "Export it as CSL-JSON again")]
        )
    return {
        str(item["id"]): Entry(_line_of(str(item["id"]), text), partial(dict, item))
        for item in items
        if "id" in item
    }


def _line_of(key: str, text: str) -> int:
    """Where an item names itself; 1 if its key is not written as it is read."""
    at = text.find(json.dumps(key, ensure_ascii=False))
    return text[: max(at, 0)].count("\n") + 1
