"""A storyboard file to its frozen model, with the author's own line numbers in every complaint."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from pydantic import ValidationError

from slidekit.errors import StoryboardError
from slidekit.storyboard.model import Scan, Storyboard
from slidekit.storyboard.places import Places
from slidekit.storyboard.yaml_text import parse_yaml


@dataclass(frozen=True)
class Source:
    """A storyboard as read: borrowed slides are own slides here, scan folders absolute."""

    board: Storyboard
    path: Path
    places: Places
    origins: Mapping[str, Storyboard] = field(default_factory=dict)
    """Borrowed region: the board it comes from, so that it keeps its mark (`assign_marks`)."""


def read_storyboard(path: Path) -> Source:
    """Read and validate one storyboard.

    Raises
    ------
    StoryboardError
        With all faults of the file.
    """
    data, places = parse_yaml(path.read_text(encoding="utf-8"), path)
    try:
        board = Storyboard.model_validate(data)
    except ValidationError as invalid:
        raise StoryboardError(
            [
                places.fault(tuple(error["loc"]), error["msg"], "Mend it")
                for error in invalid.errors()
            ]
        ) from invalid
    folder = path.absolute().parent
    scans = {name: _located(scan, folder) for name, scan in board.scans.items()}
    return Source(board.model_copy(update={"scans": scans}), path, places)


def _located(scan: Scan, folder: Path) -> Scan:
    if scan.folder is None:
        return scan
    return scan.model_copy(update={"folder": str((folder / scan.folder).resolve())})
