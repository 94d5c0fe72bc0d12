"""What a schema validator does not see in a finished deck.

A deck can be valid and still lose its clicks, show "Click to add text", or be mute to a screen
reader.
"""

import zipfile
from collections import Counter
from collections.abc import Iterable, Iterator
from math import cos, hypot, radians, sin
from pathlib import Path
from typing import NamedTuple

import lxml.etree

from slidekit.checks.deck_file import NS, Deck, Element, Shape, Slide, read_deck

_ROUNDING_EMU = 2  # edges are rounded to whole EMU, once in a shape and once in its group
_CORE_FIELDS = {"title", "creator", "subject", "keywords", "language", "lastModifiedBy"}
_PRODUCER = "slidekit"


class Frame(NamedTuple):
    """A place on the slide in EMU."""

    left: float
    top: float
    right: float
    bottom: float


def lint_deck(path: Path) -> tuple[str, ...]:
    """Everything to complain about in the .pptx file at `path`, one sentence each.

    Timing (ECMA-376 Part 1, 19.5), ids and placeholders (19.3), alternative texts and languages
    (WCAG 2.2, 1.1.1 and 3.1.2), titles (2.4.2), places, sections, notes and file properties.
    """
    try:
        deck = read_deck(path)
    except (OSError, zipfile.BadZipFile, lxml.etree.XMLSyntaxError, LookupError) as error:
        return (f"{path.name} is not a readable deck: {error}.",)
    per_slide = (
        _timing_faults,
        _id_faults,
        _empty_placeholder_faults,
        _description_faults,
        _language_faults,
        _crop_faults,
    )
    found = [fault for slide in deck.slides for rule in per_slide for fault in rule(slide)]
    per_deck = (
        _title_faults,
        _place_faults,
        _section_faults,
        _notes_master_faults,
        _leftover_faults,
    )
    return (*found, *(fault for rule in per_deck for fault in rule(deck)))


def _timing_faults(slide: Slide) -> Iterator[str]:
    shapes = {shape.id: shape for shape in slide.shapes}
    for target in slide.root.iterfind("p:timing//p:spTgt", NS):
        shape = shapes.get(target.get("spid"))
        if shape is None:
            yield f"{slide.where}: a click acts on shape {target.get('spid')}, which is not there."
        elif shape.group is not None:
            yield (
                f"{slide.where}: a click acts on {shape.name} inside a group; only the whole"
                " group can appear."
            )
    ids = Counter(node.get("id") for node in slide.root.iterfind("p:timing//p:cTn", NS))
    for id_, count in ids.items():
        if id_ is not None and count > 1:
            yield f"{slide.where}: {count} time nodes (cTn) have the id {id_}."
    for build in slide.root.iterfind("p:timing//p:bldP", NS):
        shape = shapes.get(build.get("spid"))
        if shape is None or shape.kind != "sp":
            yield (
                f"{slide.where}: a paragraph build (bldP) names shape {build.get('spid')}, which"
                " is not a shape with text of its own."
            )


def _id_faults(slide: Slide) -> Iterator[str]:
    ids = Counter(node.get("id") for node in slide.root.iterfind(".//p:cNvPr", NS))
    for id_, count in ids.items():
        if count > 1:
            yield f"{slide.where}: {count} shapes have the id {id_}."
        if not (id_ or "").isdecimal() or int(id_) == 0:
            yield f"{slide.where}: a shape has the id {id_}; ids start at 1."


def _empty_placeholder_faults(slide: Slide) -> Iterator[str]:
    for shape in slide.shapes:
        if shape.placeholder is not None and shape.kind == "sp" and not shape.words:
            yield f"{slide.where}: the placeholder {shape.name} is empty."


def _description_faults(slide: Slide) -> Iterator[str]:
    """Groups and pictures; and shapes without words, which are read out by their names else."""
    for shape in slide.shapes:
        if shape.decorative or shape.properties.get("descr", "").strip():
            continue
        is_mute = shape.placeholder is None and not shape.words
        if shape.kind in {"pic", "graphicFrame"} or (
            shape.group is None and (shape.kind == "grpSp" or is_mute)
        ):
            yield f"{slide.where}: {shape.name} has no alternative text (descr)."


def _language_faults(slide: Slide) -> Iterator[str]:
    for where, root in ((slide.where, slide.root), (f"notes of {slide.where}", slide.notes)):
        if root is None:
            continue
        for run in root.iterfind(".//a:t/..", NS):
            properties = run.find("a:rPr", NS)
            if properties is None or not properties.get("lang"):
                words = run.findtext("a:t", "", NS)
                yield f"{where}: the words {words[:40]!r} have no language (lang)."


def _crop_faults(slide: Slide) -> Iterator[str]:
    for shape in slide.shapes:
        crop = shape.element.find("p:blipFill/a:srcRect", NS)
        if crop is not None and any(int(crop.get(side, "0")) for side in "ltrb"):
            yield f"{slide.where}: the picture {shape.name} is cropped."


def _title_faults(deck: Deck) -> Iterator[str]:
    first: dict[str, str] = {}
    for slide in deck.slides:
        title = slide.title
        if not title:
            yield f"{slide.where} has no title."
        elif title in first:
            yield f"{slide.where} has the same title as {first[title]}: {title!r}."
        else:
            first[title] = slide.where


def _place_faults(deck: Deck) -> Iterator[str]:
    size = deck.presentation.find("p:sldSz", NS)
    width, height = int(size.get("cx")), int(size.get("cy"))
    for slide in deck.slides:
        for shape in slide.shapes:
            frame = _frame(shape) if shape.kind != "grpSp" else None
            if frame is not None and not (
                frame.left >= -_ROUNDING_EMU
                and frame.top >= -_ROUNDING_EMU
                and frame.right <= width + _ROUNDING_EMU
                and frame.bottom <= height + _ROUNDING_EMU
            ):
                yield f"{slide.where}: {shape.name} reaches off the slide."


def _frame(shape: Shape) -> Frame | None:
    """Where the shape is drawn: turned, and moved and scaled by its groups (20.1.7.5, 20.1.7.6)."""
    transform = shape.element.find("p:spPr/a:xfrm", NS)
    if transform is None:
        transform = shape.element.find("p:xfrm", NS)  # of a graphic frame
    if transform is None:
        return None  # a placeholder in the place its layout gives it
    x, y, across, down = _offset_and_extent(transform, "off", "ext")
    center_x, center_y = x + across / 2, y + down / 2
    half_x, half_y = _half_extent(shape, transform, across / 2, down / 2)
    group = shape.element.getparent()
    while (own := group.find("p:grpSpPr/a:xfrm", NS)) is not None and _is_group(group):
        x, y, across, down = _offset_and_extent(own, "off", "ext")
        child_x, child_y, child_across, child_down = _offset_and_extent(own, "chOff", "chExt")
        scale_x = across / child_across if child_across else 1.0
        scale_y = down / child_down if child_down else 1.0
        center_x, center_y = x + (center_x - child_x) * scale_x, y + (center_y - child_y) * scale_y
        half_x, half_y = half_x * scale_x, half_y * scale_y
        group = group.getparent()
    return Frame(center_x - half_x, center_y - half_y, center_x + half_x, center_y + half_y)


def _is_group(element: Element) -> bool:
    return bool(lxml.etree.QName(element).localname == "grpSp")


def _offset_and_extent(transform: Element, offset: str, extent: str) -> tuple[int, int, int, int]:
    off, ext = transform.find(f"a:{offset}", NS), transform.find(f"a:{extent}", NS)
    return int(off.get("x")), int(off.get("y")), int(ext.get("cx")), int(ext.get("cy"))


def _half_extent(
    shape: Shape, transform: Element, half_x: float, half_y: float
) -> tuple[float, float]:
    """Half width and height of the upright box around the turned shape."""
    turn = radians(int(transform.get("rot", "0")) / 60_000)
    c, s = abs(cos(turn)), abs(sin(turn))
    preset = shape.element.find("p:spPr/a:prstGeom", NS)
    if preset is not None and preset.get("prst") == "ellipse":
        return hypot(half_x * c, half_y * s), hypot(half_x * s, half_y * c)
    return half_x * c + half_y * s, half_x * s + half_y * c


def _section_faults(deck: Deck) -> Iterator[str]:
    sections = deck.presentation.find(".//p14:sectionLst", NS)
    if sections is None:
        return
    listed = Counter(entry.get("id") for entry in sections.iterfind(".//p14:sldId", NS))
    ids = [entry.get("id") for entry in deck.presentation.findall("p:sldIdLst/p:sldId", NS)]
    for number, id_ in enumerate(ids, 1):
        if listed[id_] != 1:
            yield f"slide {number} is in {listed[id_] or 'no'} sections; it must be in exactly one."
    for id_ in listed:
        if id_ not in ids:
            yield f"a section lists the slide id {id_}, which is not there."


def _notes_master_faults(deck: Deck) -> Iterator[str]:
    has_notes = any(slide.notes is not None for slide in deck.slides)
    if has_notes and deck.presentation.find("p:notesMasterIdLst", NS) is None:
        yield "the notes master is not listed (notesMasterIdLst); some readers lose the notes."


def _leftover_faults(deck: Deck) -> Iterator[str]:
    """A field nobody here wrote tells of a library or of the clock."""
    core = deck.parts.get("docProps/core.xml")
    for field in core if core is not None else ():
        name = lxml.etree.QName(field).localname
        if name not in _CORE_FIELDS:
            yield f"core.xml says {name} = {field.text!r}, which nobody here wrote."
    if core is not None and _field(core, "lastModifiedBy") != _field(core, "creator"):
        yield f"core.xml says lastModifiedBy = {_field(core, 'lastModifiedBy')!r}, not the author."
    extended = deck.parts.get("docProps/app.xml")
    if extended is not None and _field(extended, "Application") != _PRODUCER:
        yield f"app.xml says Application = {_field(extended, 'Application')!r}, not {_PRODUCER!r}."
    for name in deck.names:
        if "thumbnail" in name or "printerSettings" in name:
            yield f"the package holds {name}, a leftover of another program."


def _field(properties: Iterable[Element], name: str) -> str:
    return next(
        (tag.text or "" for tag in properties if lxml.etree.QName(tag).localname == name), ""
    )
