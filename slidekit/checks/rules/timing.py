"""Rules about time: the slot, the pace, and what each slide has of it."""

from itertools import pairwise

from slidekit.checks.heard import Heard
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.scene.clock.schedule import Turn, clock
from slidekit.storyboard.slides import (
    CreditsSlide,
    GlossarySlide,
    NoticeSlide,
    QuoteSlide,
    TextSlide,
    TitleSlide,
)

LONGEST_STILL_S = 120.0
"""A slide that does not change for longer loses the audience (common practice)."""

FASTEST_WORDS_PER_MIN = 160.0
SHORTEST_END_S = 5.0
FOR_REFERENCE = (CreditsSlide, GlossarySlide)
OF_WORDS = (TitleSlide, TextSlide, QuoteSlide, NoticeSlide)


def find_overrun(heard: Heard) -> Findings:
    """Words that take longer than the slot, less the time for questions.

    Why: the chair stops the talk before its conclusions, or the next speaker loses the time.

    Instead: shorten the words, mark what may go with `keep` and build with --slot-min, or ask for a
    longer slot.

    Source: common practice.
    """
    over = -heard.schedule.left_s
    if over > 0:
        took = clock(heard.schedule.seconds)
        kept = heard.schedule.questions_s
        slot = f"the slot less {clock(kept)} for questions" if kept else "the slot"
        text = f"the words take {took} and run {clock(over)} over {slot}"
        yield Complaint(("talk", "slot_min"), text)


def find_rush(heard: Heard) -> Findings:
    """A pace of more than 160 words a minute.

    Why: listeners who look at pictures, or hear a language that is not their own, lose the thread.
    A talk that fits its slot only at such a pace does not fit it.

    Instead: plan with 100 to 150 words a minute, and shorten the words.

    Source: S. E. Lucas, The Art of Public Speaking, 8th ed. 2004, p. 300: 125 to 150; S. Tauroza
    and D. Allison, Applied Linguistics 11 (1990), 90-105: lectures 125 to 160 (from memory).
    """
    pace = heard.schedule.words_per_min
    if pace > FASTEST_WORDS_PER_MIN:
        text = f"{pace:g} words a minute are more than {FASTEST_WORDS_PER_MIN:g}"
        yield Complaint(("talk", "words_per_min"), text)


def find_silent(heard: Heard) -> Findings:
    """A slide without words, other than the credits and the glossary.

    Why: a slide that nobody speaks of is skipped, or filled with words that nobody has timed.

    Instead: write what you say in `say`, or remove the slide.

    Source: common practice.
    """
    for path, told in heard.slides:
        if not told.speech.paragraphs and not isinstance(told.slide, FOR_REFERENCE):
            yield Complaint(path, f"slide `{told.slide.id}` has no words")


def find_still(heard: Heard) -> Findings:
    """A slide on which nothing changes for longer than two minutes.

    Why: eyes that have nothing new to see wander off, and the ears follow. A slide with a moving
    picture never counts as still.

    Instead: bring marks on one by one with [show …], or part the slide in two.

    Source: common practice.
    """
    for (path, told), turn in zip(heard.slides, heard.schedule.turns, strict=True):
        still = 0.0 if turn.moving else _longest_still_s(turn)
        if still > LONGEST_STILL_S:
            text = f"nothing changes on slide `{told.slide.id}` for {clock(still)}"
            yield Complaint((*path, "say"), text)


def _longest_still_s(turn: Turn) -> float:
    """From one click to the next, or to the end of the slide."""
    changes = [turn.start_s, *(cue.at_s for cue in turn.cues), turn.start_s + turn.seconds]
    return max(later - earlier for earlier, later in pairwise(changes))


def find_short_end(heard: Heard) -> Findings:
    """A last slide with findings, pictures or a chart that has less than five seconds.

    Why: it is what the audience takes home, and it is gone before it is read. Credits, and a last
    slide of words alone, stay while questions are asked.

    Instead: say its conclusions on it, or end with the slide before.

    Source: common practice.
    """
    spoken = [
        (path, told, turn)
        for (path, told), turn in zip(heard.slides, heard.schedule.turns, strict=True)
        if not isinstance(told.slide, FOR_REFERENCE)
    ]
    path, told, turn = spoken[-1] if spoken else ((), None, None)
    if told is None or turn is None or isinstance(told.slide, OF_WORDS):
        return
    if 0 < turn.seconds < SHORTEST_END_S:
        text = f"the last slide, `{told.slide.id}`, has {turn.seconds:.0f} s"
        yield Complaint((*path, "say"), text)


RULES = (
    Rule("slot", "error", find_overrun),
    Rule("pace", "warning", find_rush),
    Rule("silent", "warning", find_silent),
    Rule("still", "warning", find_still),
    Rule("last-slide", "warning", find_short_end),
)
