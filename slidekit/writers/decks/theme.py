"""The colours and fonts a presenter is offered in the editor: those of the style.

A theme needs three fills, three lines and three effects (ECMA-376 Part 1, 20.1.4.1.14). Ours are
plain, so that a shape drawn by hand gets no shadow and no gradient.
"""

from slidekit.scene.color import relative_luminance
from slidekit.scene.style import Colors, Style
from slidekit.writers.decks.text import theme_typefaces
from slidekit.writers.decks.xml import DRAWING, EMU_PER_PT, rgb, solid_fill, xml_value

_ACCENTS = 6
_PAPER = ("#FFFFFF", "#000000")

COLOR_MAP_REST = (
    'accent1="accent1" accent2="accent2" accent3="accent3" accent4="accent4" accent5="accent5" '
    'accent6="accent6" hlink="hlink" folHlink="folHlink"'
)


def is_dark(colors: Colors) -> bool:
    """Whether the style puts light text on a darker ground."""
    return relative_luminance(colors.ground) < relative_luminance(colors.ink)


def color_map(colors: Colors) -> str:
    """Which theme colours are ground and text: the slots are called dark and light, not these."""
    ground, text = ("dk", "lt") if is_dark(colors) else ("lt", "dk")
    return (
        f'<p:clrMap bg1="{ground}1" tx1="{text}1" bg2="{ground}2" tx2="{text}2" {COLOR_MAP_REST}/>'
    )


def theme(style: Style) -> str:
    """The theme of the slides."""
    colors = style.colors
    grounds, texts = (colors.ground, colors.plate), (colors.ink, colors.quiet)
    darks, lights = (grounds, texts) if is_dark(colors) else (texts, grounds)
    marks = [mark.color for mark in style.marks.values()]
    accents = [colors.accent, *marks, *([colors.accent] * _ACCENTS)][:_ACCENTS]
    slots = (darks[0], lights[0], darks[1], lights[1], *accents, colors.accent, colors.quiet)
    return _theme(style.name, slots, style)


def paper_theme(style: Style) -> str:
    """The theme of printed notes: black on white whatever the slides look like."""
    white, black = _PAPER
    slots = (black, white, black, white, *([black] * _ACCENTS), black, black)
    return _theme(f"{style.name} notes", slots, style)


def _theme(name: str, slots: tuple[str, ...], style: Style) -> str:
    tags = ("dk1", "lt1", "dk2", "lt2", *(f"accent{i + 1}" for i in range(_ACCENTS)))
    scheme = "".join(
        f'<a:{tag}><a:srgbClr val="{rgb(color)}"/></a:{tag}>'
        for tag, color in zip((*tags, "hlink", "folHlink"), slots, strict=True)
    )
    own = '<a:solidFill><a:schemeClr val="phClr"/></a:solidFill>'
    lines = "".join(f'<a:ln w="{width * EMU_PER_PT}">{own}</a:ln>' for width in (1, 2, 3))
    title = xml_value(name)
    return (
        f'<a:theme xmlns:a="{DRAWING}" name={title}><a:themeElements>'
        f"<a:clrScheme name={title}>{scheme}</a:clrScheme>"
        f"<a:fontScheme name={title}><a:majorFont>{theme_typefaces()}</a:majorFont>"
        f"<a:minorFont>{theme_typefaces()}</a:minorFont></a:fontScheme>"
        f"<a:fmtScheme name={title}><a:fillStyleLst>{own * 3}</a:fillStyleLst>"
        f"<a:lnStyleLst>{lines}</a:lnStyleLst><a:effectStyleLst>"
        f"{'<a:effectStyle><a:effectLst/></a:effectStyle>' * 3}</a:effectStyleLst>"
        f"<a:bgFillStyleLst>{own * 3}</a:bgFillStyleLst></a:fmtScheme></a:themeElements>"
        f"{_hand_drawn(style)}</a:theme>"
    )


def _hand_drawn(style: Style) -> str:
    """Shapes and lines a presenter adds by hand look like the marks: open, 3 pt, accent colour."""
    line = (
        f'<a:ln w="{round(style.mark_line_pt * EMU_PER_PT)}"><a:solidFill>'
        '<a:schemeClr val="accent1"/></a:solidFill></a:ln>'
    )
    rest = "<a:bodyPr/><a:lstStyle/>"
    return (
        f"<a:objectDefaults><a:spDef><a:spPr>{solid_fill(None)}{line}</a:spPr>{rest}</a:spDef>"
        f"<a:lnDef><a:spPr>{line}</a:spPr>{rest}</a:lnDef></a:objectDefaults>"
    )
