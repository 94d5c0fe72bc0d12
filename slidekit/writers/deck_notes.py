"""The words spoken, as notes pages behind the slides."""

import uuid

from slidekit.scene.model import Page
from slidekit.writers.deck_base import MASTER_MAP, Base, list_levels, shape_tree
from slidekit.writers.deck_package import OFFICE_ML, PRESENTATION_ML, Part
from slidekit.writers.deck_theme import COLOR_MAP_REST, paper_theme
from slidekit.writers.deck_xml import XMLNS, EmuBox, clean, frame, xml_file, xml_text, xml_value

_FIELD_ID = f"{{{uuid.uuid5(uuid.NAMESPACE_OID, 'slidekit/notes number')}}}".upper()
_SLIDE = EmuBox(685_800, 685_800, 5_486_400, 3_429_000)  # at most
_WORDS = EmuBox(685_800, 4_343_400, 5_486_400, 4_114_800)  # below the slide
_NUMBER = EmuBox(3_884_613, 8_685_213, 2_971_800, 457_200)
_INSETS = 'vert="horz" lIns="91440" tIns="45720" rIns="91440" bIns="45720" rtlCol="0"'
_BLACK_LINE = '<a:ln w="12700"><a:solidFill><a:prstClr val="black"/></a:solidFill></a:ln>'
_AS_ON_THE_MASTER = "<p:spPr/>"


def new_notes_master(base: Base) -> Part:
    """For slides of the deck's shape, and for print on white paper."""
    part = Part(
        "/ppt/notesMasters/notesMaster1.xml",
        f"{PRESENTATION_ML}.notesMaster+xml",
        xml_file(_master(base.pages[0].size_mm)),
    )
    look = xml_file(paper_theme(base.style))
    part.link("theme", Part("/ppt/theme/theme2.xml", f"{OFFICE_ML}.theme+xml", look))
    return part


def _master(page_mm: tuple[float, float]) -> str:
    words = f"<a:bodyPr {_INSETS}/><a:lstStyle/>{_paragraph('Notes', 'en')}"
    number = (
        f'<a:bodyPr {_INSETS} anchor="b"/><a:lstStyle><a:lvl1pPr algn="r"><a:defRPr sz="1200"/>'
        f"</a:lvl1pPr></a:lstStyle>{_number('‹#›', 'en')}"
    )
    tree = shape_tree(
        _placeholder(2, "sldImg", _placed(_slide_box(page_mm), f"<a:noFill/>{_BLACK_LINE}"))
        + _placeholder(3, "body", _placed(_WORDS), words)
        + _placeholder(4, "sldNum", _placed(_NUMBER), number)
    )
    return (
        f'<p:notesMaster {XMLNS}><p:cSld><p:bg><p:bgRef idx="1001"><a:schemeClr val="bg1"/>'
        f"</p:bgRef></p:bg>{tree}</p:cSld>"
        f'<p:clrMap bg1="lt1" tx1="dk1" bg2="lt2" tx2="dk2" {COLOR_MAP_REST}/>'
        f"<p:notesStyle>{list_levels(12)}</p:notesStyle></p:notesMaster>"
    )


def _slide_box(page_mm: tuple[float, float]) -> EmuBox:
    """The picture of a slide in the slide's shape, as large as fits above the words."""
    scale = min(_SLIDE.cx / page_mm[0], _SLIDE.cy / page_mm[1])
    width, height = (round(side * scale) for side in page_mm)
    middle = _SLIDE.x + _SLIDE.cx // 2
    return EmuBox(middle - width // 2, _SLIDE.y, width, height)


def _placed(box: EmuBox, look: str = "") -> str:
    return f'<p:spPr>{frame(box)}<a:prstGeom prst="rect"><a:avLst/></a:prstGeom>{look}</p:spPr>'


def notes_page(page: Page, number: int, master: Part, slide: Part) -> Part:
    """The notes of `page`, the `number`th slide from 1."""
    lines = clean(page.notes).split("\n")
    words = "".join(_paragraph(line, page.language) for line in lines)
    plain = "<a:bodyPr/><a:lstStyle/>"
    shapes = (
        _placeholder(2, "sldImg", _AS_ON_THE_MASTER)
        + _placeholder(3, "body", _AS_ON_THE_MASTER, plain + words)
        + _placeholder(4, "sldNum", _AS_ON_THE_MASTER, plain + _number(str(number), page.language))
    )
    content = f"<p:cSld>{shape_tree(shapes)}</p:cSld>{MASTER_MAP}"
    part = Part(
        f"/ppt/notesSlides/notesSlide{number}.xml",
        f"{PRESENTATION_ML}.notesSlide+xml",
        xml_file(f"<p:notes {XMLNS}>{content}</p:notes>"),
    )
    part.link("notesMaster", master)
    part.link("slide", slide)
    return part


_PLACEHOLDERS = {
    "sldImg": ("Slide Image Placeholder", 'idx="2"', ' noRot="1" noChangeAspect="1"'),
    "body": ("Notes Placeholder", 'sz="quarter" idx="3"', ""),
    "sldNum": ("Slide Number Placeholder", 'sz="quarter" idx="5"', ""),
}
"""What stands on a notes page, by ST_PlaceholderType: name, attributes of its p:ph, and locks."""


def _placeholder(id_: int, kind: str, properties: str, text: str = "") -> str:
    name, attributes, locks = _PLACEHOLDERS[kind]
    body = f"<p:txBody>{text}</p:txBody>" if text else ""
    return (
        f'<p:sp><p:nvSpPr><p:cNvPr id="{id_}" name="{name} {id_ - 1}"/><p:cNvSpPr>'
        f'<a:spLocks noGrp="1"{locks}/></p:cNvSpPr><p:nvPr><p:ph type="{kind}" {attributes}/>'
        f"</p:nvPr></p:nvSpPr>{properties}{body}</p:sp>"
    )


def _paragraph(words: str, language: str) -> str:
    lang = f"lang={xml_value(language)}"
    run = f"<a:r><a:rPr {lang}/><a:t>{xml_text(words)}</a:t></a:r>" if words else ""
    return f"<a:p>{run}<a:endParaRPr {lang}/></a:p>"


def _number(shown: str, language: str) -> str:
    lang = f"lang={xml_value(language)}"
    return (
        f'<a:p><a:fld id="{_FIELD_ID}" type="slidenum"><a:rPr {lang}/><a:t>{shown}</a:t></a:fld>'
        f"<a:endParaRPr {lang}/></a:p>"
    )
