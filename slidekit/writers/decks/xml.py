"""The small words of Office Open XML: lengths in EMU, colours, escaped text, namespaces.

Every length of a deck is rounded once, here. What slides show is written as strings, which can be
laid out for reading, and parsed into the parts that python-pptx keeps.
"""

import re
from html import escape
from typing import NamedTuple

from pptx.oxml import parse_xml
from pptx.oxml.xmlchemy import BaseOxmlElement

from slidekit.scene.model import Box

EMU_PER_MM = 36_000  # ECMA-376 Part 1, 20.1.2.1: 914 400 to the inch
EMU_PER_PT = 12_700

DRAWING = "http://schemas.openxmlformats.org/drawingml/2006/main"
RELATIONSHIPS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PRESENTATION = "http://schemas.openxmlformats.org/presentationml/2006/main"
XMLNS = f'xmlns:a="{DRAWING}" xmlns:r="{RELATIONSHIPS}" xmlns:p="{PRESENTATION}"'

# XML 1.0 section 2.2 names the characters a document may hold: no other C0 control than tab and
# line ends, no lone surrogate, not U+FFFE and U+FFFF.
_FORBIDDEN = re.compile("[\0-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_LINE_END = re.compile("\r\n|[\r\v\f\u2028\u2029]")


class EmuBox(NamedTuple):
    """A rectangle on the slide in EMU."""

    x: int
    y: int
    cx: int
    cy: int

    @property
    def right(self) -> int:
        return self.x + self.cx

    @property
    def bottom(self) -> int:
        return self.y + self.cy


def emu(length_mm: float) -> int:
    """A length in EMU."""
    return round(length_mm * EMU_PER_MM)


def emu_box(box: Box) -> EmuBox:
    """Edges are rounded, not sizes, so that boxes that touch on the page touch in the deck."""
    x, y = emu(box.left_mm), emu(box.top_mm)
    return EmuBox(x, y, emu(box.right_mm) - x, emu(box.bottom_mm) - y)


def union(boxes: list[EmuBox]) -> EmuBox:
    """The smallest box around `boxes`; at least one is needed."""
    x, y = min(box.x for box in boxes), min(box.y for box in boxes)
    return EmuBox(x, y, max(box.right for box in boxes) - x, max(box.bottom for box in boxes) - y)


def clean(text: str) -> str:
    """`text` without characters XML forbids, and with every line end as a line feed."""
    return _FORBIDDEN.sub("", _LINE_END.sub("\n", text))


def xml_text(text: str) -> str:
    """`text` between tags."""
    return escape(clean(text), quote=False)


def xml_value(text: str) -> str:
    """`text` as an attribute, quotes included; a bare line feed would be read as a space."""
    return f'"{escape(clean(text)).replace(chr(10), "&#10;").replace(chr(9), "&#9;")}"'


def xml_file(xml: str) -> bytes:
    """`xml` as a part that python-pptx only keeps."""
    return f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n{xml}'.encode()


def parsed(xml: str) -> list[BaseOxmlElement]:
    """The elements written in `xml`, one after another, as python-pptx's own."""
    return list(parse_xml(f"<p:parsed {XMLNS}>{xml}</p:parsed>"))


def put_children(owner: BaseOxmlElement, xml: str) -> None:
    """Put each element of `xml` in the place of the child of its name, or last in `owner`."""
    for child in parsed(xml):
        former = owner.find(child.tag)
        if former is None:
            owner.append(child)
        else:
            owner.replace(former, child)


def rgb(color: str) -> str:
    """ "#1a2b3c" as ST_HexColorRGB."""
    return color.removeprefix("#").upper()


def solid_fill(color: str | None) -> str:
    """A fill of one colour, or none."""
    if color is None:
        return "<a:noFill/>"
    return f'<a:solidFill><a:srgbClr val="{rgb(color)}"/></a:solidFill>'


def frame(box: EmuBox, attributes: str = "") -> str:
    """An a:xfrm; `attributes` carries a rotation or a flip."""
    return (
        f'<a:xfrm{attributes}><a:off x="{box.x}" y="{box.y}"/>'
        f'<a:ext cx="{box.cx}" cy="{box.cy}"/></a:xfrm>'
    )
