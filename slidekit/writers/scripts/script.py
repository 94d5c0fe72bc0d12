"""The speaker's script: what to say, where to click, what then appears, and the clock."""

from collections.abc import Sequence
from pathlib import Path

from slidekit.scene.cautions import cautions
from slidekit.scene.clock.schedule import (
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
    rank_in_words,
    times_in_words,
)
from slidekit.storyboard.talk import Talk
from slidekit.wording import figures, phrase
from slidekit.writers.files import write_text


def write_script(talk: Talk, schedule: Schedule, path: Path, gone: Sequence[str] = ()) -> None:
    """Markdown in delivery order; `gone` is what the talk has elsewhere and not here."""
    write_text(script_text(talk, schedule, gone), path)


def script_text(talk: Talk, schedule: Schedule, gone: Sequence[str] = ()) -> str:
    """The whole script."""
    who = " · ".join(part for part in (talk.speaker, talk.occasion) if part)
    head = [f"# {talk.title}", *([who] if who else []), _balance(schedule), _table(schedule)]
    left_out = (
        [phrase("Left out:") + "\n\n" + "\n".join(f"- {one}" for one in gone)] if gone else []
    )
    head += left_out
    foot = ["---", "\n".join(f"- {caution}" for caution in cautions())]
    return "\n\n".join([*head, *(_turn(turn, schedule) for turn in schedule.turns), *foot]) + "\n"


def _balance(schedule: Schedule) -> str:
    pace = phrase(
        "{words} words at {pace} words per minute",
        words=schedule.words,
        pace=figures(f"{schedule.words_per_min:g}"),
    )
    return f"{pace}: {balance(schedule)}."


def _table(schedule: Schedule) -> str:
    columns = (
        phrase("at"),
        phrase("by"),
        phrase("slide"),
        phrase("title"),
        phrase("words"),
        phrase("takes"),
    )
    head = f"| {' | '.join(columns)} |"
    alignment = "| ---: | ---: | ---: | --- | ---: | ---: |"
    rows = [
        f"| {clock(turn.start_s)} | {_latest(turn, schedule)} | {turn.number} "
        f"| {_escaped(turn.title)} | {turn.words} | {clock(turn.seconds)} |"
        for turn in schedule.turns
    ]
    legend = phrase("*by*: who begins a slide later than this must leave something out.")
    return "\n".join([head, alignment, *rows, "", legend])


def _latest(turn: Turn, schedule: Schedule) -> str:
    """Nothing where it is too late already."""
    return clock(schedule.latest_s(turn)) if schedule.left_s >= 0 else ""


def _turn(turn: Turn, schedule: Schedule) -> str:
    head = f"## {turn.number}. {turn.title}"
    asides = [f"*{sentence}*" for sentence in turn.asides]
    paragraphs = map(_paragraph, turn.passages)
    return "\n\n".join([head, times_in_words(turn, schedule), *asides, *paragraphs])


def _paragraph(passage: Passage) -> str:
    pieces = [_written(piece) for piece in passage.pieces]
    if rank := rank_in_words(passage.keep):
        pieces.insert(0, f"*({rank}: {clock(passage.seconds)})*")
    return joined(pieces)


def _written(piece: Piece) -> str:
    match piece:
        case Said(text=text):
            return text
        case Silence(seconds=seconds):
            return f"**[{phrase('pause {seconds} s', seconds=figures(f'{seconds:g}'))}]**"
        case Cue(number=number, appears=appears):
            return f"**[{phrase('click {number}: {appears}', number=number, appears=appears)}]**"


def _escaped(text: str) -> str:
    return text.replace("|", "\\|")
