"""Quoted percentages and means that no count can give."""

from collections.abc import Iterator
from fractions import Fraction

from slidekit.errors import Fault
from slidekit.evidence.counts.proportions import rounded
from slidekit.evidence.counts.quoted import (
    Quoted,
    add_up,
    are_possible,
    impossible_parts,
    possible_denominators,
)
from slidekit.storyboard.source import Source
from slidekit.storyboard.tables import QuotedNumber

_MOST_TRIED = 10_000  # cases; small n are what shows
_INSTEAD = "Look at the source again, or say under `although` why you quote it all the same"


def find_quoted_faults(source: Source) -> Iterator[Fault]:
    """One fault for each number that cannot be; none where `although` gives a reason."""
    for name, quoted in source.board.quoted.items():
        wrong = None if quoted.although else what_is_wrong(quoted)
        if wrong:
            yield source.places.fault(("quoted", name), wrong, _INSTEAD)


def what_is_wrong(quoted: QuotedNumber) -> str | None:
    """Why no count can give the number, in a sentence; None if one can, or nobody can tell."""
    if quoted.parts:
        return _about_parts([Quoted(text) for text in quoted.parts.values()], quoted.n)
    number = Quoted(quoted.mean, 1) if quoted.mean else Quoted(quoted.percent or "0")
    if quoted.percent and number.value > 100:
        return f"{number.text} % is more than the whole"
    if quoted.n is None or number.counts(quoted.n):
        return None
    return _impossible(number, quoted.n) + _could_be([number], quoted.n)


def fitting_n(quoted: QuotedNumber, most: int) -> tuple[int, ...]:
    """Every n up to `most` of which the quoted percentages can be; () for a mean."""
    texts = tuple(quoted.parts.values()) or ((quoted.percent,) if quoted.percent else ())
    parts = [Quoted(text) for text in texts]
    return possible_denominators(parts, most) if parts else ()


def _impossible(number: Quoted, n: int) -> str:
    """ "no count of 34 gives 27 %: nine is 26 %, ten is 29 %"."""
    sign = " %" if number.scale == 100 else ""
    near = dict.fromkeys(number.nearest_counts(n))
    gives = ", ".join(f"{k} of {n} is {_written(number, k, n)}{sign}" for k in near)
    if number.scale == 1:
        gives = ", ".join(f"a sum of {k} gives {_written(number, k, n)}" for k in near)
    return f"no whole number of {n} gives {number.text}{sign}: {gives}"


def _written(number: Quoted, k: int, n: int) -> str:
    return rounded(Fraction(k * number.scale, n), number.decimals)


def _about_parts(parts: list[Quoted], n: int | None) -> str | None:
    if not add_up(parts):
        total = sum(part.value for part in parts)
        return f"the parts add up to {float(total):g} %, which rounding does not explain"
    if n is None:
        if are_possible_somewhere(parts):
            return None
        return f"there is no number of cases up to {_MOST_TRIED} of which all parts can be"
    if impossible := [_impossible(part, n) for part in impossible_parts(parts, n)]:
        return "; ".join(dict.fromkeys(impossible)) + _could_be(parts, n)
    if not are_possible(parts, n):
        return f"the parts cannot be whole counts that add up to {n}{_could_be(parts, n)}"
    return None


def _could_be(parts: list[Quoted], n: int) -> str:
    """The numbers of cases next to n, below and above, that it can be of; or nothing."""
    fits = [
        next((m for m in tried if are_possible(parts, m)), None)
        for tried in (range(n - 1, 0, -1), range(n + 1, n + _MOST_TRIED))
    ]
    near = " or of ".join(str(m) for m in fits if m is not None)
    return f"; it could be of {near}" if near else ""


def are_possible_somewhere(parts: list[Quoted]) -> bool:
    """Whether any number of cases fits all parts."""
    telling = max(part.telling_below for part in parts)
    return any(are_possible(parts, n) for n in range(1, min(telling * 2, _MOST_TRIED) + 1))
