"""A talk about time from its storyboard to its files."""

import json

import pytest
from lxml import etree

from slidekit.build import Options, build_talk
from slidekit.review import check_talk
from tests.storyboard.dated_boards import BOARD, write_dated
from tests.talks import no_progress


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = tmp_path_factory.mktemp("dated")
    text = BOARD.replace("slot_min: 5}", "slot_min: 5, language: de}")
    text = text.replace("chronology:\n", "chronology:\n  era: BC/AD\n")
    text = text.replace(
        "It is {this_case}.", "Von {bronze}. {bronze}. Es waren {pots.until.iron}, {bronze.end}."
    )
    show, _ = build_talk(write_dated(folder, text), folder / "out", Options(), no_progress)
    return show, folder / "out"


def test_dates_are_spoken_and_printed_in_the_language_of_the_talk(built):
    show, out = built
    script = (out / "script.md").read_text(encoding="utf-8")
    assert "Von um 2200 bis um 800 v. Chr. Um 2200 bis um 800 v. Chr. Es waren 50 Jahre," in script
    assert show.pages[0].title == "In the Bronze Age, etwa 1400 Jahre"


def test_the_timeline_file_shows_what_the_slide_asks_for(built):
    _, out = built
    texts = etree.parse(out / "timeline.svg").iter("{http://www.w3.org/2000/svg}text")
    drawn = [" ".join("".join(text.itertext()).split()) for text in texts]
    for words in (
        "Twigscal 956–831 v. Chr. (95,4 %)",
        "Twigs: XY-1, IntCal20",
        "1000 v. Chr.",
        "Pots",
        "ungefähr",
        "Unter den Zeiträumen gezählt: 4 von 5 urns; von 1 ist der Zeitraum nicht bekannt",
    ):
        assert words in drawn
    assert any(words.startswith("This urnzwischen 1000 und um 850 v. Chr.") for words in drawn)
    assert any(words.startswith("gerafft: Jahre ") for words in drawn)


def test_the_record_keeps_the_dates_and_the_counts(built):
    record = json.loads((built[1] / "record.json").read_text(encoding="utf-8"))
    assert record["dates"]["bronze"]["said"] == "um 2200 bis um 800 v. Chr."
    assert record["cases_by_period"] == {"time": {"bronze": 3, "iron": 1}}


def test_check_has_nothing_to_say_of_it(tmp_path):
    assert check_talk(write_dated(tmp_path), None, no_progress).remarks == ()
