"""Files written beside and renamed: a failed run leaves the old files whole."""

import os
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from importlib.metadata import version
from pathlib import Path

from slidekit.cache import code_version, content_key, read_entry, write_entry
from slidekit.errors import WriteError
from slidekit.scene.fonts import fonts_key


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


def write_drawing(path: Path, what: Sequence[object], draw: Callable[[], bytes]) -> None:
    """Write what `draw` gives, or what it gave before for the same values.

    Parameters
    ----------
    path
        The file.
    what
        Everything a drawing depends on, besides the code and libraries that draw.
    draw
        Called when nothing is kept.

    Raises
    ------
    WriteError
        If the file cannot be written.
    """
    libraries = tuple(version(name) for name in ("matplotlib", "pillow", "fonttools"))
    key = content_key(code_version(), libraries, fonts_key(), *what)
    drawing = read_entry("drawings", key)
    if drawing is None:
        drawing = draw()
        write_entry("drawings", key, drawing)
    with replacing(path) as beside:
        beside.write_bytes(drawing)


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
