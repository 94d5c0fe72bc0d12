"""The words of a passage sentence by sentence, with the clicks that fall into each."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from slidekit.scene.clock.schedule import Cue, Passage, Said, Silence, clock, rank_in_words
from slidekit.scene.model import Run
from slidekit.scene.paper.sheet import ACCENT, QUIET
from slidekit.storyboard.words import opens_sentence
from slidekit.wording import figures


@dataclass
class Sentence:
    """Runs, a space at the end of each word, and the clicks among them."""

    runs: list[Run] = field(default_factory=list)
    clicks: list[Cue] = field(default_factory=list)

    def add(self, text: str) -> None:
        """One more word; a full stop closes up to what stands before it."""
        if text[0] in ".,;:!?…)" and self.runs:
            last = self.runs[-1]
            self.runs[-1] = Run(last.text.rstrip(), last.bold, color=last.color)
        self.runs.append(Run(f"{text} "))


def sentences_of(passage: Passage) -> Iterator[Sentence]:
    """In their order. A click between two sentences belongs to the second."""
    sentence = Sentence()
    if passage.keep != "must":
        sentence.runs.append(
            Run(f"({rank_in_words(passage.keep)}, {clock(passage.seconds)}) ", color=QUIET)
        )
    for piece in passage.pieces:
        match piece:
            case Cue(number=number):
                sentence.runs.append(Run(f"[{number}] ", bold=True, color=ACCENT))
                sentence.clicks.append(piece)
            case Silence(seconds=seconds):
                sentence.runs.append(Run(f"[{figures(f'{seconds:g}')} s] ", color=ACCENT))
            case Said(text=text):
                for word in text.split():
                    sentence.add(word)
                    if opens_sentence(f"{word} "):
                        yield sentence
                        sentence = Sentence()
    if sentence.runs:
        yield sentence
