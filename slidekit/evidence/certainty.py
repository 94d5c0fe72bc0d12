"""How sure one may be of a conclusion: the words for it, and what each kind of evidence carries.

The rule is that of the weakest link: a conclusion is no surer than the least sure thing it rests
on. Logicians have held it since Theophrastus ("the conclusion follows the weaker part"); it is the
weakest link principle of J. L. Pollock, Artificial Intelligence 133 (2001), 233-282, and what
possibilistic logic makes of "and": the lesser of two certainties (D. Dubois and H. Prade,
Possibility Theory, 1988). From memory.

That holds for a chain, each link of which is needed. Strands that speak for one thing independently
make a cable, which holds more than any of its threads (C. S. Peirce, Journal of Speculative
Philosophy 2 (1868), 140-157; A. Wylie on archaeology, 1989; from memory). No program can see which
of the two an author has: that is what a reason to go beyond the weakest link is for.

The words are those of S. Kent, Words of Estimative Probability, Studies in Intelligence 8 (1964),
49-65: `almost certain` (93 %, give or take 6), `probable` (75 %, give or take 12), and `possible`
for what is not excluded and has no figure. From memory. `observed` stands above them: what is
seen and counted, before anything is made of it. `cannot be shown` is no rung of that ladder. It
says that the evidence does not decide, which one may know for sure: nothing makes it too strong,
and nothing can rest on it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeAlias

from slidekit.evidence.counts.proportions import Proportion, in_words, rounded
from slidekit.evidence.dates.years import Date
from slidekit.wording import phrase, phrase_key

Rung: TypeAlias = Literal["observed", "almost certain", "probable", "possible"]
Certainty: TypeAlias = Literal[
    "observed", "almost certain", "probable", "possible", "cannot be shown"
]

_IN_WORDS: dict[Certainty, str] = {
    "observed": phrase_key("observed"),
    "almost certain": phrase_key("almost certain"),
    "probable": phrase_key("probable"),
    "possible": phrase_key("possible"),
    "cannot be shown": phrase_key("cannot be shown"),
}

RUNGS: tuple[Rung, ...] = ("possible", "probable", "almost certain", "observed")
"""From the weakest to the strongest."""

NARROW = 0.2  # width of a 95 % interval: half of some 90 cases has it
WIDE = 0.4  # half of some 20 cases

_KENT_ALMOST_CERTAIN, _KENT_PROBABLE = 87, 63
"""Percent: the lower ends of 93 give or take 6, and of 75 give or take 12."""

_OF_CAUTIONS: dict[str, Rung | None] = {
    "empty": None,  # nothing was measured
    "clipped": "possible",  # the true value is not on the scale
    "thin": "possible",  # no sample shows it alone
    "edge": "possible",
    "extremes": "probable",  # greatest or least values of a slab lean to one side
    "few": "probable",
    "no_sd": "probable",
    "padding": "probable",  # a part of it was not measured
    "cut_off": "probable",
    "resampled": "almost certain",  # values between the samples are computed
}


@dataclass(frozen=True)
class Strength:
    """How much one piece of evidence carries at most; None: no conclusion at all.

    `because` is a clause that can follow a colon, "" where nothing speaks against `observed`.
    """

    carries: Rung | None
    because: str = ""

    @property
    def rank(self) -> int:
        """0 for what carries nothing, up to 4."""
        return RUNGS.index(self.carries) + 1 if self.carries else 0


FULL = Strength("observed")


@dataclass(frozen=True)
class Link:
    """One thing that a conclusion rests on: "the region `tar`"."""

    called: str
    strength: Strength


def certainty_in_words(certainty: Certainty) -> str:
    """As the audience reads and hears it, in the language of the talk."""
    return phrase(_IN_WORDS[certainty])


def is_too_strong(certainty: Certainty, strength: Strength) -> bool:
    """Whether a conclusion claims more than one of its links carries."""
    return certainty != "cannot be shown" and RUNGS.index(certainty) + 1 > strength.rank


def weakest(links: Iterable[Link]) -> Link | None:
    """The first of the least strong links; None of no links."""
    return min(links, key=lambda link: link.strength.rank, default=None)


def of_region(certainty: Rung) -> Strength:
    """Something seen is as sure as its identification."""
    return _strength(certainty, "that is how surely it is identified")


def of_finding(certainty: Certainty) -> Strength:
    """A conclusion drawn before is as sure as it was called there."""
    if certainty == "cannot be shown":
        return Strength(None, "it cannot be shown itself")
    return _strength(certainty, "that is how certain it is itself")


def of_measure(cautions: Iterable[tuple[str, str]]) -> Strength:
    """A measured value is as good as the worst of what speaks against it: (kind, clause) each."""
    found = [Strength(_OF_CAUTIONS[kind], clause) for kind, clause in cautions]
    return min(found, key=lambda strength: strength.rank, default=FULL)


def of_count(count: Proportion) -> Strength:
    """A count speaks of cases, and a finding of more than those: never `observed`.

    The width of the 95 % interval says what chance may do. Where the cases of which it is not
    known could move the share out of that interval, they may do more, and it carries a rung less.
    """
    low, high = count.interval
    width = high - low
    rank = 3 if width <= NARROW else 2 if width <= WIDE else 1
    because = f"its 95 % interval is {count.percent_interval}"
    if count.missing:
        whole = count.n + count.missing
        if count.k / whole < low or (count.k + count.missing) / whole > high:
            rank = max(rank - 1, 1)
            because += f", and of {in_words(count.missing)} more cases it is not known"
    return Strength(RUNGS[rank - 1], because)


def of_comparison(p: Fraction) -> Strength:
    """A difference between two groups, by the p of its test.

    Below 0.005 a difference counts as shown, from there to 0.05 as suggested (D. J. Benjamin and
    others, Redefine statistical significance, Nature Human Behaviour 2 (2018), 6-10; from memory).
    """
    if p < Fraction(5, 1000):
        return Strength("almost certain", "a difference in a sample is never quite beyond chance")
    p_in_words = f"p = {rounded(p, 3)}"
    if p < Fraction(5, 100):
        return Strength("probable", f"its difference is hardly chance, but may be ({p_in_words})")
    return Strength("possible", f"its difference may well be chance ({p_in_words})")


def of_materials() -> Strength:
    """What CT numbers leave possible is possible: many substances share a CT number, and one that
    nobody compared may fit as well."""
    return Strength("possible", "CT numbers alone do not name a substance")


def of_contrast(interval: tuple[float, float], cautions: Iterable[tuple[str, str]]) -> Strength:
    """Two measured regions differ as surely as their 95 % interval stays clear of nothing, and no
    more surely than their values are measured."""
    low, high = interval
    if low <= 0 <= high:
        return Strength("possible", "its difference may well be chance")
    shown = Strength("almost certain", "a difference of samples is never quite beyond chance")
    return min(shown, of_measure(cautions), key=lambda strength: strength.rank)


def of_agreement(kappa: Fraction | None) -> Strength:
    """What two readers read, by their kappa.

    Above 0.8 it is almost perfect, above 0.6 substantial (J. R. Landis and G. G. Koch, Biometrics
    33 (1977), 159-174).
    """
    if kappa is None:
        return Strength("possible", "whether its readers agree beyond chance cannot be told")
    because = f"its readers agree with kappa {rounded(kappa, 2)}"
    if kappa > Fraction(8, 10):
        return Strength("almost certain", because)
    return Strength("probable" if kappa > Fraction(6, 10) else "possible", because)


def of_quoted(*, possible: bool) -> Strength:
    """A number of somebody else: taken on trust, and less if no count can give it."""
    if not possible:
        return Strength("possible", "no count can give it")
    return Strength("probable", "it was counted by somebody else")


def of_source() -> Strength:
    """What somebody else has written: taken on trust."""
    return Strength("probable", "it is somebody else’s word")


def of_dates(*dates: Date) -> Strength:
    """A span or moment is as sure as the least sure of its dates.

    "1984?" is in EDTF "possibly the year 1984, but not definitely", "1984~" an estimate (Library
    of Congress, EDTF specification, 2019).
    """
    if any(date.uncertain for date in dates):
        return Strength("possible", "its date is uncertain")
    if any(date.approximate for date in dates):
        return Strength("almost certain", "its date is approximate")
    return FULL


def of_stage(here: str, shown: Iterable[Strength]) -> Strength:
    """What a case shows of a stage of an account is as sure as what shows it; that something was
    not done is never observed, and what nobody can assess carries nothing."""
    if here == "not assessable":
        return Strength(None, "it cannot be assessed in this case")
    limit = Strength("probable", "what is absent may only have gone") if here == "absent" else FULL
    return min((limit, *shown), key=lambda strength: strength.rank)


def of_span(earliest: Date, latest: Date) -> Strength:
    """An event that is known only to lie between two dates."""
    span = Strength("almost certain", "it is known only to lie between two dates")
    return min(span, of_dates(earliest, latest), key=lambda strength: strength.rank)


def of_calibrated(percent: float) -> Strength:
    """A radiocarbon range, by how probable it is: 95.4 % lies within Kent's figures for `almost
    certain`, 68.3 % within those for `probable`."""
    because = f"its radiocarbon range is {percent:g} % probable"
    if percent >= _KENT_ALMOST_CERTAIN:
        return Strength("almost certain", because)
    return Strength("probable" if percent >= _KENT_PROBABLE else "possible", because)


def of_alternatives(reasons: Iterable[str]) -> Strength:
    """What may also be is no observation; and where nothing makes it less likely, neither of the
    two is probable. `reasons`: why each alternative is less likely, "" for none."""
    given = list(reasons)
    if not given:
        return FULL
    if not all(given):
        return Strength("possible", "nothing says why it is less likely")
    return Strength("almost certain", "what is observed has none, only what it means")


def _strength(certainty: Rung, because: str) -> Strength:
    return FULL if certainty == "observed" else Strength(certainty, because)
