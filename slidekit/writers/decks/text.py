"""Paragraphs of the scene to DrawingML text.

Everything a reader of the file could choose for itself is written out: font, size, language,
insets, anchor, wrapping. The text was measured before; nothing may shift or shrink it.
"""

import uuid
from collections.abc import Callable
from dataclasses import dataclass, replace

from slidekit.scene.fonts import (
    Stretch,
    face_of,
    family_for,
    line_pitch_em,
    named_families,
    stretches,
)
from slidekit.scene.lettering.bidi import direction_of, reads_right_to_left
from slidekit.scene.lettering.breaks import unbroken
from slidekit.scene.lettering.files import Family
from slidekit.scene.model import Paragraph, Run, Text
from slidekit.scene.text import BULLET, bullet_indent_mm
from slidekit.scene.typeset import align_of
from slidekit.writers.decks.xml import (
    clean,
    emu,
    rgb,
    solid_fill,
    xml_text,
    xml_value,
)

_ALIGN = {"left": "l", "center": "ctr", "right": "r"}
_ANCHOR = {"top": "t", "middle": "ctr", "bottom": "b"}
_FIELD_ID = f"{{{uuid.uuid5(uuid.NAMESPACE_OID, 'slidekit/slide number')}}}".upper()

# Without this extension a link takes the theme's link colour, whatever colour its run has.
_KEEP_RUN_COLOR = (
    '<a:extLst><a:ext uri="{A12FA001-AC4F-418D-AE19-62706E023703}"><ahyp:hlinkClr '
    'xmlns:ahyp="http://schemas.microsoft.com/office/drawing/2018/hyperlinkcolor" val="tx"/>'
    "</a:ext></a:extLst>"
)

_SCRIPTS = {"latin": "Aa", "ea": "あ中가", "cs": "אا"}
"""Kinds of script (ECMA-376 Part 1, 21.1.2.3.7, .3 and .1), and letters of each."""


def typefaces(family: Family) -> str:
    """One typeface for all three kinds of script: some readers look at only one of them."""
    name = xml_value(family.name)
    return "".join(f"<a:{script} typeface={name}/>" for script in _SCRIPTS)


def theme_typefaces() -> str:
    """The typeface of each kind of script, for what a presenter writes: the first that has it."""
    return "".join(
        f"<a:{script} typeface={xml_value(family_for(letters).name)}/>"
        for script, letters in _SCRIPTS.items()
    )


@dataclass(frozen=True)
class Setting:
    """What all texts of one slide share."""

    number: int  # of the slide, from 1
    language: str
    bullet_color: str
    link: Callable[[str], str]  # page id -> relationship id


def text_body(text: Text, setting: Setting) -> str:
    """The p:txBody of `text`."""
    paragraphs = text.paragraphs or (Paragraph(()),)  # a:p is required
    return (
        f"<p:txBody>{body_properties(text)}<a:lstStyle/>"
        + "".join(_paragraph(paragraph, text, setting) for paragraph in paragraphs)
        + "</p:txBody>"
    )


def body_properties(text: Text) -> str:
    """The a:bodyPr: insets and anchor of `text`, and no resizing by the editor."""
    across, down = (emu(inset) for inset in text.inset_mm)
    return (
        f'<a:bodyPr vert="horz" wrap="square" lIns="{across}" tIns="{down}" rIns="{across}" '
        f'bIns="{down}" rtlCol="0" anchor="{_ANCHOR[text.anchor]}"><a:noAutofit/></a:bodyPr>'
    )


def paragraph_properties(tag: str, text: Text, paragraph: Paragraph, setting: Setting) -> str:
    """The opening tag and the children that a:pPr and a:lvl1pPr share; the caller closes it."""
    indent = emu(bullet_indent_mm(text.size_pt)) if paragraph.bullet else 0
    bullet = (
        f'<a:buClr><a:srgbClr val="{rgb(setting.bullet_color)}"/></a:buClr>'
        f"<a:buFont typeface={xml_value(family_for(BULLET).name)}/>"
        f'<a:buChar char="{BULLET}"/>'
        if paragraph.bullet
        else "<a:buNone/>"
    )
    before = round(paragraph.space_before_pt * 100)
    direction = direction_of(paragraph.plain, setting.language)
    if tag != "a:pPr" and reads_right_to_left(setting.language):
        direction = "rtl"  # of what a presenter will write
    leftward = ' rtl="1"' if direction == "rtl" else ""
    align = _ALIGN[align_of(text, direction)]
    return (
        f'<{tag} marL="{indent}" indent="{-indent}" algn="{align}"{leftward}>'
        f"<a:lnSpc>{_pitch(text.size_pt)}</a:lnSpc>"
        f'<a:spcBef><a:spcPts val="{before}"/></a:spcBef>'
        f'<a:spcAft><a:spcPts val="0"/></a:spcAft>{bullet}'
    )


def _pitch(size_pt: float) -> str:
    """The font's own; with named families the one that was measured with, whatever font a reader
    then finds."""
    if not named_families():
        return '<a:spcPct val="100000"/>'
    return f'<a:spcPts val="{hundredths(line_pitch_em() * size_pt)}"/>'


def hundredths(size_pt: float) -> int:
    """ST_TextFontSize."""
    return round(size_pt * 100)


def _paragraph(paragraph: Paragraph, text: Text, setting: Setting) -> str:
    end = _run_properties("a:endParaRPr", Run(""), text, setting, theme_typefaces())
    return (
        f"<a:p>{paragraph_properties('a:pPr', text, paragraph, setting)}</a:pPr>"
        + "".join(_run(run, text, setting) for run in paragraph.runs)
        + f"{end}</a:p>"
    )


def _run(run: Run, text: Text, setting: Setting) -> str:
    # Clicks spread over slides leave the number of the script, which then must not be counted anew.
    if text.role == "page_number" and run.text.strip() == str(setting.number):
        properties = _run_properties("a:rPr", run, text, setting, theme_typefaces())
        number = f"{properties}<a:t>{setting.number}</a:t>"
        return f'<a:fld id="{_FIELD_ID}" type="slidenum">{number}</a:fld>'
    lines = clean(unbroken(run.text)).split("\n")
    breaks = f"<a:br>{_run_properties('a:rPr', run, text, setting, theme_typefaces())}</a:br>"
    return breaks.join(
        "".join(_stretch(one, run, text, setting) for one in stretches(line)) if line else ""
        for line in lines
    )


def _stretch(stretch: Stretch, run: Run, text: Text, setting: Setting) -> str:
    """Letters that one family has, in the face that it has."""
    face = stretch.family.nearest(face_of(bold=run.bold, italic=run.italic))
    look = replace(run, bold=face in {"Bold", "BoldItalic"}, italic="Italic" in face)
    properties = _run_properties("a:rPr", look, text, setting, typefaces(stretch.family))
    return f"<a:r>{properties}<a:t>{xml_text(stretch.text)}</a:t></a:r>"


def _run_properties(tag: str, run: Run, text: Text, setting: Setting, faces: str) -> str:
    link = ""
    if run.link is not None:
        link = (
            f'<a:hlinkClick r:id="{setting.link(run.link)}" action="ppaction://hlinksldjump">'
            f"{_KEEP_RUN_COLOR}</a:hlinkClick>"
        )
    return (
        f'<{tag} lang={xml_value(setting.language)} sz="{hundredths(text.size_pt)}" '
        f'b="{run.bold:d}" i="{run.italic:d}" dirty="0">'
        f"{solid_fill(run.color or text.color)}{faces}{link}</{tag}>"
    )
