"""Arithmetic that a listener can do: a percentage of so many, parts and their total."""

import re
from collections.abc import Iterator
from itertools import combinations

from slidekit.checks.english.numbers import MULTIPLES, NUMBER, number_of
from slidekit.evidence.counts.quoted import Quoted

_VAGUE = ("about", "almost", "nearly", "roughly", "around", "over", "under", "than", "to")
_ROUGHLY = "".join(rf"(?<!{word}\s)" for word in _VAGUE)
_PERCENT_OF = re.compile(
    rf"{_ROUGHLY}(?<![\d.,–-])(\d+(?:\.\d+)?)\s?(?:%|per\s?cent)\s+"
    rf"(?:of\s+(?:the\s+|all\s+|these\s+|those\s+)*({NUMBER})\s+([^\W\d_]+)|\(n\s?=\s?(\d+)\))",
    re.I,
)
_UNITS = {
    "mm", "cm", "m", "km", "metres", "meters", "millimetres", "millimeters", "centimetres",
    "centimeters", "g", "kg", "grams", "kilograms", "years", "hours", "minutes", "days", "degrees",
    "hu", "million", "thousand", "hundred", "litres", "percent", "euros", "pounds",
}  # fmt: skip


def impossible_percentages(typed: str) -> Iterator[str]:
    """Percentages of a number of cases that no whole count gives, each with what would."""
    for found in _PERCENT_OF.finditer(typed):
        n = number_of(found[2] or found[4])
        if (found[3] or "").lower() in _UNITS or n.denominator != 1 or n < 1:
            continue
        quoted = Quoted(found[1])
        if quoted.value <= 100 and not quoted.counts(int(n)):
            low, high = quoted.nearest_counts(int(n))
            shares = " and ".join(f"{k} of {n} is {float(100 * k / n):.1f} %" for k in (low, high))
            yield f"no whole number of {n} is {found[1]} %: {shares}"


_TOTAL = re.compile(
    rf"\b({NUMBER})(?:\s+[^\W\d_]+)?\s+(?:in all|in total|altogether|all told)\b"
    rf"|\ba total of ({NUMBER})\b",
    re.I,
)
_PART = re.compile(rf"\b(?<![.,])({NUMBER})\b(?![.,]\d|\s?%)", re.I)
_NOT_A_SUM = re.compile(
    rf"\b(?:each|every|per|times|at least|more|less|than|of|half|{'|'.join(MULTIPLES)}"
    r"|1\d{3}|20\d\d)\b|×",
    re.I,
)


def wrong_totals(typed: str) -> Iterator[str]:
    """Totals that no parts of their sentence add up to."""
    totals = list(_TOTAL.finditer(typed))
    if len(totals) != 1 or _NOT_A_SUM.search(typed.replace("a total of", "")):
        return
    (found,) = totals
    total = number_of(found[1] or found[2])
    rest = typed[: found.start()] + "|" + typed[found.end() :]
    parts = [number_of(part[1]) for part in _PART.finditer(rest)]
    parts = [part for part in parts if part.denominator == 1]
    sums = {sum(some) for size in range(2, len(parts) + 1) for some in combinations(parts, size)}
    if 2 <= len(parts) <= 8 and total not in sums:
        yield f"{' and '.join(map(str, parts))} make {sum(parts)}, and the words say {total} in all"
