"""Lengths and dates typed by hand: which sentences give a number as that of a thing."""

import pytest

from slidekit.build import Options, compose_show
from slidekit.checks.english.typed_dates import typed_dates_in
from slidekit.checks.english.typed_measures import typed_measures_in
from slidekit.checks.written import sentences
from slidekit.review import heard_of
from tests.talks import no_progress, write_talk


@pytest.fixture(scope="module")
def heard(tmp_path_factory):
    """Of a talk with a line of 12 mm called the gap; bronze, 2200 to 800 BCE; a burial, c. 950."""
    storyboard = write_talk(tmp_path_factory.mktemp("typed"))
    return heard_of(compose_show(storyboard, Options(draft=True), no_progress))


def verdicts(found) -> list[tuple[str, bool]]:
    return [(one.words, one.agrees) for one in found]


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("{gap.mark} is 12 mm long.", [("12 mm", True)]),
        ("{gap.mark} measures 1.2 cm.", [("1.2 cm", True)]),
        ("{gap.mark} measures 14 mm.", [("14 mm", False)]),
        ("The gap measures about sixteen millimetres.", [("about sixteen millimetres", False)]),
        ("The gap measures about 13 mm.", [("about 13 mm", True)]),  # within a tenth
        ("{gap.mark} measures {gap.length}.", []),
        ("{gap.mark} is 14 mm above the floor.", []),
        ("{gap.mark} should be 14 mm long.", []),
        ("{gap.mark} is less than 14 mm long.", []),
        ("{gap.mark} is 14 mm long and 3 mm deep.", []),
        ("The gap is 14 mm deep.", []),
        ("{coil.mark} is 14 mm long.", []),  # an ellipse has no length
        ("{gap.mark} measures 14 mm².", []),
        ("{gap.mark} is two hundred and fourteen mm from the wall.", []),
    ],
)
def test_a_typed_length_is_held_against_its_line(heard, words, found):
    told = next(told for _, told in heard.slides if told.slide.id == "base")
    (sentence,) = sentences(words)
    assert verdicts(typed_measures_in(("say",), sentence, heard, told)) == found


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("The Bronze Age lasted from 2200 to 800 BCE.", [("2200 to 800 BCE", True)]),
        ("The Bronze Age (2200–800 BCE) was long.", [("2200 to 800 BCE", True)]),
        ("The Bronze Age lasted here from 2300 to 800 BCE.", [("2300 to 800 BCE", False)]),
        ("{bronze.called} is dated from 2200 to 700 BCE.", [("2200 to 700 BCE", False)]),
        ("The burial was in 900 BCE.", [("900 BCE", False)]),
        ("The Bronze Age lasted {bronze}.", []),
        ("In the Bronze Age, from 1300 to 1200 BCE, it was warm.", []),
        ("The Bronze Age was warm from 1300 to 1200 BCE.", []),
        ("Older than the Bronze Age is a pit, 2500 to 2400 BCE.", []),
        ("The Bronze Age and the Iron Age lasted from 2200 BCE to 50 CE.", []),
        ("The Bronze Age lasted from slice 20 to 80.", []),
    ],
)
def test_typed_years_are_held_against_their_period(heard, words, found):
    (sentence,) = sentences(words)
    assert verdicts(typed_dates_in(("say",), sentence, heard)) == found
