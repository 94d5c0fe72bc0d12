"""The speaker's script: what to say, where to click, what then appears, and the clock."""

from collections.abc import Sequence
from pathlib import Path

from slidekit.scene.schedule import (
    Cue,
    Passage,
    Piece,
    Said,
    Schedule,
    Silence,
    Turn,
    balance,
    clock,
    joined,
)
from slidekit.scene.text_slides import CAUTIONS
from slidekit.storyboard.talk import Talk
from slidekit.writers.files import write_text


def write_script(talk: Talk, schedule: Schedule, path: Path, gone: Sequence[str] = ()) -> None:
    """Markdown in delivery order; `gone` is what the talk has elsewhere and not here."""
    write_text(script_text(talk, schedule, gone), path)


def script_text(talk: Talk, schedule: Schedule, gone: Sequence[str] = ()) -> str:
    """The whole script."""
    who = " · ".join(part for part in (talk.speaker, talk.occasion) if part)
    head = [f"# {talk.title}", *([who] if who else []), _balance(schedule), _table(schedule)]
    left_out = ["Left out:\n\n" + "\n".join(f"- {one}" for one in gone)] if gone else []
    head += left_out
    foot = ["---", "\n".join(f"- {caution}" for caution in CAUTIONS)]
    return "\n\n".join([*head, *(_turn(turn) for turn in schedule.turns), *foot]) + "\n"


def _balance(schedule: Schedule) -> str:
    pace = f"{schedule.words} words at {schedule.words_per_min:g} words per minute"
    return f"{pace}: {balance(schedule)}."


def _table(schedule: Schedule) -> str:
    head = "| at | by | slide | title | words | takes |"
    alignment = "| ---: | ---: | ---: | --- | ---: | ---: |"
    rows = [
        f"| {clock(turn.start_s)} | {_latest(turn, schedule)} | {turn.number} "
        f"| {_escaped(turn.title)} | {turn.words} | {clock(turn.seconds)} |"
        for turn in schedule.turns
    ]
    legend = "*by*: who begins a slide later than this must leave something out."
    return "\n".join([head, alignment, *rows, "", legend])


def _latest(turn: Turn, schedule: Schedule) -> str:
    """Nothing where it is too late already."""
    return clock(schedule.latest_s(turn)) if schedule.left_s >= 0 else ""


def _turn(turn: Turn) -> str:
    head = f"## {turn.number}. {turn.title}"
    clock_line = (
        f"**{clock(turn.start_s)}** to {clock(turn.start_s + turn.seconds)} · {turn.words} words"
    )
    if turn.keep != "must":
        clock_line += f" · {_MAY_GO[turn.keep]}"
    asides = [f"*{sentence}*" for sentence in turn.asides]
    return "\n\n".join([head, clock_line, *asides, *map(_paragraph, turn.passages)])


_MAY_GO = {"may": "may go if time is short", "should": "should stay, but can go"}


def _paragraph(passage: Passage) -> str:
    pieces = [_written(piece) for piece in passage.pieces]
    if passage.keep != "must":
        pieces.insert(0, f"*({_MAY_GO[passage.keep]}: {clock(passage.seconds)})*")
    return joined(pieces)


def _written(piece: Piece) -> str:
    match piece:
        case Said(text=text):
            return text
        case Silence(seconds=seconds):
            return f"**[pause {seconds:g} s]**"
        case Cue(number=number, appears=appears):
            return f"**[click {number}: {appears}]**"


def _escaped(text: str) -> str:
    return text.replace("|", "\\|")
