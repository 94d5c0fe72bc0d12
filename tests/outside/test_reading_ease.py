"""Reading ease against worked examples.

Values of Flesch's formula are computed from the counts beside them; the counts of words and
syllables of the first two sentences are beyond dispute, those of the third are published with its
score of 37.5.
"""

import pytest

from slidekit.checks.reading import (
    Counts,
    amstad,
    count_text,
    english_syllables,
    flesch,
    german_syllables,
    gulpease,
    spanish_syllables,
    szigriszt,
)

CAT = "The cat sat on the mat."
FOX = "The quick brown fox jumps over the lazy dog."
GETTYSBURG = (
    "Four score and seven years ago our fathers brought forth on this continent, a new nation,"
    " conceived in Liberty, and dedicated to the proposition that all men are created equal."
)
SKULL = (
    "The scan shows the skull in three slices. The bright ring is bone. The dark space inside held"
    " the brain. The embalmers removed it through the nose."
)


@pytest.mark.parametrize(
    ("words", "sentences", "syllables", "ease"),
    [
        (6, 1, 6, 116.145),  # the cat
        (9, 1, 11, 94.300),  # the fox
        (13, 1, 24, 37.455),  # "The Australian platypus is seemingly a hybrid of a mammal and ..."
        (27, 4, 31, 102.850),
        (30, 1, 49, 38.205),  # Lincoln at Gettysburg
        (1, 1, 1, 121.220),  # the greatest value there is
    ],
)
def test_flesch_of_known_counts(words, sentences, syllables, ease):
    assert flesch(Counts(words, sentences, syllables, 0)) == pytest.approx(ease, abs=5e-4)


@pytest.mark.parametrize(
    ("text", "words", "sentences", "syllables"),
    [(CAT, 6, 1, 6), (FOX, 9, 1, 11), (SKULL, 27, 4, 32), (GETTYSBURG, 30, 1, 49)],
)
def test_words_sentences_and_syllables_are_counted(text, words, sentences, syllables):
    counts = count_text(text, english_syllables)
    assert (counts.words, counts.sentences) == (words, sentences)
    assert counts.syllables == pytest.approx(syllables, abs=1)


@pytest.mark.parametrize(
    ("word", "syllables"),
    [  # as dictionaries divide them
        ("scan", 1), ("makes", 1), ("marked", 1), ("whole", 1), ("through", 1), ("slices", 2),
        ("table", 2), ("tables", 2), ("handled", 2), ("dated", 2), ("boxes", 2), ("being", 2),
        ("quiet", 2), ("creature", 2), ("museum", 3), ("radius", 3), ("lion", 2), ("nation", 2),
        ("special", 2), ("medium", 3), ("created", 3), ("geometry", 4), ("prism", 2),
        ("tomography", 4), ("excavation", 4), ("archaeological", 6), ("embalmers", 3),
    ],
)  # fmt: skip
def test_english_syllables_are_those_of_a_dictionary(word, syllables):
    assert english_syllables(word) == syllables


@pytest.mark.parametrize(
    ("count", "word", "syllables"),
    [
        (german_syllables, "Leichenbrand", 3), (german_syllables, "Bäume", 2),
        (german_syllables, "Theater", 3), (german_syllables, "Museum", 3),
        (german_syllables, "Quelle", 2), (german_syllables, "Untersuchung", 4),
        (german_syllables, "Region", 3), (german_syllables, "Theorie", 3),
        (german_syllables, "Linien", 3), (german_syllables, "Bakterien", 4),
        (german_syllables, "Wien", 1), (german_syllables, "erschien", 2),
        (german_syllables, "Ideen", 3), (german_syllables, "beenden", 3),
        (german_syllables, "beerdigt", 3), (german_syllables, "geehrt", 2),
        (german_syllables, "Beere", 2), (german_syllables, "Archäologie", 5),
        (german_syllables, "Scheiterhaufen", 4), (german_syllables, "aktuell", 3),
        (spanish_syllables, "hueso", 2), (spanish_syllables, "arqueología", 6),
        (spanish_syllables, "guerra", 2), (spanish_syllables, "país", 2),
        (spanish_syllables, "ciudad", 2), (spanish_syllables, "museo", 3),
    ],
)  # fmt: skip
def test_german_and_spanish_syllables_are_those_of_a_dictionary(count, word, syllables):
    assert count(word) == syllables


def test_the_formulas_of_other_languages():
    # by hand: 180 - 10 - 58.5 * 1.8; 206.835 - 62.3 * 2 - 10; 89 + (300 * 10 - 10 * 500) / 100
    assert amstad(Counts(100, 10, 180, 0)) == pytest.approx(64.7)
    assert szigriszt(Counts(100, 10, 200, 0)) == pytest.approx(72.235)
    assert gulpease(Counts(100, 10, 0, 500)) == pytest.approx(69.0)


def test_a_german_text_is_counted_as_by_hand():
    # Ei-ne Zahl ist kein Na-me. Lest Schich-ten von un-ten nach o-ben.
    counts = count_text(
        "Eine Zahl ist kein Name. Lest Schichten von unten nach oben.", german_syllables
    )
    assert (counts.words, counts.sentences, counts.syllables) == (11, 2, 16)
    assert amstad(counts) == pytest.approx(180 - 11 / 2 - 58.5 * 16 / 11)
