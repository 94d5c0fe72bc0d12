"""The speaker's script: what to say, where to click, what then appears, and the clock."""

from pathlib import Path

from slidekit.scene.schedule import Cue, Schedule, Turn, clock, joined
from slidekit.scene.text_slides import CAUTIONS
from slidekit.storyboard.talk import Talk
from slidekit.writers.files import write_text


def write_script(talk: Talk, schedule: Schedule, path: Path) -> None:
    """Markdown in delivery order."""
    write_text(script_text(talk, schedule), path)


def script_text(talk: Talk, schedule: Schedule) -> str:
    """The whole script."""
    who = " · ".join(part for part in (talk.speaker, talk.occasion) if part)
    head = [f"# {talk.title}", *([who] if who else []), _balance(schedule), _table(schedule)]
    foot = ["---", "\n".join(f"- {caution}" for caution in CAUTIONS)]
    return "\n\n".join([*head, *(_turn(turn) for turn in schedule.turns), *foot]) + "\n"


def _balance(schedule: Schedule) -> str:
    left = schedule.left_s
    rest = f"{clock(left)} left" if left >= 0 else f"**{clock(-left)} over the slot**"
    return (
        f"{schedule.words} words at {schedule.words_per_min:g} words per minute: "
        f"{clock(schedule.seconds)} of {clock(schedule.slot_s)}, {rest}."
    )


def _table(schedule: Schedule) -> str:
    rows = [
        f"| {clock(turn.start_s)} | {turn.number} | {_escaped(turn.title)} "
        f"| {turn.words} | {clock(turn.seconds)} |"
        for turn in schedule.turns
    ]
    return "\n".join(
        ["| at | slide | title | words | takes |", "| ---: | ---: | --- | ---: | ---: |", *rows]
    )


def _turn(turn: Turn) -> str:
    head = f"## {turn.number}. {turn.title}"
    clock_line = (
        f"**{clock(turn.start_s)}** to {clock(turn.start_s + turn.seconds)} · {turn.words} words"
    )
    moving = [f"*{sentence}*" for sentence in turn.moving]
    return "\n\n".join(
        [head, clock_line, *moving, *(_paragraph(pieces) for pieces in turn.paragraphs)]
    )


def _paragraph(pieces: tuple[str | Cue, ...]) -> str:
    return joined(
        [
            f"**[click {piece.number}: {piece.appears}]**" if isinstance(piece, Cue) else piece
            for piece in pieces
        ]
    )


def _escaped(text: str) -> str:
    return text.replace("|", "\\|")
