import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.checks.english.sums import impossible_percentages, wrong_totals


@pytest.mark.parametrize(
    "words",
    [
        # Brown and Heathers 2017: the mean 5.19 of 28 whole numbers cannot be; as a percentage too
        "5.19 % of 28 urns",
        "34 % of nine urns",
        "41 % (n = 7)",
        "55 per cent of the eight pins",
        "100 % of the urns, and 51% of all 10 pits",
    ],
)
def test_percentages_that_no_count_gives(words):
    assert len(list(impossible_percentages(words))) == 1


@pytest.mark.parametrize(
    "words",
    [
        "33 % of nine urns, 33.3 % of 9 urns, 11 % of 9 urns",
        "about 30 % of nine urns, more than 30 % of nine urns",
        "34 % of 9 mm, 34 % of 9 years, 34 % of 2 million urns",
        "34 % of the urns, 10 to 34 % of nine urns",
        "34 % of 300 urns",
        "0.5 % of 1,200 urns",
    ],
)
def test_percentages_that_may_be(words):
    assert list(impossible_percentages(words)) == []


@given(n=st.integers(1, 99), share=st.floats(0, 1))
def test_no_percentage_of_a_count_is_called_impossible(n, share):
    k = round(share * n)
    assert list(impossible_percentages(f"{100 * k / n:.0f} % of {n} urns")) == []
    assert list(impossible_percentages(f"{100 * k / n:.1f} % of {n} urns")) == []


def test_the_nearest_counts_are_told():
    assert list(impossible_percentages("34 % of nine urns")) == [
        "no whole number of 9 is 34 %: 3 of 9 is 33.3 % and 4 of 9 is 44.4 %"
    ]


@pytest.mark.parametrize(
    ("words", "wrong"),
    [
        ("Twelve men, nine women and four children, 26 in all.", ["12 and 9 and 4 make 25"]),
        ("There are 14 urns and 7 pits, a total of 23.", ["14 and 7 make 21"]),
        ("Three pots and five bags, nine bags altogether.", ["3 and 5 make 8"]),
        ("Twelve men, nine women and four children, 25 in all.", []),
        ("Of 64 records, twelve and nine fit, 21 in all.", []),
        ("Two layers of six threads each, twelve in all.", []),
        ("Three pots, nine in all.", []),
        ("In 1931 and 1932 they dug 40 pits in all.", []),
        ("It is the same in all the pots.", []),
    ],
)
def test_totals_that_no_parts_give(words, wrong):
    found = [one.split(", ")[0] for one in wrong_totals(words)]
    assert found == wrong
