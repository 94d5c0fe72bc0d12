"""Slide master, layouts and notes master, made for the pages at hand.

A placeholder of a layout stands where the pages of that layout put theirs, so a slide added by
hand in an editor looks like the slides around it. A layout no page uses gets default places.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from slidekit.scene.model import Box, Layout, Page, Paragraph, Picture, Role, Run, Text
from slidekit.scene.style import Style
from slidekit.writers.decks.text import (
    Setting,
    hundredths,
    paragraph_properties,
    text_body,
    theme_typefaces,
)
from slidekit.writers.decks.theme import color_map
from slidekit.writers.decks.xml import emu_box, frame, rgb, xml_value

LAYOUTS: dict[Layout, tuple[str, dict[str, str]]] = {
    "title": ("Title", {"type": "title"}),
    "text": ("Title and text", {"type": "tx"}),
    "pictures": ("Title and picture", {"userDrawn": "1"}),
    "title_only": ("Title only", {"type": "titleOnly"}),
}
"""Name shown in the editor, and ST_SlideLayoutType; there is none for title and picture."""

MASTER_MAP = "<p:clrMapOvr><a:masterClrMapping/></p:clrMapOvr>"
"""The colours of a slide are those of its master."""

BODY_LEVELS = 5

_TITLE, _BODY = '<p:ph type="title"/>', '<p:ph type="body" idx="1"/>'
PICTURE_PLACEHOLDER = '<p:ph type="pic" idx="13"/>'
_COMMON: dict[Role, str] = {
    "footer": '<p:ph type="ftr" sz="quarter" idx="11"/>',
    "page_number": '<p:ph type="sldNum" sz="quarter" idx="12"/>',
}
PLACEHOLDERS: dict[Layout, dict[Role, str]] = {
    "title": {
        "title": '<p:ph type="ctrTitle"/>',
        "body": '<p:ph type="subTitle" idx="1"/>',
        **_COMMON,
    },
    "text": {"title": _TITLE, "body": _BODY, **_COMMON},
    "pictures": {"title": _TITLE, **_COMMON},
    "title_only": {"title": _TITLE, **_COMMON},
}
"""The p:ph a text of that role fills, on slides and layouts alike."""

_MASTER_PLACEHOLDERS: dict[Role, str] = {
    "title": _TITLE,
    "body": _BODY,
    "footer": '<p:ph type="ftr" sz="quarter" idx="3"/>',
    "page_number": '<p:ph type="sldNum" sz="quarter" idx="4"/>',
}
_PROMPTS: dict[Role, str] = {"title": "Title", "body": "Text", "page_number": "1"}


@dataclass(frozen=True)
class Base:
    """What master and layouts are made of."""

    pages: Sequence[Page]
    style: Style

    @property
    def setting(self) -> Setting:
        return Setting(1, self.pages[0].language, self.style.colors.accent, lambda _page: "")

    def specimen(self, role: Role, layout: Layout) -> Text:
        """The text that shows how `role` looks on `layout`, with the words of a prompt.

        The largest such text of the pages of that layout at the largest size they use; else the
        largest of all pages, else a default, at the style's first size.
        """
        own = list(_texts((page for page in self.pages if page.layout == layout), role))
        # a subtitle says nothing about a list of points
        others = [] if role == "body" else list(_texts(self.pages, role))
        text = max(own or others, key=_area, default=None) or self._default(role)
        size_pt = max((one.size_pt for one in own), default=self.style.sizes[role].pt)
        words = text.plain if role == "footer" else _PROMPTS[role]
        first = text.paragraphs[0] if text.paragraphs else Paragraph(())
        bold = bool(first.runs) and all(run.bold for run in first.runs)
        return replace(
            text,
            paragraphs=(Paragraph((Run(words, bold),), first.bullet, first.space_before_pt),),
            size_pt=size_pt,
            name=role.replace("_", " ").capitalize(),
        )

    def picture_box(self) -> Box:
        pictures = (
            item.box
            for page in self.pages
            if page.layout == "pictures"
            for item in page.items
            if isinstance(item, Picture)
        )
        return max(pictures, key=lambda box: box.width_mm * box.height_mm, default=self._middle())

    def _middle(self) -> Box:
        width, height = self.pages[0].size_mm
        return Box(0, 0, width, height).inset(0.05 * width, 0.2 * height)

    def _default(self, role: Role) -> Text:
        width, height = self.pages[0].size_mm
        left, across = 0.05 * width, 0.9 * width
        boxes = {
            "title": Box(left, 0.05 * height, across, 0.13 * height),
            "body": self._middle(),
            "footer": Box(left, 0.93 * height, 0.8 * across, 0.04 * height),
            "page_number": Box(left + 0.8 * across, 0.93 * height, 0.2 * across, 0.04 * height),
        }
        colors = self.style.colors
        return Text(
            boxes[role],
            (Paragraph((), bullet=role == "body"),),
            self.style.sizes[role].pt,
            colors.ink if role in {"title", "body"} else colors.quiet,
            role,
            align="right" if role == "page_number" else "left",
            anchor="top" if role in {"title", "body"} else "middle",
        )


def master_content(base: Base) -> str:
    """Background, placeholders, colour map and text styles of the slide master."""
    specimens = [base.specimen(role, "text") for role in _MASTER_PLACEHOLDERS]
    shapes = "".join(
        _placeholder(i, text, _MASTER_PLACEHOLDERS[text.role], base)
        for i, text in enumerate(specimens, 2)
    )
    return (
        '<p:cSld><p:bg><p:bgPr><a:solidFill><a:schemeClr val="bg1"/></a:solidFill><a:effectLst/>'
        f"</p:bgPr></p:bg>{shape_tree(shapes)}</p:cSld>{color_map(base.style.colors)}"
        f"{_text_styles(specimens, base)}"
    )


def layout_content(layout: Layout, base: Base) -> str:
    """The p:cSld with name and placeholders of `layout`."""
    name, _ = LAYOUTS[layout]
    placeholders = PLACEHOLDERS[layout]
    shapes = [
        _placeholder(i, base.specimen(role, layout), ph, base)
        for i, (role, ph) in enumerate(placeholders.items(), 2)
    ]
    if layout == "pictures":
        shapes.insert(1, _picture_placeholder(len(shapes) + 2, base))
    return f"<p:cSld name={xml_value(name)}>{shape_tree(''.join(shapes))}</p:cSld>"


def shape_tree(shapes: str) -> str:
    """The p:spTree around `shapes`; it takes the id 1 for itself."""
    return (
        '<p:spTree><p:nvGrpSpPr><p:cNvPr id="1" name=""/><p:cNvGrpSpPr/><p:nvPr/></p:nvGrpSpPr>'
        '<p:grpSpPr><a:xfrm><a:off x="0" y="0"/><a:ext cx="0" cy="0"/><a:chOff x="0" y="0"/>'
        f'<a:chExt cx="0" cy="0"/></a:xfrm></p:grpSpPr>{shapes}</p:spTree>'
    )


def level(tag: str, text: Text, setting: Setting) -> str:
    """One level of a list style, looking like the first paragraph of `text`."""
    first = text.paragraphs[0]
    run = first.runs[0] if first.runs else Run("")
    return (
        f"{paragraph_properties(tag, text, first, setting)}"
        f'<a:defRPr sz="{hundredths(text.size_pt)}" b="{run.bold:d}" i="{run.italic:d}" '
        f'kern="1200"><a:solidFill><a:srgbClr val="{rgb(text.color)}"/></a:solidFill>'
        f"{theme_typefaces()}</a:defRPr></{tag}>"
    )


def _placeholder(id_: int, text: Text, ph: str, base: Base) -> str:
    setting = base.setting
    body = text_body(text, setting).replace(
        "<a:lstStyle/>", f"<a:lstStyle>{level('a:lvl1pPr', text, setting)}</a:lstStyle>"
    )
    return (
        f'<p:sp><p:nvSpPr><p:cNvPr id="{id_}" name={xml_value(text.name)}/><p:cNvSpPr>'
        f'<a:spLocks noGrp="1"/></p:cNvSpPr><p:nvPr>{ph}</p:nvPr></p:nvSpPr><p:spPr>'
        f'{frame(emu_box(text.box))}<a:prstGeom prst="rect"><a:avLst/></a:prstGeom></p:spPr>'
        f"{body}</p:sp>"
    )


def _picture_placeholder(id_: int, base: Base) -> str:
    text = replace(base.specimen("title", "pictures"), box=base.picture_box(), size_pt=18)
    text = replace(text, paragraphs=(Paragraph((Run("Picture"),)),), name="Picture")
    return _placeholder(id_, text, PICTURE_PLACEHOLDER, base)


def _text_styles(specimens: Sequence[Text], base: Base) -> str:
    title, body, *_ = specimens
    setting = base.setting
    smaller = replace(body, size_pt=base.style.sizes["body"].least_pt)
    levels = level("a:lvl1pPr", body, setting) + "".join(
        level(f"a:lvl{i}pPr", smaller, setting) for i in range(2, BODY_LEVELS + 1)
    )
    other = replace(smaller, paragraphs=(Paragraph((Run(""),)),))
    return (
        f"<p:txStyles><p:titleStyle>{level('a:lvl1pPr', title, setting)}</p:titleStyle>"
        f"<p:bodyStyle>{levels}</p:bodyStyle>"
        f"<p:otherStyle>{level('a:lvl1pPr', other, setting)}</p:otherStyle></p:txStyles>"
    )


def _texts(pages: Iterable[Page], role: Role) -> Iterator[Text]:
    for page in pages:
        for item in page.items:
            if isinstance(item, Text) and item.role == role:
                yield item


def _area(text: Text) -> float:
    return text.box.width_mm * text.box.height_mm
