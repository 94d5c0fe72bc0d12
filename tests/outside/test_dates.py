"""Years against ISO 8601-1:2019, EDTF (ISO 8601-2:2019; Library of Congress, 2019-02-04), the
radiocarbon datum, and two libraries: edtf (MIT) and Babel (BSD), which holds the Unicode CLDR."""

import re
from datetime import date

import pytest
from babel.dates import get_era_names, get_month_names
from edtf import parse_edtf as parse_with_library

from slidekit.errors import DateError
from slidekit.evidence.dates.durations import Duration, elapsed
from slidekit.evidence.dates.parse import parse_date
from slidekit.evidence.dates.spoken import say_date
from slidekit.evidence.dates.words import TABLES, Manner
from slidekit.evidence.dates.years import Date, Day


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
    assert say_date(parse_date(edtf), Manner("BCE/CE")) == historical


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


# Examples of the Library of Congress specification of EDTF, by its levels
LEVELS = {
    0: "1985-04-12 1985-04 1985 1964/2008 2004-06/2006-08 2004-02-01/2005-02-08"
    " 2004-02-01/2005-02 2004-02-01/2005 2005/2006-02",
    1: "Y170000002 Y-170000002 2001-21 1984? 2004-06~ 2004-06-11% 201X 20XX 2004-XX 1985-04-XX"
    " 1985-XX-XX 1985-04-12/.. 1985-04/.. 1985/.. ../1985-04-12 ../1985-04 ../1985 1985-04-12/"
    " 1985-04/ 1985/ /1985-04-12 /1985-04 /1985 -1985",
    2: "Y-17E7 1950S2 Y171010000S3 Y3388E2S3 2001-34 [1667,1668,1670..1672] [..1760-12-03]"
    " [1760-12..] [1760-01,1760-02,1760-12..] [1667,1760-12] [..1984] {1667,1668,1670..1672}"
    " {1960,1961-12} {..1984} 2004-06~-11 2004?-06-11 ?2004-06-~11 2004-%06-11 156X-12-25"
    " 15XX-12-25 1XXX-XX 1XXX-12 1984-1X 2004-06-~01/2004-06-~20 2004-06-XX/2004-07-03",
}
ELSEWHERE = {
    "1984-1X": "the library fails",
    "?2004-06-~11": "the library fails",
    "1950S2": "the library takes the estimate for the year",
    "Y171010000S3": "the library takes the estimate for the year",
    "Y3388E2S3": "the library takes the estimate for the year",
}
INVENTED_ENDS = re.compile(r"/.+|.+/")  # the library ends unknown intervals after ten years


def _limits(text: str) -> tuple[Day | None, Day | None]:
    """First and last day, None where there is no limit."""
    found = parse_date(text)
    first = found.first_day or (None if found.earliest is None else Day(found.earliest, 1, 1))
    last = found.last_day or (None if found.latest is None else Day(found.latest, 12, 31))
    return first, last


def _limits_of_library(text: str) -> tuple[Day | None, Day | None]:
    found = parse_with_library(text)
    limits = (found.lower_strict(), found.upper_strict())
    first, last = (None if isinstance(one, float) else Day(*one[:3]) for one in limits)
    return first, last


@pytest.mark.parametrize("text", [text for level in LEVELS.values() for text in level.split()])
def test_the_examples_of_the_standard_have_the_limits_that_the_library_finds(text: str) -> None:
    limits = _limits(text)
    assert limits != (None, None)
    if text not in ELSEWHERE and not INVENTED_ENDS.fullmatch(text):
        assert limits == _limits_of_library(text)


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [  # from the wording of the specification, where the library above differs
        ("1950S2", 1900, 1999),
        ("Y171010000S3", 171000000, 171999999),
        ("Y3388E2S3", 338000, 338999),
        ("-0300S2", -309, -300),  # the digits that count are those of the number: 300 to 309
    ],
)
def test_significant_digits_leave_the_others_open(text: str, first: int, last: int) -> None:
    found = parse_date(text)
    assert (found.earliest, found.latest) == (first, last)


@pytest.mark.parametrize("text", ["1985-04-12/", "1985/", "/1985-04", "-0300/", "/-0300"])
def test_an_unknown_end_stays_unknown(text: str) -> None:
    assert None in _limits(text)


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [  # seasons of whole months, common practice of meteorology; codes of EDTF level 1 and 2
        ("2001-21", (2001, 3, 1), (2001, 5, 31)),
        ("2001-24", (2001, 12, 1), (2002, 2, 28)),
        ("2003-28", (2003, 12, 1), (2004, 2, 29)),
        ("2001-29", (2001, 9, 1), (2001, 11, 30)),
        ("2001-30", (2001, 12, 1), (2002, 2, 28)),
        ("2001-36", (2001, 10, 1), (2001, 12, 31)),
        ("2001-39", (2001, 9, 1), (2001, 12, 31)),
        ("2001-41", (2001, 7, 1), (2001, 12, 31)),
        ("-0300-21", (-300, 3, 1), (-300, 5, 31)),
    ],
)
def test_seasons_are_months(text: str, first: tuple[int, ...], last: tuple[int, ...]) -> None:
    assert _limits(text) == (first, last)


@pytest.mark.parametrize(
    "text",
    [
        "-0043-03-15",
        "-12XX",
        "-129X",
        "-1290~",
        "-1290?",
        "-0331/-0304",
        "-0300/..",
        "../-0300",
        "[-0300..-0250]",
        "{-0300,-0250}",
        "Y-10000",
        "Y-17E7",
        "0000",
    ],
)
def test_dates_bce_have_the_limits_that_the_library_finds(text: str) -> None:
    assert _limits(text) == _limits_of_library(text)


@pytest.mark.parametrize(
    ("refused", "instead"),
    [  # what EDTF forbids, and what has no place on an axis, with what to write
        ("-0000", '1 BCE is "0000" in EDTF'),
        ("-10000", 'Write it with a Y, as in "Y-10000"'),
        ("-300", 'Write "300 BCE", or the EDTF year "-0300", which is 301 BCE'),
        ("-44", 'Write "44 BCE", or the EDTF year "-0044", which is 45 BCE'),
        ("..", "Write a year, or an interval"),
        ("../..", "Write at least one of its two ends"),
        ("1984-13", "Months are 01 to 12, seasons 21 to 41"),
        ("1984-02-30", "Mend the day, or leave it out"),
        ("1981-02-29", "Mend the day, or leave it out"),
        ("Y1985", 'write "1985"'),
        ("Y9E99", "Write a year with fewer digits"),
        ("XXXX-12-XX", "A timeline needs one"),
        ("1X32", "Write the years as a set"),
        ("20XXS2", "Write either X or S, not both"),
        ("1950S5", "1950S2 is 1900 to 1999"),
        ("2001-21-03", 'as in "1931-21"'),
        ("1985-04-12T23:20:30Z", "Write the day alone"),
        ("-0304/-0331", "Write the earlier year first"),
        ("2004-06-11/2004-06-10", "Write the earlier year first"),
        ("[1667,1668", "Close it"),
        ("[1667}", "Write [ and ] for one of several dates, { and } for all of them"),
        ("[1667,soon]", "Write dates with commas"),
        # the draft of 2012, which the standard replaced
        ("198u", 'Write "X"'),
        ("1984?~", 'Write "%"'),
        ("1984/open", 'Write ".."'),
        ("1984/unknown", "Leave the place after the stroke empty"),
        ("y-10000", 'Write "Y"'),
    ],
)
def test_what_is_not_supported_is_refused_by_name(refused: str, instead: str) -> None:
    with pytest.raises(DateError, match=f"^'.+' .+{re.escape(instead)}"):
        parse_date(refused)


def test_days_are_numbered_as_the_standard_library_numbers_them() -> None:
    for day in (date(1, 1, 1), date(4, 2, 29), date(1900, 3, 1), date(2000, 12, 31)):
        own = Day(day.year, day.month, day.day)
        assert own.number - Day(1, 1, 1).number == day.toordinal() - 1


@pytest.mark.parametrize(
    ("cal_bp", "astronomical", "label"),
    [  # N cal BP is 1950 - N (datum: Radiocarbon, instructions for authors 2005); no year 0
        (0, 1950, "1950 CE"),
        (1949, 1, "1 CE"),
        (1950, 0, "1 BCE"),
        (1951, -1, "2 BCE"),
        (2000, -50, "51 BCE"),
        (2250, -300, "301 BCE"),
        (3000, -1050, "1051 BCE"),
        (3239, -1289, "1290 BCE"),
        (5000, -3050, "3051 BCE"),
    ],
)
def test_cal_bp_counts_back_from_1950(cal_bp: int, astronomical: int, label: str) -> None:
    found = parse_date(f"{cal_bp + 100}-{cal_bp} cal BP (95.4 %)")
    assert (found.earliest, found.latest) == (astronomical - 100, astronomical)
    assert say_date(Date(astronomical, astronomical), Manner()) == label


@pytest.mark.parametrize("language", TABLES)
def test_months_are_those_of_the_cldr(language: str) -> None:
    names = get_month_names("wide", "format", language)
    assert TABLES[language].months == tuple(names[month] for month in range(1, 13))


@pytest.mark.parametrize("language", TABLES)
def test_the_eras_bc_and_ad_are_those_of_the_cldr(language: str) -> None:
    names = get_era_names("abbreviated", language)
    eras = TABLES[language].eras["BC/AD"]
    assert tuple(era.replace("{}", "").strip() for era in eras) == (names[0], names[1])


def test_the_ptolemaic_rule_of_egypt_lasted_302_years() -> None:
    # 332 to 30 BCE, common reference works
    start, end = parse_date("332 BCE"), parse_date("30 BCE")
    assert elapsed(start, end) == Duration(302, 302)


def test_30_bce_to_30_ce_is_59_years() -> None:
    assert elapsed(parse_date("30 BCE"), parse_date("30 CE")) == Duration(59, 59)
