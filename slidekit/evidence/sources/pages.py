"""Page numbers as they are printed."""

import re


def with_dashes(pages: str) -> str:
    """Ranges with an en dash, whatever the dash in them: "12--34" becomes "12–34"."""
    return re.sub(r"(?<=[\divxlc]) ?(?:--+|[-–—]) ?(?=[\divxlc])", "–", pages)
