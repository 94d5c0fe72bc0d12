"""Which files a picture was made of, in a way that can be checked again later."""

import hashlib
from collections.abc import Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from functools import lru_cache
from typing import TypeAlias

from slidekit.cache import content_key, read_entry, write_entry
from slidekit.errors import ScanError
from slidekit.scans.files import FilePath, open_file
from slidekit.scans.model import Series, SliceFile

_KIND = "file-hashes"
_DIGEST_BYTES = hashlib.sha256().digest_size
_UNKNOWN = bytes(_DIGEST_BYTES)
_READERS = 4  # digests and reads let go of the interpreter lock

Hashes: TypeAlias = Mapping[int, str]
"""SHA-256 of the files that hold slices, by index into `Series.slices`."""

_known: dict[tuple[FilePath, int, int], str] = {}
"""What this process has hashed or found kept: a file is read once in a run."""


def series_fingerprint(series: Series) -> str:
    """SHA-256 over UID, frame and file size of every slice, in order; reads no file.

    Equal for the same series on any machine, wherever its files lie.
    """
    lines = (f"{one.sop_uid or one.sha256} {one.frame} {one.file_size}\n" for one in series.slices)
    return hashlib.sha256("".join(lines).encode()).hexdigest()


@lru_cache(maxsize=64)  # asked for at every picture and measure of a series
def files_state(series: Series) -> str:
    """A digest that changes when a file of the series does, as far as `stat` tells; it holds
    neither names nor places of files."""
    changes = tuple(one.file_mtime_ns for one in series.slices)
    return content_key(series_fingerprint(series), changes)


def hash_slices(series: Series, wanted: Iterable[int], *, fresh: bool = False) -> Hashes:
    """SHA-256 of the files behind slices of a series; those hashed before are kept.

    Parameters
    ----------
    series
        From `choose_series`.
    wanted
        Indices into its slices.
    fresh
        Read every file again, whatever was kept.

    Raises
    ------
    ScanError
        If a file cannot be read any more.
    """
    indices = sorted(set(wanted))
    if not indices:
        return {}
    state = files_state(series)
    count = len(series.slices)
    kept = read_entry(_KIND, state)
    if kept is None or len(kept) != count * _DIGEST_BYTES:
        kept = bytes(count * _DIGEST_BYTES)
    digests = [kept[k * _DIGEST_BYTES : (k + 1) * _DIGEST_BYTES] for k in range(count)]
    missing = [k for k in indices if fresh or digests[k] == _UNKNOWN]
    if missing:
        files = {series.slices[k].path: k for k in missing}  # frames of one file: hashed once
        with ThreadPoolExecutor(_READERS) as pool:
            found = dict(zip(files, pool.map(_file_digest, files), strict=True))
        for k in missing:
            digests[k] = found[series.slices[k].path]
        write_entry(_KIND, state, b"".join(digests))
    hashes = {k: digests[k].hex() for k in indices}
    _known.update({_identity(series.slices[k]): digest for k, digest in hashes.items()})
    return hashes


def slice_sha256(one: SliceFile) -> str:
    """SHA-256 of the file that holds a slice; read once, however often it is asked for.

    Raises
    ------
    ScanError
        If the file cannot be read any more.
    """
    if _identity(one) not in _known:
        _known[_identity(one)] = _file_digest(one.path).hex()
    return _known[_identity(one)]


def _identity(one: SliceFile) -> tuple[FilePath, int, int]:
    return one.path, one.file_size, one.file_mtime_ns


def _file_digest(path: FilePath) -> bytes:
    try:
        with open_file(path) as file:
            return hashlib.file_digest(file, "sha256").digest()
    except OSError as failed:
        raise ScanError(
            f"{path} cannot be read any more: {failed.strerror}",
            "Leave the scan files in place while a talk is built",
        ) from failed
