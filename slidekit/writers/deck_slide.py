"""One page to one slide: placeholders filled, shapes in reading order, groups timed."""

from slidekit.scene.model import Group, Item, Page, Picture, Role, Text
from slidekit.writers.deck_base import PICTURE_PLACEHOLDER, PLACEHOLDERS, shape_tree
from slidekit.writers.deck_shapes import (
    Sheet,
    Written,
    shown_words,
    written_group,
    written_picture,
    written_shape,
    written_text,
)
from slidekit.writers.deck_timing import timing
from slidekit.writers.deck_xml import XMLNS, solid_fill, xml_value


def slide(page: Page, sheet: Sheet, ground: str) -> str:
    """The p:sld of `page`; `ground` is the master's, written again only where the page differs."""
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
        f"<p:sld {XMLNS}><p:cSld name={xml_value(page.id)}>{background}"
        f"{shape_tree(''.join(shapes))}</p:cSld>"
        "<p:clrMapOvr><a:masterClrMapping/></p:clrMapOvr>"
        f"{timing([ids for _, ids in sorted(clicks.items())])}</p:sld>"
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
