"""One page to one slide: placeholders filled, shapes in reading order, groups timed."""

from collections.abc import Callable, Mapping

from pptx.opc.constants import CONTENT_TYPE as CT
from pptx.opc.constants import RELATIONSHIP_TYPE as RT
from pptx.opc.package import Part
from pptx.opc.packuri import PackURI
from pptx.presentation import Presentation
from pptx.slide import SlideLayout

from slidekit.errors import WriteError
from slidekit.scene.model import Group, Item, Page, Picture, Role, Text
from slidekit.writers.decks.base import (
    LAYOUTS,
    MASTER_MAP,
    PICTURE_PLACEHOLDER,
    PLACEHOLDERS,
    Base,
    shape_tree,
)
from slidekit.writers.decks.media import Media
from slidekit.writers.decks.notes import notes_page
from slidekit.writers.decks.shapes import (
    Sheet,
    Written,
    shown_words,
    written_group,
    written_picture,
    written_shape,
    written_text,
)
from slidekit.writers.decks.text import Setting
from slidekit.writers.decks.timing import timing
from slidekit.writers.decks.xml import XMLNS, solid_fill, xml_file, xml_value


def add_slides(deck: Presentation, base: Base, media: Media) -> None:
    """Add a slide with its notes for each of `base.pages`.

    They are parts of finished text: python-pptx would make a tree of each and copy placeholders
    into it, all to be replaced, which takes 0.1 s for 40 slides.

    Raises
    ------
    WriteError
        If a page links to one that is not there.
    """
    layouts = dict(zip(LAYOUTS, deck.slide_layouts, strict=True))
    slides = {
        page.id: _new_slide(deck, layouts[page.layout], number)
        for number, page in enumerate(base.pages, 1)
    }
    colors = base.style.colors
    notes_master = deck.notes_master.part
    noted = 0
    for number, page in enumerate(base.pages, 1):
        slide = slides[page.id]
        link = _linker(page, slides)
        image = _embedder(slide, media)
        sheet = Sheet(Setting(number, page.language, colors.accent, link), image)
        slide.blob = xml_file(f"<p:sld {XMLNS}>{_content(page, sheet, colors.ground)}</p:sld>")
        if page.notes:
            noted += 1
            name = PackURI(f"/ppt/notesSlides/notesSlide{noted}.xml")
            words = notes_page(page, number)
            notes = Part(name, CT.PML_NOTES_SLIDE, deck.part.package, words)
            notes.relate_to(notes_master, RT.NOTES_MASTER)
            notes.relate_to(slide, RT.SLIDE)
            slide.relate_to(notes, RT.NOTES_SLIDE)


def _new_slide(deck: Presentation, layout: SlideLayout, number: int) -> Part:
    """An empty part, listed as the `number`th slide."""
    name = PackURI(f"/ppt/slides/slide{number}.xml")
    slide = Part(name, CT.PML_SLIDE, deck.part.package)
    slide.relate_to(layout.part, RT.SLIDE_LAYOUT)
    deck.slides.element.add_sldId(deck.part.relate_to(slide, RT.SLIDE))
    return slide


def _linker(page: Page, slides: Mapping[str, Part]) -> Callable[[str], str]:
    """Page id to the id of the link that leads there from the slide of `page`."""

    def link(page_id: str) -> str:
        if page_id not in slides:
            raise WriteError(
                f"The slide {page.id!r} links to {page_id!r}, which is not in this deck",
                "Link to the id of one of its slides",
            )
        return slides[page.id].relate_to(slides[page_id], RT.SLIDE)

    return link


def _embedder(slide: Part, media: Media) -> Callable[[Picture], str]:
    """Picture to the id of the link from `slide` to its file."""
    return lambda picture: slide.relate_to(media.part(picture), RT.IMAGE)


def _content(page: Page, sheet: Sheet, ground: str) -> str:
    """What the slide shows, and when; `ground` is the master's, written only if it differs."""
    placeholders = dict(PLACEHOLDERS[page.layout])
    picture_ph = [PICTURE_PLACEHOLDER] if page.layout == "pictures" else []
    shapes: list[str] = []
    clicks: dict[int, list[int]] = {}
    for item in page.items:
        if isinstance(item, Text) and not item.fill and not shown_words(item):
            continue  # an empty placeholder would ask the audience to click and add text
        written = _written(item, sheet, placeholders, picture_ph)
        shapes.append(written.xml)
        if isinstance(item, Group) and item.step:
            clicks.setdefault(item.step, []).append(written.id)
    background = ""
    if page.ground.upper() != ground.upper():
        background = f"<p:bg><p:bgPr>{solid_fill(page.ground)}<a:effectLst/></p:bgPr></p:bg>"
    return (
        f"<p:cSld name={xml_value(page.id)}>{background}{shape_tree(''.join(shapes))}</p:cSld>"
        f"{MASTER_MAP}{timing([ids for _, ids in sorted(clicks.items())])}"
    )


def _written(
    item: Item, sheet: Sheet, placeholders: dict[Role, str], picture_ph: list[str]
) -> Written:
    """Takes from `placeholders` and `picture_ph` what the item fills; later ones are plain."""
    match item:
        case Text():
            fills = bool(shown_words(item))
            return written_text(item, sheet, placeholders.pop(item.role, "") if fills else "")
        case Picture():
            return written_picture(item, sheet, picture_ph.pop() if picture_ph else "")
        case Group():
            return written_group(item, sheet)
        case _:
            return written_shape(item, sheet)
