import pytest

from slidekit.checks.mark_words import (
    counted_things,
    head_noun,
    named_marks,
    sides_in,
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
        ("twenty-two bands", [(22, ("bands",))]),
    ],
)
def test_things_that_are_counted(words, things):
    found = [(number, nouns) for number, nouns in counted_things(words) if nouns]
    assert found == things


@pytest.mark.parametrize(
    ("words", "sides"),
    [
        ("On the left side of the picture lies it.", ("left", "", "")),
        ("It lies at the right of the cut.", ("right", "", "")),
        ("On the patient's left", ("", "left", "")),
        ("the right half of the skull", ("", "right", "")),
        ("he wore it on his own left", ("", "left", "")),
        ("On the right we stand in front of it.", ("", "", "right")),
        ("The left femur lies here.", ("", "", "")),  # a leg may be scanned alone
        ("On the left, not on the right.", ("", "", "")),
        ("What is left of it lies at the right time.", ("", "", "")),
        ("To the left of it lies the pin.", ("", "", "")),
    ],
)
def test_sides_that_words_name(words, sides):
    found = sides_in(words)
    assert (found.of_picture, found.of_body, found.which_picture) == sides
