"""What a deck has besides its slides: the presentation itself, master, layouts and properties.

No dates: the same talk must give the same bytes tomorrow.
"""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from slidekit.scene.model import Layout, Page
from slidekit.writers.deck_base import LAYOUTS, Base, layout_content, list_levels, master_content
from slidekit.writers.deck_notes import new_notes_master
from slidekit.writers.deck_package import OFFICE_ML, PRESENTATION_ML, Part
from slidekit.writers.deck_theme import theme
from slidekit.writers.deck_xml import DRAWING, XMLNS, clean, emu, xml_file, xml_text, xml_value

SECTIONS_URI = "{521415D9-36F7-43E2-AB2F-B90AF26B5E84}"
SECTIONS_NS = "http://schemas.microsoft.com/office/powerpoint/2010/main"
PRODUCER = "slidekit"

_MOST_LETTERS = 255
"""Of a property: more than a reader shows in a line, and some take no more."""

_FIRST_SLIDE = 256  # ST_SlideId
_FIRST_MASTER = 2**31  # ST_SlideMasterId; layouts are counted on from it
_CORE_LINK = "http://schemas.openxmlformats.org/package/2006/relationships/metadata/core-properties"
_CORE_TYPE = "application/vnd.openxmlformats-package.core-properties+xml"
_CORE_NS = "http://schemas.openxmlformats.org/package/2006/metadata/core-properties"
_DUBLIN_CORE_NS = "http://purl.org/dc/elements/1.1/"
_EXTENDED_NS = "http://schemas.openxmlformats.org/officeDocument/2006/extended-properties"
_PAPER = '<p:notesSz cx="6858000" cy="9144000"/>'

# pictures keep their pixels when an editor saves the deck
_PROPERTIES = (
    f'<p:presentationPr {XMLNS}><p:extLst><p:ext uri="{{E76CE94A-603C-4142-B9EB-6D1370010A27}}">'
    f'<p14:discardImageEditData xmlns:p14="{SECTIONS_NS}" val="0"/></p:ext>'
    '<p:ext uri="{D31A062A-798A-4329-ABDD-BBA856620510}">'
    f'<p14:defaultImageDpi xmlns:p14="{SECTIONS_NS}" val="0"/></p:ext></p:extLst>'
    "</p:presentationPr>"
)
# the notes pane open, a quarter of the window: the words spoken are half of a lecture
_VIEW = (
    f'<p:viewPr {XMLNS}><p:normalViewPr><p:restoredLeft sz="15000"/><p:restoredTop sz="75000"/>'
    "</p:normalViewPr></p:viewPr>"
)
_TABLES = f'<a:tblStyleLst xmlns:a="{DRAWING}" def="{{5C22544A-7EE6-4342-B048-85BDC9FD1C3A}}"/>'


@dataclass(frozen=True)
class DeckFacts:
    """What the file says about itself; a property ends in an ellipsis after 255 letters."""

    title: str
    author: str
    subject: str
    keywords: tuple[str, ...]
    language: str  # BCP 47


@dataclass(frozen=True)
class Deck:
    """A deck to add slides to."""

    package: Part
    presentation: Part  # its data are written last, by `write_presentation`
    layouts: Mapping[Layout, Part]
    notes_master: Part


def new_deck(base: Base, facts: DeckFacts) -> Deck:
    """A deck for the slides of `base.pages`, without them."""
    package = Part("/", "")
    presentation = Part("/ppt/presentation.xml", f"{PRESENTATION_ML}.presentation.main+xml")
    package.link("officeDocument", presentation)
    package.link(_CORE_LINK, _core_properties(facts))
    package.link("extended-properties", _extended_properties(base.pages))
    look = Part("/ppt/theme/theme1.xml", f"{OFFICE_ML}.theme+xml", xml_file(theme(base.style)))
    master, layouts = _master_and_layouts(base, look)
    notes_master = new_notes_master(base)
    for kind, part in {
        "slideMaster": master,
        "notesMaster": notes_master,
        "presProps": _part("presProps", _PROPERTIES),
        "viewProps": _part("viewProps", _VIEW),
        "theme": look,
        "tableStyles": _part("tableStyles", _TABLES),
    }.items():
        presentation.link(kind, part)
    return Deck(package, presentation, layouts, notes_master)


def _part(name: str, xml: str) -> Part:
    return Part(f"/ppt/{name}.xml", f"{PRESENTATION_ML}.{name}+xml", xml_file(xml))


def _master_and_layouts(base: Base, look: Part) -> tuple[Part, dict[Layout, Part]]:
    master = Part("/ppt/slideMasters/slideMaster1.xml", f"{PRESENTATION_ML}.slideMaster+xml")
    layouts: dict[Layout, Part] = {}
    listed = ""
    for number, (layout, (_, attributes)) in enumerate(LAYOUTS.items(), 1):
        content = layout_content(layout, base)
        part = Part(
            f"/ppt/slideLayouts/slideLayout{number}.xml",
            f"{PRESENTATION_ML}.slideLayout+xml",
            xml_file(f'<p:sldLayout {XMLNS} preserve="1" {attributes}>{content}</p:sldLayout>'),
        )
        part.link("slideMaster", master)
        layouts[layout] = part
        id_ = master.link("slideLayout", part)
        listed += f'<p:sldLayoutId id="{_FIRST_MASTER + number}" r:id="{id_}"/>'
    master.link("theme", look)
    content = master_content(base, f"<p:sldLayoutIdLst>{listed}</p:sldLayoutIdLst>")
    master.data = xml_file(f'<p:sldMaster {XMLNS} preserve="1">{content}</p:sldMaster>')
    return master, layouts


def _core_properties(facts: DeckFacts) -> Part:
    properties = {
        "dc:title": facts.title,
        "dc:creator": facts.author,
        "dc:subject": facts.subject,
        "cp:keywords": ", ".join(facts.keywords),
        "dc:language": facts.language,
        "cp:lastModifiedBy": facts.author,
    }
    written = "".join(
        f"<{tag}>{xml_text(_shortened(clean(words)))}</{tag}>"
        for tag, words in properties.items()
        if words
    )
    spaces = f'xmlns:cp="{_CORE_NS}" xmlns:dc="{_DUBLIN_CORE_NS}"'
    xml = f"<cp:coreProperties {spaces}>{written}</cp:coreProperties>"
    return Part("/docProps/core.xml", _CORE_TYPE, xml_file(xml))


def _shortened(words: str) -> str:
    return words if len(words) <= _MOST_LETTERS else words[: _MOST_LETTERS - 1] + "…"


def _extended_properties(pages: Sequence[Page]) -> Part:
    noted = sum(1 for page in pages if page.notes)
    xml = (
        f'<Properties xmlns="{_EXTENDED_NS}"><Application>{PRODUCER}</Application>'
        f"<Slides>{len(pages)}</Slides><Notes>{noted}</Notes></Properties>"
    )
    return Part("/docProps/app.xml", f"{OFFICE_ML}.extended-properties+xml", xml_file(xml))


def write_presentation(
    deck: Deck, pages: Sequence[Page], slide_ids: list[str], facts: DeckFacts
) -> None:
    """List the slides of `pages`, `slide_ids` being those of the links to them, and sections."""
    width, height = (emu(side) for side in pages[0].size_mm)
    slides = "".join(
        f'<p:sldId id="{_FIRST_SLIDE + i}" r:id="{id_}"/>' for i, id_ in enumerate(slide_ids)
    )
    presentation = deck.presentation
    notes_id = presentation.link("notesMaster", deck.notes_master)
    xml = (
        f'<p:presentation {XMLNS} saveSubsetFonts="1" autoCompressPictures="0"><p:sldMasterIdLst>'
        f'<p:sldMasterId id="{_FIRST_MASTER}" r:id="rId1"/></p:sldMasterIdLst><p:notesMasterIdLst>'
        f'<p:notesMasterId r:id="{notes_id}"/></p:notesMasterIdLst><p:sldIdLst>{slides}'
        f'</p:sldIdLst><p:sldSz cx="{width}" cy="{height}"/>{_PAPER}<p:defaultTextStyle>'
        f"<a:defPPr><a:defRPr lang={xml_value(facts.language)}/></a:defPPr>{list_levels(18)}"
        f"</p:defaultTextStyle>{_sections(pages, facts.title or pages[0].title)}</p:presentation>"
    )
    presentation.data = xml_file(xml)


def section_starts(pages: Sequence[Page], opening: str) -> dict[int, str]:
    """Index of the first page of each section, and its name.

    A page that names the section it is already in goes on with it. Pages before the first named
    section form one called `opening`, since each slide must be in a section or none may be.
    """
    starts: dict[int, str] = {}
    current = ""
    for i, page in enumerate(pages):
        if page.section and page.section != current:
            starts[i] = current = page.section
    return {0: opening, **starts} if starts and 0 not in starts else starts


def _sections(pages: Sequence[Page], opening: str) -> str:
    """The sections of `section_starts`, an extension of the presentation."""
    starts = section_starts(pages, opening)
    if not starts:
        return ""
    ends = [*list(starts)[1:], len(pages)]
    sections = ""
    for (start, name), end in zip(starts.items(), ends, strict=True):
        id_ = uuid.uuid5(uuid.NAMESPACE_OID, f"slidekit/section/{pages[start].id}")
        slides = "".join(f'<p14:sldId id="{_FIRST_SLIDE + i}"/>' for i in range(start, end))
        sections += (
            f'<p14:section name={xml_value(name)} id="{{{str(id_).upper()}}}">'
            f"<p14:sldIdLst>{slides}</p14:sldIdLst></p14:section>"
        )
    return (
        f'<p:extLst><p:ext uri="{SECTIONS_URI}"><p14:sectionLst xmlns:p14="{SECTIONS_NS}">'
        f"{sections}</p14:sectionLst></p:ext></p:extLst>"
    )
