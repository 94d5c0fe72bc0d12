from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.evidence.counts.proportions import Proportion, rounded, share_in_words

counted = st.integers(1, 3000).flatmap(
    lambda n: st.builds(Proportion, k=st.integers(0, n), n=st.just(n))
)


@pytest.mark.parametrize(
    ("k", "n", "spoken", "percent", "interval", "words"),
    [
        (7, 64, "seven of 64", "11 %", "5 to 21 %", "about one in nine"),
        (0, 20, "none of 20", "0 %", "0 to 16 %", "none"),
        (64, 64, "all 64", "100 %", "94 to 100 %", "all"),
        (1, 1, "one of one", "100 %", "21 to 100 %", "all"),
        (3, 12, "three of twelve", "25 %", "9 to 53 %", "one in four"),
        (13, 64, "13 of 64", "20 %", "12 to 32 %", "about one in five"),
        (30, 64, "30 of 64", "47 %", "35 to 59 %", "about half"),
        (32, 64, "32 of 64", "50 %", "38 to 62 %", "half"),
        (45, 64, "45 of 64", "70 %", "58 to 80 %", "about seven in ten"),
        (58, 64, "58 of 64", "91 %", "81 to 96 %", "about nine in ten"),
        (60, 64, "60 of 64", "94 %", "85 to 98 %", "all but one in 16"),
        (55, 64, "55 of 64", "86 %", "75 to 92 %", "all but about one in seven"),
        (3, 64, "three of 64", "5 %", "2 to 13 %", "about one in 21"),
        (81, 263, "81 of 263", "30.8 %", "25.5 to 36.6 %", "about three in ten"),
        (7, 999, "seven of 999", "0.7 %", "0.3 to 1.4 %", "about one in 140"),
        (1, 3000, "one of 3000", "less than 0.1 %", "less than 0.1 to 0.2 %", "one in 3000"),
        (63, 64, "63 of 64", "98 %", "92 to more than 99 %", "all but one in 64"),
    ],
)
def test_a_share_is_written_and_said(k, n, spoken, percent, interval, words):
    share = Proportion(k, n)
    assert share.spoken == spoken
    assert share.percent.replace("\N{NO-BREAK SPACE}", " ") == percent
    assert share.percent_interval.replace("\N{NO-BREAK SPACE}", " ") == interval
    assert share.words == words


@pytest.mark.parametrize(("k", "n"), [(3, 2), (-1, 4), (0, 0)])
def test_what_is_no_share_is_refused(k, n):
    with pytest.raises(ValueError, match=rf"^{k} of {n} is no share of cases$"):
        Proportion(k, n)


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (Fraction(25, 2), 0, "13"),
        (Fraction(5, 2), 0, "3"),
        (Fraction(2675, 1000), 2, "2.68"),
        (Fraction(-5, 2), 0, "−3"),
        (Fraction(-1, 5), 0, "0"),
        (Fraction(11), 1, "11.0"),
    ],
)
def test_halves_are_rounded_away_from_zero(value, decimals, text):
    assert rounded(value, decimals) == text


@given(counted)
def test_an_interval_contains_its_share(proportion):
    low, high = proportion.interval
    assert 0 <= low <= proportion.k / proportion.n <= high <= 1
    assert low < high


@given(counted)
def test_a_percentage_of_few_cases_has_no_decimals(proportion):
    assert ("." in proportion.percent) == (proportion.n >= 100)


@given(counted)
def test_nothing_and_everything_are_written_only_where_they_are(proportion):
    number = proportion.percent.split("\N{NO-BREAK SPACE}")[0]
    assert (number in ("0", "0.0")) == (proportion.k == 0)
    assert (number in ("100", "100.0")) == (proportion.k == proportion.n)


NUMBERS = {
    word: number
    for number, word in enumerate(
        [
            "none",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
        ]
    )
}


def meant(words: str) -> Fraction:
    """The fraction that words of a share mean."""
    if words in ("none", "all"):
        return Fraction(words == "all")
    rest = words.replace("about ", "")
    if rest == "half":
        return Fraction(1, 2)
    part, whole = (
        NUMBERS[one] if one in NUMBERS else int(one)
        for one in rest.removeprefix("all but ").split(" in ")
    )
    share = Fraction(part, whole)
    return 1 - share if rest.startswith("all but ") else share


@settings(max_examples=300)
@given(counted)
def test_words_never_contradict_the_number(proportion):
    words, share = proportion.words, proportion.share
    said = meant(words)
    assert abs(said - share) <= Fraction(1, 6) * min(share, 1 - share)
    assert ("about" in words) == (said != share)
    assert (said > Fraction(1, 2)) == (share > Fraction(1, 2)) or said == Fraction(1, 2)


def test_a_share_of_nothing_has_no_words_of_its_own():
    assert share_in_words(Fraction(0)) == "none"
