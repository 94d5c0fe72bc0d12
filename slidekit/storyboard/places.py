"""Where each part of a storyboard stands: file and line, for every complaint about it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from slidekit.errors import Fault

FieldPath: TypeAlias = tuple[str | int, ...]
"""Keys and list positions from the top, as in ("slides", 3, "views", 0, "view")."""


@dataclass(frozen=True)
class Place:
    """One line of one file."""

    file: Path
    line: int  # 1-based
    words_line: int | None = None
    """Where the field's words begin, when they stand below it line by line (after a `|`)."""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}"


@dataclass(frozen=True)
class Places:
    """The place of every field of a storyboard; borrowed parts stand in another file."""

    top: Place
    known: Mapping[FieldPath, Place]

    def find(self, path: FieldPath) -> Place:
        """The place of `path`, or of the nearest thing around it that is in the file."""
        for length in range(len(path), 0, -1):
            if place := self.known.get(path[:length]):
                return place
        return self.top

    def fault(self, path: FieldPath, wrong: str, instead: str) -> Fault:
        """A fault about `path`; `wrong` and `instead` are sentences without their full stop."""
        place = self.find(path)
        return Fault(place.file, place.line, dotted(path), wrong, instead)

    def fault_in_words(self, path: FieldPath, before: str, wrong: str, instead: str) -> Fault:
        """A fault within the words of `path`, on the line that `before` (the words up to it, from
        the first that is no white space) leads to, where the file keeps their lines."""
        place = self.find_in_words(path, before)
        return Fault(place.file, place.line, dotted(path), wrong, instead)

    def find_in_words(self, path: FieldPath, before: str | None) -> Place:
        """The place of `path`, or within its words where `before` leads to."""
        place = self.find(path)
        if before is None or place.words_line is None or path not in self.known:
            return place
        return Place(place.file, place.words_line + before.count("\n"))

    def below(self, path: FieldPath) -> Iterator[tuple[FieldPath, Place]]:
        """Every known place at or below `path`, with what follows `path` in its own."""
        for known, place in self.known.items():
            if known[: len(path)] == path:
                yield known[len(path) :], place


def dotted(path: FieldPath) -> str:
    """The name of a field in a message: "slides[3].views[0].view"; "storyboard" for the top."""
    name = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in path)
    return name.removeprefix(".") or "storyboard"
