"""The words spoken, as notes pages behind the slides.

The notes master must also be listed in presentation.xml: some readers lose the notes without it.
"""

from typing import NamedTuple

from slidekit.writers.deck_base import shape_tree
from slidekit.writers.deck_text import FONTS
from slidekit.writers.deck_theme import paper_color_map
from slidekit.writers.deck_xml import XMLNS, EmuBox, clean, frame, xml_text, xml_value

PAGE = (6_858_000, 9_144_000)  # 7.5 x 10 inches
_MARGIN = 685_800
_IMAGE_TOP, _IMAGE_MOST = 685_800, 3_429_000
_WORDS = EmuBox(_MARGIN, 4_400_550, PAGE[0] - 2 * _MARGIN, 3_886_200)
_NUMBER = EmuBox(PAGE[0] // 2, 8_686_800, PAGE[0] // 2 - _MARGIN, 342_900)
_SIZE = 1200  # 1/100 pt

_IMAGE_PH = '<p:ph type="sldImg" idx="2"/>'
_WORDS_PH = '<p:ph type="body" sz="quarter" idx="1"/>'
_NUMBER_PH = '<p:ph type="sldNum" sz="quarter" idx="10"/>'
_NUMBER_FIELD = "{B5B4F7A6-3B8A-5C0B-9C58-6C1A0F9B7E21}"
_OUTLINE = '<a:ln w="12700"><a:solidFill><a:srgbClr val="808080"/></a:solidFill></a:ln>'


class Notes(NamedTuple):
    """What one notes page says."""

    words: str
    number: int  # of the slide, from 1
    language: str


def notes_master(page_mm: tuple[float, float]) -> str:
    """A page with the slide's picture above its words; `page_mm` gives the picture's shape."""
    shapes = (
        _image(frame(_image_box(page_mm)))
        + _words(Notes("Notes", 1, "en"), f"{frame(_WORDS)}{_RECT}", _list_style("l"))
        + _number(Notes("", 1, "en"), f"{frame(_NUMBER)}{_RECT}", _list_style("r"))
    )
    return (
        f'<p:notesMaster {XMLNS}><p:cSld><p:bg><p:bgPr><a:solidFill><a:schemeClr val="bg1"/>'
        f"</a:solidFill><a:effectLst/></p:bgPr></p:bg>{shape_tree(shapes)}</p:cSld>"
        f"{paper_color_map()}<p:notesStyle>{_level('l')}</p:notesStyle></p:notesMaster>"
    )


def notes_slide(notes: Notes) -> str:
    """The p:notes of one slide; its places come from the notes master."""
    shapes = _image("") + _words(notes, "", "<a:lstStyle/>") + _number(notes, "", "<a:lstStyle/>")
    return (
        f"<p:notes {XMLNS}><p:cSld>{shape_tree(shapes)}</p:cSld>"
        "<p:clrMapOvr><a:masterClrMapping/></p:clrMapOvr></p:notes>"
    )


_RECT = '<a:prstGeom prst="rect"><a:avLst/></a:prstGeom>'


def _image_box(page_mm: tuple[float, float]) -> EmuBox:
    width, height = page_mm
    room = PAGE[0] - 2 * _MARGIN
    scale = min(room / width, _IMAGE_MOST / height)
    across, down = round(width * scale), round(height * scale)
    return EmuBox((PAGE[0] - across) // 2, _IMAGE_TOP, across, down)


def _image(place: str) -> str:
    look = f"{place}{_RECT}<a:noFill/>{_OUTLINE}" if place else ""
    return (
        '<p:sp><p:nvSpPr><p:cNvPr id="2" name="Slide image"/><p:cNvSpPr><a:spLocks noGrp="1" '
        f'noRot="1" noChangeAspect="1"/></p:cNvSpPr><p:nvPr>{_IMAGE_PH}</p:nvPr></p:nvSpPr>'
        f"<p:spPr>{look}</p:spPr></p:sp>"
    )


def _words(notes: Notes, place: str, list_style: str) -> str:
    lang = xml_value(notes.language)
    look = f'<a:rPr lang={lang} sz="{_SIZE}">{FONTS}</a:rPr>'
    end = f'<a:endParaRPr lang={lang} sz="{_SIZE}"/>'
    paragraphs = "".join(
        f"<a:p><a:r>{look}<a:t>{xml_text(line)}</a:t></a:r>{end}</a:p>"
        if line
        else f"<a:p>{end}</a:p>"
        for line in clean(notes.words).split("\n")
    )
    return _shape(3, "Notes", _WORDS_PH, place) + (
        f"<p:txBody><a:bodyPr/>{list_style}{paragraphs}</p:txBody></p:sp>"
    )


def _number(notes: Notes, place: str, list_style: str) -> str:
    lang = xml_value(notes.language)
    return _shape(4, "Page number", _NUMBER_PH, place) + (
        f'<p:txBody><a:bodyPr/>{list_style}<a:p><a:fld id="{_NUMBER_FIELD}" type="slidenum">'
        f"<a:rPr lang={lang}/><a:t>{notes.number}</a:t></a:fld><a:endParaRPr lang={lang}/></a:p>"
        "</p:txBody></p:sp>"
    )


def _shape(id_: int, name: str, ph: str, place: str) -> str:
    return (
        f'<p:sp><p:nvSpPr><p:cNvPr id="{id_}" name="{name}"/><p:cNvSpPr><a:spLocks noGrp="1"/>'
        f"</p:cNvSpPr><p:nvPr>{ph}</p:nvPr></p:nvSpPr><p:spPr>{place}</p:spPr>"
    )


def _list_style(align: str) -> str:
    return f"<a:lstStyle>{_level(align)}</a:lstStyle>"


def _level(align: str) -> str:
    return (
        f'<a:lvl1pPr marL="0" algn="{align}"><a:defRPr sz="{_SIZE}" kern="1200"><a:solidFill>'
        f'<a:schemeClr val="tx1"/></a:solidFill>{FONTS}</a:defRPr></a:lvl1pPr>'
    )
