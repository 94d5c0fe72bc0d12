import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.errors import RehearsalError
from slidekit.scene.clock.pace import (
    pace_of,
    paces_of,
    parse_clock,
    parse_log,
    rehearsal_lines,
    talk_took_s,
)
from slidekit.scene.clock.schedule import Passage, Said, Schedule, Silence, Turn, clock


def turn(number: int, slide: str, words: int, pause_s: float = 0) -> Turn:
    said_s = words / 2  # at 120 words per minute
    pieces = Said("…", words, 0, said_s), Silence(pause_s)
    return Turn(number, slide, slide, 0, said_s + pause_s, (Passage(pieces),))


SCHEDULE = Schedule((turn(1, "opening", 60), turn(2, "coil", 120, 10), turn(3, "end", 0)), 120, 120)


def test_the_pace_is_words_over_the_time_without_pauses():
    # 180 words in 100 s, 10 of them silent: 180 / 90 * 60
    assert pace_of(SCHEDULE, 100).words_per_min == pytest.approx(120)
    assert pace_of(SCHEDULE, 130).words_per_min == pytest.approx(90)


def test_a_time_that_no_talk_takes_is_refused():
    told = (
        r"^180 words in 0:20 are 1080 words per minute, and a speaker says 60 to 240\. Give the"
        r" time of the whole talk, in minutes and seconds: 14:40\.$"
    )
    with pytest.raises(RehearsalError, match=told):
        pace_of(SCHEDULE, 20)


@given(st.integers(0, 9 * 3600))
def test_a_clock_is_read_as_it_is_written(seconds):
    if seconds < 1000 * 60:
        assert parse_clock(clock(seconds)) == seconds


def test_a_time_may_have_hours():
    assert parse_clock("1:02:30") == 3750


@pytest.mark.parametrize("text", ["14.40", "14:60", "fast", ""])
def test_what_is_no_time_is_told(text):
    with pytest.raises(
        RehearsalError, match=r"is not a time\. Write minutes and seconds: 14:40\.$"
    ):
        parse_clock(text)


def test_a_log_times_each_slide():
    log = parse_log("0:05 opening\n\n0:45 coil\n1:55 end\n", SCHEDULE)
    assert log == {"opening": 40, "coil": 70}
    paces = paces_of(SCHEDULE, log)
    assert [(one.what, one.words_per_min) for one in paces] == [("opening", 90), ("coil", 120)]


def test_a_slide_that_comes_twice_is_added_up():
    log = parse_log("0:00 opening\n0:10 coil\n0:20 opening\n0:50 coil\n1:00 end", SCHEDULE)
    assert log == {"opening": 40, "coil": 20}


def test_a_slide_without_a_time_counts_as_planned():
    assert talk_took_s(SCHEDULE, {"opening": 40}) == 40 + 70


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "0:00 opening\n0:30 cail\n1:00 end",
            r"^line 2 of the log: there is no slide `cail`\. Write",
        ),
        ("0:40 opening\n0:30 coil\n1:00 end", r"^line 2 of the log: 0:30 is earlier than the line"),
        (
            "0:40 opening",
            r"^the log does not say when the talk was over\. End it with: 14:40 end\.$",
        ),
        ("x opening\n1:00 end", r"^`x` is not a time\."),
    ],
)
def test_a_log_that_makes_no_sense_is_told(text, told):
    with pytest.raises(RehearsalError, match=told):
        parse_log(text, SCHEDULE)


def test_the_lines_name_the_pace_to_write_down_and_the_uneven_slides():
    log = {"opening": 60.0, "coil": 60.0}
    talk = pace_of(SCHEDULE, talk_took_s(SCHEDULE, log))
    assert list(rehearsal_lines(SCHEDULE, talk, paces_of(SCHEDULE, log))) == [
        "180 words, planned 1:40 at 120 words per minute, took 2:00",
        "words_per_min: 98",
        "opening: planned 0:30, took 1:00, 60 words per minute, slower",
        "coil: planned 1:10, took 1:00, 144 words per minute, faster",
    ]


def test_a_time_shorter_than_the_pauses_is_told():
    # the slide `coil` has ten seconds of silence
    with pytest.raises(RehearsalError, match=r"^the pauses alone take longer than 0:08\. Give"):
        pace_of(SCHEDULE, 8)
    paces = paces_of(SCHEDULE, {"coil": 8.0})
    *_, line = rehearsal_lines(SCHEDULE, pace_of(SCHEDULE, 100), paces)
    assert line == "coil: planned 1:10, took 0:08, less than its pauses"
