"""Rules about numbers: what is said and printed is what was counted."""

from slidekit.checks.heard import Heard, mentions
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.checks.typed_numbers import find_mistold
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.slides import OwnSlide, SeriesSlide
from slidekit.storyboard.tallies import Tallies
from slidekit.storyboard.words import parse_words


def find_unspoken_counts(heard: Heard) -> Findings:
    """A count on the screen whose number the words never say.

    Why: the audience reads every row of a chart and waits to hear what it means.

    Instead: say its number, as in {side_hole} or {side_hole.words}, or take it off the slide.

    Source: common practice.
    """
    for path, told in heard.slides:
        if isinstance(told.slide, SeriesSlide):
            parts = mentions(parse_words(told.slide.say))
            spoken = {name for name, part in parts if part != "show"}
            for i, name in enumerate(told.slide.counts):
                if name not in spoken | _compared_counts(spoken, heard.tallies):
                    text = f"count `{name}` is on the slide, and the words never say its number"
                    yield Complaint((*path, "counts", i), text, name)


def _compared_counts(spoken: set[str], tallies: Tallies) -> set[str]:
    """Counts that are said as parts of a comparison."""
    comparisons = [tallies.comparisons[name] for name in spoken & set(tallies.comparisons)]
    return {name for one in comparisons for name in one.comparison.counts}


def find_typed_numbers(heard: Heard) -> Findings:
    """A share typed into words or print that is not what was counted on the same page.

    Why: a typed number stays as it is when the table changes, and then slide and speech differ.

    Instead: write the count's own placeholder, as in {side_hole} or {side_hole.percent}.

    Source: common practice.
    """
    slides: list[tuple[FieldPath, OwnSlide | Panel]] = [
        (path, told.slide) for path, told in heard.slides
    ]
    panels = heard.source.board.panels.items()
    for path, page in (*slides, *((("panels", name), panel) for name, panel in panels)):
        for flaw in find_mistold(page, heard.tallies):
            yield Complaint((*path, *flaw.field), flaw.text)


RULES = (
    Rule("unspoken-count", "warning", find_unspoken_counts),
    Rule("typed-number", "error", find_typed_numbers),
)
