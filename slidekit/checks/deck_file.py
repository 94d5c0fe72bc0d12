"""A finished deck as its rules see it: slides in order, shapes with the groups they are in.

Read with zipfile and lxml alone, so that the writer is not asked about itself.
"""

import posixpath
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import lxml.etree

NS = {
    "a": "http://schemas.openxmlformats.org/drawingml/2006/main",
    "p": "http://schemas.openxmlformats.org/presentationml/2006/main",
    "r": "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
    "p14": "http://schemas.microsoft.com/office/powerpoint/2010/main",
    "adec": "http://schemas.microsoft.com/office/drawing/2017/decorative",
    "rel": "http://schemas.openxmlformats.org/package/2006/relationships",
}
_R_ID = f"{{{NS['r']}}}id"
_SHAPES = ("sp", "grpSp", "pic", "cxnSp", "graphicFrame", "contentPart")
_TITLES = {"title", "ctrTitle"}

Element: TypeAlias = Any  # lxml has no types of its own


@dataclass(frozen=True)
class Shape:
    """A shape of a slide's tree, and the group it is in."""

    element: Element
    group: Element | None

    @property
    def kind(self) -> str:
        return str(lxml.etree.QName(self.element).localname)

    @property
    def properties(self) -> Element:
        return self.element.find("*/p:cNvPr", NS)

    @property
    def id(self) -> str:
        return str(self.properties.get("id", ""))

    @property
    def name(self) -> str:
        return f"{self.properties.get('name', '')!r} (id {self.id})"

    @property
    def placeholder(self) -> Element | None:
        return self.element.find("*/p:nvPr/p:ph", NS)

    @property
    def words(self) -> str:
        return "".join(self.element.itertext(f"{{{NS['a']}}}t")).strip()

    @property
    def decorative(self) -> bool:
        flag = self.properties.find(".//adec:decorative", NS)
        return flag is not None and flag.get("val") in {"1", "true"}


@dataclass(frozen=True)
class Slide:
    """One slide, by its place in the talk."""

    number: int
    root: Element
    notes: Element | None

    @property
    def where(self) -> str:
        return f"slide {self.number}"

    @property
    def shapes(self) -> tuple[Shape, ...]:
        return tuple(_shapes_in(self.root.find("p:cSld/p:spTree", NS), None))

    @property
    def title(self) -> str | None:
        """None without a title placeholder."""
        for shape in self.shapes:
            if shape.placeholder is not None and shape.placeholder.get("type") in _TITLES:
                return shape.words
        return None


@dataclass(frozen=True)
class Deck:
    """The parts of a package, and its slides in order."""

    parts: dict[str, Element]
    names: tuple[str, ...]
    presentation: Element
    slides: tuple[Slide, ...]


def read_deck(path: Path) -> Deck:
    """The deck in a .pptx file.

    Raises
    ------
    OSError, zipfile.BadZipFile, lxml.etree.XMLSyntaxError, LookupError
        If it is no zip file, or a part is missing or not XML.
    """
    parser = lxml.etree.XMLParser(resolve_entities=False, no_network=True)
    with zipfile.ZipFile(path) as archive:
        names = tuple(archive.namelist())
        parts = {
            name: lxml.etree.fromstring(archive.read(name), parser)
            for name in names
            if name.endswith((".xml", ".rels"))
        }
    main = "ppt/presentation.xml"
    presentation = _part(parts, main)
    links = _links(parts, main)
    slides = [links[entry.get(_R_ID)] for entry in presentation.findall("p:sldIdLst/p:sldId", NS)]
    return Deck(
        parts,
        names,
        presentation,
        tuple(
            Slide(number, _part(parts, name), _notes_of(parts, name))
            for number, name in enumerate(slides, 1)
        ),
    )


def _part(parts: dict[str, Element], name: str) -> Element:
    if name not in parts:
        raise LookupError(f"it holds no {name}")
    return parts[name]


def _links(parts: dict[str, Element], name: str) -> dict[str, str]:
    """Relationship id to part name."""
    folder, file = posixpath.split(name)
    rels = parts.get(f"{folder}/_rels/{file}.rels")
    found = rels.findall("rel:Relationship", NS) if rels is not None else ()
    return {
        link.get("Id"): posixpath.normpath(posixpath.join(folder, link.get("Target"))).lstrip("/")
        for link in found
        if link.get("TargetMode") != "External"
    }


def _notes_of(parts: dict[str, Element], name: str) -> Element | None:
    targets = _links(parts, name).values()
    return next((_part(parts, target) for target in targets if "/notesSlides/" in target), None)


def _shapes_in(tree: Element, group: Element | None) -> Iterator[Shape]:
    for tag in tree:
        if lxml.etree.QName(tag).localname in _SHAPES:
            yield Shape(tag, group)
            if lxml.etree.QName(tag).localname == "grpSp":
                yield from _shapes_in(tag, tag)
