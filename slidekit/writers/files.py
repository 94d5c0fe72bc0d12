"""Files written beside and renamed: a failed run leaves the old files whole."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from slidekit.errors import WriteError


@contextmanager
def replacing(path: Path) -> Iterator[Path]:
    """A temporary path beside `path`, renamed to it when the block ends well.

    Raises
    ------
    WriteError
        If the folder cannot be written to.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(
            prefix=f".{path.stem}-", suffix=path.suffix, dir=path.parent
        )
        os.close(handle)
    except OSError as error:
        raise _refused(path, error) from error
    beside = Path(name)
    try:
        yield beside
        beside.chmod(_usual_mode())
        beside.replace(path)
    except OSError as error:
        raise _refused(path, error) from error
    finally:
        beside.unlink(missing_ok=True)


def write_text(text: str, path: Path) -> None:
    """Write `text` as UTF-8 with plain line ends."""
    with replacing(path) as beside:
        beside.write_text(text, encoding="utf-8", newline="\n")


def _usual_mode() -> int:
    """What a newly created file is allowed by the user's mask; temporary files are stricter."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _refused(path: Path, error: OSError) -> WriteError:
    reason = error.strerror or str(error)
    return WriteError(
        f"cannot write {path}: {reason}",
        "Choose another place with --out, or make the folder writable",
    )
