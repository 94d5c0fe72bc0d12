import pytest

from slidekit.checks.english.marks import (
    counted_things,
    head_noun,
    named_marks,
    singular,
)


@pytest.mark.parametrize(
    ("words", "marks"),
    [
        ("the purple ellipse", [("purple", "ellipse")]),
        (
            "a green, dashed rectangle and the blue arrow",
            [("green", "rectangle"), ("blue", "arrow")],
        ),
        ("the violet oval", [("purple", "ellipse")]),
        ("the white ellipse", [("white", "ellipse")]),
        ("Follow the arrow", [("", "arrow")]),
        # pictures have white lines, grey boxes, arrowheads, and axes of things
        ("a thin white line, a gray box, a black circle", []),
        ("the arrow in his chest, the arrowhead, the arrow-shaped mark", []),
        ("the orange light and the line of the wall", []),
        ("the orange lines", []),
    ],
)
def test_words_that_can_only_mean_a_mark(words, marks):
    assert [(one.color, one.shape) for one in named_marks(words)] == marks


@pytest.mark.parametrize(
    ("words", "marks"),
    [
        ("See arrow B", [("arrow", "B")]),
        ("at mark C", [("", "C")]),
        ("the letter A", [("", "A")]),
        ("Mark A. Speaker drew it; vitamin C, plan B, an arrow A. Speaker shot", []),
        ("the mark Anna made", []),
    ],
)
def test_letters_that_words_name(words, marks):
    assert [(one.shape, one.letter) for one in named_marks(words)] == marks


@pytest.mark.parametrize(
    ("called", "number", "noun"),
    [
        ("the upper band", 1, "band"),
        ("three layers of cloth", 3, "layer"),
        ("its seven turns", 7, "turn"),
        ("the gap beside the plug", 1, "gap"),
        ("boxes", 1, "box"),
        ("the two bodies in the pit", 2, "body"),
    ],
)
def test_what_a_region_is_called_counts_things(called, number, noun):
    assert head_noun(called) == (number, noun)


@pytest.mark.parametrize(
    ("plural", "one"),
    [("bands", "band"), ("boxes", "box"), ("bodies", "body"), ("glass", "glass"), ("ash", "ash")],
)
def test_singular_by_the_regular_rules(plural, one):
    assert singular(plural) == one


@pytest.mark.parametrize(
    ("words", "things"),
    [
        ("Here are four dark bands.", [(4, ("dark", "bands"))]),
        ("Two of the four bands", [(4, ("bands",))]),
        ("one band, 2.5 bands", []),
        ("these twenty-two bands", [(22, ("bands",))]),
    ],
)
def test_things_that_are_counted(words, things):
    found = [(number, nouns) for number, nouns in counted_things(words) if nouns]
    assert found == things
