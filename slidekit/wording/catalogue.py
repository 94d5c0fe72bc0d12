"""The phrases of a language."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from slidekit.errors import LibraryError

FOLDER = Path(__file__).parent
SOURCE_LANGUAGE = "en"


@dataclass
class _Now:
    """The language of this run."""

    tag: str = SOURCE_LANGUAGE
    phrases: Mapping[str, str] = field(default_factory=dict)
    lacking: dict[str, None] = field(default_factory=dict)  # in the order in which they were asked


_now = _Now()


def speak_in(language: str) -> None:
    """From now on phrases are in this language, a BCP 47 tag.

    Raises
    ------
    LibraryError
        If it is not English, and the library that knows other languages is not installed.
    """
    primary = language.partition("-")[0].lower()
    _now.tag = language
    _now.phrases = {} if primary == SOURCE_LANGUAGE else _phrases_of(primary)
    _now.lacking = {}


@contextmanager
def in_english() -> Iterator[None]:
    """Phrases are English meanwhile: for what an author reads, in complaints and in records."""
    before = _now.tag, _now.phrases
    _now.tag, _now.phrases = SOURCE_LANGUAGE, {}
    try:
        yield
    finally:
        _now.tag, _now.phrases = before


def language_now() -> str:
    """The BCP 47 tag of the language that is spoken."""
    return _now.tag


def phrase(text: str, /, **values: object) -> str:
    """The phrase in the language of the run, with values in its braces; English where the language
    has no such phrase."""
    found = _now.phrases.get(text)
    if found is None:
        found = text
        if _now.tag.partition("-")[0].lower() != SOURCE_LANGUAGE:
            _now.lacking[text] = None
    return found.format(**values) if values else found


def phrase_key(text: str) -> str:
    """The same text, to be asked for by `phrase` elsewhere: so that catalogues can be held against
    all that there is to translate."""
    return text


def lacking() -> tuple[str, ...]:
    """The phrases that were asked for and that the language does not have."""
    return tuple(_now.lacking)


def has_words(language: str) -> bool:
    """Whether slidekit has words of its own in a language."""
    primary = language.partition("-")[0].lower()
    return primary == SOURCE_LANGUAGE or (FOLDER / primary).is_dir()


@cache
def _phrases_of(primary: str) -> Mapping[str, str]:
    try:
        from babel.messages.pofile import read_po
    except ImportError:
        raise LibraryError(
            f"a talk in `{primary}` needs the library Babel, which is not installed",
            "Install it with: pip install 'slidekit[languages]'",
        ) from None
    phrases: dict[str, str] = {}
    for path in sorted((FOLDER / primary).glob("*.po")):
        with path.open("rb") as file:
            phrases |= {str(m.id): str(m.string) for m in read_po(file) if m.id and m.string}
    return phrases
