import pytest

from slidekit.checks.english.conclusions import find_too_strong
from slidekit.storyboard.findings import Finding


def finding(statement: str, certainty: str) -> Finding:
    return Finding.model_validate(
        {"statement": statement, "certainty": certainty, "evidence": ["coil"]}
    )


FINDINGS = {
    "seal": finding("The seal is birch tar, mended with beeswax", "possible"),
    "rim": finding("The rim was broken before the lid was sealed", "almost certain"),
    "hole": finding("The hole was drilled after firing, and plugged before burial", "probable"),
    "purpose": finding("What the hole was for, here and in the other urns", "cannot be shown"),
}


def found(text: str) -> list[tuple[str, str]]:
    return [(one.finding, one.said) for one in find_too_strong(text, FINDINGS)]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("This proves that the seal is birch tar.", ("seal", "proves")),
        ("The rim was certainly broken before the lid was sealed.", ("rim", "certainly")),
        ("Almost certainly the hole was drilled after firing.", ("hole", "Almost certainly")),
        ("The hole must have been drilled, and plugged later.", ("hole", "must have")),
        ("In the urns the hole was probably for the soul.", ("purpose", "probably")),
        ("The pot is old. No doubt the seal is birch tar.", ("seal", "No doubt")),
    ],
)
def test_a_word_stronger_than_the_finding_is_found(text, said):
    assert found(text) == [said]


@pytest.mark.parametrize(
    "text",
    [
        "It is possible, and no more, that the seal is tar mended with wax.",
        "We do not know for certain that the seal is birch tar.",
        "It proves nothing about the seal of birch tar.",
        "Nobody can prove that the seal is birch tar.",
        "The rim was almost certainly broken before the lid was sealed.",
        "Perhaps the hole in the urns let out the soul.",
        "It is unlikely that the seal is birch tar.",
        "Certainly the pot is old.",
        "The seal of birch tar smells.",
    ],
)
def test_words_that_are_no_stronger_are_left_alone(text):
    assert found(text) == []


def test_each_word_governs_its_own_part_of_a_sentence():
    start = "Almost certainly the rim was broken first, and "
    assert found(f"{start}perhaps the seal is birch tar.") == []
    assert found(f"{start}probably the seal is birch tar.") == [("seal", "probably")]


def test_what_was_said_before_the_word_is_told_for_its_line():
    text = "Good evening. This proves that the seal is birch tar."
    (one,) = find_too_strong(text, FINDINGS)
    assert one.before == "Good evening. This "
