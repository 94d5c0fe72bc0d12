import pytest

from slidekit.checks.english.sides import sides_in


@pytest.mark.parametrize(
    ("words", "sides"),
    [
        ("On the left side of the picture lies it.", ("left", "", "")),
        ("It lies at the right of the cut.", ("right", "", "")),
        ("On the patient's left", ("", "left", "")),
        ("In the right half of the skull", ("", "right", "")),
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
