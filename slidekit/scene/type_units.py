"""Type sizes, which are given in points, in the millimetres of a page."""

from slidekit.scene.fonts import line_pitch_em

MM_PER_PT = 25.4 / 72


def em_mm(size_pt: float) -> float:
    """One em."""
    return size_pt * MM_PER_PT


def line_mm(size_pt: float) -> float:
    """One line of text, from baseline to baseline."""
    return line_pitch_em() * size_pt * MM_PER_PT
