"""A small schedule, and pictures that cost nothing, for tests of what goes on paper."""

import numpy as np
from hypothesis import strategies as st

from slidekit.scene.clock.schedule import Cue, Passage, Said, Schedule, Silence, Turn
from slidekit.scene.paper.sheet import Imprint

IMPRINT = Imprint("test", "What the urn holds · A. Speaker", "en")


def thumbnail(_number: int, _clicks: int) -> np.ndarray:
    return np.zeros((9, 16, 3), np.uint8)


def turn_of(number: int, *paragraphs: tuple, keep: str = "must") -> Turn:
    passages = tuple(Passage(tuple(pieces)) for pieces in paragraphs)
    return Turn(number, f"s{number}", f"Slide {number}", 0, 60, passages, keep)


def schedule_of(*turns: Turn) -> Schedule:
    return Schedule(turns, 3600, 120)


words = st.text("abcdefghij", min_size=1, max_size=9)
sentences = st.lists(words, min_size=1, max_size=30).map(
    lambda one: " ".join(one).capitalize() + "."
)


@st.composite
def turns(draw) -> Turn:
    """A slide of several paragraphs with clicks between and inside sentences."""
    number = 0
    paragraphs = []
    for _ in range(draw(st.integers(1, 5))):
        pieces = []
        for sentence in draw(st.lists(sentences, min_size=1, max_size=6)):
            before, *after = sentence.split(" ", 1)
            if draw(st.booleans()) and number < 8:
                number += 1
                pieces.append(Cue(number, f"orange ellipse, thing {number}"))
            pieces.append(Said(before))
            if after and draw(st.booleans()) and number < 8:
                number += 1
                pieces.append(Cue(number, "a blue line that has a name of more than a few words"))
            pieces += [Said(rest) for rest in after]
            if draw(st.booleans()):
                pieces.append(Silence(2.5))
        paragraphs.append(tuple(pieces))
    return turn_of(1, *paragraphs)
