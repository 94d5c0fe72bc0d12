"""python-pptx's default presentation, made into that of a talk.

Of the default only the frame stays: the presentation part, a master, four of its layouts. What
they show comes from the pages and the style; words and dates of the default are taken out.
"""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass

import pptx
from pptx.opc.constants import CONTENT_TYPE as CT
from pptx.opc.constants import RELATIONSHIP_TYPE as RT
from pptx.opc.package import Part
from pptx.opc.packuri import PackURI
from pptx.oxml.ns import nsdecls
from pptx.parts.coreprops import CorePropertiesPart
from pptx.presentation import Presentation
from pptx.util import Emu

from slidekit.scene.model import Page
from slidekit.writers.decks.base import LAYOUTS, Base, layout_content, master_content
from slidekit.writers.decks.notes import add_notes_master
from slidekit.writers.decks.package import drop_part, replace_part
from slidekit.writers.decks.theme import theme
from slidekit.writers.decks.xml import XMLNS, clean, emu, put_children, xml_file, xml_value

SECTIONS_URI = "{521415D9-36F7-43E2-AB2F-B90AF26B5E84}"
SECTIONS_NS = "http://schemas.microsoft.com/office/powerpoint/2010/main"
PRODUCER = "slidekit"

_MOST_LETTERS = 255  # python-pptx refuses a longer property
_EXTENDED_NS = "http://schemas.openxmlformats.org/officeDocument/2006/extended-properties"

# the notes pane open, a quarter of the window: the words spoken are half of a lecture
_VIEW = (
    f'<p:viewPr {XMLNS}><p:normalViewPr><p:restoredLeft sz="15000"/><p:restoredTop sz="75000"/>'
    "</p:normalViewPr></p:viewPr>"
)


@dataclass(frozen=True)
class DeckFacts:
    """What the file says about itself; a property ends in an ellipsis after 255 letters."""

    title: str
    author: str
    subject: str
    keywords: tuple[str, ...]
    language: str  # BCP 47


def new_presentation(base: Base, facts: DeckFacts) -> Presentation:
    """The presentation that the slides of `base.pages` are added to."""
    deck = pptx.Presentation()
    drop_part(deck.part.package, RT.THUMBNAIL)
    drop_part(deck.part, RT.PRINTER_SETTINGS)
    deck.part.part_related_by(RT.VIEW_PROPS).blob = xml_file(_VIEW)
    deck.slide_width, deck.slide_height = (Emu(emu(side)) for side in base.pages[0].size_mm)
    del deck.element.sldSz.attrib["type"]  # it says 4:3
    (default_run,) = deck.element.xpath("p:defaultTextStyle/a:defPPr/a:defRPr")
    default_run.set("lang", facts.language)
    _dress(deck, base)
    add_notes_master(deck, base)
    _describe(deck, facts, base.pages)
    return deck


def _dress(deck: Presentation, base: Base) -> None:
    """Master, layouts and theme in the look of `base`."""
    for layout in list(deck.slide_layouts)[len(LAYOUTS) :]:
        deck.slide_layouts.remove(layout)
    for layout, (ours, (_, attributes)) in zip(deck.slide_layouts, LAYOUTS.items(), strict=True):
        del layout.element.attrib["type"]
        layout.element.attrib.update(attributes)
        put_children(layout.element, layout_content(ours, base))
    master = deck.slide_master
    master.element.set("preserve", "1")
    put_children(master.element, master_content(base))
    master.part.part_related_by(RT.THEME).blob = xml_file(theme(base.style))


def _describe(deck: Presentation, facts: DeckFacts, pages: Sequence[Page]) -> None:
    """Core and extended properties (ECMA-376 Part 2, 11 and Part 1, 15.2.12.3), none by default.

    No dates: the same talk must give the same bytes tomorrow.
    """
    package = deck.part.package
    name, empty = PackURI("/docProps/core.xml"), f"<cp:coreProperties {nsdecls('cp', 'dc')}/>"
    core = CorePropertiesPart.load(name, CT.OPC_CORE_PROPERTIES, package, empty.encode())
    replace_part(package, RT.CORE_PROPERTIES, core)
    properties = {
        "title": facts.title,
        "author": facts.author,
        "subject": facts.subject,
        "keywords": ", ".join(facts.keywords),
        "language": facts.language,
        "last_modified_by": facts.author,
    }
    for field, words in properties.items():
        if words:
            setattr(deck.core_properties, field, _shortened(clean(words)))
    name = PackURI("/docProps/app.xml")
    noted = sum(1 for page in pages if page.notes)
    extended = xml_file(
        f'<Properties xmlns="{_EXTENDED_NS}"><Application>{PRODUCER}</Application>'
        f"<Slides>{len(pages)}</Slides><Notes>{noted}</Notes></Properties>"
    )
    part = Part(name, CT.OFC_EXTENDED_PROPERTIES, package, extended)
    replace_part(package, RT.EXTENDED_PROPERTIES, part)


def _shortened(words: str) -> str:
    return words if len(words) <= _MOST_LETTERS else words[: _MOST_LETTERS - 1] + "…"


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


def list_sections(deck: Presentation, pages: Sequence[Page], opening: str) -> None:
    """Put the slides of `pages`, all of the deck, into the sections of `section_starts`."""
    starts = section_starts(pages, opening)
    if not starts:
        return
    slide_ids = [entry.id for entry in deck.slides.element]
    ends = [*list(starts)[1:], len(pages)]
    sections = ""
    for (start, name), end in zip(starts.items(), ends, strict=True):
        id_ = uuid.uuid5(uuid.NAMESPACE_OID, f"slidekit/section/{pages[start].id}")
        slides = "".join(f'<p14:sldId id="{slide_id}"/>' for slide_id in slide_ids[start:end])
        sections += (
            f'<p14:section name={xml_value(name)} id="{{{str(id_).upper()}}}">'
            f"<p14:sldIdLst>{slides}</p14:sldIdLst></p14:section>"
        )
    put_children(
        deck.element,
        f'<p:extLst><p:ext uri="{SECTIONS_URI}"><p14:sectionLst xmlns:p14="{SECTIONS_NS}">'
        f"{sections}</p14:sectionLst></p:ext></p:extLst>",
    )
