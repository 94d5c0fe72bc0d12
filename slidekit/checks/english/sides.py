"""Left and right as English words name them."""

import re
from dataclasses import dataclass

_EITHER = r"(?:left|right)"
_ANY_SIDE = re.compile(rf"\b{_EITHER}\b", re.I)
_OTHER = re.compile(r"\b(?:other|opposite|not|no|nothing|both)\b", re.I)
_PICTURE = r"(?:picture|image|view|cut)"
_BODY = (
    "(?:body|patient|skull|head|face|chest|thorax|pelvis|abdomen|jaw|man|woman|child|person|mummy"
    "|skeleton)"
)
_WHERE = r"\b(?:on|at|in)\s+the\s+"
_ENDS = r"(?=\s*(?:[,.;:!?)]|$)|\s+(?:and|is|are|was|were|lies|lie|you|we|there)\b)"

_OF_PICTURE = re.compile(
    rf"{_WHERE}({_EITHER})(?:-hand)?(?:\s+(?:side|half|edge|part))?\s+of\s+the\s+{_PICTURE}\b", re.I
)
_OF_BODY = re.compile(
    rf"{_WHERE}({_EITHER})(?:-hand)?\s+(?:side|half)\s+of\s+the\s+{_BODY}\b"
    rf"|\b(?:{_BODY}['’]s|his|her)\s+(?:own\s+)?({_EITHER})(?:\s+side)?\b{_ENDS}",
    re.I,
)
"""His left, and not his left hand, which may lie anywhere."""
_WHICH_PICTURE = re.compile(rf"\bon\s+the\s+({_EITHER})\b(?!\s+(?:of|side|half|edge|hand))", re.I)


@dataclass(frozen=True)
class Sides:
    """What a sentence says of left and right; "" where it does not, or says both."""

    of_picture: str = ""
    of_body: str = ""
    which_picture: str = ""


def sides_in(typed: str) -> Sides:
    """Sides are told where one only is named; "the left femur" says nothing of where it lies."""
    named = {side.lower() for side in _ANY_SIDE.findall(typed)}
    if len(named) != 1 or _OTHER.search(typed):
        return Sides()
    (side,) = named
    told = (_OF_PICTURE, _OF_BODY, _WHICH_PICTURE)
    return Sides(*(side if pattern.search(typed) else "" for pattern in told))
