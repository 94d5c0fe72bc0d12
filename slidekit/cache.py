"""What is worth keeping from one run to the next: small files in the user's cache folder.

An entry is found by its kind and a key, a digest of everything that decides its content. Keeping
is a help and never a condition: an entry that is missing, damaged or from another version is made
anew, and a folder that cannot be written is passed over. The environment variables SLIDEKIT_CACHE
(a folder) and SLIDEKIT_CACHE_MIB (the most it may hold; 0 keeps nothing) set other places and
limits.
"""

import hashlib
import os
import shutil
import tempfile
import time
import zlib
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from pathlib import Path

from platformdirs import user_cache_dir

from slidekit.errors import WriteError

FORM = b"slidekit kept 1\n"
DEFAULT_LIMIT_MIB = 2048
_LEFTOVER_S = 24 * 3600.0  # a file beside that is older was left by a run that died
_SERIES_FOLDERS = ("demo", "dicomweb")  # whole series: those of the demo, and fetched ones
_HEAD = len(FORM) + 4
_PACKAGE = Path(__file__).parent


def cache_folder() -> Path:
    """Where things are kept: SLIDEKIT_CACHE, else the user's usual cache folder."""
    return Path(os.environ.get("SLIDEKIT_CACHE") or user_cache_dir("slidekit"))


def limit_bytes() -> int:
    """The most that entries may take together: SLIDEKIT_CACHE_MIB, else 2 GiB.

    Raises
    ------
    WriteError
        If SLIDEKIT_CACHE_MIB is no number.
    """
    written = os.environ.get("SLIDEKIT_CACHE_MIB", "").strip()
    if written and not written.isdecimal():
        raise WriteError(
            f"SLIDEKIT_CACHE_MIB is `{written}`",
            "Set it to a number of MiB, or to 0 to keep nothing",
        )
    return int(written or DEFAULT_LIMIT_MIB) * 2**20


def content_key(*parts: object) -> str:
    """A digest of values that is the same in every run: SHA-256 over their exact text.

    Parts may be texts, bytes, numbers, truth values, None, frozen dataclasses, arrays of bytes (8
    bits), and mappings and sequences of these; TypeError for anything else, whose text might leave
    something out.
    """
    digest = hashlib.sha256()
    for part in parts:
        digest.update(_exact_text(part).encode())
        digest.update(b"\0")
    return digest.hexdigest()


def _exact_text(value: object) -> str:
    if value is None or isinstance(value, (str, bytes, bool, int, float)):
        return repr(value)
    if isinstance(value, Mapping):
        pairs = (f"{_exact_text(key)}:{_exact_text(one)}" for key, one in value.items())
        return f"{{{','.join(pairs)}}}"
    if isinstance(value, (tuple, list)):
        return f"({','.join(map(_exact_text, value))})"
    if is_dataclass(value):
        inner = (f"{one.name}={_exact_text(getattr(value, one.name))}" for one in fields(value))
        return f"{type(value).__name__}({','.join(inner)})"
    if str(getattr(value, "dtype", "")) == "uint8":  # pixels, without an import of numpy
        pixels = memoryview(value)  # type: ignore[arg-type]  # an array is a buffer
        return f"pixels{pixels.shape}{hashlib.sha256(pixels.tobytes()).hexdigest()}"
    raise TypeError(f"{type(value).__name__} has no exact text")


@cache
def code_version(room: str = "") -> str:
    """A digest of the source files of a room, or of the whole package: what other code made is not
    used again."""
    digest = hashlib.sha256()
    folder = _PACKAGE / room
    for path in sorted(folder.rglob("*.py")):
        digest.update(path.relative_to(folder).as_posix().encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()


def read_entry(kind: str, key: str) -> bytes | None:
    """The content of an entry; None when there is none that is whole."""
    if not limit_bytes():
        return None
    path = _path(kind, key)
    try:
        data = path.read_bytes()
    except OSError:
        return None
    content = data[_HEAD:]
    if data[: len(FORM)] != FORM or data[len(FORM) : _HEAD] != _checksum(content):
        return None
    with suppress(OSError):
        os.utime(path)  # used just now: the last to be removed
    return content


def write_entry(kind: str, key: str, content: bytes) -> None:
    """Keep `content`, beside and renamed: two runs at once do not disturb each other."""
    if not limit_bytes():
        return
    path = _path(kind, key)
    with suppress(OSError):
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=".", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                file.writelines((FORM, _checksum(content), content))
            Path(name).replace(path)
        finally:
            Path(name).unlink(missing_ok=True)


def _checksum(content: bytes) -> bytes:
    return zlib.crc32(content).to_bytes(4, "big")


def _path(kind: str, key: str) -> Path:
    return Path(_entries_folder(), kind, key)


def _entries_folder() -> Path:
    return cache_folder() / "kept"


def trim_cache() -> None:
    """Remove the entries used longest ago until the rest is within the limit."""
    limit = limit_bytes()
    entries = sorted(_entries(), key=lambda entry: entry[0])
    total = sum(size for _, size, _ in entries)
    too_old = time.time() - _LEFTOVER_S
    for used, size, path in entries:
        if path.name.startswith(".") and used > too_old:
            continue  # being written by another run
        if total > limit or path.name.startswith("."):
            with suppress(OSError):
                Path(path).unlink()
                total -= size


def _entries() -> Iterator[tuple[float, int, os.DirEntry[str]]]:
    """When each entry was last used, its size, and its file. There may be tens of thousands."""
    with suppress(OSError), os.scandir(_entries_folder()) as kinds:
        for kind in kinds:
            with suppress(OSError), os.scandir(kind) as files:
                for file in files:
                    with suppress(OSError):  # removed meanwhile by another run
                        status = file.stat()
                        yield status.st_mtime, status.st_size, file


@dataclass(frozen=True)
class CacheSize:
    """What the cache holds, in bytes."""

    folder: Path
    entries: int  # how many
    entries_bytes: int
    demo_bytes: int  # synthetic series of the demo
    fetched_bytes: int  # series fetched from servers
    limit_bytes: int  # of the entries


def measure_cache() -> CacheSize:
    """How much is kept."""
    sizes = [size for _, size, _ in _entries()]
    demo, fetched = (_size_of(cache_folder() / name) for name in _SERIES_FOLDERS)
    return CacheSize(cache_folder(), len(sizes), sum(sizes), demo, fetched, limit_bytes())


def _size_of(folder: Path) -> int:
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())


def clear_cache() -> None:
    """Remove everything that is kept, series too; nothing else in the folder."""
    for folder in (_entries_folder(), *(cache_folder() / name for name in _SERIES_FOLDERS)):
        shutil.rmtree(folder, ignore_errors=True)
