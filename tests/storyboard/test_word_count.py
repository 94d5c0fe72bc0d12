import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.storyboard.word_count import count_words

COUNTS = [  # the words as spoken stand beside
    ("", 0),
    ("Good evening.", 2),
    ("a well-known potter’s wheel", 5),  # a well known potter's wheel
    ("it's here – isn't it?", 4),
    ("7", 1),
    ("20", 1),
    ("63", 2),  # sixty three
    ("100", 2),  # one hundred
    ("263", 5),  # two hundred and sixty three
    ("1000", 2),  # one thousand
    ("1,290", 6),  # one thousand two hundred and ninety
    ("1290", 2),  # twelve ninety
    ("1905", 3),  # nineteen oh five
    ("1900", 2),  # nineteen hundred
    ("2000", 2),  # two thousand
    ("2026", 3),  # twenty twenty six
    ("12,345", 7),  # twelve thousand three hundred and forty five
    ("1,000,005", 4),  # one million and five
    ("0.5", 3),  # zero point five
    ("12.75 mm", 5),  # twelve point seven five millimetres
    ("81/263", 8),  # eighty one of two hundred and sixty three
    ("1290–1250 BCE", 8),  # twelve ninety to twelve fifty B C E
    ("81 %", 3),  # eighty one percent
    ("±5", 4),  # plus or minus five
    ("−5 °C", 4),  # minus five degrees C
    ("3 × 4", 3),  # three times four
    ("CT at 120 kV", 8),  # C T at one hundred and twenty kilovolts
    ("the 13th century", 3),
    ("the 21st slice", 4),  # the twenty first slice
    ("the 1290s", 3),  # the twelve nineties
    ("e.g. wax, i.e. seals, etc.", 8),  # for example wax that is seals et cetera
    ("A DICOM file", 3),
]


@pytest.mark.parametrize(("text", "words"), COUNTS)
def test_what_is_counted_is_what_is_spoken(text, words):
    assert count_words(text) == words


def test_letters_of_scripts_without_spaces_count_as_parts_of_words():
    assert count_words("骨壺の底に青銅の線がある。") == round(12 * 0.4)
    assert count_words("CTで見る") == 2 + round(3 * 0.4)


def test_a_date_of_three_tokens_is_six_words():
    # "circa twelve ninety B C E": six or seven words, counted from speech by hand
    date = "c. 1290 BCE"
    assert len(date.split()) == 3
    assert count_words(date) == 6


@given(st.lists(st.text("abcdefgh", min_size=1), max_size=20))
def test_plain_words_count_one_each(words):
    assert count_words(" ".join(words)) == len(words)


UNITS = "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen"
UNITS += " fifteen sixteen seventeen eighteen nineteen"
TENS = "twenty thirty forty fifty sixty seventy eighty ninety"


def in_words(number: int) -> str:
    """English number names, written out in full as a second way to the count."""
    if number < 20:
        return UNITS.split()[number]
    if number < 100:
        tens = TENS.split()[number // 10 - 2]
        return tens if number % 10 == 0 else f"{tens} {in_words(number % 10)}"
    unit, name = next(
        pair
        for pair in ((1_000_000, "million"), (1000, "thousand"), (100, "hundred"))
        if number >= pair[0]
    )
    head, rest = f"{in_words(number // unit)} {name}", number % unit
    if rest == 0:
        return head
    return f"{head} and {in_words(rest)}" if rest < 100 else f"{head} {in_words(rest)}"


@given(st.integers(0, 999_999_999))
def test_a_number_counts_as_its_name_written_out(number):
    assert count_words(f"{number:,}") == len(in_words(number).split())
