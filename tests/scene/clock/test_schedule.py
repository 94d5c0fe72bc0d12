import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.build import Options, compose_show
from slidekit.scene.clock.schedule import Cue, Passage, Said, Silence, Turn, clock, joined, notes_of
from tests.talks import TALK, no_progress, write_talk


@pytest.fixture(scope="module")
def schedule(tmp_path_factory):
    folder = tmp_path_factory.mktemp("talk")
    return compose_show(write_talk(folder, TALK), Options(draft=True), no_progress).schedule


@pytest.mark.parametrize(
    ("seconds", "read"), [(0, "0:00"), (59.6, "1:00"), (461.5, "7:42"), (3600, "60:00")]
)
def test_a_clock_shows_minutes_and_seconds(seconds, read):
    # 1000 words at 130 words per minute take 461.5 s, "7:42"
    assert clock(seconds) == read


def test_each_turn_starts_when_the_one_before_ends(schedule):
    for before, after in zip(schedule.turns, schedule.turns[1:], strict=False):
        assert after.start_s == pytest.approx(before.start_s + before.seconds)


def test_time_is_words_over_words_per_minute(schedule):
    for turn in schedule.turns:
        assert turn.seconds == pytest.approx(turn.words / 120 * 60)
    assert schedule.left_s == pytest.approx(120 - schedule.words / 2)


def test_cues_count_up_on_their_slide(schedule):
    cues = schedule.turns[1].cues
    assert [(cue.number, cue.appears, cue.names) for cue in cues] == [
        (1, "orange ellipse A, the coil", ("coil",)),
        (2, "blue line B, the gap", ("gap",)),
    ]


def test_a_click_comes_when_the_words_before_it_are_said(schedule):
    turn = schedule.turns[1]
    first, _ = turn.cues
    assert first.at_s == pytest.approx(turn.start_s + 3 / 120 * 60)  # "Something is bright."


def test_the_pieces_of_a_slide_follow_upon_each_other(schedule):
    for turn in schedule.turns:
        at_s = turn.start_s
        for piece in (piece for passage in turn.passages for piece in passage.pieces):
            assert piece.at_s == pytest.approx(at_s)
            at_s += 0 if isinstance(piece, Cue) else piece.seconds
        assert at_s == pytest.approx(turn.start_s + turn.seconds)


def test_notes_set_clicks_and_pauses_apart():
    first = Said("Look."), Cue(1, "orange ellipse A, it"), Said(". There"), Silence(2.5)
    turn = Turn(1, "t", "t", 0, 1, (Passage(first), Passage((Said("Next"),))))
    notes = "Look. [CLICK 1: orange ellipse A, it]. There [PAUSE 2.5 s]\nNext"
    assert notes_of(turn) == notes


def test_pauses_and_questions_take_their_time(tmp_path):
    text = TALK.replace("slot_min: 2", "slot_min: 2\n  questions_min: 0.5")
    text = text.replace("Good evening.", "Good evening. [pause 5]")
    schedule = compose_show(write_talk(tmp_path, text), Options(draft=True), no_progress).schedule
    assert schedule.seconds == pytest.approx(schedule.words / 2 + 5)
    assert schedule.left_s == pytest.approx(120 - 30 - schedule.seconds)


def test_a_slide_must_begin_when_what_follows_still_fits(schedule):
    for turn in schedule.turns:
        after = sum(one.seconds for one in schedule.turns[turn.number - 1 :])
        assert schedule.latest_s(turn) == pytest.approx(schedule.slot_s - after)


@given(st.lists(st.text("ab .,", max_size=8), max_size=6))
def test_joined_pieces_have_single_spaces_and_none_before_a_stop(pieces):
    line = joined(pieces)
    assert "  " not in line
    assert " ." not in line
    assert " ," not in line
    assert line.replace(" ", "") == "".join(pieces).replace(" ", "")
