"""Numbers typed by hand beside counts: they stay as they are when the table changes.

Only three forms are looked at, and only against the counts of the same page, so that a millimetre
or a date is never taken for a share: "seven of 64", "11 %" and "one in nine".
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from slidekit.checks.english.numbers import NUMBER, number_of
from slidekit.evidence.counts.proportions import Proportion
from slidekit.evidence.counts.quoted import Quoted
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.parts import Part
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.printed import PLACEHOLDER, numbers_printed_in
from slidekit.storyboard.slides import OwnSlide, SeriesSlide
from slidekit.storyboard.tallies import Tallies
from slidekit.storyboard.words import Words, parse_words, placeholders

_OF = re.compile(rf"\b({NUMBER})\s+(?:out\s+)?of\s+(?:the\s+|all\s+)?({NUMBER})\b", re.I)
_PERCENT = re.compile(rf"\b({NUMBER})\s*(?:%|per\s?cent\b)", re.I)
_ONE_IN = re.compile(rf"\b({NUMBER})\s+in\s+({NUMBER})\b", re.I)
_CONFIDENCE = {90, 95, 99}
_NEAR = Fraction(15, 100)  # how far "one in nine" may be from the share, of the share


@dataclass(frozen=True)
class Mistold:
    """One typed number that is not so."""

    field: FieldPath
    text: str


@dataclass(frozen=True)
class Copied:
    """One typed number that is so, and the placeholder that says it."""

    field: FieldPath
    words: str
    name: str
    placeholder: str


def find_mistold(page: OwnSlide | Panel, tallies: Tallies) -> Iterator[Mistold]:
    """Every typed share on the page that none of its counts and quoted numbers has."""
    shares = _Shares(page, tallies)
    if not shares.counts:
        return
    for path, text in _typed(page):
        for pattern, is_told in (
            (_OF, shares.tells_of),
            (_PERCENT, shares.tells_percent),
            (_ONE_IN, shares.tells_in),
        ):
            for found in pattern.finditer(text):
                is_about_others = _is_of_others(text[found.end() :], tallies)
                if not is_about_others and not is_told(*map(number_of, found.groups())):
                    yield Mistold(path, shares.complaint(found[0]))


def find_copied(page: OwnSlide | Panel, tallies: Tallies) -> Iterator[Copied]:
    """Every typed share on the page that one of its counts has."""
    shares = _Shares(page, tallies)
    for path, text in _typed(page) if shares.counts else ():
        for found in _OF.finditer(text):
            k, n = map(number_of, found.groups())
            if _is_of_others(text[found.end() :], tallies):
                continue
            for name in (name for name, one in shares.counts.items() if one.k == k and one.n == n):
                yield Copied(path, found[0], name, f"{{{name}}}")
        for found in _PERCENT.finditer(text):
            typed = number_of(found[1])
            if _is_of_others(text[found.end() :], tallies):
                continue
            for name in (name for name, one in shares.counts.items() if _percent(one) == typed):
                yield Copied(path, found[0], name, f"{{{name}.percent}}")


_PLURAL = re.compile(r"\s+(?:of\s+(?:the\s+|all\s+|our\s+|these\s+)*)?([^\W\d_]{2,}s)\b")
_NO_NOUNS = {"has", "is", "was", "does", "this", "its", "cases"}


def _is_of_others(after: str, tallies: Tallies) -> bool:
    """Whether "three of nine" goes on with what is in no table: "days"."""
    found = _PLURAL.match(after)
    cases = {tally.table.cases_called for tally in tallies.counts.values()}
    return found is not None and found[1].lower() not in _NO_NOUNS | cases


def _percent(proportion: Proportion) -> Fraction:
    return Fraction(proportion.percent.removesuffix("%").strip())


class _Shares:
    """What may be said on a page."""

    def __init__(self, page: OwnSlide | Panel, tallies: Tallies) -> None:
        names = _numbers_on(page, tallies)
        counts = [name for name in names if name in tallies.counts]
        for name in names:
            if name in tallies.comparisons:
                counts += tallies.comparisons[name].comparison.counts
        self.counts = {name: tallies.counts[name].proportion for name in dict.fromkeys(counts)}
        agreements = [tallies.agreements[name] for name in names if name in tallies.agreements]
        self.pairs = [(one.kappa.same, one.kappa.n) for one in agreements]
        quotes = [tallies.quoted[name].written for name in names if name in tallies.quoted]
        self.quoted = {
            Fraction(text) for one in quotes for text in (one.percent, *one.parts.values()) if text
        }
        self.pairs += [
            (k, one.n) for one in quotes if one.percent and one.n
            for k in Quoted(one.percent).counts(one.n)
        ]  # fmt: skip

    def tells_of(self, k: Fraction, n: Fraction) -> bool:
        """Whether "k of n" is one of the counts, or is about something else altogether."""
        pairs = [(one.k, one.n) for one in self.counts.values()] + self.pairs
        if any(k == part and n == whole for part, whole in pairs):
            return True
        like = any(n == whole for _, whole in pairs) or any(
            k == part and abs(n - whole) <= max(2, whole // 10) for part, whole in pairs
        )
        return not like

    def tells_percent(self, percent: Fraction) -> bool:
        """Whether "11 %" is a share, the end of an interval, or a level of confidence."""
        if percent in self.quoted or percent in _CONFIDENCE or percent in (0, 100):
            return True
        return any(_is_percent_of(percent, one) for one in self.counts.values())

    def tells_in(self, a: Fraction, b: Fraction) -> bool:
        """Whether "one in nine" is about one of the shares."""
        if not 0 < a < b:
            return True  # "two in one", "ten in 1950"
        shares = [one.share for one in self.counts.values()]
        return any(abs(a / b - share) <= _NEAR * min(share, 1 - share) for share in shares)

    def complaint(self, typed: str) -> str:
        """The typed number, and what was counted."""
        said = [
            f"{{{name}}} is {one.k} of {one.n}, {one.percent}, {one.words}"
            for name, one in self.counts.items()
        ]
        words = " ".join(typed.split())
        return f"“{words}” is typed, and {'; '.join(said)}".replace("\N{NO-BREAK SPACE}", " ")


def _is_percent_of(percent: Fraction, proportion: Proportion) -> bool:
    """Rounding to whole percents or to a tenth may go either way at a tie."""
    slack = Fraction(1, 2) if percent.denominator == 1 else Fraction(1, 20)
    ends = (Fraction(end) for end in proportion.interval)
    return any(abs(share * 100 - percent) <= slack for share in (proportion.share, *ends))


def _numbers_on(page: OwnSlide | Panel, tallies: Tallies) -> tuple[str, ...]:
    """Numbers that the page draws, prints or says, each once."""
    drawn = page.counts if isinstance(page, SeriesSlide | Panel) else ()
    said = [place.name for place in placeholders(parse_words(_say(page)))]
    printed = numbers_printed_in(page, tallies)
    return tuple(dict.fromkeys([*drawn, *printed, *(one for one in said if one in tallies)]))


def _say(page: OwnSlide | Panel) -> str:
    return "" if isinstance(page, Panel) else page.say


def _typed(page: OwnSlide | Panel) -> Iterator[tuple[FieldPath, str]]:
    """What the author wrote himself, placeholders left out, with its field."""
    for paragraph in parse_words(_say(page)):
        pieces = [one.text if isinstance(one, Words) else "|" for one in paragraph.tokens]
        yield ("say",), "".join(pieces)
    yield from _printed(page, (), lambda text: PLACEHOLDER.sub("|", text))


def _printed(
    part: object, path: FieldPath, without: Callable[[str], str]
) -> Iterator[tuple[FieldPath, str]]:
    match part:
        case str():
            yield path, without(part)
        case Part():
            for name in type(part).model_fields:
                if name != "say":
                    yield from _printed(getattr(part, name), (*path, name), without)
        case tuple():
            for i, inner in enumerate(part):
                yield from _printed(inner, (*path, i), without)
