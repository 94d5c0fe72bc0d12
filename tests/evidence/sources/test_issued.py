import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.errors import CitationError
from slidekit.evidence.dates.words import Manner
from slidekit.evidence.sources.issued import read_issued, say_day, say_year

HERE = Manner()


@pytest.mark.parametrize(
    ("written", "year", "aloud", "day"),
    [
        (2019, "2019", "2019", ""),
        ("2019-05", "2019", "2019", "May"),
        ("2019-05-03", "2019", "2019", "3 May"),
        ("2019-05-03/2019-06-02", "2019", "2019", "3 May–2 June"),
        ("2019-05/2019-06", "2019", "2019", "May–June"),
        ("2019-21", "2019", "2019", "spring"),
        ("2018-11/2019-02", "2018–2019", "2018 to 2019", ""),
        ("1845/1862", "1845–1862", "1845 to 1862", ""),
        ("2005/..", "2005–", "2005 onwards", ""),
        ("2005/", "2005–", "2005 onwards", ""),
        ("193X", "1930s", "1930s", ""),
        ("c. 1931", "c. 1931", "c. 1931", ""),
        ("1931~", "c. 1931", "c. 1931", ""),
        ("1931?", "1931?", "1931?", ""),
        ("43 BCE", "43 BCE", "43 BCE", ""),
        ("-0042", "43 BCE", "43 BCE", ""),
        ("50 BCE to 20 CE", "50 BCE – 20 CE", "50 BCE to 20 CE", ""),
        ("79 CE", "79 CE", "79 CE", ""),
        ({"date-parts": [[2017, 4, 17]]}, "2017", "2017", "17 April"),
        ({"date-parts": [["1845"], ["1862"]]}, "1845–1862", "1845 to 1862", ""),
        ({"date-parts": [[-43]]}, "43 BCE", "43 BCE", ""),
        ({"date-parts": [[1931]], "circa": True}, "c. 1931", "c. 1931", ""),
        ({"date-parts": [[2010]], "season": 3}, "2010", "2010", "autumn"),
        ({"raw": "1931-05-02"}, "1931", "1931", "2 May"),
        ({"literal": "forthcoming"}, "forthcoming", "forthcoming", ""),
        (None, "", "", ""),
    ],
)
def test_a_date_is_read_and_said(written, year, aloud, day):
    issued = read_issued(written)
    assert say_year(issued, HERE) == year
    assert say_year(issued, HERE, aloud=True) == aloud
    assert say_day(issued, HERE) == day


def test_years_follow_the_era_and_the_language_of_the_talk():
    manner = Manner("BC/AD", "de")
    assert say_year(read_issued("43 BCE"), manner) == "43 v. Chr."
    assert say_year(read_issued("c. 1931"), manner) == "um 1931"
    assert say_day(read_issued("2019-05-03"), manner) == "3. Mai"


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("2019-13", "'2019-13' has a month 13"),
        ({"date-parts": [[0]]}, "{'date-parts': [[0]]} is no date"),
        ({"date-parts": [[2019], [2018]]}, "'2019/2018' ends before it starts"),
        ({}, "{} is no date"),
        ([2019], "[2019] is no date"),
        ("next year", "'next year' is not a date that can be read"),
    ],
)
def test_what_is_no_date_is_told(written, message):
    with pytest.raises(CitationError) as refused:
        read_issued(written)
    assert refused.value.wrong.startswith(message)


@given(st.integers(-9999, 9999).filter(bool))
def test_years_of_csl_json_are_counted_as_people_count_them(year: int):
    said = say_year(read_issued({"date-parts": [[year]]}), HERE)
    assert said == (f"{-year} BCE" if year < 0 else f"{year}" if year > 999 else f"{year} CE")


@given(st.integers(1, 2100), st.integers(1, 2100))
def test_dates_are_sorted_as_they_follow_each_other(one: int, other: int):
    keys = [read_issued(f"{year} CE").sort_key for year in (one, other)]
    assert (keys[0] < keys[1]) == (one < other)
    assert keys[0] < read_issued({"literal": "forthcoming"}).sort_key
