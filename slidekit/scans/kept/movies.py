"""Moving pictures, from the cache where they were made before: they take longest of all.

Found again, as pictures are, by everything they depend on: the files of the series as `stat` tells
them, what was asked, and the code and libraries that make them.
"""

import json
from collections.abc import Callable
from dataclasses import fields
from importlib.metadata import version

from slidekit.cache import code_version, content_key, read_entry, write_entry
from slidekit.scans.kept.fingerprint import files_state
from slidekit.scans.model import Series
from slidekit.scans.movies import Movie

_KIND = "movies"
_LIBRARIES = ("numpy", "pillow", "pydicom")


def kept_movie(
    series: Series, asked: tuple[object, ...], make: Callable[[], Movie], *, verify: bool = False
) -> Movie:
    """The movie that was made before of these files for what is `asked`, else a new one.

    `asked` holds values that `content_key` knows. `verify` trusts nothing that was kept.
    """
    versions = tuple(version(name) for name in _LIBRARIES)
    key = content_key(code_version("scans"), versions, files_state(series), asked)
    found = None if verify else read_entry(_KIND, key)
    if found is not None:
        return _unpacked(found)
    movie = make()
    write_entry(_KIND, key, _packed(movie))
    return movie


def _packed(movie: Movie) -> bytes:
    """One line of JSON, then the GIF."""
    head = {one.name: getattr(movie, one.name) for one in fields(movie) if one.name != "gif"}
    return json.dumps(head, separators=(",", ":")).encode() + b"\n" + movie.gif


def _unpacked(content: bytes) -> Movie:
    line, _, gif = content.partition(b"\n")
    head = json.loads(line)
    tuples = {name: tuple(value) for name, value in head.items() if isinstance(value, list)}
    return Movie(**{**head, **tuples, "gif": gif})
