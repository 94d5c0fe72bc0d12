"""Font files that a style names, or that are installed under the name of a family.

What a file says of itself is read straight from its tables (ISO/IEC 14496-22, Open Font Format):
`name` for the family, `OS/2` for weight, slant and the permission to embed it, `fvar` for a file
that is many fonts in one.
"""

import os
import struct
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Literal, NamedTuple, TypeAlias

Face: TypeAlias = Literal["Regular", "Bold", "Italic", "BoldItalic"]

_COLLECTION = b"ttcf"
_SUFFIXES = {".ttf", ".otf", ".ttc", ".otc"}
_FAMILY_NAMES = {1, 16}  # name identifiers: family, and family of more than four faces
_REGULAR_WEIGHT, _BOLD_WEIGHT = 400, 700  # OS/2 usWeightClass
_RESTRICTED = 0x0002  # OS/2 fsType, bits 0 to 3: may not be embedded


class FontFile(NamedTuple):
    """One font: a file, and its number in it, since a collection holds several."""

    path: Path
    number: int = 0


@dataclass(frozen=True)
class Family:
    """A family as decks name it, and the files its letters are measured and drawn with."""

    name: str
    regular: FontFile
    bold: FontFile
    italic: FontFile | None = None
    bold_italic: FontFile | None = None

    def nearest(self, face: Face) -> Face:
        """The face itself; bold for slanted letters of a family that has none, as is the custom
        of scripts that know no italics."""
        if face == "Italic":
            return "Italic" if self.italic else "Bold"
        if face == "BoldItalic":
            return "BoldItalic" if self.bold_italic else "Bold"
        return face

    def file(self, face: Face) -> FontFile:
        """The font of the face, or of the one that stands in for it."""
        match self.nearest(face):
            case "Regular":
                return self.regular
            case "Italic":
                return self.italic or self.bold
            case "BoldItalic":
                return self.bold_italic or self.bold
        return self.bold

    @property
    def files(self) -> tuple[FontFile, ...]:
        """All fonts of the family."""
        fonts = (self.regular, self.bold, self.italic, self.bold_italic)
        return tuple(dict.fromkeys(font for font in fonts if font))


@dataclass(frozen=True)
class FontFacts:
    """What a font says of itself."""

    families: frozenset[str]
    face: Face | None  # None: a weight that is neither regular nor bold
    variable: bool
    embeddable: bool


def read_fonts(path: Path) -> Iterator[tuple[FontFile, FontFacts]]:
    """Every font of a file; ValueError or OSError if it is no font that can be read."""
    with path.open("rb") as file:
        for number, start in enumerate(_starts(file)):
            yield FontFile(path, number), _facts(file, start)


def find_installed(family: str) -> dict[Face, FontFile]:
    """The faces installed under a name, whatever its capitals; static files only."""
    found: dict[Face, FontFile] = {}
    for path in _installed_files():
        try:
            for font, facts in read_fonts(path):
                named = family.casefold() in {name.casefold() for name in facts.families}
                if named and facts.face and not facts.variable:
                    found.setdefault(facts.face, font)
        except (OSError, ValueError):
            continue  # a broken file in a system folder is nothing to do with the talk
    return found


def font_folders() -> tuple[Path, ...]:
    """Where this system keeps fonts, the user's own first."""
    home = Path.home()
    if sys.platform == "win32":
        local = Path(os.environ.get("LOCALAPPDATA", home / "AppData" / "Local"))
        system = Path(os.environ.get("WINDIR", "C:/Windows"))
        return local / "Microsoft" / "Windows" / "Fonts", system / "Fonts"
    if sys.platform == "darwin":
        return home / "Library/Fonts", Path("/Library/Fonts"), Path("/System/Library/Fonts")
    share = Path(os.environ.get("XDG_DATA_HOME") or home / ".local/share")
    return (
        share / "fonts",
        home / ".fonts",
        Path("/usr/local/share/fonts"),
        Path("/usr/share/fonts"),
    )


def _installed_files() -> Iterator[Path]:
    for folder in font_folders():
        yield from sorted(one for one in folder.rglob("*") if one.suffix.lower() in _SUFFIXES)


def _starts(file: BinaryIO) -> tuple[int, ...]:
    """Where the table directory of each font begins."""
    tag = file.read(4)
    if tag == _COLLECTION:
        (count,) = _read(file, 8, ">I")
        return tuple(_read(file, 12, f">{count}I"))
    if tag not in {b"\0\1\0\0", b"OTTO", b"true"}:
        raise ValueError("it is not a TrueType or OpenType font")
    return (0,)


def _facts(file: BinaryIO, start: int) -> FontFacts:
    (count,) = _read(file, start + 4, ">H")
    file.seek(start + 12)
    entries = struct.iter_unpack(">4s4xII", _exactly(file, 16 * count))
    tables = {tag: (at, length) for tag, at, length in entries}
    if missing := {b"name", b"OS/2", b"cmap", b"head"} - set(tables):
        raise ValueError(f"it lacks the table {missing.pop().decode()}")
    at = tables[b"OS/2"][0]
    weight, permission = _read(file, at + 4, ">H2xH")
    (selection,) = _read(file, at + 62, ">H")
    return FontFacts(
        families=frozenset(_families(file, *tables[b"name"])),
        face=_face(weight, slanted=bool(selection & 1)),
        variable=b"fvar" in tables,
        embeddable=permission & 0x000F != _RESTRICTED,
    )


def _face(weight: int, *, slanted: bool) -> Face | None:
    if weight == _REGULAR_WEIGHT:
        return "Italic" if slanted else "Regular"
    if weight == _BOLD_WEIGHT:
        return "BoldItalic" if slanted else "Bold"
    return None


def _families(file: BinaryIO, at: int, length: int) -> Iterator[str]:
    """Names in every language the font knows them in."""
    file.seek(at)
    data = _exactly(file, length)
    count, letters = struct.unpack_from(">HH", data, 2)
    for platform, name, size, offset in struct.iter_unpack(">H4xHHH", data[6 : 6 + 12 * count]):
        if name in _FAMILY_NAMES:
            written = data[letters + offset : letters + offset + size]
            yield written.decode("mac-roman" if platform == 1 else "utf-16-be", "replace")


def _read(file: BinaryIO, at: int, form: str) -> tuple[int, ...]:
    file.seek(at)
    return struct.unpack(form, _exactly(file, struct.calcsize(form)))


def _exactly(file: BinaryIO, count: int) -> bytes:
    data = file.read(count)
    if len(data) < count:
        raise ValueError("it is cut off")
    return data
