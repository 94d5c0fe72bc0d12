"""Rules about seeing: from the back row, in grey, with any of the common kinds of colour vision."""

from slidekit.checks.deck import lint_deck
from slidekit.checks.heard import Heard
from slidekit.checks.rules.rule import Complaint, Findings, Rule


def find_deck_flaws(heard: Heard) -> Findings:
    """What a valid deck can still have wrong: clicks, alternative texts, titles, languages, places.

    Why: a deck can open without complaint and still lose its clicks, show "Click to add text" or be
    mute to a screen reader.

    Instead: slidekit should have written it rightly. Please report the line that `check` prints.

    Source: ECMA-376 Part 1, 19.3 and 19.5; WCAG 2.2, 1.1.1, 2.4.2 and 3.1.2.
    """
    if heard.deck is not None:
        yield from (Complaint((), fault) for fault in lint_deck(heard.deck))


RULES = (Rule("deck", "error", find_deck_flaws),)
