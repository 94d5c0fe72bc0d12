"""Letters as matplotlib is given them: which font, and which order.

matplotlib (from 3.11) joins letters and orders a stretch by its first strong letter; a stretch of
signs alone has none, and is put in order here. In its PDFs letters that are kerned and not among
the first of the font stray: those that join, or carry points, are drawn as outlines.
"""

import unicodedata

from slidekit.scene.lettering.bidi import has_right_to_left, mirrored
from slidekit.scene.lettering.shaping import joins
from slidekit.scene.typeset import SetRun


def as_drawn(run: SetRun) -> str:
    """The letters so that they come out in their order."""
    if run.leftward and not has_right_to_left(run.text):
        return mirrored(run.text)
    return run.text


def needs_outlines(run: SetRun) -> bool:
    """Whether the letters join, or are set over one another."""
    return joins(run.text) or (run.leftward and any(map(unicodedata.combining, run.text)))


def font_path(run: SetRun) -> str:
    """The font of the run, as matplotlib names it: a path, with a number where it holds several."""
    from matplotlib.font_manager import FontPath

    font = run.family.file(run.face)
    return FontPath(str(font.path), font.number)
