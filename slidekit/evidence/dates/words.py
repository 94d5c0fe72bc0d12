"""The words in which dates are written out: one table for each language.

Eras are those of the Unicode CLDR (BC/AD) and of its alternative forms (BCE/CE).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

Era: TypeAlias = Literal["BCE/CE", "BC/AD"]
_Pair: TypeAlias = tuple[str, str]


@dataclass(frozen=True)
class DateWords:
    """Patterns with gaps. In those for parts of a century, `{name}` is what it is called and
    `{of}` what it is called as the whole of a part: "the 13th century"."""

    eras: Mapping[Era, _Pair]  # before and after 1 CE
    long_eras: Mapping[Era, _Pair]  # with a century or a millennium
    thousands: str  # between groups of three digits
    decimal: str
    months: tuple[str, ...]
    day: str  # day, month and year
    first: str  # the first day of a month
    the_day: str  # after "between", "before" and "after"
    seasons: Mapping[int, str]  # EDTF 21 to 24 and 33 to 41
    century: Callable[[int], str]
    century_of: Callable[[int], str]
    millennium: Callable[[int], str]
    millennium_of: Callable[[int], str]
    decade: str
    shares: Mapping[int, tuple[str, ...]]  # of two, three or four parts
    roughly: tuple[str, str, str]  # early, mid and late
    about: str  # before a year
    about_words: str  # before a day, a month, a century
    about_between: str
    between: str
    span: str
    before: str
    after: str
    until: str
    since: str
    unknown_start: str
    unknown_end: str
    either: str
    both: str
    calibrated: str  # a range, and how probable it is; to be heard
    calibrated_short: str  # to be read
    year: str
    years: str
    days: _Pair  # one, many
    years_about: str
    years_between: str
    at_least: str
    at_most: str
    probably: str


class Manner(NamedTuple):
    """How dates are written out: in which era, and in which language (BCP 47)."""

    era: Era = "BCE/CE"
    language: str = "en"

    @property
    def words(self) -> DateWords:
        """English where there are no words of the language."""
        return TABLES.get(self.language.partition("-")[0].lower(), TABLES["en"])


def english_ordinal(number: int) -> str:
    """ "1st", "2nd", "11th"."""
    if number % 100 in {11, 12, 13}:
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"


_ROMAN = ((10, "X"), (9, "IX"), (5, "V"), (4, "IV"), (1, "I"))


def _roman(number: int) -> str:
    """Up to a few dozens, as French writes centuries."""
    text = ""
    for value, letters in _ROMAN:
        text += letters * (number // value)
        number %= value
    return text


def _french_ordinal(number: int) -> str:
    return f"{_roman(number)}{'er' if number == 1 else 'e'}"


_ENGLISH = DateWords(
    eras={"BCE/CE": ("{} BCE", "{} CE"), "BC/AD": ("{} BC", "AD {}")},
    long_eras={"BCE/CE": ("{} BCE", "{} CE"), "BC/AD": ("{} BC", "{} AD")},
    thousands=",",
    decimal=".",
    months=(
        "January", "February", "March", "April", "May", "June", "July", "August", "September",
        "October", "November", "December",
    ),
    day="{day} {month} {year}",
    first="1",
    the_day="{}",
    seasons={
        21: "spring {}", 22: "summer {}", 23: "autumn {}", 24: "winter {}",
        33: "first quarter of {}", 34: "second quarter of {}", 35: "third quarter of {}",
        36: "last quarter of {}", 37: "first third of {}", 38: "second third of {}",
        39: "last third of {}", 40: "first half of {}", 41: "second half of {}",
    },
    century=lambda number: f"{english_ordinal(number)} century",
    century_of=lambda number: f"the {english_ordinal(number)} century",
    millennium=lambda number: f"{english_ordinal(number)} millennium",
    millennium_of=lambda number: f"the {english_ordinal(number)} millennium",
    decade="{}s",
    shares={
        2: ("first half of {of}", "second half of {of}"),
        3: ("first third of {of}", "second third of {of}", "last third of {of}"),
        4: (
            "first quarter of {of}", "second quarter of {of}", "third quarter of {of}",
            "last quarter of {of}",
        ),
    },
    roughly=("early {name}", "mid {name}", "late {name}"),
    about="c. {}",
    about_words="c. {}",
    about_between="roughly {}",
    between="between {} and {}",
    span="{} to {}",
    before="before {}",
    after="after {}",
    until="until {}",
    since="{} onwards",
    unknown_start="until {}, from an unknown time",
    unknown_end="from {}, until an unknown time",
    either="{} or {}",
    both="{} and {}",
    calibrated="{}, calibrated, with {} probability",
    calibrated_short="cal {} ({})",
    year="1 year",
    years="{} years",
    days=("1 day", "{} days"),
    years_about="about {}",
    years_between="{} to {}",
    at_least="at least {}",
    at_most="at most {}",
    probably="probably {}",
)  # fmt: skip

_GERMAN = DateWords(
    eras={"BCE/CE": ("{} v. u. Z.", "{} u. Z."), "BC/AD": ("{} v. Chr.", "{} n. Chr.")},
    long_eras={"BCE/CE": ("{} v. u. Z.", "{} u. Z."), "BC/AD": ("{} v. Chr.", "{} n. Chr.")},
    thousands=".",
    decimal=",",
    months=(
        "Januar", "Februar", "März", "April", "Mai", "Juni", "Juli", "August", "September",
        "Oktober", "November", "Dezember",
    ),
    day="{day}. {month} {year}",
    first="1",
    the_day="dem {}",
    seasons={
        21: "Frühling {}", 22: "Sommer {}", 23: "Herbst {}", 24: "Winter {}",
        33: "erstes Quartal {}", 34: "zweites Quartal {}", 35: "drittes Quartal {}",
        36: "letztes Quartal {}", 37: "erstes Drittel {}", 38: "zweites Drittel {}",
        39: "letztes Drittel {}", 40: "erste Hälfte {}", 41: "zweite Hälfte {}",
    },
    century=lambda number: f"{number}. Jahrhundert",
    century_of=lambda number: f"des {number}. Jahrhunderts",
    millennium=lambda number: f"{number}. Jahrtausend",
    millennium_of=lambda number: f"des {number}. Jahrtausends",
    decade="{}er Jahre",
    shares={
        2: ("erste Hälfte {of}", "zweite Hälfte {of}"),
        3: ("erstes Drittel {of}", "zweites Drittel {of}", "letztes Drittel {of}"),
        4: (
            "erstes Viertel {of}", "zweites Viertel {of}", "drittes Viertel {of}",
            "letztes Viertel {of}",
        ),
    },
    roughly=("frühes {name}", "mittleres {name}", "spätes {name}"),
    about="um {}",
    about_words="etwa {}",
    about_between="etwa {}",
    between="zwischen {} und {}",
    span="{} bis {}",
    before="vor {}",
    after="nach {}",
    until="bis {}",
    since="ab {}",
    unknown_start="bis {}, Beginn unbekannt",
    unknown_end="ab {}, Ende unbekannt",
    either="{} oder {}",
    both="{} und {}",
    calibrated="{}, kalibriert, mit {} Wahrscheinlichkeit",
    calibrated_short="cal {} ({})",
    year="1 Jahr",
    years="{} Jahre",
    days=("1 Tag", "{} Tage"),
    years_about="etwa {}",
    years_between="{} bis {}",
    at_least="mindestens {}",
    at_most="höchstens {}",
    probably="wahrscheinlich {}",
)  # fmt: skip

_FRENCH = DateWords(
    eras={"BCE/CE": ("{} AEC", "{} EC"), "BC/AD": ("{} av. J.-C.", "{} ap. J.-C.")},
    long_eras={"BCE/CE": ("{} AEC", "{} EC"), "BC/AD": ("{} av. J.-C.", "{} ap. J.-C.")},
    thousands="\N{NARROW NO-BREAK SPACE}",
    decimal=",",
    months=(
        "janvier", "février", "mars", "avril", "mai", "juin", "juillet", "août", "septembre",
        "octobre", "novembre", "décembre",
    ),
    day="{day} {month} {year}",
    first="1er",
    the_day="le {}",
    seasons={
        21: "printemps {}", 22: "été {}", 23: "automne {}", 24: "hiver {}",
        33: "premier trimestre {}", 34: "deuxième trimestre {}", 35: "troisième trimestre {}",
        36: "dernier trimestre {}", 37: "premier tiers de {}", 38: "deuxième tiers de {}",
        39: "dernier tiers de {}", 40: "première moitié de {}", 41: "seconde moitié de {}",
    },
    century=lambda number: f"{_french_ordinal(number)} siècle",
    century_of=lambda number: f"du {_french_ordinal(number)} siècle",
    millennium=lambda number: f"{_french_ordinal(number)} millénaire",
    millennium_of=lambda number: f"du {_french_ordinal(number)} millénaire",
    decade="années {}",
    shares={
        2: ("première moitié {of}", "seconde moitié {of}"),
        3: ("premier tiers {of}", "deuxième tiers {of}", "dernier tiers {of}"),
        4: (
            "premier quart {of}", "deuxième quart {of}", "troisième quart {of}",
            "dernier quart {of}",
        ),
    },
    roughly=("début {of}", "milieu {of}", "fin {of}"),
    about="vers {}",
    about_words="environ {}",
    about_between="environ {}",
    between="entre {} et {}",
    span="{} à {}",
    before="avant {}",
    after="après {}",
    until="jusqu’à {}",
    since="à partir de {}",
    unknown_start="jusqu’à {}, début inconnu",
    unknown_end="à partir de {}, fin inconnue",
    either="{} ou {}",
    both="{} et {}",
    calibrated="{}, calibré, avec une probabilité de {}",
    calibrated_short="cal {} ({})",
    year="1 an",
    years="{} ans",
    days=("1 jour", "{} jours"),
    years_about="environ {}",
    years_between="{} à {}",
    at_least="au moins {}",
    at_most="au plus {}",
    probably="probablement {}",
)  # fmt: skip

TABLES: Mapping[str, DateWords] = {"en": _ENGLISH, "de": _GERMAN, "fr": _FRENCH}
"""Language subtag of BCP 47: its words."""
