"""What the dates of a chronology must hold to."""

import pytest

from slidekit.errors import DateError
from slidekit.evidence.chronology import check_order, date_between
from slidekit.evidence.dates import parse_date, say_date


@pytest.mark.parametrize(
    ("start", "end"),
    [
        ("1300 BCE", "800 BCE"),
        ("30 BCE", "30 CE"),
        ("79 CE", "79 CE"),
        ("13th century BCE", "1290 BCE"),
        ("1290 BCE", "13th century BCE"),
    ],
)
def test_dates_that_can_follow_each_other_are_in_order(start: str, end: str) -> None:
    check_order(parse_date(start), parse_date(end), "BCE/CE")


def test_a_start_after_its_end_is_refused_in_the_words_of_the_era() -> None:
    with pytest.raises(
        DateError,
        match=r"^the start, c\. 800 BC, is later than the end, 1300 BC\. Exchange the two, or mend"
        r" the era; years before the era count down\.$",
    ):
        check_order(parse_date("c. 800 BC"), parse_date("1300 BC"), "BC/AD")


def test_something_known_within_two_dates_has_the_doubts_of_both() -> None:
    date = date_between(parse_date("c. 760 BCE"), parse_date("700 BCE?"))
    assert say_date(date, "BCE/CE") == "c. between 760 and 700 BCE?"
