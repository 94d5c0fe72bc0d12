"""Items of the scene to the shapes of a slide, each written out in full.

No shape refers to a theme style, which would give it a shadow. Outlines are custom geometry in
EMU: the drawing is exact to a thousandth of a millimetre and a presenter can still edit it.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import count
from typing import assert_never

from slidekit.scene.model import (
    Box,
    Ellipse,
    Group,
    Picture,
    Polyline,
    Rect,
    Shape,
    Stroke,
    Text,
)
from slidekit.writers.decks.text import Setting, text_body
from slidekit.writers.decks.xml import (
    EMU_PER_PT,
    EmuBox,
    clean,
    emu,
    emu_box,
    frame,
    solid_fill,
    union,
    xml_value,
)

DECORATIVE_URI = "{C183D7F6-B498-43B3-948B-1728B52AA6E4}"
DECORATIVE_NS = "http://schemas.microsoft.com/office/drawing/2017/decorative"
_DECORATIVE = (
    f'<a:extLst><a:ext uri="{DECORATIVE_URI}"><adec:decorative xmlns:adec="{DECORATIVE_NS}" '
    'val="1"/></a:ext></a:extLst>'
)
_ROUND = 100_000  # adj of roundRect is in 1/100 000 of the shorter side
_TURN = 60_000  # ST_Angle: 1/60 000 degree, clockwise


@dataclass
class Sheet:
    """What the shapes of one slide share while it is written."""

    setting: Setting
    image: Callable[[Picture], str]  # -> relationship id
    ids: "count[int]" = field(default_factory=lambda: count(2))  # 1 is the shape tree itself


@dataclass(frozen=True)
class Written:
    """A shape's XML, its id for the timing, and the box it takes in a group."""

    xml: str
    id: int
    box: EmuBox


def shown_words(text: Text) -> str:
    """The words of `text` as a reader finds them; empty if it is a mere plate."""
    return " ".join(clean(text.plain).split())


def written_text(text: Text, sheet: Sheet, placeholder: str = "") -> Written:
    """A text box, or a placeholder if its p:ph is given."""
    id_, box = next(sheet.ids), emu_box(text.box)
    name = text.name or f"{text.role.replace('_', ' ').capitalize()} {id_}"
    kind = '><a:spLocks noGrp="1"/></p:cNvSpPr>' if placeholder else ' txBox="1"/>'
    extra = "" if shown_words(text) else _DECORATIVE
    geometry = _rounded(box, text.corner_mm) if text.fill else _preset("rect")
    return Written(
        f"<p:sp><p:nvSpPr>{_named(id_, name, extra)}"
        f"<p:cNvSpPr{kind}<p:nvPr>{placeholder}</p:nvPr></p:nvSpPr>"
        f"<p:spPr>{frame(box)}{geometry}{solid_fill(text.fill)}<a:ln><a:noFill/></a:ln></p:spPr>"
        f"{text_body(text, sheet.setting)}</p:sp>",
        id_,
        box,
    )


def written_picture(picture: Picture, sheet: Sheet, placeholder: str = "") -> Written:
    """The whole picture in its box; a crop would silently remove what the scan shows."""
    id_, box = next(sheet.ids), emu_box(picture.box)
    lock = ' noGrp="1"' if placeholder else ""
    return Written(
        f"<p:pic><p:nvPicPr>{_described(id_, picture.name or f'Picture {id_}', picture.alt)}"
        f'<p:cNvPicPr><a:picLocks{lock} noChangeAspect="1"/></p:cNvPicPr>'
        f"<p:nvPr>{placeholder}</p:nvPr></p:nvPicPr>"
        f'<p:blipFill><a:blip r:embed="{sheet.image(picture)}"/>'
        '<a:srcRect l="0" t="0" r="0" b="0"/><a:stretch><a:fillRect/></a:stretch></p:blipFill>'
        f"<p:spPr>{frame(box)}{_preset('rect')}</p:spPr></p:pic>",
        id_,
        box,
    )


def written_group(group: Group, sheet: Sheet) -> Written:
    """One object to move, animate and describe. Its own coordinates are those of the slide."""
    id_ = next(sheet.ids)
    children = [
        written_text(item, sheet)
        if isinstance(item, Text)
        else written_shape(item, sheet, lone=False)
        for item in group.items
    ]
    box = union([child.box for child in children]) if children else EmuBox(0, 0, 0, 0)
    return Written(
        f"<p:grpSp><p:nvGrpSpPr>{_described(id_, group.name, group.alt)}<p:cNvGrpSpPr/><p:nvPr/>"
        f'</p:nvGrpSpPr><p:grpSpPr><a:xfrm><a:off x="{box.x}" y="{box.y}"/>'
        f'<a:ext cx="{box.cx}" cy="{box.cy}"/><a:chOff x="{box.x}" y="{box.y}"/>'
        f'<a:chExt cx="{box.cx}" cy="{box.cy}"/></a:xfrm></p:grpSpPr>'
        + "".join(child.xml for child in children)
        + "</p:grpSp>",
        id_,
        box,
    )


def written_shape(shape: Shape, sheet: Sheet, *, lone: bool = True) -> Written:
    """`lone` shapes stand outside groups: decoration, and marked as such for screen readers."""
    id_ = next(sheet.ids)
    attributes = ""
    match shape:
        case Polyline(points_mm=points, closed=False, fill=None) if len(points) == 2:
            return _straight_line(shape, id_, lone=lone)
        case Polyline():
            corners = [(emu(x), emu(y)) for x, y in shape.points_mm]
            box = _around(corners)
            geometry, kind = _path(corners, box, closed=shape.closed), "Outline"
        case Ellipse(center_mm=(x, y), radii_mm=(across, down)):
            box = emu_box(Box(x - across, y - down, 2 * across, 2 * down))
            geometry, kind = _preset("ellipse"), "Ellipse"
            turn = round(shape.rotation_deg % 360 * _TURN)
            attributes = f' rot="{turn}"' if turn else ""
        case Rect():
            box = emu_box(shape.box)
            geometry, kind = _rounded(box, shape.corner_mm), "Rectangle"
        case _:
            assert_never(shape)
    extra = _DECORATIVE if lone else ""
    return Written(
        f"<p:sp><p:nvSpPr>{_named(id_, shape.name or f'{kind} {id_}', extra)}<p:cNvSpPr/>"
        f"<p:nvPr/></p:nvSpPr><p:spPr>{frame(box, attributes)}{geometry}{solid_fill(shape.fill)}"
        f"{_line(shape.stroke)}</p:spPr></p:sp>",
        id_,
        box,
    )


def _straight_line(line: Polyline, id_: int, *, lone: bool) -> Written:
    """Two points become a connector, which a presenter can take by either end."""
    (x1, y1), (x2, y2) = ((emu(x), emu(y)) for x, y in line.points_mm)
    box = _around([(x1, y1), (x2, y2)])
    flips = (' flipH="1"' if x2 < x1 else "") + (' flipV="1"' if y2 < y1 else "")
    extra = _DECORATIVE if lone else ""
    return Written(
        f"<p:cxnSp><p:nvCxnSpPr>{_named(id_, line.name or f'Line {id_}', extra)}<p:cNvCxnSpPr/>"
        f"<p:nvPr/></p:nvCxnSpPr><p:spPr>{frame(box, flips)}{_preset('line')}"
        f"{_line(line.stroke)}</p:spPr></p:cxnSp>",
        id_,
        box,
    )


def _described(id_: int, name: str, description: str) -> str:
    return f'<p:cNvPr id="{id_}" name={xml_value(name)} descr={xml_value(description)}/>'


def _named(id_: int, name: str, extra: str) -> str:
    """Text, part of a group, or decoration if `extra` says so: no alternative text of its own."""
    opening = f'<p:cNvPr id="{id_}" name={xml_value(name)}'
    return f'{opening} descr="">{extra}</p:cNvPr>' if extra else f"{opening}/>"


def _preset(name: str) -> str:
    return f'<a:prstGeom prst="{name}"><a:avLst/></a:prstGeom>'


def _rounded(box: EmuBox, corner_mm: float) -> str:
    shorter = min(box.cx, box.cy)
    if corner_mm <= 0 or shorter <= 0:
        return _preset("rect")
    adjust = min(round(emu(corner_mm) / shorter * _ROUND), _ROUND // 2)
    return (
        '<a:prstGeom prst="roundRect"><a:avLst>'
        f'<a:gd name="adj" fmla="val {adjust}"/></a:avLst></a:prstGeom>'
    )


def _path(points: list[tuple[int, int]], box: EmuBox, *, closed: bool) -> str:
    """a:custGeom whose local units are EMU from the box's corner; w or h of 0 would divide by 0."""
    (x0, y0), *rest = points
    segments = "".join(f'<a:lnTo><a:pt x="{x - box.x}" y="{y - box.y}"/></a:lnTo>' for x, y in rest)
    return (
        '<a:custGeom><a:avLst/><a:gdLst/><a:ahLst/><a:cxnLst/><a:rect l="0" t="0" r="r" b="b"/>'
        f'<a:pathLst><a:path w="{max(box.cx, 1)}" h="{max(box.cy, 1)}">'
        f'<a:moveTo><a:pt x="{x0 - box.x}" y="{y0 - box.y}"/></a:moveTo>{segments}'
        f"{'<a:close/>' if closed else ''}</a:path></a:pathLst></a:custGeom>"
    )


def _around(points: list[tuple[int, int]]) -> EmuBox:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return EmuBox(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


def _line(stroke: Stroke | None) -> str:
    """Flat caps, since round ones lengthen each dash; round joins, since sharp ones grow spikes."""
    if stroke is None:
        return "<a:ln><a:noFill/></a:ln>"
    return (
        f'<a:ln w="{round(stroke.width_pt * EMU_PER_PT)}" cap="flat">{solid_fill(stroke.color)}'
        f'<a:prstDash val="{stroke.dash}"/><a:round/></a:ln>'
    )
