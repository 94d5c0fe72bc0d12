"""When each single word of a talk is said."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise

from slidekit.scene.clock.schedule import Said
from slidekit.storyboard.word_count import count_words


@dataclass(frozen=True)
class TimedWord:
    """What stands between two spaces, with the time that it takes to say it."""

    text: str
    at_s: float  # from the beginning of the talk
    end_s: float


def timed_words(pieces: Iterable[Said], words_per_min: float) -> list[TimedWord]:
    """The words of pieces that follow upon each other, each with its share of their time. A full
    stop that a click parts from its word is put back."""
    words: list[TimedWord] = []
    for piece in pieces:
        texts = piece.text.split()
        took_s = (count_words(text) / words_per_min * 60 for text in texts)
        starts_s = accumulate(took_s, initial=piece.at_s)
        for text, (at_s, end_s) in zip(texts, pairwise(starts_s), strict=True):
            if words and not any(map(str.isalnum, text)) and text[0] in ".,;:!?…)":
                words[-1] = replace(words[-1], text=words[-1].text + text)
            else:
                words.append(TimedWord(text, at_s, end_s))
    return words
