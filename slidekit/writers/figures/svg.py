"""A page as SVG 1.1: real text and plain shapes, in groups that a designer can take apart.

Written element by element, so that an ellipse stays an ellipse, a text stays words that can be
edited, and each picture, mark and page carries its description for those who cannot see it.
lxml is imported where a page is drawn: most builds draw none.
"""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Iterable, Mapping
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, assert_never

from PIL import Image

from slidekit.scene.fonts import named_families
from slidekit.scene.lettering.bidi import Direction
from slidekit.scene.model import (
    DASH_LENGTHS,
    Box,
    Ellipse,
    Group,
    Item,
    Page,
    Picture,
    Polyline,
    Rect,
    Shape,
    Stroke,
    Text,
)
from slidekit.scene.type_units import MM_PER_PT
from slidekit.scene.typeset import SetLine, SetRun, set_lines
from slidekit.writers.files import write_drawing

if TYPE_CHECKING:
    from lxml import etree

_SVG = "http://www.w3.org/2000/svg"
_XLINK = "http://www.w3.org/1999/xlink"
_XML = "http://www.w3.org/XML/1998/namespace"
_TEXT_ANCHOR = {"left": "start", "center": "middle", "right": "end"}
_TEXT_ANCHOR_LEFTWARD = {"left": "end", "center": "middle", "right": "start"}
_START_SHARE = {"left": 0.0, "center": 0.5, "right": 1.0}


def write_svg(page: Page, path: Path) -> None:
    """Write the page; one unit of the file is a millimetre. WriteError if it cannot be written."""

    def draw() -> bytes:
        from lxml import etree

        document: bytes = etree.tostring(_page(page), encoding="utf-8", xml_declaration=True)
        return document

    write_drawing(path, ("SVG", page), draw)


def _element(
    tag: str, attributes: Mapping[str, str], children: Iterable[etree._Element | str] = ()
) -> etree._Element:
    """An element; a string among the children is its text. Only containers of shapes are broken
    into lines: within a text every space would be drawn."""
    from lxml import etree

    element = etree.Element(f"{{{_SVG}}}{tag}", nsmap={None: _SVG, "xlink": _XLINK})
    for name, value in attributes.items():
        element.set(name, value)
    line_end = "\n" if tag in {"svg", "g"} else None
    element.text = line_end
    for child in children:
        if isinstance(child, str):
            element.text = child
        else:
            child.tail = line_end
            element.append(child)
    return element


def _page(page: Page) -> etree._Element:
    width, height = page.size_mm
    attributes = {
        f"{{{_XML}}}lang": page.language,
        "version": "1.1",
        "width": f"{_number(width)}mm",
        "height": f"{_number(height)}mm",
        "viewBox": f"0 0 {_number(width)} {_number(height)}",
        "role": "img",
        "aria-labelledby": "page-title",
        "aria-describedby": "page-description",
        "font-family": _families(),
    }
    taken = {"page-title", "page-description"}
    children = [
        _element("title", {"id": "page-title"}, [page.title]),
        _element("desc", {"id": "page-description"}, [_description(page)]),
        _shape(Rect(Box(0, 0, width, height), fill=page.ground)),
        *(_item(item, taken, page.language) for item in page.items),
    ]
    return _element("svg", attributes, children)


def _description(page: Page) -> str:
    """What the pictures show, and what is marked on them."""
    described = (item.alt for item in page.items if isinstance(item, Picture | Group) and item.alt)
    return " ".join(alt if alt.endswith((".", "!", "?")) else f"{alt}." for alt in described)


def _item(item: Item, taken: set[str], language: str) -> etree._Element:
    match item:
        case Picture():
            return _picture(item, _identifier(item.name, taken))
        case Group():
            identifier = _identifier(item.name, taken)
            members = [_item(member, taken, language) for member in item.items]
            return _element("g", {"id": identifier}, [*_named(item.name, item.alt), *members])
        case Text():
            return _text(item, language)
        case Polyline() | Ellipse() | Rect():
            return _shape(item)
        case _:
            assert_never(item)


def _named(name: str, alt: str) -> list[etree._Element]:
    described = [_element("desc", {}, [alt])] if alt else []
    return [_element("title", {}, [name]), *described]


def _identifier(name: str, taken: set[str]) -> str:
    """A unique XML name as near to `name` as may be: what a drawing program calls the object."""
    stem = re.sub(r"[^A-Za-z0-9_]+", "-", name).strip("-") or "item"
    stem = stem if stem[0].isalpha() else f"item-{stem}"
    candidates = (stem if i == 1 else f"{stem}-{i}" for i in range(1, len(taken) + 2))
    chosen = next(candidate for candidate in candidates if candidate not in taken)
    taken.add(chosen)
    return chosen


def _picture(picture: Picture, identifier: str) -> etree._Element:
    png = io.BytesIO()
    Image.fromarray(picture.drawn).save(png, "PNG")
    encoded = base64.b64encode(png.getvalue()).decode("ascii")
    attributes = {
        "id": identifier,
        **_corner(picture.box),
        "preserveAspectRatio": "none",  # the box has the picture's own proportions
        f"{{{_XLINK}}}href": f"data:image/png;base64,{encoded}",
    }
    return _element("image", attributes, _named(picture.name, picture.alt))


def _text(text: Text, language: str) -> etree._Element:
    """The letters as one text element, a tspan for each line; with its plate in a group. Lines of
    another direction are an element of their own: a viewer takes it from there."""
    attributes = {
        f"{{{_XML}}}space": "preserve",
        "font-size": _number(text.size_pt * MM_PER_PT),
        "fill": text.color,
    }
    elements = [
        _element("text", attributes | _toward(direction), [_line(one, text.color) for one in lines])
        for direction, lines in groupby(set_lines(text, language), lambda line: line.direction)
    ] or [_element("text", attributes)]
    if text.fill is None and len(elements) == 1:
        return elements[0]
    plate = [] if text.fill is None else [_shape(Rect(text.box, text.corner_mm, fill=text.fill))]
    return _element("g", {}, [*plate, *elements])


def _toward(direction: Direction) -> dict[str, str]:
    """Viewers order the letters themselves, once they know where a line begins."""
    return {"direction": "rtl"} if direction == "rtl" else {}


def _families() -> str:
    names = [f"'{family.name}'" for family in named_families()]
    return ", ".join([*names, "Arial", "Arimo", "sans-serif"])


def _line(line: SetLine, color: str) -> etree._Element:
    """A line; all runs but the first follow at the width that the viewer's font has."""
    x_mm = line.left_mm + _START_SHARE[line.align] * line.width_mm
    attributes = {"x": _number(x_mm), "y": _number(line.baseline_mm)}
    anchors = _TEXT_ANCHOR if line.direction == "ltr" else _TEXT_ANCHOR_LEFTWARD
    if (anchor := anchors[line.align]) != "start":
        attributes["text-anchor"] = anchor
    return _element("tspan", attributes, [_run(run, color) for run in line.runs])


def _run(run: SetRun, color: str) -> etree._Element:
    look = {}
    if run.face in {"Bold", "BoldItalic"}:
        look["font-weight"] = "bold"
    if run.face in {"Italic", "BoldItalic"}:
        look["font-style"] = "italic"
    if run.color != color:
        look["fill"] = run.color
    return _element("tspan", look, [run.text])


def _shape(shape: Shape) -> etree._Element:
    look = _look(shape.stroke, shape.fill)
    match shape:
        case Polyline(points_mm=points, closed=closed):
            listed = " ".join(f"{_number(x)},{_number(y)}" for x, y in points)
            return _element("polygon" if closed else "polyline", {"points": listed, **look})
        case Ellipse(center_mm=(x, y), radii_mm=(across, down), rotation_deg=angle):
            place = {"cx": x, "cy": y, "rx": across, "ry": down}
            attributes = {key: _number(value) for key, value in place.items()} | look
            if angle:
                attributes["transform"] = f"rotate({_number(angle)} {_number(x)} {_number(y)})"
            return _element("ellipse", attributes)
        case Rect(box=box, corner_mm=corner):
            rounding = {"rx": _number(corner)} if corner > 0 else {}
            return _element("rect", {**_corner(box), **rounding, **look})
        case _:
            assert_never(shape)


def _look(stroke: Stroke | None, fill: str | None) -> dict[str, str]:
    look = {"fill": fill or "none"}
    if stroke is not None:
        width_mm = stroke.width_pt * MM_PER_PT
        look |= {
            "stroke": stroke.color,
            "stroke-width": _number(width_mm),
            "stroke-linejoin": "round",
        }
        if lengths := DASH_LENGTHS[stroke.dash]:
            look["stroke-dasharray"] = " ".join(_number(length * width_mm) for length in lengths)
    return look


def _corner(box: Box) -> dict[str, str]:
    names = ("x", "y", "width", "height")
    return {name: _number(value) for name, value in zip(names, box, strict=True)}


def _number(value: float) -> str:
    """To a ten-thousandth of a millimetre, without needless zeros."""
    return f"{round(value, 4) + 0:.4f}".rstrip("0").rstrip(".")  # + 0: no "-0"
