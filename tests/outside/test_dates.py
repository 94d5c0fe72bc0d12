"""Years against ISO 8601-1:2019 and EDTF (ISO 8601-2:2019; Library of Congress, 2019-02-04)."""

import pytest

from slidekit.evidence.dates import parse_date, say_date
from slidekit.evidence.years import Date, duration_years


@pytest.mark.parametrize(
    ("historical", "edtf"),
    [  # ISO 8601-1:2019, 4.3.2: year 0000 is 1 BCE; the years are those of common reference works
        ("1 CE", "0001"),
        ("79 CE", "0079"),
        ("1922 CE", "1922"),
        ("1 BCE", "0000"),
        ("2 BCE", "-0001"),
        ("44 BCE", "-0043"),
        ("300 BCE", "-0299"),
        ("332 BCE", "-0331"),
        ("664 BCE", "-0663"),
        ("1069 BCE", "-1068"),
        ("1292 BCE", "-1291"),
        ("1550 BCE", "-1549"),
        ("3100 BCE", "-3099"),
        ("4713 BCE", "-4712"),  # epoch of the Julian day count
        ("10,001 BCE", "Y-10000"),
    ],
)
def test_a_year_bce_is_one_less_in_iso_8601(historical: str, edtf: str) -> None:
    assert parse_date(historical) == parse_date(edtf)
    assert say_date(parse_date(edtf), "BCE/CE") == historical


@pytest.mark.parametrize(
    ("edtf", "earliest", "latest"),
    [  # EDTF level 1, "unspecified digit from the right"; bounds computed with edtf 5.0.2 (MIT)
        ("201X", 2010, 2019),
        ("20XX", 2000, 2099),
        ("-12XX", -1299, -1200),
        ("-129X", -1299, -1290),
        ("-04XX", -499, -400),
        ("-00XX", -99, 0),
        ("0000", 0, 0),
        ("-0331/-0304", -331, -304),
    ],
)
def test_edtf_years_have_the_bounds_of_the_standard(edtf: str, earliest: int, latest: int) -> None:
    assert parse_date(edtf) == Date(earliest, latest)


@pytest.mark.parametrize(
    ("edtf", "approximate", "uncertain"),
    [("1984", False, False), ("1984~", True, False), ("1984?", False, True), ("1984%", True, True)],
)
def test_edtf_qualifiers_are_kept(edtf: str, approximate: bool, uncertain: bool) -> None:
    assert parse_date(edtf) == Date(1984, 1984, approximate, uncertain)


@pytest.mark.parametrize(
    ("historical", "edtf"),
    [("5th century BCE", "-04XX"), ("1st century BCE", "-00XX"), ("1st millennium BCE", "-0XXX")],
)
def test_centuries_bce_are_the_unspecified_years_of_edtf(historical: str, edtf: str) -> None:
    assert parse_date(historical) == parse_date(edtf)


def test_the_first_century_ce_is_not_the_unspecified_years_00xx() -> None:
    # common practice: the 1st century is 1 to 100; 00XX is 0000 to 0099
    assert parse_date("1st century CE") == Date(1, 100)
    assert parse_date("00XX") == Date(0, 99)


@pytest.mark.parametrize("refused", ["-0000", "-10000", "-300", "-44", "..", "1984-13"])
def test_what_edtf_forbids_is_refused(refused: str) -> None:
    with pytest.raises(ValueError, match=r"^'[-.\d]+' (has|could) .+\.$"):
        parse_date(refused)


def test_the_ptolemaic_rule_of_egypt_lasted_302_years() -> None:
    # 332 to 30 BCE, common reference works
    start, end = parse_date("332 BCE"), parse_date("30 BCE")
    assert duration_years(start, end) == (302, 302)


def test_30_bce_to_30_ce_is_59_years() -> None:
    assert duration_years(parse_date("30 BCE"), parse_date("30 CE")) == (59, 59)
