"""A storyboard file to its frozen model, with the author's own line numbers in every complaint."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from pydantic import ValidationError

from slidekit.errors import Fault, StoryboardError
from slidekit.storyboard.advice import faults_of
from slidekit.storyboard.borrow import resolve_borrowed
from slidekit.storyboard.materials import Question
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.places import FieldPath, Places
from slidekit.storyboard.programme import Programme, ProgrammeFile
from slidekit.storyboard.references import Neighbours, with_references
from slidekit.storyboard.scans import PATHS, Scan
from slidekit.storyboard.source import Source
from slidekit.storyboard.source_fields import with_named_sources
from slidekit.storyboard.translations import choose_language
from slidekit.storyboard.words import find_flaws
from slidekit.storyboard.works import CitedWork
from slidekit.storyboard.yaml_text import parse_yaml, without_empty
from slidekit.wording import speak_in

__all__ = ["Source", "read_programme", "read_storyboard"]


def read_storyboard(path: Path, language: str | None = None) -> Source:
    """Read and validate a storyboard, and those it borrows from; in the language asked for, if its
    texts are given in several. From then on phrases are in the language of the talk.

    Raises
    ------
    StoryboardError
        With all faults of the file, or of the files it borrows from.
    """
    reading = _Reading(language)
    source = reading.read(path, ())
    speak_in(source.board.talk.language)
    neighbours = reading.neighbours(source)
    source = with_references(source, neighbours)
    return source if neighbours is None else replace(source, explained=neighbours.explained)


def read_programme(path: Path) -> tuple[Programme, dict[str, Source]]:
    """Read and validate a programme; and its talks by their names, each with what it says of the
    others.

    Raises
    ------
    StoryboardError
        With all faults of the programme, or else of its talks.
    """
    programme, paths = _read_programme(path)
    talks: dict[str, Source] = {}
    faults: list[Fault] = []
    for name, storyboard in paths.items():
        try:
            talks[name] = read_storyboard(storyboard)
        except StoryboardError as error:
            faults += error.faults
    if faults:
        raise StoryboardError(faults)
    return programme, talks


@dataclass
class _Reading:
    """One storyboard and its lenders; each file is read once."""

    language: str | None
    done: dict[Path, Source] = field(default_factory=dict)

    def read(self, path: Path, borrowers: tuple[Path, ...]) -> Source:
        own = _read_own(path, self.language, strict=not borrowers)
        lenders: dict[str, Source] = {}
        faults: list[Fault] = []
        for name, written in own.board.borrow.items():
            lender_path = path.parent / Path(written).expanduser()
            try:
                lenders[name] = self._read_lender(own, name, lender_path, (*borrowers, path))
            except StoryboardError as error:
                faults += error.faults
        if faults:
            raise StoryboardError(faults)
        return resolve_borrowed(own, lenders)

    def neighbours(self, source: Source) -> Neighbours | None:
        """The talks of the programme that `source` is part of; None if it is in none."""
        if source.board.talk.programme is None:
            return None
        at = ("talk", "programme")
        file = source.path.parent / Path(source.board.talk.programme).expanduser()
        if not file.is_file():
            instead = "Write the path of the programme's file, seen from this one"
            raise StoryboardError([source.places.fault(at, f"there is no file {file}", instead)])
        _, paths = _read_programme(file)
        own = next((n for n, path in paths.items() if path.samefile(source.path)), None)
        if own is None:
            wrong = f"the programme {file} does not have this talk"
            instead = f"Add {{talk: NAME, storyboard: {source.path.name}}} to its items"
            raise StoryboardError([source.places.fault(at, wrong, instead)])
        talks = {n: source if n == own else self.read(path, ()) for n, path in paths.items()}
        return Neighbours(own, talks)

    def _read_lender(
        self, own: Source, name: str, path: Path, borrowers: tuple[Path, ...]
    ) -> Source:
        real = path.resolve()
        places = [borrower.resolve() for borrower in borrowers]
        if real in places:
            circle = [*borrowers[places.index(real) :], borrowers[places.index(real)]]
            wrong = f"the storyboards borrow in a circle: {', '.join(map(str, circle))}"
            instead = "Let one of them keep the slides, and the others borrow from it"
            raise StoryboardError([own.places.fault(("borrow", name), wrong, instead)])
        if not real.is_file():
            wrong = f"there is no file {path}"
            instead = "Write the path of the other storyboard, seen from this one"
            raise StoryboardError([own.places.fault(("borrow", name), wrong, instead)])
        if real not in self.done:
            self.done[real] = self.read(path, borrowers)
        return self.done[real]


def _read_own(path: Path, language: str | None, *, strict: bool) -> Source:
    """One file; slides it borrows are not yet in place."""
    written, places = parse_yaml(_read_text(path), path)
    data = without_empty(written)
    if not isinstance(data, dict):
        raise StoryboardError([_no_storyboard(written, path)])
    chosen = choose_language(data, places, language, strict=strict)
    data, places = chosen.data, chosen.places
    faults = _faults_of_slides(data, places)
    try:
        board = Storyboard.model_validate(data)
    except ValidationError as invalid:
        faults = [*faults_of(invalid, data, places), *faults]
    if faults:
        raise StoryboardError(sorted(faults, key=lambda fault: fault.line))
    folder = path.absolute().parent
    board = with_named_sources(board)
    scans = {name: _located(scan, folder) for name, scan in board.scans.items()}
    tables = {
        name: table.model_copy(update={"file": _absolute(table.file, folder)})
        for name, table in board.tables.items()
    }
    located = {
        "scans": scans,
        "tables": tables,
        "materials": _located_files(board.materials, folder),
        "sources": _located_files(board.sources, folder),
    }
    board = board.model_copy(update=located)
    return Source(board, path, places, untranslated=chosen.untranslated)


def _read_programme(path: Path) -> tuple[Programme, dict[str, Path]]:
    """A programme, and the storyboards of its talks by name."""
    data, places = parse_yaml(_read_text(path), path)
    if not isinstance(data, dict) or list(data) != ["programme"]:
        wrong = "a file with a programme has one section, `programme`"
        instead = "Put all of it below `programme:`"
        raise StoryboardError([Fault(path, 1, "programme", wrong, instead)])
    data = without_empty(data)
    try:
        programme = ProgrammeFile.model_validate(data).programme
    except ValidationError as invalid:
        raise StoryboardError(faults_of(invalid, data, places)) from None
    paths: dict[str, Path] = {}
    faults: list[Fault] = []
    for at, item in enumerate(programme.items):
        if item.talk is None or item.storyboard is None:
            continue
        if item.talk in paths:
            wrong = f"there are two talks `{item.talk}`"
            here = ("programme", "items", at, "talk")
            faults.append(places.fault(here, wrong, "Give each a name of its own"))
        storyboard = path.parent / Path(item.storyboard).expanduser()
        if not storyboard.is_file():
            here = ("programme", "items", at, "storyboard")
            instead = "Write the path of the talk's storyboard, seen from this file"
            faults.append(places.fault(here, f"there is no file {storyboard}", instead))
        paths[item.talk] = storyboard
    if faults:
        raise StoryboardError(faults)
    return programme, paths


def _read_text(path: Path) -> str:
    try:
        raw = path.read_bytes()
    except FileNotFoundError as error:
        raise _unreadable(path, "there is no such file", "Check the path and the name") from error
    except IsADirectoryError as error:
        raise _unreadable(
            path, "this is a folder", "Name the storyboard file in it, as in talk.yaml"
        ) from error
    except OSError as error:
        raise _unreadable(
            path, f"the file cannot be read ({error.strerror})", "Check that you may open it"
        ) from error
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        wrong = "the file is not encoded as UTF-8"
        fault = Fault(path, line, "storyboard", wrong, "Save it as UTF-8 in your editor")
        raise StoryboardError([fault]) from error


def _unreadable(path: Path, wrong: str, instead: str) -> StoryboardError:
    return StoryboardError([Fault(path, 1, "storyboard", wrong, instead)])


def _no_storyboard(data: object, path: Path) -> Fault:
    found = "empty" if data is None else "a list" if isinstance(data, list) else "plain words"
    return Fault(
        path,
        1,
        "storyboard",
        f"the file is {found}" if data is None else f"the file holds {found}",
        "Begin it with the sections `talk:` and `slides:`",
    )


def _faults_of_slides(data: object, places: Places) -> list[Fault]:
    """What the models cannot see: ids used twice, and brackets in the words that mean nothing."""
    faults: list[Fault] = []
    first: dict[str, FieldPath] = {}
    for at, slide in enumerate(_list(data, "slides")):
        if not isinstance(slide, dict):
            continue
        key = "slide" if slide.get("kind") == "borrowed" else "id"
        path = ("slides", at, key)
        name = slide.get(key)
        if isinstance(name, str) and first.setdefault(name, path) != path:
            wrong = f"the slide id `{name}` is used before, on line {places.find(first[name]).line}"
            faults.append(places.fault(path, wrong, "Give each slide an id of its own"))
        if isinstance(say := slide.get("say"), str):
            faults += _faults_of_words(say.strip(), ("slides", at, "say"), places)
    return faults


def _faults_of_words(say: str, path: FieldPath, places: Places) -> list[Fault]:
    return [
        places.fault_in_words(path, say[: flaw.at], flaw.wrong, flaw.instead)
        for flaw in find_flaws(say)
    ]


def _list(data: object, key: str) -> list[object]:
    found = data.get(key) if isinstance(data, dict) else None
    return found if isinstance(found, list) else []


def _located(scan: Scan, folder: Path) -> Scan:
    located = {
        name: _absolute(written, folder)
        for name in PATHS
        if (written := getattr(scan, name)) is not None
    }
    return scan.model_copy(update=located)


_Filed = TypeVar("_Filed", Question, CitedWork)


def _located_files(parts: Mapping[str, _Filed], folder: Path) -> dict[str, _Filed]:
    """Parts that may name a file, with its absolute path."""
    return {
        name: one.model_copy(update={"file": _absolute(one.file, folder)}) if one.file else one
        for name, one in parts.items()
    }


def _absolute(path: str, folder: Path) -> str:
    return str((folder / Path(path).expanduser()).resolve())
