"""When each slide comes, how long its words take, and when each click is made."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from slidekit.scene.compose import Told
from slidekit.scene.sights.model import Sights
from slidekit.scene.sights.moving import loop_s, moving_sentences
from slidekit.storyboard.keeping import Keep
from slidekit.storyboard.talk import Talk
from slidekit.storyboard.word_count import count_words
from slidekit.storyboard.words import Click, Paragraph, Pause, Words
from slidekit.wording import figures, phrase


@dataclass(frozen=True)
class Said:
    """Words between two cues. Times count from the beginning of the talk."""

    text: str
    words: int = 0
    at_s: float = 0.0
    seconds: float = 0.0


@dataclass(frozen=True)
class Cue:
    """One click: its number on the slide, and what appears, in words."""

    number: int
    appears: str  # "orange ellipse B, the wire coil"
    at_s: float = 0.0
    names: tuple[str, ...] = ()


@dataclass(frozen=True)
class Silence:
    """The speaker says nothing."""

    seconds: float
    at_s: float = 0.0


Piece: TypeAlias = Said | Cue | Silence


@dataclass(frozen=True)
class Passage:
    """One paragraph, and whether it may go when there is less time."""

    pieces: tuple[Piece, ...]
    keep: Keep = "must"

    @property
    def seconds(self) -> float:
        return sum(piece.seconds for piece in self.pieces if not isinstance(piece, Cue))

    @property
    def words(self) -> int:
        return sum(piece.words for piece in self.pieces if isinstance(piece, Said))

    @property
    def begins(self) -> str:
        """Its first words."""
        text = joined([piece.text for piece in self.pieces if isinstance(piece, Said)])
        return " ".join(text.split()[:6])

    @property
    def cues(self) -> tuple[Cue, ...]:
        return tuple(piece for piece in self.pieces if isinstance(piece, Cue))


@dataclass(frozen=True)
class Turn:
    """One slide in delivery order."""

    number: int
    slide: str  # its id
    title: str
    start_s: float  # from the beginning of the talk
    seconds: float
    passages: tuple[Passage, ...]
    keep: Keep = "must"
    moving: tuple[str, ...] = ()  # a sentence about each picture that moves by itself
    handing_over: tuple[str, ...] = ()  # who spoke before, who speaks next

    @property
    def asides(self) -> tuple[str, ...]:
        """What the speaker must know and does not say."""
        return (*self.moving, *self.handing_over)

    @property
    def words(self) -> int:
        return sum(passage.words for passage in self.passages)

    @property
    def said(self) -> tuple[Said, ...]:
        pieces = (piece for passage in self.passages for piece in passage.pieces)
        return tuple(piece for piece in pieces if isinstance(piece, Said))

    @property
    def cues(self) -> tuple[Cue, ...]:
        return tuple(cue for passage in self.passages for cue in passage.cues)


@dataclass(frozen=True)
class Schedule:
    """All turns of a talk, and the time it has."""

    turns: tuple[Turn, ...]
    slot_s: float
    words_per_min: float
    questions_s: float = 0.0
    """What is kept of the slot for questions at the end."""

    @property
    def seconds(self) -> float:
        return sum(turn.seconds for turn in self.turns)

    @property
    def words(self) -> int:
        return sum(turn.words for turn in self.turns)

    @property
    def left_s(self) -> float:
        """Seconds of the slot that remain; negative for an overrun."""
        return self.slot_s - self.questions_s - self.seconds

    def latest_s(self, turn: Turn) -> float:
        """When a slide must begin at the latest so that all that follows still fits."""
        return turn.start_s + self.left_s


@dataclass(frozen=True)
class HandOver:
    """What a talk follows and what follows it, each in a sentence; "" if there is nothing."""

    before: str = ""
    after: str = ""


NOBODY = HandOver()


def with_hand_over(schedule: Schedule, over: HandOver) -> Schedule:
    """The schedule whose first and last turn say so."""
    turns = list(schedule.turns)
    for at, sentence in ((0, over.before), (-1, over.after)):
        if sentence and turns:
            turns[at] = replace(turns[at], handing_over=(*turns[at].handing_over, sentence))
    return replace(schedule, turns=tuple(turns))


def schedule_talk(told: Sequence[Told], talk: Talk, sights: Sights) -> Schedule:
    """Turn after turn at the speaker's pace: words over words per minute, and the pauses. A slide
    stays at least until its moving pictures have been seen once."""
    turns: list[Turn] = []
    start_s = 0.0
    number = 1
    for one in told:
        passages = _passages(one, sights, start_s, talk.words_per_min)
        seconds = max(sum(p.seconds for p in passages), loop_s(one.slide, sights))
        head = number, one.slide.id, one.page.title, start_s, seconds
        turns.append(Turn(*head, passages, one.slide.keep, moving_sentences(one.slide)))
        start_s += seconds
        number += 1 + len(one.more)
    times = talk.slot_min * 60, talk.words_per_min, talk.questions_min * 60
    return Schedule(tuple(turns), *times)


def _passages(
    told: Told, sights: Sights, start_s: float, words_per_min: float
) -> tuple[Passage, ...]:
    number = 0
    passages = []
    for paragraph in told.speech.paragraphs:
        timed = tuple(_timed(_with_cues(paragraph, told, sights, number), start_s, words_per_min))
        passages.append(Passage(timed, paragraph.keep))
        number += len(passages[-1].cues)
        start_s += passages[-1].seconds
    return tuple(passages)


def _with_cues(paragraph: Paragraph, told: Told, sights: Sights, number: int) -> Iterator[Piece]:
    """The pieces of a paragraph that follows the click `number` of its slide, without times."""
    for token in paragraph.tokens:
        if isinstance(token, Click):
            number += 1
            yield Cue(number, _appearance(token, told, sights), names=token.names)
        elif isinstance(token, Pause):
            yield Silence(token.seconds)
        elif isinstance(token, Words):
            yield Said(token.text, count_words(token.text))


def _timed(pieces: Iterator[Piece], at_s: float, words_per_min: float) -> Iterator[Piece]:
    for piece in pieces:
        timed = replace(piece, at_s=at_s)
        if isinstance(timed, Said):
            timed = replace(timed, seconds=timed.words / words_per_min * 60)
        if not isinstance(timed, Cue):
            at_s += timed.seconds
        yield timed


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


def balance(schedule: Schedule) -> str:
    """How the talk stands to its slot: "14:40 of 20:00 min, 5:20 left"."""
    left_s = schedule.left_s
    rest = phrase("{time} left", time=clock(left_s))
    if left_s < 0:
        rest = phrase("{time} over the slot", time=clock(-left_s))
    takes = clock(schedule.seconds)
    if schedule.questions_s:
        questions = clock(schedule.questions_s)
        takes = phrase("{takes} and {time} for questions", takes=takes, time=questions)
    slot = clock(schedule.slot_s)
    return phrase("{takes} of {slot} min, {rest}", takes=takes, slot=slot, rest=rest)


def rank_in_words(keep: Keep) -> str:
    """What becomes of a slide or paragraph when time is short; "" for what must stay."""
    match keep:
        case "may":
            return phrase("may go")
        case "should":
            return phrase("should stay")
    return ""


def times_in_words(turn: Turn, schedule: Schedule) -> str:
    """When the slide comes and goes, when it must come at the latest, and whether it may go."""
    times = phrase(
        "{start} to {end}", start=clock(turn.start_s), end=clock(turn.start_s + turn.seconds)
    )
    latest = ""
    if schedule.left_s >= 0:
        latest = phrase("begins by {time} at the latest", time=clock(schedule.latest_s(turn)))
    words = phrase("1 word") if turn.words == 1 else phrase("{words} words", words=turn.words)
    return " · ".join(filter(None, (times, words, latest, rank_in_words(turn.keep))))


def notes_of(turn: Turn) -> str:
    """The words as speaker notes, each click and pause on its own in square brackets."""
    lines = [f"[{sentence}]" for sentence in turn.asides]
    lines += [joined([_noted(piece) for piece in passage.pieces]) for passage in turn.passages]
    return "\n".join(lines)


def _noted(piece: Piece) -> str:
    match piece:
        case Said(text=text):
            return text
        case Silence(seconds=seconds):
            return f"[{phrase('PAUSE {seconds} s', seconds=figures(f'{seconds:g}'))}]"
        case Cue(number=number, appears=appears):
            return f"[{phrase('CLICK {number}: {appears}', number=number, appears=appears)}]"


def joined(pieces: Sequence[str]) -> str:
    """Pieces of a paragraph in one line, single spaces between them, none before a full stop."""
    line = " ".join(" ".join(pieces).split())
    return re.sub(r" (?=[.,;:!?…])", "", line)
