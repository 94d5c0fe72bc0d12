import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.build import Options, compose_show
from slidekit.scene.schedule import Cue, Turn, clock, joined, notes_of
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
    cues = [
        p for paragraph in schedule.turns[1].paragraphs for p in paragraph if isinstance(p, Cue)
    ]
    assert cues == [Cue(1, "orange ellipse A, the coil"), Cue(2, "blue line B, the gap")]


def test_notes_set_clicks_apart():
    turn = Turn(1, "t", 0, 1, 2, (("Look.", Cue(1, "orange ellipse A, it"), ". There"), ("Next",)))
    assert notes_of(turn) == "Look. [CLICK 1: orange ellipse A, it]. There\nNext"


@given(st.lists(st.text("ab .,", max_size=8), max_size=6))
def test_joined_pieces_have_single_spaces_and_none_before_a_stop(pieces):
    line = joined(pieces)
    assert "  " not in line
    assert " ." not in line
    assert " ," not in line
    assert line.replace(" ", "") == "".join(pieces).replace(" ", "")
