"""All parts of a deck and how they refer to each other."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from slidekit.errors import WriteError
from slidekit.scene.model import Layout, Page
from slidekit.writers.deck_base import LAYOUTS, Base, slide_layout, slide_master
from slidekit.writers.deck_media import Media
from slidekit.writers.deck_notes import Notes, notes_master, notes_slide
from slidekit.writers.deck_package import CORE_PROPERTIES, Part, Relationships, presentation_part
from slidekit.writers.deck_presentation import (
    DeckFacts,
    Listed,
    core_properties,
    extended_properties,
    presentation,
    side_parts,
)
from slidekit.writers.deck_shapes import Sheet
from slidekit.writers.deck_slide import slide
from slidekit.writers.deck_text import Setting
from slidekit.writers.deck_theme import paper_theme, theme
from slidekit.writers.deck_xml import DECLARATION

_PRESENTATION = "/ppt/presentation.xml"
_MASTER = "/ppt/slideMasters/slideMaster1.xml"
_NOTES_MASTER = "/ppt/notesMasters/notesMaster1.xml"
_THEME, _NOTES_THEME = "/ppt/theme/theme1.xml", "/ppt/theme/theme2.xml"
_CORE, _EXTENDED = "/docProps/core.xml", "/docProps/app.xml"
_LAYOUTS: dict[Layout, str] = {
    layout: f"/ppt/slideLayouts/slideLayout{i}.xml" for i, layout in enumerate(LAYOUTS, 1)
}
_CONTENT = "application/vnd.openxmlformats-"


@dataclass(frozen=True)
class Plan:
    """The pages, what they share, and what the deck says about itself."""

    pages: Sequence[Page]
    base: Base
    media: Media
    facts: DeckFacts

    @property
    def slide_names(self) -> dict[str, str]:
        """Page id to part name."""
        return {page.id: f"/ppt/slides/slide{i}.xml" for i, page in enumerate(self.pages, 1)}


def deck_parts(plan: Plan) -> list[Part]:
    """Every part, in a fixed order.

    Raises
    ------
    WriteError
        If a page links to one that is not there.
    """
    return [
        _presentation_part(plan),
        *_base_parts(plan.base),
        *_slide_parts(plan),
        *plan.media.parts,
        *_property_parts(plan),
    ]


def package_roots() -> Relationships:
    """The links of the package itself."""
    roots = Relationships()
    roots.to("officeDocument", _PRESENTATION)
    roots.to(CORE_PROPERTIES, _CORE)
    roots.to("extended-properties", _EXTENDED)
    return roots


def _presentation_part(plan: Plan) -> Part:
    links = Relationships()
    listed = Listed(
        links.to("slideMaster", _MASTER),
        links.to("notesMaster", _NOTES_MASTER),
        tuple(links.to("slide", name) for name in plan.slide_names.values()),
    )
    links.to("theme", _THEME)
    for kind in side_parts():
        links.to(kind, f"/ppt/{kind}.xml")
    xml = presentation(plan.pages, plan.facts, listed)
    return presentation_part(_PRESENTATION, "presentation.main", xml, links)


def _base_parts(base: Base) -> Iterator[Part]:
    for kind, xml in side_parts().items():
        yield presentation_part(f"/ppt/{kind}.xml", kind, xml)
    links = Relationships()
    layout_ids = [links.to("slideLayout", name) for name in _LAYOUTS.values()]
    links.to("theme", _THEME)
    yield presentation_part(_MASTER, "slideMaster", slide_master(base, layout_ids), links)
    for layout, name in _LAYOUTS.items():
        back = Relationships()
        back.to("slideMaster", _MASTER)
        yield presentation_part(name, "slideLayout", slide_layout(layout, base), back)
    links = Relationships()
    links.to("theme", _NOTES_THEME)
    xml = notes_master(base.pages[0].size_mm)
    yield presentation_part(_NOTES_MASTER, "notesMaster", xml, links)
    for name, xml in ((_THEME, theme(base.style)), (_NOTES_THEME, paper_theme(base.style))):
        yield Part(name, (DECLARATION + xml).encode(), f"{_CONTENT}officedocument.theme+xml")


def _slide_parts(plan: Plan) -> Iterator[Part]:
    names = plan.slide_names
    for number, page in enumerate(plan.pages, 1):
        links = Relationships()
        links.to("slideLayout", _LAYOUTS[page.layout])
        notes_name = f"/ppt/notesSlides/notesSlide{number}.xml"
        if page.notes:
            links.to("notesSlide", notes_name)
        sheet = _sheet(plan, names, number, links)
        xml = slide(page, sheet, plan.base.style.colors.ground)
        yield presentation_part(names[page.id], "slide", xml, links)
        if page.notes:
            back = Relationships()
            back.to("notesMaster", _NOTES_MASTER)
            back.to("slide", names[page.id])
            xml = notes_slide(Notes(page.notes, number, page.language))
            yield presentation_part(notes_name, "notesSlide", xml, back)


def _sheet(plan: Plan, names: dict[str, str], number: int, links: Relationships) -> Sheet:
    page = plan.pages[number - 1]

    def link(page_id: str) -> str:
        if page_id not in names:
            raise WriteError(
                f"The slide {page.id!r} links to {page_id!r}, which is not in this deck",
                "Link to the id of one of its slides",
            )
        return links.to("slide", names[page_id])

    setting = Setting(number, page.language, plan.base.style.colors.accent, link)
    return Sheet(setting, lambda picture: links.to("image", plan.media.part_name(picture)))


def _property_parts(plan: Plan) -> Iterator[Part]:
    noted = sum(1 for page in plan.pages if page.notes)
    yield Part(
        _CORE,
        core_properties(plan.facts),
        f"{_CONTENT}package.core-properties+xml",
    )
    yield Part(
        _EXTENDED,
        extended_properties(len(plan.pages), noted),
        f"{_CONTENT}officedocument.extended-properties+xml",
    )
