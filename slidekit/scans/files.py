"""Files to read images from: on the disk, or members of a ZIP archive read without unpacking it.

A member's name is never used as a path, and nothing is written anywhere. What a member says of
its own size is an upper bound that no reader goes beyond, so that a small archive that claims to
unfold into more than it should costs neither memory nor time.
"""

import io
import os
import struct
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple, TypeAlias

from slidekit.errors import ScanError

LARGEST_MEMBER = 512 * 2**20  # bytes; an image of a scan stays far below
MOST_MEMBERS = 200_000
_LOCAL_HEADER = struct.Struct("<4s22xHH")  # signature, length of name and extra (APPNOTE 4.3.7)
_CHUNK = 2**16
_ENCRYPTED = 0x1


class Status(NamedTuple):
    """What tells whether a file is still the same."""

    size: int
    mtime_ns: int


@dataclass(frozen=True)
class Member:
    """A file in a ZIP archive: where its bytes lie there, and how they are packed."""

    archive: Path
    name: str  # the last part of its path in the archive, for messages
    place: str  # its path in the archive, for the order of files
    offset: int  # of its local header
    packed: int  # bytes in the archive
    size: int  # bytes unpacked
    crc: int
    deflated: bool

    def __str__(self) -> str:
        return f"{self.archive}/{self.place}"

    def read_bytes(self) -> bytes:
        """All of it. OSError if the archive is damaged there."""
        with self.open() as file:
            return file.read()

    def open(self) -> io.BufferedReader:
        """The unpacked bytes, from the start on."""
        return io.BufferedReader(_Unpacking(self), _CHUNK)


FilePath: TypeAlias = Path | Member


def open_file(path: FilePath) -> io.FileIO | io.BufferedReader:
    """The bytes of a file or member; members cannot be sought in."""
    return path.open() if isinstance(path, Member) else path.open("rb", buffering=0)


def skip(file: io.FileIO | io.BufferedReader, count: int) -> None:
    """Go on by `count` bytes from where a file was opened."""
    if file.seekable():
        file.seek(count)
    else:
        file.read(count)


def status_of(path: FilePath) -> Status:
    """Size and time of the last change; a member changes with its archive."""
    status = (path.archive if isinstance(path, Member) else path).stat()
    return Status(path.size if isinstance(path, Member) else status.st_size, status.st_mtime_ns)


class _Unpacking(io.RawIOBase):
    """A member's bytes one after the other, checked against its size and checksum."""

    def __init__(self, member: Member) -> None:
        super().__init__()
        self._member = member
        self._file = member.archive.open("rb")
        try:
            self._file.seek(member.offset)
            signature, name, extra = _LOCAL_HEADER.unpack(self._read_packed(_LOCAL_HEADER.size))
            if signature != b"PK\x03\x04":
                raise self._damaged()
            self._file.seek(name + extra, os.SEEK_CUR)
        except (OSError, struct.error) as broken:
            self._file.close()
            raise self._damaged() from broken
        self._packed_left = member.packed
        self._left = member.size
        self._crc = 0
        self._inflate = zlib.decompressobj(-zlib.MAX_WBITS) if member.deflated else None

    def _damaged(self) -> OSError:
        return OSError(0, "it is damaged in the archive")

    def _read_packed(self, count: int) -> bytes:
        return self._file.read(count)

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: "memoryview | bytearray") -> int:  # type: ignore[override]  # stubs name a private protocol
        wanted = min(len(buffer), self._left)
        if not wanted:
            return 0
        try:
            data = self._next(wanted)
        except zlib.error as broken:
            raise self._damaged() from broken
        self._left -= len(data)
        self._crc = zlib.crc32(data, self._crc)
        if not data or (not self._left and self._crc != self._member.crc):
            raise self._damaged()
        buffer[: len(data)] = data
        return len(data)

    def _next(self, wanted: int) -> bytes:
        """Up to `wanted` more bytes; none when the packed ones are used up."""
        inflate = self._inflate
        if inflate is None:
            return self._read_packed(wanted)
        while True:
            packed = inflate.unconsumed_tail
            if not packed:
                packed = self._read_packed(min(_CHUNK, self._packed_left))
                self._packed_left -= len(packed)
            data = inflate.decompress(packed, wanted)
            if data or inflate.eof or not packed:
                return data

    def close(self) -> None:
        self._file.close()
        super().close()


def list_members(archive: Path) -> tuple[list[Member], list[tuple[str, str]]]:
    """The files in a ZIP archive in the order of their paths, and those that cannot be read.

    Returns
    -------
    members : list of Member
        Hidden names are passed over, as in a folder.
    left_out : list of (name, reason)

    Raises
    ------
    ScanError
        If there is no such archive, or it is damaged.
    """
    try:
        with zipfile.ZipFile(archive) as opened:
            entries = opened.infolist()
    except FileNotFoundError as missing:
        raise ScanError(f"There is no file {archive}", "Write the path of a ZIP file") from missing
    except (OSError, zipfile.BadZipFile, NotImplementedError, ValueError) as broken:
        raise ScanError(
            f"{archive.name} cannot be read as a ZIP archive", "Copy it again, or pack it anew"
        ) from broken
    if len(entries) > MOST_MEMBERS:
        raise ScanError(
            f"{archive.name} holds {len(entries)} files; {MOST_MEMBERS} are read at most",
            "Pack only the series that the talk shows",
        )
    members: list[Member] = []
    left_out: list[tuple[str, str]] = []
    for entry in sorted(entries, key=lambda one: one.filename):
        parts = [part for part in entry.filename.replace("\\", "/").split("/") if part]
        if not parts or entry.is_dir() or any(_is_hidden(part) for part in parts):
            continue
        if reason := _reason_to_refuse(entry):
            left_out.append((parts[-1], reason))
            continue
        members.append(
            Member(
                archive=archive,
                name=parts[-1],
                place=entry.filename,
                offset=entry.header_offset,
                packed=entry.compress_size,
                size=entry.file_size,
                crc=entry.CRC,
                deflated=entry.compress_type == zipfile.ZIP_DEFLATED,
            )
        )
    return members, left_out


def _is_hidden(part: str) -> bool:
    return (part.startswith(".") and part not in (".", "..")) or part == "__MACOSX"


def _reason_to_refuse(entry: zipfile.ZipInfo) -> str | None:
    if entry.flag_bits & _ENCRYPTED:
        return "it is encrypted in the archive"
    if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return "it is packed in a way that is not read"
    if entry.file_size > LARGEST_MEMBER:
        return f"it claims to unfold into {entry.file_size / 2**20:.0f} MiB"
    return None
