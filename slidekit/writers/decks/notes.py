"""The words spoken, as notes pages behind the slides."""

import uuid

from pptx.enum.shapes import PP_PLACEHOLDER as PH
from pptx.opc.constants import CONTENT_TYPE as CT
from pptx.opc.constants import RELATIONSHIP_TYPE as RT
from pptx.opc.package import Part
from pptx.opc.packuri import PackURI
from pptx.oxml.xmlchemy import BaseOxmlElement
from pptx.presentation import Presentation
from pptx.shapes.placeholder import MasterPlaceholder
from pptx.util import Emu

from slidekit.scene.lettering.bidi import Direction, direction_of
from slidekit.scene.model import Page
from slidekit.writers.decks.base import MASTER_MAP, Base, shape_tree
from slidekit.writers.decks.package import replace_part
from slidekit.writers.decks.theme import paper_theme
from slidekit.writers.decks.xml import XMLNS, clean, parsed, xml_file, xml_text, xml_value

_FIELD_ID = f"{{{uuid.uuid5(uuid.NAMESPACE_OID, 'slidekit/notes number')}}}".upper()
_IMAGE_MOST = 5_486_400  # EMU: as wide as the words below it


def add_notes_master(deck: Presentation, base: Base) -> None:
    """Make python-pptx's own, for slides of the deck's shape and for print on white paper.

    python-pptx does not list it in the presentation, and some readers lose the notes without.
    """
    master = deck.notes_master
    for placeholder in list(master.placeholders):
        match placeholder.placeholder_format.type:
            case PH.SLIDE_IMAGE:
                _reshape(placeholder, base.pages[0].size_mm)
            case PH.BODY:
                placeholder.text_frame.text = "Notes"
            case PH.HEADER | PH.DATE | PH.FOOTER:  # the date is one of the past
                placeholder.element.getparent().remove(placeholder.element)
    _set_language(master.element, "en")
    name, package = PackURI("/ppt/theme/theme2.xml"), deck.part.package
    theme = Part(name, CT.OFC_THEME, package, xml_file(paper_theme(base.style)))
    replace_part(master.part, RT.THEME, theme)
    id_ = deck.part.relate_to(master.part, RT.NOTES_MASTER)
    (listed,) = parsed(f'<p:notesMasterIdLst><p:notesMasterId r:id="{id_}"/></p:notesMasterIdLst>')
    deck.element.sldMasterIdLst.addnext(listed)


def _reshape(image: MasterPlaceholder, page_mm: tuple[float, float]) -> None:
    """Give the picture of a slide the slide's shape, as large as fits above the words."""
    center = image.left + image.width // 2
    scale = min(_IMAGE_MOST / page_mm[0], image.height / page_mm[1])
    width, height = (round(side * scale) for side in page_mm)
    image.left, image.width, image.height = Emu(center - width // 2), Emu(width), Emu(height)


def notes_page(page: Page, number: int) -> bytes:
    """The notes of `page`, the `number`th slide from 1, in the placeholders of the master."""
    lang = f"lang={xml_value(page.language)}"
    lines = clean(page.notes).split("\n")
    words = "".join(
        _paragraph(_run(line, lang), lang, direction_of(line, page.language)) for line in lines
    )
    count = f'<a:fld id="{_FIELD_ID}" type="slidenum"><a:rPr {lang}/><a:t>{number}</a:t></a:fld>'
    counted = _paragraph(count, lang)
    shapes = (
        _placeholder(2, "Slide Image", 'type="sldImg" idx="2"')
        + _placeholder(3, "Notes", 'type="body" sz="quarter" idx="3"', f"<a:lstStyle/>{words}")
        + _placeholder(4, "Slide Number", 'type="sldNum" sz="quarter" idx="5"', counted)
    )
    return xml_file(f"<p:notes {XMLNS}><p:cSld>{shape_tree(shapes)}</p:cSld>{MASTER_MAP}</p:notes>")


def _placeholder(id_: int, name: str, ph: str, text: str = "") -> str:
    body = f"<p:txBody><a:bodyPr/>{text}</p:txBody>" if text else ""
    return (
        f'<p:sp><p:nvSpPr><p:cNvPr id="{id_}" name="{name} Placeholder {id_ - 1}"/><p:cNvSpPr>'
        f'<a:spLocks noGrp="1"/></p:cNvSpPr><p:nvPr><p:ph {ph}/></p:nvPr></p:nvSpPr><p:spPr/>'
        f"{body}</p:sp>"
    )


def _paragraph(runs: str, lang: str, direction: Direction = "ltr") -> str:
    properties = '<a:pPr algn="r" rtl="1"/>' if direction == "rtl" else ""
    return f"<a:p>{properties}{runs}<a:endParaRPr {lang}/></a:p>"


def _run(words: str, lang: str) -> str:
    return f"<a:r><a:rPr {lang}/><a:t>{xml_text(words)}</a:t></a:r>" if words else ""


def _set_language(tree: BaseOxmlElement, language: str) -> None:
    for run in tree.iter("{*}r", "{*}fld"):
        run.get_or_add_rPr().set("lang", language)
    for paragraph in tree.iter("{*}p"):
        paragraph.get_or_add_endParaRPr().set("lang", language)
