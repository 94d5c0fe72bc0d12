"""What a record says of counted and quoted numbers: enough to count them again."""

from typing import Any

from slidekit.evidence.counts.proportions import Interval
from slidekit.evidence.counts.quoted import Quoted
from slidekit.storyboard.quoted import fitting_n, what_is_wrong
from slidekit.storyboard.tables import Condition
from slidekit.storyboard.tallies import Agreed, Compared, Quote, Tallies, Tally

MOST_FITTING = 100
"""Cases up to which a record lists of how many a quoted percentage can be."""

Json = dict[str, Any]


def numbers_record(tallies: Tallies) -> Json:
    """Counts, comparisons, agreements and quoted numbers; of a table only its size, and never
    what its cases are called: they may be people."""
    return {
        "tables": {name: {"cases": len(cases)} for name, cases in tallies.tables.items()},
        "counts": {name: _count(tally) for name, tally in tallies.counts.items()},
        "comparisons": {name: _compared(one) for name, one in tallies.comparisons.items()},
        "agreements": {name: _agreed(one) for name, one in tallies.agreements.items()},
        "quoted": {name: _quoted(one) for name, one in tallies.quoted.items()},
    }


def _count(tally: Tally) -> Json:
    proportion, count = tally.proportion, tally.count
    return {
        "called": count.called,
        "table": count.table,
        "of": count.of,
        "where": [_condition(one) for one in count.where],
        "k": proportion.k,
        "n": proportion.n,
        "missing": proportion.missing,
        "percent": _plain(proportion.percent),
        "interval_95": _ends(proportion.interval),
        "method": "Wilson score interval",
        "spoken": proportion.spoken,
        "words": proportion.words,
    }


def _condition(condition: Condition) -> Json:
    value = list(condition.values) or condition.bound
    return {"column": condition.column, condition.test: value}


def _compared(compared: Compared) -> Json:
    ratio = compared.odds_ratio
    return {
        "counts": list(compared.comparison.counts),
        "cells": [list(row) for row in compared.cells],
        "fisher_p": round(float(compared.p), 9),
        "odds_ratio": None if ratio is None else round(float(ratio), 6),
        "difference_interval_95": _ends(compared.difference),
        "method": "Fisher's exact test, two-sided; Newcombe's score interval of the difference",
    }


def _agreed(agreed: Agreed) -> Json:
    kappa = agreed.kappa
    return {
        "kappa": None if kappa.value is None else round(float(kappa.value), 6),
        "interval_95": None if kappa.interval is None else _ends(kappa.interval),
        "same": kappa.same,
        "n": kappa.n,
        "missing": agreed.missing,
        "method": "Cohen's kappa, unweighted",
    }


def _quoted(quote: Quote) -> Json:
    quoted = quote.written
    record: Json = {"source": quote.say("source"), "n": quoted.n, "although": quoted.although}
    if quoted.mean is not None:
        record["mean"] = quoted.mean
    elif quoted.percent is not None:
        record["percent"] = quoted.percent
        record["counts"] = list(Quoted(quoted.percent).counts(quoted.n)) if quoted.n else None
    else:
        record["parts"] = dict(quoted.parts)
    if quoted.n is None:
        record["can_be_of"] = list(fitting_n(quoted, MOST_FITTING))
    record["possible"] = what_is_wrong(quoted) is None
    return record


def _ends(interval: Interval) -> list[float]:
    return [round(end, 6) for end in interval]


def _plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")
