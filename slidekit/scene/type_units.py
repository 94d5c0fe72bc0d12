"""Type sizes, which are given in points, in the millimetres of a page."""

MM_PER_PT = 25.4 / 72
LINE_PITCH_EM = 1.20
"""Between baselines; 4 % above the font's natural 1.15, which decks are drawn with."""


def em_mm(size_pt: float) -> float:
    """One em."""
    return size_pt * MM_PER_PT


def line_mm(size_pt: float) -> float:
    """One line of text, from baseline to baseline."""
    return LINE_PITCH_EM * size_pt * MM_PER_PT
