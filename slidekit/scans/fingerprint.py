"""Which files a picture was made of, in a way that can be checked again later."""

import hashlib
from functools import lru_cache
from pathlib import Path

from slidekit.errors import ScanError
from slidekit.scans.model import Series, SliceFile


def series_fingerprint(series: Series) -> str:
    """SHA-256 over UID, frame and file size of every slice, in order; reads no file.

    Equal for the same series on any machine, wherever its files lie.
    """
    lines = (f"{one.sop_uid} {one.frame} {one.file_size}\n" for one in series.slices)
    return hashlib.sha256("".join(lines).encode()).hexdigest()


def slice_sha256(one: SliceFile) -> str:
    """SHA-256 of the file that holds a slice; read once, however often it is asked for.

    Raises
    ------
    ScanError
        If the file cannot be read any more.
    """
    return _file_sha256(one.path, one.file_size, one.file_mtime_ns)


@lru_cache(maxsize=65_536)
def _file_sha256(path: Path, _size: int, _mtime_ns: int) -> str:
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as failed:
        raise ScanError(
            f"{path} cannot be read any more: {failed.strerror}",
            "Leave the scan files in place while a talk is built",
        ) from failed
