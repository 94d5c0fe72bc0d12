import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.scene.clock.captions import LINE_LETTERS, READING_WPM, compose_captions
from slidekit.scene.clock.schedule import Cue, Passage, Said, Schedule, Silence, Turn
from slidekit.storyboard.word_count import count_words

PACE = 120.0


def schedule(*passages: tuple) -> Schedule:
    """One slide of these pieces, timed at 120 words per minute."""
    at_s, timed = 0.0, []
    for pieces in passages:
        row = []
        for piece in pieces:
            match piece:
                case str():
                    words = sum(map(count_words, piece.split()))
                    row.append(Said(piece, words, at_s, words / PACE * 60))
                    at_s += row[-1].seconds
                case Silence():
                    row.append(Silence(piece.seconds, at_s))
                    at_s += piece.seconds
                case _:
                    row.append(piece)
        timed.append(Passage(tuple(row)))
    return Schedule((Turn(1, "one", "One", 0, at_s, tuple(timed)),), at_s, PACE)


words = st.text("abcdefghij", min_size=1, max_size=12)
stops = st.sampled_from(["", "", "", ",", ".", "?"])
sayings = st.lists(st.tuples(words, stops).map("".join), min_size=1, max_size=60).map(" ".join)


@given(sayings)
def test_every_word_is_captioned_once_and_in_order(saying):
    captions = compose_captions(schedule((saying,)))
    assert " ".join(one.text for one in captions).split() == saying.split()


@given(sayings)
def test_a_caption_has_at_most_two_lines_that_are_not_too_long(saying):
    for one in compose_captions(schedule((saying,))):
        assert len(one.lines) <= 2
        assert max(map(len, one.lines)) <= LINE_LETTERS


@given(sayings, st.floats(0, 4))
def test_captions_follow_upon_each_other(saying, pause_s):
    captions = compose_captions(schedule((saying, Silence(pause_s), saying)))
    for one, following in pairwise(captions):
        assert one.from_s < one.to_s <= following.from_s


@given(sayings)
def test_a_caption_comes_with_its_first_word_and_can_be_read(saying):
    captions = compose_captions(schedule((saying,)))
    said = 0
    for one in captions:
        assert one.from_s == pytest.approx(said / PACE * 60)
        said += sum(map(count_words, one.text.split()))
        reading_s = len(one.text.split()) / READING_WPM * 60
        assert one.to_s - one.from_s >= reading_s - 1e-6


def test_captions_and_lines_end_where_sentences_and_clauses_do():
    saying = "The block lay on its side on the couch, so a level cut is an axial slice. It leans,"
    saying += " and the soil is heavy in it."
    assert [one.lines for one in compose_captions(schedule((saying,)))] == [
        ("The block lay", "on its side on the couch,"),
        ("so a level cut is an axial slice.",),
        ("It leans,", "and the soil is heavy in it."),
    ]


def test_no_line_ends_between_a_number_and_its_unit_or_before_its_year():
    saying = (
        "People buried their dead in this field from c. 1250 to c. 700 BCE, and it is 202 mm long."
    )
    for one in compose_captions(schedule((saying,))):
        for line in one.lines:
            assert not re.search(r"(c\.|\d|\bto|\bthe)$", line)


def test_a_click_inside_a_sentence_leaves_it_whole():
    click = Cue(1, "the orange ellipse")
    captions = compose_captions(schedule(("Look at", click, "the coil", click, ", there.")))
    assert [one.text for one in captions] == ["Look at the coil, there."]


def test_a_caption_stands_on_in_a_pause_only_as_long_as_it_takes_to_read():
    long = "extraordinarily"  # one spoken word
    first, second = compose_captions(schedule((f"{long}.", Silence(5), "Then.")))
    assert first.to_s == pytest.approx(1.0)
    assert second.from_s == pytest.approx(5.5)


def test_a_gap_of_a_second_stays_and_a_shorter_one_is_closed():
    first, second = compose_captions(schedule(("One two three four.", Silence(1), "It ends.")))
    assert (first.to_s, second.from_s) == pytest.approx((2, 3))
    first, second = compose_captions(schedule(("One two.",), (Silence(0.9), "It ends.")))
    assert first.to_s == second.from_s == pytest.approx(1.9)
