"""Rules about numbers: what is said and printed is what was counted."""

from collections.abc import Iterator

from slidekit.checks.english.sums import impossible_percentages, wrong_totals
from slidekit.checks.english.typed import Typed
from slidekit.checks.english.typed_dates import typed_dates_in
from slidekit.checks.english.typed_measures import typed_measures_in
from slidekit.checks.english.typed_numbers import find_copied, find_mistold
from slidekit.checks.heard import Heard, mentions
from slidekit.checks.rules.rule import Complaint, Findings, Rule
from slidekit.checks.written import all_words, fields_of, sentences
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
    for path, page in _pages(heard):
        for flaw in find_mistold(page, heard.tallies):
            yield Complaint((*path, *flaw.field), flaw.text)


def _pages(heard: Heard) -> Iterator[tuple[FieldPath, OwnSlide | Panel]]:
    yield from ((path, told.slide) for path, told in heard.slides)
    yield from ((("panels", name), panel) for name, panel in heard.source.board.panels.items())


def find_typed_measures(heard: Heard) -> Findings:
    """A length, angle, mean or date typed by hand that is not that of the thing it belongs to.

    Why: when an outline is mended or a date corrected, what was typed stays as it was. Looked at
    are sentences with one such number and one region, period or event that has it, named in braces
    or by the noun it is called; not what should, would or is usually so, and not distances to
    something else.

    Instead: write {gap.length}, {lean.angle}, {coil.mean} or {late_bronze}.

    Source: common practice.
    """
    for one in _typed(heard):
        if not one.agrees:
            text = f"“{one.words}” is typed, and {one.placeholder} is {one.known}"
            yield Complaint(one.field, text, one.name, one.before)


def _typed(heard: Heard) -> Iterator[Typed]:
    for path, told in heard.slides:
        for field, text in fields_of(heard, path, told.slide):
            for sentence in sentences(text):
                yield from typed_measures_in(field, sentence, heard, told)
                yield from typed_dates_in(field, sentence, heard)


def find_copied_numbers(heard: Heard) -> Findings:
    """A typed number that a placeholder would say.

    Why: today it is right. When the table, an outline or a date changes it will stay as it is.

    Instead: write the placeholder that is named.

    Source: common practice.
    """
    for path, page in _pages(heard):
        for copy in find_copied(page, heard.tallies):
            text = f"“{copy.words}” is typed: write {copy.placeholder}"
            yield Complaint((*path, *copy.field), text, copy.name)
    for one in _typed(heard):
        if one.agrees:
            text = f"“{one.words}” is typed: write {one.placeholder}"
            yield Complaint(one.field, text, one.name, one.before)


def find_impossible_percentages(heard: Heard) -> Findings:
    """A percentage that no whole number of its cases gives.

    Why: 34 % of nine urns cannot be: three of nine are 33 %, four are 44 %. One of the two numbers
    is wrong. Rounding may go either way; "about" and "more than" are left alone.

    Instead: count again, and write a count's placeholder, as in {side_hole.percent}.

    Source: N. J. L. Brown and J. A. J. Heathers, Soc. Psychol. Personal. Sci. 8 (2017), 363-369.
    """
    for path, text in all_words(heard):
        for sentence in sentences(text):
            for wrong in impossible_percentages(sentence.typed):
                yield Complaint(path, wrong, before=sentence.before)


def find_wrong_totals(heard: Heard) -> Findings:
    """Parts that do not add up to the total of their sentence.

    Why: "twelve men, nine women and four children, 26 in all": somebody in the room adds them up.
    Looked at are sentences with "in all", "in total", "altogether" or "a total of", and at least
    two whole numbers besides; some of them must add up.

    Instead: add again, or write the placeholders of the counts.

    Source: common practice.
    """
    for path, told in heard.slides:
        for sentence in sentences(told.speech.text):
            for wrong in wrong_totals(sentence.typed):
                yield Complaint((*path, "say"), wrong)


RULES = (
    Rule("unspoken-count", "warning", find_unspoken_counts),
    Rule("typed-number", "error", find_typed_numbers),
    Rule("typed-measure", "error", find_typed_measures, english_only=True),
    Rule("placeholder", "note", find_copied_numbers, english_only=True),
    Rule("impossible-percent", "error", find_impossible_percentages),
    Rule("total", "error", find_wrong_totals, english_only=True),
)
