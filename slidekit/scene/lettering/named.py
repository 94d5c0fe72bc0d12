"""The fonts that a style names: families as decks name them, and the files of their letters."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from slidekit.scene.lettering.files import (
    Face,
    Family,
    FontFile,
    find_installed,
    font_folders,
    read_fonts,
)
from slidekit.scene.palette import Complaint

FACES: dict[str, Face] = {
    "regular": "Regular",
    "bold": "Bold",
    "italic": "Italic",
    "bold_italic": "BoldItalic",
}
"""Field of a style: what it is called elsewhere."""

_NEEDED = ("regular", "bold")


class NamedFont(BaseModel):
    """A family for the letters of the talk. Without files, those installed under its name."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    family: str = Field(min_length=1, description="Its name, as decks ask for it")
    regular: str | None = Field(default=None, description="Font file, from the style's folder")
    bold: str | None = None
    italic: str | None = Field(default=None, description="Without one, bold stands in for it")
    bold_italic: str | None = None

    @property
    def files(self) -> dict[str, Path]:
        """The files it names, by field."""
        return {name: Path(path) for name in FACES if (path := getattr(self, name))}


def as_list(fonts: Any) -> Any:
    """One family may be written without the list around it."""
    return [fonts] if isinstance(fonts, Mapping) else fonts


def with_folders(fonts: Any, folder: Path) -> Any:
    """The same as written in a style, its paths seen from the style's folder."""
    if isinstance(fonts, list):
        return [with_folders(one, folder) for one in fonts]
    if not isinstance(fonts, dict):
        return fonts
    return {
        key: str(folder / value) if key in FACES and isinstance(value, str) else value
        for key, value in fonts.items()
    }


def families_of(fonts: Sequence[NamedFont]) -> tuple[Family, ...]:
    """The families of a style without faults; see `complaints_about_fonts`."""
    return tuple(_family(font) for font in fonts)


def _family(font: NamedFont) -> Family:
    found = _found(font)
    return Family(
        font.family,
        found["Regular"],
        found["Bold"],
        italic=found.get("Italic"),
        bold_italic=found.get("BoldItalic"),
    )


def _found(font: NamedFont) -> dict[Face, FontFile]:
    if font.files:
        return {FACES[name]: FontFile(path) for name, path in font.files.items()}
    return find_installed(font.family)


def complaints_about_fonts(fonts: Sequence[NamedFont]) -> Iterator[Complaint]:
    """Files that are missing, cannot be read, or may not be embedded; names nobody installed."""
    for font in fonts:
        if font.files:
            yield from _about_named_files(font)
        else:
            yield from _about_installed(font)


def _about_named_files(font: NamedFont) -> Iterator[Complaint]:
    for name in _NEEDED:
        if name not in font.files:
            yield Complaint(
                ("fonts", name),
                f"{font.family} has no {name} file",
                f"Add a line such as {name}: fonts/{font.family.replace(' ', '')}-"
                f"{FACES[name]}.ttf; a family of one weight has the same file twice",
            )
    for name, path in font.files.items():
        yield from _about_file(("fonts", name), path)


def _about_installed(font: NamedFont) -> Iterator[Complaint]:
    found = find_installed(font.family)
    lacking = [name for name in _NEEDED if FACES[name] not in found]
    if lacking:
        folders = ", ".join(map(str, font_folders()))
        yield Complaint(
            ("fonts", "family"),
            f"no {' and no '.join(lacking)} font file of {font.family!r} is installed ({folders};"
            " variable fonts are not counted)",
            "Install the family, or name its files: regular: FILE.ttf, bold: FILE.ttf",
        )
    for file in dict.fromkeys(font.path for font in found.values()):
        yield from _about_file(("fonts", "family"), file)


def _about_file(field: tuple[str, ...], path: Path) -> Iterator[Complaint]:
    try:
        facts = [facts for _, facts in read_fonts(path)]
    except FileNotFoundError:
        yield Complaint(field, f"there is no file {path}", "Write a path from the style's folder")
        return
    except (OSError, ValueError) as error:
        yield Complaint(
            field, f"{path} cannot be read as a font: {error}", "Name a .ttf, .otf or .ttc file"
        )
        return
    if any(one.variable for one in facts):
        yield Complaint(
            field,
            f"{path} is a variable font, of which only one weight would be drawn",
            "Name the static files of the family, or make them: "
            f"fonttools varLib.instancer {path.name} wght=700",
        )
    if not all(one.embeddable for one in facts):
        yield Complaint(
            field,
            f"{path} may not be embedded in documents, as its maker says in it (OS/2 fsType)",
            "Choose a font whose licence allows it",
        )
