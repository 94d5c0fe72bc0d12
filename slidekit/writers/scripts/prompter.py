"""The words on a page that runs up at the speaker's pace: one HTML file that needs no network."""

import json
import re
from collections.abc import Iterator
from html import escape
from pathlib import Path
from string import Template

from slidekit.scene.clock.schedule import (
    Cue,
    Passage,
    Said,
    Schedule,
    Silence,
    Turn,
    clock,
    rank_in_words,
)
from slidekit.scene.clock.timed_words import timed_words
from slidekit.scene.lettering.bidi import reads_right_to_left
from slidekit.storyboard.talk import Talk
from slidekit.wording import figures, phrase
from slidekit.writers.files import write_text


def _words() -> dict[str, str]:
    """What stands on the buttons and beside the clock."""
    return {
        "start": phrase("Start"),
        "stop": phrase("Stop"),
        "back": phrase("Back"),
        "on": phrase("On"),
        "slower": phrase("Slower"),
        "faster": phrase("Faster"),
        "mirror": phrase("Mirror"),
        "beginning": phrase("Beginning"),
        "save": phrase("Save times"),
        "ready": phrase("Space starts and stops"),
        "behind": phrase("behind"),
        "ahead": phrase("ahead"),
        "left": phrase("left"),
        "over": phrase("over"),
        "pace": phrase("words/min"),
    }


def _keys() -> dict[str, str]:
    """The keys that press the buttons."""
    return {
        "key_go": phrase("Space"),
        "key_back": phrase("Page Up, left"),
        "key_on": phrase("Page Down, right"),
        "key_slower": phrase("Down"),
        "key_faster": phrase("Up"),
        "key_top": phrase("Home"),
    }


def write_prompter(talk: Talk, schedule: Schedule, path: Path) -> None:
    """The page; its times, saved after a rehearsal, are a log for `slidekit pace`."""
    write_text(prompter_html(talk, schedule), path)


def prompter_html(talk: Talk, schedule: Schedule) -> str:
    """The whole page. Each word carries the second at which it is said."""
    page = Template((Path(__file__).parent / "prompter.html").read_text(encoding="utf-8"))
    words = _words()
    facts = {
        "pace": schedule.words_per_min,
        "slot": schedule.slot_s - schedule.questions_s,
        "end": schedule.seconds,
        "words": words,
    }
    return page.substitute(
        {name: escape(word) for name, word in (words | _keys()).items()},
        language=escape(talk.language),
        toward=' dir="rtl"' if reads_right_to_left(talk.language) else "",
        title=escape(talk.title),
        text="\n".join(_section(turn, schedule.words_per_min) for turn in schedule.turns),
        facts=json.dumps(facts).replace("<", "\\u003c"),  # nothing can end the script
    )


def _section(turn: Turn, words_per_min: float) -> str:
    head = f"{clock(turn.start_s)} &nbsp; {turn.number}. {escape(turn.title)}"
    if rank := rank_in_words(turn.keep):
        head += f" ({escape(rank)})"
    asides = "".join(f"<br>{escape(sentence)}" for sentence in turn.asides)
    paragraphs = "\n".join(_paragraph(one, words_per_min) for one in turn.passages)
    return (
        f'<section data-slide="{escape(turn.slide)}" data-start="{turn.start_s:.3f}">'
        f"<h2>{head}{asides}</h2>\n{paragraphs}</section>"
    )


def _paragraph(passage: Passage, words_per_min: float) -> str:
    rank = ""
    if word := rank_in_words(passage.keep):
        rank = f'<span class="rank">{escape(word)}, {clock(passage.seconds)}</span> '
    kind = ' class="loose"' if rank else ""
    text = " ".join(_pieces(passage, words_per_min))
    text = re.sub(r" (<span [^>]*>[.,;:!?…)])", r"\1", text)  # no space before a full stop
    return f"<p{kind}>{rank}{text}</p>"


def _pieces(passage: Passage, words_per_min: float) -> Iterator[str]:
    for piece in passage.pieces:
        match piece:
            case Said():
                for word in timed_words([piece], words_per_min):
                    yield f'<span data-at="{word.at_s:.3f}">{escape(word.text)}</span>'
            case Cue(number=number, appears=appears, at_s=at_s):
                yield f'<span class="cue" data-at="{at_s:.3f}">{number} {escape(appears)}</span>'
            case Silence(seconds=seconds, at_s=at_s):
                pause = figures(f"{seconds:g}")
                yield f'<span class="silence" data-at="{at_s:.3f}">{pause} s</span>'
