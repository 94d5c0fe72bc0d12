"""What a rehearsal tells of a speaker's pace."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf

from slidekit.errors import RehearsalError
from slidekit.scene.clock.schedule import Schedule, Turn, clock

_CLOCK = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):([0-5]\d)")
LEAST_WPM, MOST_WPM = 60, 240
"""What a speaker's pace can be, as in a storyboard."""
UNEVEN = 0.2
"""A slide given so much faster or slower than the talk is named (common practice)."""
LAST = "end"
"""In a log, where a slide's name stands otherwise: when the talk was over."""


@dataclass(frozen=True)
class Pace:
    """How fast words were said; `seconds` is all the time they took, with the pauses."""

    what: str  # a slide's id; "" for the talk
    words: int
    planned_s: float
    seconds: float
    words_per_min: float


def pace_of(schedule: Schedule, took_s: float) -> Pace:
    """The pace of a whole talk that took `took_s`.

    Raises
    ------
    RehearsalError
        If nobody speaks like that.
    """
    pace = _pace("", schedule.turns, took_s)
    if pace.words_per_min == inf:
        raise RehearsalError(
            f"the pauses alone take longer than {clock(took_s)}",
            "Give the time of the whole talk, in minutes and seconds: 14:40",
        )
    if not LEAST_WPM <= pace.words_per_min <= MOST_WPM:
        raise RehearsalError(
            f"{pace.words} words in {clock(took_s)} are {pace.words_per_min:.0f} words per minute, "
            f"and a speaker says {LEAST_WPM} to {MOST_WPM}",
            "Give the time of the whole talk, in minutes and seconds: 14:40",
        )
    return pace


def paces_of(schedule: Schedule, log: Mapping[str, float]) -> tuple[Pace, ...]:
    """The pace of each slide that has words and that the log times; `log`: id and seconds."""
    timed = (turn for turn in schedule.turns if turn.slide in log and turn.words)
    return tuple(_pace(turn.slide, [turn], log[turn.slide]) for turn in timed)


def talk_took_s(schedule: Schedule, log: Mapping[str, float]) -> float:
    """How long the talk took by its log; a slide that the log leaves out took what is planned."""
    return sum(log.get(turn.slide, turn.seconds) for turn in schedule.turns)


def parse_clock(text: str) -> float:
    """Seconds of "14:40" or "1:02:30".

    Raises
    ------
    RehearsalError
        If it is no such time.
    """
    found = _CLOCK.fullmatch(text.strip())
    if found is None:
        raise RehearsalError(f"`{text}` is not a time", "Write minutes and seconds: 14:40")
    hours, minutes, seconds = (int(part or 0) for part in found.groups())
    return hours * 3600 + minutes * 60 + seconds


def parse_log(text: str, schedule: Schedule) -> dict[str, float]:
    """Seconds of each slide, from lines like "4:10 coil": when its slide came. The last line says
    when the talk was over: "14:40 end".

    Raises
    ------
    RehearsalError
        With the line that cannot be read.
    """
    entries = list(_entries(text, [turn.slide for turn in schedule.turns]))
    if len(entries) < 2 or entries[-1][1] != LAST:
        raise RehearsalError(
            "the log does not say when the talk was over", f"End it with: 14:40 {LAST}"
        )
    took: dict[str, float] = {}
    for (at_s, slide), (next_s, _) in pairwise(entries):
        took[slide] = took.get(slide, 0.0) + next_s - at_s
    return took


def _entries(text: str, slides: Sequence[str]) -> Iterator[tuple[float, str]]:
    before_s = 0.0
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        at, _, slide = line.strip().partition(" ")
        slide = slide.strip()
        if slide not in (*slides, LAST):
            raise RehearsalError(
                f"line {number} of the log: there is no slide `{slide}`",
                f"Write a time and the id of a slide, or `{LAST}`: 4:10 {slides[-1]}",
            )
        at_s = parse_clock(at)
        if at_s < before_s:
            raise RehearsalError(
                f"line {number} of the log: {at} is earlier than the line before it",
                "Write when each slide came, in the order of the talk",
            )
        before_s = at_s
        yield at_s, slide


def rehearsal_lines(schedule: Schedule, talk: Pace, slides: Sequence[Pace]) -> Iterator[str]:
    """What the speaker reads: the pace to write down, and the slides that were given otherwise."""
    yield (
        f"{talk.words} words, planned {clock(talk.planned_s)} at {schedule.words_per_min:g} words "
        f"per minute, took {clock(talk.seconds)}"
    )
    yield f"words_per_min: {talk.words_per_min:.0f}"
    for one in slides:
        if one.words_per_min == inf:
            took = clock(one.seconds)
            yield f"{one.what}: planned {clock(one.planned_s)}, took {took}, less than its pauses"
            continue
        ratio = one.words_per_min / talk.words_per_min
        uneven = "slower" if ratio < 1 - UNEVEN else "faster" if ratio > 1 + UNEVEN else ""
        line = f"{one.what}: planned {clock(one.planned_s)}, took {clock(one.seconds)}"
        yield f"{line}, {one.words_per_min:.0f} words per minute{uneven and f', {uneven}'}"


def _pace(what: str, turns: Sequence[Turn], took_s: float) -> Pace:
    """Pauses and moving pictures take their time at any pace."""
    words = sum(turn.words for turn in turns)
    planned_s = sum(turn.seconds for turn in turns)
    said_s = sum(piece.seconds for turn in turns for piece in turn.said)
    speaking_s = took_s - (planned_s - said_s)
    per_min = words / speaking_s * 60 if speaking_s > 0 else inf
    return Pace(what, words, planned_s, took_s, per_min)
