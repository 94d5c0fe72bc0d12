import pytest
from hypothesis import given
from hypothesis import strategies as st

from slidekit.checks.english.marks import counted_things, head_noun, named_marks
from slidekit.checks.english.sides import sides_in
from slidekit.checks.english.sums import impossible_percentages, wrong_totals
from slidekit.checks.written import sentences

PIECES = [
    "the", "purple", "ellipse", "arrow", "four", "twenty-two", "hundred", "bands", "of", "left",
    "right", "side", "picture", "34", "%", "3.5", "nine", "in all", "a total of", "(n = 7)", "and",
    "{coil.mark}", "{holes}", "[show coil]", "[pause 3]", "c.", "300", "BCE.", "mm", "?", "!", ".",
    "\n", "\n\n", "“", "”", "…", "-", "[[", "}}", "é", "は",
]  # fmt: skip
TEXTS = st.lists(st.sampled_from(PIECES), max_size=30).map(" ".join)


@given(TEXTS)
def test_sentences_leave_nothing_out(text: str):
    parts = list(sentences(text))
    assert "".join(part.text for part in parts).strip() == text.strip()
    assert all(text.startswith(part.before + part.text) for part in parts)


@given(TEXTS)
def test_any_words_can_be_looked_at(text: str):
    for sentence in sentences(text):
        typed = sentence.typed
        assert "{coil" not in typed
        found = [*named_marks(typed), *counted_things(typed), *counted_things(typed, printed=True)]
        found += [*impossible_percentages(typed), *wrong_totals(typed)]
        assert all(found)
        sides_in(typed)
        head_noun(typed)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("One. Two! “Three?” Four…", ["One. ", "Two! ", "“Three?” ", "Four…"]),
        ("It is from c. 300 BCE. So old.", ["It is from c. 300 BCE. ", "So old."]),
        ("A title\n\nThen words", ["A title\n\n", "Then words"]),
        ("3.5 mm, e.g. here", ["3.5 mm, e.g. here"]),
    ],
)
def test_sentences_end_where_a_reader_stops(text, parts):
    assert [part.text for part in sentences(text)] == parts


def test_a_sentence_knows_its_names_and_what_is_on_the_screen():
    first, second = sentences("[show coil] {coil.mark} is here. [show pin, gap] {pin} too.")
    assert (first.typed, first.names) == ("| is here.", (("coil", "mark"),))
    assert (second.typed, second.names) == ("| too.", (("pin", ""),))
    assert (first.clicked, second.clicked) == ({"coil"}, {"coil", "pin", "gap"})
