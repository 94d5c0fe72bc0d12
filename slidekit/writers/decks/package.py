"""The package of a deck, kept by python-pptx and zipped here.

python-pptx deflates pictures, which takes most of the time of a build and saves nothing, since
PNG data does not shrink further; and it writes the time of day into the zip. Its `save` cannot be
told otherwise, so the files it makes of its parts are zipped here (ECMA-376 Part 2).
"""

import zipfile
from collections.abc import Iterator
from pathlib import Path

from pptx.opc.oxml import serialize_part_xml
from pptx.opc.package import OpcPackage, Part, XmlPart
from pptx.opc.packuri import CONTENT_TYPES_URI, PACKAGE_URI, PackURI

# The two private names of python-pptx used by this project, both only here: nothing public makes
# [Content_Types].xml but `save`, and nothing public holds the links of the package itself.
from pptx.opc.serialized import _ContentTypesItem


def drop_part(owner: OpcPackage | XmlPart, kind: str) -> None:
    """Unlink `owner` from its part of `kind`, an RT; a part that nobody links to is not saved."""
    id_ = owner.relate_to(owner.part_related_by(kind), kind)  # that of the link there is
    owner.drop_rel(id_)


def replace_part(owner: OpcPackage | XmlPart, kind: str, part: Part) -> None:
    """Link `owner` to `part` instead of its part of `kind`."""
    drop_part(owner, kind)
    owner.relate_to(part, kind)


def save_package(package: OpcPackage, path: Path) -> None:
    """Write the zip file at `path`: the same parts give the same bytes, at any time, anywhere."""
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in _files(package):
            entry = zipfile.ZipInfo(name.membername, date_time=(1980, 1, 1, 0, 0, 0))
            entry.create_system = 3  # else the machine that writes shows in the bytes
            entry.external_attr = 0o644 << 16
            is_picture = name.ext in ("png", "gif")
            entry.compress_type = zipfile.ZIP_STORED if is_picture else zipfile.ZIP_DEFLATED
            archive.writestr(entry, data)


def _files(package: OpcPackage) -> Iterator[tuple[PackURI, bytes]]:
    parts = tuple(package.iter_parts())
    yield CONTENT_TYPES_URI, serialize_part_xml(_ContentTypesItem.xml_for(parts))
    yield PACKAGE_URI.rels_uri, package._rels.xml
    for part in parts:
        yield part.partname, part.blob
        if part.rels:
            yield part.partname.rels_uri, part.rels.xml
