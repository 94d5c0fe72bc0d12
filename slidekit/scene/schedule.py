"""When each slide comes, how long its words take, and what each click brings on."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from slidekit.scene.compose import Told
from slidekit.scene.moving import moving_sentences
from slidekit.scene.pictures import Sights
from slidekit.storyboard.talk import Talk
from slidekit.storyboard.words import Click, Words, count_words


@dataclass(frozen=True)
class Cue:
    """One click: its number on the slide, and what appears, in words."""

    number: int
    appears: str  # "orange ellipse B, the wire coil"


@dataclass(frozen=True)
class Turn:
    """One slide in delivery order."""

    number: int
    title: str
    start_s: float  # from the beginning of the talk
    seconds: float
    words: int
    paragraphs: tuple[tuple[str | Cue, ...], ...]
    moving: tuple[str, ...] = ()  # a sentence about each picture that moves by itself


@dataclass(frozen=True)
class Schedule:
    """All turns of a talk, and the time it has."""

    turns: tuple[Turn, ...]
    slot_s: float
    words_per_min: float

    @property
    def seconds(self) -> float:
        return sum(turn.seconds for turn in self.turns)

    @property
    def words(self) -> int:
        return sum(turn.words for turn in self.turns)

    @property
    def left_s(self) -> float:
        """Seconds of the slot that remain; negative for an overrun."""
        return self.slot_s - self.seconds


def schedule_talk(told: Sequence[Told], talk: Talk, sights: Sights) -> Schedule:
    """Turn after turn at the speaker's pace: time is words over words per minute."""
    turns = []
    start = 0.0
    for number, one in enumerate(told, start=1):
        words = count_words(one.speech.text)
        seconds = words / talk.words_per_min * 60
        paragraphs = _with_cues(one, sights)
        moving = moving_sentences(one.slide)
        turns.append(Turn(number, one.page.title, start, seconds, words, paragraphs, moving))
        start += seconds
    return Schedule(tuple(turns), talk.slot_min * 60, talk.words_per_min)


def _with_cues(told: Told, sights: Sights) -> tuple[tuple[str | Cue, ...], ...]:
    number = 0
    paragraphs = []
    for paragraph in told.speech.paragraphs:
        pieces: list[str | Cue] = []
        for token in paragraph.tokens:
            if isinstance(token, Click):
                number += 1
                pieces.append(Cue(number, _appearance(token, told, sights)))
            elif isinstance(token, Words):
                pieces.append(token.text)
        paragraphs.append(tuple(pieces))
    return tuple(paragraphs)


def _appearance(click: Click, told: Told, sights: Sights) -> str:
    return "; ".join(
        told.speech.rows.get(name) or _region_in_words(name, told, sights) for name in click.names
    )


def _region_in_words(name: str, told: Told, sights: Sights) -> str:
    region = sights.regions[name]
    return f"{region.spoken} {told.speech.cast.letters[name]}, {region.called}"


def clock(seconds: float) -> str:
    """Minutes and seconds: "12:05"."""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02d}"


def notes_of(turn: Turn) -> str:
    """The words as speaker notes, each click on its own in square brackets."""
    lines = [f"[{sentence}]" for sentence in turn.moving]
    for paragraph in turn.paragraphs:
        pieces = [
            f"[CLICK {piece.number}: {piece.appears}]" if isinstance(piece, Cue) else piece
            for piece in paragraph
        ]
        lines.append(joined(pieces))
    return "\n".join(lines)


def joined(pieces: Sequence[str]) -> str:
    """Pieces of a paragraph in one line, single spaces between them, none before a full stop."""
    line = " ".join(" ".join(pieces).split())
    return re.sub(r" (?=[.,;:!?…])", "", line)
