"""The package of a deck: parts, the relationships between them, and the zip that holds them.

ECMA-376 Part 2 (Open Packaging Conventions). Nothing here depends on clock, machine or hash
seed, so the same parts always give the same bytes.
"""

import io
import posixpath
import zipfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from slidekit.writers.deck_xml import DECLARATION, RELATIONSHIPS, xml_value

_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_CONTENT = "application/vnd.openxmlformats-officedocument.presentationml."

CORE_PROPERTIES = f"{_PACKAGE}/relationships/metadata/core-properties"
MEDIA_TYPES = {"png": "image/png"}


class Relationship(NamedTuple):
    """A link from a part, or from the package itself, to a part."""

    id: str
    kind: str  # a URI
    target: str  # absolute name of a part


class Relationships:
    """The links of one part, numbered as they are asked for; the same link is kept once."""

    def __init__(self) -> None:
        self._ids: dict[tuple[str, str], str] = {}

    def to(self, kind: str, target: str) -> str:
        """The id of the link to part `target`; `kind` is a URI or a standard one's last word."""
        uri = kind if "/" in kind else f"{RELATIONSHIPS}/{kind}"
        return self._ids.setdefault((uri, target), f"rId{len(self._ids) + 1}")

    def listed(self) -> tuple[Relationship, ...]:
        return tuple(Relationship(id_, *link) for link, id_ in self._ids.items())


@dataclass(frozen=True)
class Part:
    """One file of the package. `content_type` is empty for media, typed by their suffix."""

    name: str  # absolute, as in "/ppt/slides/slide1.xml"
    data: bytes
    content_type: str = ""
    relationships: tuple[Relationship, ...] = field(default=())


def presentation_part(
    name: str, content: str, xml: str, relationships: Relationships | None = None
) -> Part:
    """A part of the presentation; `content` is the word its content type ends in, as in "slide"."""
    content_type = f"{_CONTENT}{content}+xml"
    links = relationships.listed() if relationships else ()
    return Part(name, (DECLARATION + xml).encode(), content_type, links)


def pack(parts: Sequence[Part], roots: Relationships) -> bytes:
    """The zip file of `parts`; `roots` are the links of the package itself.

    Media are stored, not deflated: PNG data does not shrink further, and trying takes most of
    the time. Dates are the first a zip can hold.
    """
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        _store(archive, "/[Content_Types].xml", _content_types(parts))
        _store(archive, "/_rels/.rels", _links("/", roots.listed()))
        for part in parts:
            _store(archive, part.name, part.data)
            if part.relationships:
                folder, file = posixpath.split(part.name)
                _store(archive, f"{folder}/_rels/{file}.rels", _links(folder, part.relationships))
    return buffer.getvalue()


def _store(archive: zipfile.ZipFile, name: str, data: bytes) -> None:
    entry = zipfile.ZipInfo(name.removeprefix("/"), date_time=(1980, 1, 1, 0, 0, 0))
    entry.create_system = 3  # else the machine that writes shows in the bytes
    entry.external_attr = 0o644 << 16
    is_media = name.rpartition(".")[2] in MEDIA_TYPES
    entry.compress_type = zipfile.ZIP_STORED if is_media else zipfile.ZIP_DEFLATED
    archive.writestr(entry, data)


def _content_types(parts: Iterable[Part]) -> bytes:
    defaults = {
        "rels": "application/vnd.openxmlformats-package.relationships+xml",
        "xml": "application/xml",
        **MEDIA_TYPES,
    }
    xml = f'<Types xmlns="{_PACKAGE}/content-types">'
    xml += "".join(
        f'<Default Extension="{suffix}" ContentType="{kind}"/>' for suffix, kind in defaults.items()
    )
    xml += "".join(
        f'<Override PartName="{part.name}" ContentType="{part.content_type}"/>'
        for part in parts
        if part.content_type
    )
    return f"{DECLARATION}{xml}</Types>".encode()


def _links(folder: str, relationships: Iterable[Relationship]) -> bytes:
    xml = f'<Relationships xmlns="{_PACKAGE}/relationships">'
    for link in relationships:
        target = posixpath.relpath(link.target, folder)
        xml += f'<Relationship Id="{link.id}" Type="{link.kind}" Target={xml_value(target)}/>'
    return f"{DECLARATION}{xml}</Relationships>".encode()
