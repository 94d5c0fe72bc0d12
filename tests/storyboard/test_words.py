import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from slidekit.storyboard.words import (
    Click,
    Flaw,
    Paragraph,
    Placeholder,
    Words,
    clicks,
    count_words,
    find_flaws,
    parse_words,
    placeholders,
    plain,
    speak,
)


def tokens(say: str):
    (paragraph,) = parse_words(say)
    return paragraph.tokens


@pytest.mark.parametrize(
    ("say", "expected"),
    [
        ("Good evening.", (Words("Good evening."),)),
        ("See [show coil] here.", (Words("See "), Click(("coil",)), Words(" here."))),
        ("[show coil, plug]", (Click(("coil", "plug")),)),
        ("[ show  coil ,plug ]", (Click(("coil", "plug")),)),
        ("{coil.mark} is", (Placeholder("coil", "mark"), Words(" is"))),
        ("in {late}", (Words("in "), Placeholder("late"))),
        ("{ coil . mark }", None),
        ("urns [[sic]] and {{a}}", (Words("urns [sic] and {a}"),)),
        ("{{{late}}}", (Words("{"), Placeholder("late"), Words("}"))),
        ("one\n  line  after\tanother", (Words("one line after another"),)),
        ("  [show a]  then  ", (Click(("a",)), Words(" then"))),
    ],
)
def test_words_clicks_and_placeholders_are_told_apart(say, expected):
    if expected is None:
        assert find_flaws(say)
    else:
        assert tokens(say) == expected


def test_blank_lines_part_paragraphs():
    one, two = parse_words("One\nline.\n\n \n\nTwo.\n")
    assert one == Paragraph((Words("One line."),))
    assert two == Paragraph((Words("Two."),))


def test_nothing_said_is_no_paragraph():
    assert parse_words(" \n\n \n") == ()


def test_tokens_know_where_they_stand():
    say = "One.\n\nSee [show a] and {b.mark}."
    click, place = (t for t in parse_words(say)[1].tokens if not isinstance(t, Words))
    assert say[click.at :].startswith("[show a]")
    assert say[place.at :].startswith("{b.mark}")


def test_clicks_and_placeholders_come_in_the_order_they_are_spoken():
    paragraphs = parse_words("[show b] {b.mark}\n\n[show a, c] {late} [show d]")
    assert clicks(paragraphs) == (("b",), ("a", "c"), ("d",))
    assert placeholders(paragraphs) == (Placeholder("b", "mark"), Placeholder("late"))


WRITE_CLICK = (
    "Write [show NAME] or [show NAME, NAME] for a click, or [[ and ]] for brackets that are part"
    " of the words"
)
WRITE_PLACE = (
    "Write {NAME} or {NAME.part}, as in {coil.mark}, or {{ and }} for brackets that are part of"
    " the words"
)


@pytest.mark.parametrize(
    ("say", "flaw"),
    [
        ("a [pause] b", Flaw(2, "[pause] is not known", WRITE_CLICK)),
        ("[show]", Flaw(0, "[show] is not known", WRITE_CLICK)),
        ("[show The Coil]", Flaw(0, "[show The Coil] is not known", WRITE_CLICK)),
        ("[show a b]", Flaw(0, "[show a b] is not known", WRITE_CLICK)),
        ("[]", Flaw(0, "[] is not known", WRITE_CLICK)),
        ("{coil.mark.x}", Flaw(0, "{coil.mark.x} is not known", WRITE_PLACE)),
        ("{}", Flaw(0, "{} is not known", WRITE_PLACE)),
        ("{2 + 2}", Flaw(0, "{2 + 2} is not known", WRITE_PLACE)),
        (
            "so [show coil it",
            Flaw(
                3,
                "the bracket [ is not closed, at “[show coil it”",
                "Close it with ], or write [[ when it is part of the words",
            ),
        ),
        (
            "so\n{coil.mark it\nand on",
            Flaw(
                3,
                "the bracket { is not closed, at “{coil.mark it”",
                "Close it with }, or write {{ when it is part of the words",
            ),
        ),
        (
            "one\ncoil] it",
            Flaw(
                8,
                "the bracket ] closes nothing, at “coil]”",
                "Remove it, or write ]] when it is part of the words",
            ),
        ),
        (
            "a [" + "long words " * 9 + "] b",
            Flaw(2, "[long words long words long wo...] is not known", WRITE_CLICK),
        ),
    ],
)
def test_a_bracket_that_means_nothing_is_a_flaw_with_its_position(say, flaw):
    assert find_flaws(say) == (flaw,)
    message = f"at character {flaw.at}: {flaw.wrong}. {flaw.instead}."
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        parse_words(say)


def test_all_flaws_are_found():
    assert [flaw.at for flaw in find_flaws("[a] b {c d} e ]")] == [0, 6, 14]


@given(st.text(max_size=60))
@example("[[ {{ ]] }}")
@example("a\u2028b\n\nc")
def test_any_text_can_be_said_with_doubled_brackets(text):
    doubled = re.sub(r"[\[\]{}]", lambda bracket: bracket[0] * 2, text)
    assert plain(parse_words(doubled)).split() == text.split()


@given(st.text("[]{} ashow.,\n", max_size=30))
def test_every_text_is_read_or_has_a_flaw_at_a_bracket(text):
    flaws = find_flaws(text)
    assert all(text[flaw.at] in "[]{}" for flaw in flaws)
    if not flaws:
        parse_words(text)


def said(say: str, **words: str) -> str:
    return plain(speak(parse_words(say), lambda name, part: words[part or name]))


@pytest.mark.parametrize(
    ("say", "expected"),
    [
        ("{coil.mark} is here.", "The orange ellipse is here."),
        ("Here is {coil.mark}.", "Here is the orange ellipse."),
        ("Look. {coil.mark} is it.", "Look. The orange ellipse is it."),
        ("Look! {coil.mark} is it.", "Look! The orange ellipse is it."),
        ("Is it? {coil.mark} is.", "Is it? The orange ellipse is."),
        ("Look [show coil]. {coil.mark} is it.", "Look. The orange ellipse is it."),
        ("Look. [show coil] {coil.mark} is it.", "Look. The orange ellipse is it."),
        ("[show coil] {coil.mark} is it.", "The orange ellipse is it."),
        ("He said: “So.” {coil.mark} is it.", "He said: “So.” The orange ellipse is it."),
        ("Look. “{coil.mark}”, he said.", "Look. “The orange ellipse”, he said."),
        ("Look: {coil.mark} is it.", "Look: the orange ellipse is it."),
        ("See fig. {coil.mark} now.", "See fig. the orange ellipse now."),
        ("Things, e.g. {coil.mark}, are.", "Things, e.g. the orange ellipse, are."),
        ("As A. {coil.mark} shows.", "As A. the orange ellipse shows."),
        ("One.\n\n{coil.mark} is it.", "One.\nThe orange ellipse is it."),
        ("{letter} is it.", "B is it."),
    ],
)
def test_a_placeholder_that_opens_a_sentence_gets_a_capital(say, expected):
    assert said(say, mark="the orange ellipse", letter="B") == expected


def test_speaking_keeps_the_clicks():
    paragraphs = speak(parse_words("Look. [show a] {a.mark} is."), lambda name, part: name + part)
    assert paragraphs == (Paragraph((Words("Look. "), Click(("a",)), Words(" Amark is."))),)


@pytest.mark.parametrize(
    ("say", "expected"),
    [
        ("Here [show a] it is.", "Here it is."),
        ("Here it is [show a].", "Here it is."),
        ("Here it is[show a], and", "Here it is, and"),
        ("[show a] Here it is.", "Here it is."),
        ("Here [show a] [show b] it is.", "Here it is."),
        ("Here it is. [show a]", "Here it is."),
        ("A[show a]B", "AB"),
        ("[show a]\n\nThen.", "Then."),
    ],
)
def test_the_words_alone_show_no_gap_where_a_click_was(say, expected):
    assert plain(parse_words(say)) == expected


def test_words_with_an_open_placeholder_are_not_yet_plain():
    with pytest.raises(ValueError, match=r"^\{a\.mark\} has not been spoken$"):
        plain(parse_words("{a.mark}"))


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
