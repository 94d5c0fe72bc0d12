"""The catalogue of a folder, kept from one run to the next.

It holds while name, size and time of change of every file in the folder are what they were, which
`os.stat` tells without opening one. What is kept names no file, and no series by its description:
both can name a person.
"""

import hashlib
import json
import os
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from slidekit.cache import code_version, content_key, read_entry, write_entry
from slidekit.scans.files import FilePath, Member
from slidekit.scans.kept.plain_values import from_plain, to_plain
from slidekit.scans.model import Catalogue, Refusal, Series

_KIND = "catalogues"
_FILE_NUMBER = re.compile("\0(\\d+)\0")


@dataclass(frozen=True)
class Listed:
    """One file of a folder, or a member of an archive, whose status is that of the archive."""

    path: FilePath
    name: str  # relative to the folder
    status: os.stat_result | None  # None where none can be had


def list_files(folder: Path) -> list[Listed]:
    """Every file below `folder`, in one order on every system; hidden names are passed over."""
    return list(_files(folder))


def _files(folder: Path) -> Iterator[Listed]:
    top = str(folder)
    for place, folders, names in os.walk(top):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        beside = place[len(top) :].lstrip(os.sep)
        for name in sorted(names):
            if not name.startswith("."):
                path = f"{place}{os.sep}{name}"
                yield Listed(Path(path), f"{beside}{os.sep}{name}", _status(path))


def list_archive(archive: Path, members: Sequence[Member]) -> list[Listed]:
    """The members of an archive as files, in their order."""
    status = _status(str(archive))
    return [Listed(member, member.place, status) for member in members]


def _status(path: str) -> os.stat_result | None:
    try:
        return os.stat(path)  # noqa: PTH116 - thousands of files: a Path takes longer than the call
    except OSError:
        return None


def folder_state(files: Sequence[Listed]) -> str:
    """A digest of what the catalogue of a folder rests on: its files, and the code that reads."""
    digest = hashlib.sha256(code_version("scans").encode())
    for file in files:
        facts = (file.status.st_size, file.status.st_mtime_ns) if file.status else None
        digest.update(f"{file.name!r} {facts}\n".encode())
    return digest.hexdigest()


def read_catalogue(folder: Path, files: Sequence[Listed], state: str) -> Catalogue | None:
    """What was kept of a folder in this state; None when nothing was.

    Its series have no description and no kernel: `Catalogue.described` is False.
    """
    content = read_entry(_KIND, content_key(str(folder.resolve())))
    if content is None:
        return None
    paths = [file.path for file in files]
    try:
        kept = json.loads(content)
        if kept["state"] != state:
            return None
        series = tuple(from_plain(Series, one, paths) for one in kept["series"])
        refusals = tuple(from_plain(Refusal, one, paths) for one in kept["refusals"])
    except (ValueError, TypeError, KeyError, IndexError):
        return None
    return Catalogue(folder, series, tuple(_named_again(one, paths) for one in refusals), False)


def keep_catalogue(catalogue: Catalogue, files: Sequence[Listed], state: str) -> None:
    """Keep what was found in a folder in this state."""
    numbers = {file.path: number for number, file in enumerate(files)}
    kept = {
        "state": state,
        "series": [
            to_plain(replace(one, description="", kernel=""), numbers.__getitem__)
            for one in catalogue.series
        ],
        "refusals": [
            to_plain(_without_names(one, numbers), numbers.__getitem__)
            for one in catalogue.refusals
        ],
    }
    content = json.dumps(kept, separators=(",", ":")).encode()
    write_entry(_KIND, content_key(str(catalogue.folder.resolve())), content)


def _without_names(refusal: Refusal, numbers: dict[FilePath, int]) -> Refusal:
    """The reason with files by number, as in "holds images in the same place, 4 and 5"."""
    reason = refusal.reason
    mentioned = [path for path in numbers if path.name in reason]
    for path in sorted(mentioned, key=lambda path: -len(path.name)):
        reason = reason.replace(path.name, f"\0{numbers[path]}\0")
    return replace(refusal, reason=reason)


def _named_again(refusal: Refusal, paths: Sequence[FilePath]) -> Refusal:
    reason = _FILE_NUMBER.sub(lambda found: paths[int(found[1])].name, refusal.reason)
    return replace(refusal, reason=reason)
