"""Pages of languages that are written from right to left: what is read begins at the right.

Slides of words are mirrored as a whole. Where there is a picture, a plot or a chart, only title,
footer and page number are: anatomy has its own left and right, and labels stay beside what they
name.
"""

from dataclasses import replace

from slidekit.scene.lettering.bidi import reads_right_to_left
from slidekit.scene.model import Box, Ellipse, Group, Item, Page, Picture, Polyline, Rect, Text
from slidekit.scene.typeset import Align

_OTHER_SIDE: dict[Align, Align] = {"left": "right", "right": "left", "center": "center"}
_FURNITURE = {"title", "footer", "page_number"}


def mirrored_for_language(page: Page, *, words_only: bool) -> Page:
    """The page as its language is read; `words_only`: nothing on it must keep its side."""
    if not reads_right_to_left(page.language):
        return page
    whole = words_only and not any(isinstance(item, Picture) for item in page.items)
    width_mm = page.size_mm[0]
    items = (
        _mirrored(item, width_mm)
        if whole or (isinstance(item, Text) and item.role in _FURNITURE)
        else item
        for item in page.items
    )
    return replace(page, items=tuple(items))


def _mirrored(item: Item, width_mm: float) -> Item:
    match item:
        case Group():
            members = (_mirrored(member, width_mm) for member in item.items)
            kept = (one for one in members if not isinstance(one, Group | Picture))
            return replace(item, items=tuple(kept))
        case Text():
            return replace(item, box=_across(item.box, width_mm), align=_OTHER_SIDE[item.align])
        case Rect():
            return replace(item, box=_across(item.box, width_mm))
        case Polyline():
            return replace(item, points_mm=tuple((width_mm - x, y) for x, y in item.points_mm))
        case Ellipse(center_mm=(x, y)):
            angle = -item.rotation_deg
            return replace(item, center_mm=(width_mm - x, y), rotation_deg=angle)
        case Picture():
            return item


def _across(box: Box, width_mm: float) -> Box:
    return box._replace(left_mm=width_mm - box.right_mm)
