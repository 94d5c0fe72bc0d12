"""Outside: the order and the figures of S. Kent, Words of Estimative Probability (1964); the words
of the EDTF specification; the bands of Landis and Koch (1977); Benjamin and others (2018). The
figures of Kent and of Benjamin are from memory."""

from fractions import Fraction
from itertools import pairwise
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.evidence.certainty import (
    FULL,
    RUNGS,
    Link,
    Strength,
    is_too_strong,
    of_agreement,
    of_alternatives,
    of_calibrated,
    of_comparison,
    of_contrast,
    of_count,
    of_dates,
    of_finding,
    of_materials,
    of_measure,
    of_quoted,
    of_region,
    of_span,
    of_stage,
    weakest,
)
from slidekit.evidence.counts.proportions import Proportion
from slidekit.evidence.dates.parse import parse_date
from slidekit.scans.measures.on_planes import CautionKind

KENT = {"almost certain": (87, 99), "probable": (63, 87)}  # percent; "possible" has no figure


def test_the_words_stand_in_the_order_of_their_published_figures():
    figures = [KENT[rung] for rung in RUNGS if rung in KENT]
    assert all(low[1] <= high[0] for low, high in pairwise(figures))
    assert (RUNGS[0], RUNGS[-1]) == ("possible", "observed")


@given(st.lists(st.sampled_from([None, *RUNGS]), min_size=1, max_size=6))
def test_a_conclusion_may_be_as_sure_as_its_weakest_link_and_no_surer(carried):
    link = weakest([Link(str(i), Strength(one)) for i, one in enumerate(carried)])
    assert link is not None
    allowed = [rung for rung in RUNGS if not is_too_strong(rung, link.strength)]
    expected = [] if None in carried else RUNGS[: min(map(RUNGS.index, carried)) + 1]
    assert allowed == list(expected)


@pytest.mark.parametrize("carries", [None, *RUNGS])
def test_that_something_cannot_be_shown_is_never_too_strong(carries):
    assert not is_too_strong("cannot be shown", Strength(carries))


def test_nothing_rests_on_what_cannot_be_shown():
    assert all(is_too_strong(rung, of_finding("cannot be shown")) for rung in RUNGS)


def test_what_is_seen_is_as_sure_as_its_identification():
    assert of_region("observed") == FULL
    assert of_region("possible") == Strength("possible", "that is how surely it is identified")


def test_a_measured_value_is_as_good_as_the_worst_that_speaks_against_it():
    assert of_measure([]) == FULL
    cautions = [("resampled", "it lies between samples"), ("thin", "it is too thin")]
    assert of_measure(cautions) == Strength("possible", "it is too thin")
    assert of_measure([("empty", "no sample lies in it")]).carries is None


# 7 of 62: Wilson 5.6 to 21.5 %, 16 points; 5 of 7: 35.9 to 91.8 %, 56 points (Newcombe 1998)
@pytest.mark.parametrize(
    ("k", "n", "carries"),
    [(7, 62, "almost certain"), (10, 20, "possible"), (10, 24, "probable"), (5, 7, "possible")],
)
def test_a_count_carries_less_the_wider_its_interval(k, n, carries):
    assert of_count(Proportion(k, n)).carries == carries


def test_a_count_is_never_an_observation_of_more_than_its_cases():
    assert of_count(Proportion(500_000, 1_000_000)).carries == "almost certain"


def test_unknown_cases_count_when_they_could_do_more_than_chance():
    few, many = Proportion(7, 62, 2), Proportion(7, 62, 12)
    assert of_count(few).carries == "almost certain"
    assert of_count(many) == Strength(
        "probable",
        "its 95 % interval is 6 to 22\N{NO-BREAK SPACE}%, and of twelve more cases it is not known",
    )


@pytest.mark.parametrize(
    ("p", "carries"),
    [
        (Fraction(1, 1000), "almost certain"),
        (Fraction(5, 1000), "probable"),
        (Fraction(49, 1000), "probable"),
        (Fraction(5, 100), "possible"),
    ],
)
def test_a_difference_is_suggested_below_0_05_and_shown_below_0_005(p, carries):
    assert of_comparison(p).carries == carries


@pytest.mark.parametrize(
    ("kappa", "carries"),
    [
        (Fraction(81, 100), "almost certain"),
        (Fraction(80, 100), "probable"),
        (Fraction(61, 100), "probable"),
        (Fraction(60, 100), "possible"),
        (None, "possible"),
    ],
)
def test_two_readers_carry_what_their_kappa_is_called(kappa, carries):
    assert of_agreement(kappa).carries == carries


def test_a_quoted_number_is_taken_on_trust():
    assert of_quoted(possible=True).carries == "probable"
    assert of_quoted(possible=False) == Strength("possible", "no count can give it")


@pytest.mark.parametrize(
    ("written", "carries"),
    [
        ("1984", "observed"),
        ("1984~", "almost certain"),
        ("1984?", "possible"),
        ("1984%", "possible"),
    ],
)
def test_a_date_is_as_sure_as_edtf_says_of_its_mark(written, carries):
    assert of_dates(parse_date("1066"), parse_date(written)).carries == carries


# 93 % give or take 6 is almost certain, 75 % give or take 12 probable (Kent 1964; from memory)
@pytest.mark.parametrize(
    ("percent", "carries"),
    [(95.4, "almost certain"), (87, "almost certain"), (68.3, "probable"), (50, "possible")],
)
def test_a_radiocarbon_range_carries_what_its_probability_is_called(percent, carries):
    assert of_calibrated(percent).carries == carries


def test_what_lies_between_two_dates_is_as_sure_as_both_of_them():
    assert of_span(parse_date("1066"), parse_date("1087")).carries == "almost certain"
    assert of_span(parse_date("1066"), parse_date("1087?")).carries == "possible"


def test_everything_that_can_speak_against_a_value_weighs_something():
    kinds = [kind for kind in get_args(CautionKind) if of_measure([(kind, "x")]) == FULL]
    assert kinds == []


def test_what_may_also_be_is_no_observation():
    assert of_alternatives([]) == FULL
    assert of_alternatives(["it leaves a lip"]).carries == "almost certain"
    assert of_alternatives(["it leaves a lip", ""]).carries == "possible"


def test_a_stage_is_as_sure_as_what_shows_it():
    shown = [of_region("probable"), of_region("possible")]
    assert of_stage("differs", shown) == of_region("possible")
    assert of_stage("as described", []) == FULL


def test_that_a_stage_is_absent_is_probable_at_most():
    assert of_stage("absent", [of_region("observed")]).carries == "probable"
    assert of_stage("absent", [of_region("possible")]).carries == "possible"


def test_nothing_rests_on_a_stage_that_cannot_be_assessed():
    assert of_stage("not assessable", [FULL]).carries is None


def test_what_ct_numbers_leave_possible_is_possible():
    assert of_materials().carries == "possible"


@pytest.mark.parametrize(
    ("interval", "cautions", "carries"),
    [
        ((62, 81), [], "almost certain"),
        ((-81, -62), [], "almost certain"),
        ((-3, 8), [], "possible"),
        ((62, 81), [("few", "only 12 samples lie in it")], "probable"),
        ((62, 81), [("clipped", "some hold values at the end of the scale")], "possible"),
    ],
)
def test_a_contrast_carries_what_its_interval_and_its_values_allow(interval, cautions, carries):
    assert of_contrast(interval, cautions).carries == carries
