"""Rules about time: the slot, and what each slide has of it."""

from slidekit.checks.heard import Heard
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.scene.schedule import clock
from slidekit.storyboard.slides import CreditsSlide

LONGEST_STILL_S = 120.0
"""A slide that does not change for longer loses the audience (common practice)."""


def find_overrun(heard: Heard) -> Findings:
    """Words that take longer than the slot.

    Why: the chair stops the talk before its conclusions, or the next speaker loses the time.

    Instead: shorten the words, give slides to the handout, or ask for a longer slot.

    Source: common practice.
    """
    over = -heard.schedule.left_s
    if over > 0:
        took = clock(heard.schedule.seconds)
        text = f"the words take {took} and run {clock(over)} over the slot"
        yield Complaint(("talk", "slot_min"), text)


def find_silent(heard: Heard) -> Findings:
    """A slide without words, other than the credits.

    Why: a slide that nobody speaks of is skipped, or filled with words that nobody has timed.

    Instead: write what you say in `say`, or remove the slide.

    Source: common practice.
    """
    for path, told in heard.slides:
        if not told.speech.paragraphs and not isinstance(told.slide, CreditsSlide):
            yield Complaint(path, f"slide `{told.slide.id}` has no words")


def find_still(heard: Heard) -> Findings:
    """A slide on which nothing changes for longer than two minutes.

    Why: eyes that have nothing new to see wander off, and the ears follow. A slide with a moving
    picture never counts as still.

    Instead: bring marks on one by one with [show …], or part the slide in two.

    Source: common practice.
    """
    for (path, told), turn in zip(heard.slides, heard.schedule.turns, strict=True):
        still = 0.0 if turn.moving else turn.seconds / (told.page.steps + 1)
        if still > LONGEST_STILL_S:
            text = f"slide `{told.slide.id}` changes only every {clock(still)} of its words"
            yield Complaint((*path, "say"), text)


RULES = (
    Rule("slot", "error", find_overrun),
    Rule("silent", "warning", find_silent),
    Rule("still", "warning", find_still),
)
