"""What every run begins with: a storyboard that holds together, its look and its numbers."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from slidekit.errors import StoryboardError
from slidekit.scene.fonts import letter_with
from slidekit.scene.lettering.named import families_of
from slidekit.scene.sights.answering import find_candidate_faults
from slidekit.scene.style import Style, find_style, load_style, style_of_talk
from slidekit.shipped import candidates_file
from slidekit.storyboard.names.faults import find_name_faults
from slidekit.storyboard.read import Source, read_storyboard
from slidekit.storyboard.tallies import Tallies, count_up

Advance: TypeAlias = Callable[[str], None]
Progress: TypeAlias = Callable[[int], Advance]
"""Told how many things there are to do; gives back what is told the name of each one done."""


@dataclass(frozen=True)
class Basis:
    """A storyboard that holds together, its look, and its numbers counted up."""

    source: Source
    style: Style
    style_path: Path
    tallies: Tallies

    @property
    def inputs(self) -> tuple[Path, ...]:
        """The files that decide the outputs, besides the scans."""
        board = self.source.board
        tables = [Path(table.file) for table in board.tables.values()]
        others = [Path(one.file) for one in board.sources.values() if one.file]
        others += [Path(one.file) for one in board.materials.values() if one.file]
        if board.materials:
            others.append(candidates_file())
        others += [file.path for one in families_of(self.style.fonts) for file in one.files]
        return (*self.source.files, self.style_path, *dict.fromkeys([*tables, *others]))


def read_basis(storyboard: Path, style_name: str | None, language: str | None = None) -> Basis:
    """Read the storyboard and its style; StoryboardError with every name that
    leads nowhere, or else with everything that is wrong in its tables."""
    source = read_storyboard(storyboard, language)
    path = find_style(style_name, Path.cwd()) if style_name else style_of_talk(source)
    style = load_style(path)
    letter_with(families_of(style.fonts))
    faults = find_name_faults(
        source, marks=style.marks, windows=style.windows, style_name=style.name
    )
    if faults:
        raise StoryboardError(faults)
    if faults := find_candidate_faults(source):
        raise StoryboardError(faults)
    return Basis(source, style, path, count_up(source))
