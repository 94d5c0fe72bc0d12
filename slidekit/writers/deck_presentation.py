"""The presentation part, which lists slides and sections, and what the file says about itself."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from slidekit.scene.model import Page
from slidekit.writers.deck_base import MASTER_ID
from slidekit.writers.deck_notes import PAGE as NOTES_PAGE
from slidekit.writers.deck_text import FONTS
from slidekit.writers.deck_xml import DECLARATION, DRAWING, XMLNS, emu, xml_text, xml_value

SECTIONS_URI = "{521415D9-36F7-43E2-AB2F-B90AF26B5E84}"
SECTIONS_NS = "http://schemas.microsoft.com/office/powerpoint/2010/main"
PRODUCER = "slidekit"

_FIRST_SLIDE_ID = 256  # ST_SlideId


@dataclass(frozen=True)
class DeckFacts:
    """What the file says about itself."""

    title: str
    author: str
    subject: str
    keywords: tuple[str, ...]
    language: str  # BCP 47


class Listed(NamedTuple):
    """Relationship ids of what the presentation part lists."""

    master: str
    notes_master: str
    slides: tuple[str, ...]


def presentation(pages: Sequence[Page], facts: DeckFacts, listed: Listed) -> str:
    """The p:presentation: slide size, masters, slides in order, sections."""
    width, height = (emu(side) for side in pages[0].size_mm)
    slides = "".join(
        f'<p:sldId id="{_FIRST_SLIDE_ID + i}" r:id="{id_}"/>' for i, id_ in enumerate(listed.slides)
    )
    return (
        f'<p:presentation {XMLNS} saveSubsetFonts="1" autoCompressPictures="0">'
        f'<p:sldMasterIdLst><p:sldMasterId id="{MASTER_ID}" r:id="{listed.master}"/>'
        "</p:sldMasterIdLst>"
        f'<p:notesMasterIdLst><p:notesMasterId r:id="{listed.notes_master}"/></p:notesMasterIdLst>'
        f'<p:sldIdLst>{slides}</p:sldIdLst><p:sldSz cx="{width}" cy="{height}"/>'
        f'<p:notesSz cx="{NOTES_PAGE[0]}" cy="{NOTES_PAGE[1]}"/>'
        f"<p:defaultTextStyle><a:defPPr><a:defRPr lang={xml_value(facts.language)}/></a:defPPr>"
        f'<a:lvl1pPr marL="0" algn="l"><a:defRPr sz="1800" kern="1200"><a:solidFill>'
        f'<a:schemeClr val="tx1"/></a:solidFill>{FONTS}</a:defRPr></a:lvl1pPr>'
        f"</p:defaultTextStyle>{_section_list(pages, facts)}</p:presentation>"
    )


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


def _section_list(pages: Sequence[Page], facts: DeckFacts) -> str:
    starts = section_starts(pages, facts.title or pages[0].title)
    if not starts:
        return ""
    ends = [*list(starts)[1:], len(pages)]
    sections = ""
    for (start, name), end in zip(starts.items(), ends, strict=True):
        id_ = uuid.uuid5(uuid.NAMESPACE_OID, f"slidekit/section/{pages[start].id}")
        slides = "".join(f'<p14:sldId id="{_FIRST_SLIDE_ID + i}"/>' for i in range(start, end))
        sections += (
            f'<p14:section name={xml_value(name)} id="{{{str(id_).upper()}}}">'
            f"<p14:sldIdLst>{slides}</p14:sldIdLst></p14:section>"
        )
    return (
        f'<p:extLst><p:ext uri="{SECTIONS_URI}"><p14:sectionLst xmlns:p14="{SECTIONS_NS}">'
        f"{sections}</p14:sectionLst></p:ext></p:extLst>"
    )


def side_parts() -> dict[str, str]:
    """Parts a presentation must have beside it even when they say little, by their last name."""
    return {
        "presProps": f"<p:presentationPr {XMLNS}/>",
        # the notes pane open, a quarter of the window: the words spoken are half of a lecture
        "viewProps": (
            f'<p:viewPr {XMLNS}><p:normalViewPr><p:restoredLeft sz="15000"/>'
            '<p:restoredTop sz="75000"/></p:normalViewPr></p:viewPr>'
        ),
        # no table style of our own; `def` is the one editors give a new table
        "tableStyles": (
            f'<a:tblStyleLst xmlns:a="{DRAWING}" def="{{5C22544A-7EE6-4342-B048-85BDC9FD1C3A}}"/>'
        ),
    }


def core_properties(facts: DeckFacts) -> bytes:
    """ECMA-376 Part 2, section 11. No dates: the same talk must give the same bytes tomorrow."""
    fields = {
        "dc:title": facts.title,
        "dc:creator": facts.author,
        "dc:subject": facts.subject,
        "cp:keywords": ", ".join(facts.keywords),
        "dc:language": facts.language,
        "cp:lastModifiedBy": facts.author,
    }
    xml = "".join(f"<{tag}>{xml_text(text)}</{tag}>" for tag, text in fields.items() if text)
    namespace = "http://schemas.openxmlformats.org/package/2006/metadata/core-properties"
    return (
        f'{DECLARATION}<cp:coreProperties xmlns:cp="{namespace}" '
        f'xmlns:dc="http://purl.org/dc/elements/1.1/">{xml}</cp:coreProperties>'
    ).encode()


def extended_properties(slides: int, notes: int) -> bytes:
    """ECMA-376 Part 1, 15.2.12.3."""
    namespace = "http://schemas.openxmlformats.org/officeDocument/2006/extended-properties"
    return (
        f'{DECLARATION}<Properties xmlns="{namespace}"><Application>{PRODUCER}</Application>'
        f"<Slides>{slides}</Slides><Notes>{notes}</Notes></Properties>"
    ).encode()
