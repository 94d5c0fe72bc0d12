import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from slidekit.storyboard.words import (
    Click,
    Flaw,
    Paragraph,
    Pause,
    Placeholder,
    Words,
    clicks,
    find_flaws,
    parse_words,
    placeholders,
    plain,
    speak,
    without_paragraphs,
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


def test_a_pause_has_seconds():
    assert tokens("Look. [pause 2.5] There.") == (Words("Look. "), Pause(2.5), Words(" There."))


def test_a_paragraph_that_may_go_says_so_at_its_head():
    must, may, should = parse_words("One.\n\n[may] Two [show a].\n\n [should]\nThree.")
    assert [one.keep for one in (must, may, should)] == ["must", "may", "should"]
    assert may.tokens == (Words("Two "), Click(("a",)), Words("."))


def test_a_rank_inside_a_paragraph_is_a_flaw():
    (flaw,) = find_flaws("One. [may] Two.")
    assert flaw.at == 5
    assert flaw.wrong == "[may] stands inside a paragraph"
    assert flaw.instead.startswith("Write it at the head of the paragraph")


@given(st.lists(st.sampled_from(["One.", "[may] Two.", "Three {a}.", "[pause 3]"]), max_size=6))
def test_what_is_left_out_is_gone_and_the_rest_is_as_written(texts):
    say = "\n\n".join(texts)
    for number, text in enumerate(texts):
        kept = without_paragraphs(say, {number})
        rest = texts[:number] + texts[number + 1 :]
        assert kept == "\n\n".join(rest), text


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
    "Write [show NAME], [pause 5], [may] or [should], or [[ and ]] for brackets that are part of"
    " the words"
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


def test_a_sentence_that_ends_with_an_abbreviation_has_one_full_stop():
    said = speak(
        parse_words("It ends {late}. [show coil] {late}, and {late}."), lambda *_: "800 v. Chr."
    )
    assert plain(said) == "It ends 800 v. Chr. 800 v. Chr., and 800 v. Chr."
