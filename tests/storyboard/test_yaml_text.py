from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from slidekit.errors import StoryboardError
from slidekit.storyboard.places import Place
from slidekit.storyboard.yaml_text import FAST_LOADER, parse_yaml, without_empty

FILE = Path("talk.yaml")
LOADERS = pytest.mark.parametrize("loader", [FAST_LOADER, yaml.SafeLoader])


def complaint(text: str, loader=FAST_LOADER) -> str:
    with pytest.raises(StoryboardError) as raised:
        parse_yaml(text, FILE, loader)
    return str(raised.value)


AFTER_BAR = "or write them on the next lines after `|`."
QUOTES = "Put quotes around the words"
CLOSED = "that is not closed, or lacks a comma. Write commas between its parts and"

UNREADABLE = {
    "a:\n\tc: 1\n": "2: column 1: a tab stands here. Indent with spaces.",
    "a:\n  b: 1\n\tc: 2\n": "3: column 1: a tab stands here. Indent with spaces.",
    "a:\n  b: 1\n \tc: 2\n": "3: column 2: a tab stands here. Indent with spaces.",
    "title: Urns: a view\n": "1: column 12: a second colon with a space after it stands in the"
    " line. Put quotes around the words that hold it.",
    "say: [show a] It\n": f"1: column 6: words that begin with [ are read as a list, which ends"
    f" before the words do. {QUOTES}, {AFTER_BAR}",
    "say: {a.mark} is\n": f"1: column 6: words that begin with {{ are read as a list, which ends"
    f" before the words do. {QUOTES}, {AFTER_BAR}",
    '- say: "So" it is\n': '1: column 13: the words go on after the closing quotation mark ".'
    " Write the words on the next lines after `|`, where quotation marks mean nothing.",
    "a: 'it's'\n": "1: column 8: the words go on after the closing quotation mark '. Write the"
    " words on the next lines after `|`, where quotation marks mean nothing.",
    'a: 1\nb: "open\nc: 3\n': '2: column 4: the quotation mark " that stands here is not closed.'
    " Close it with \", or put the words between ' and '.",
    "a: 'tis so\n": "1: column 4: the quotation mark ' that stands here is not closed. Close it"
    ' with \', or put the words between " and ".',
    "a: @home\n": f"1: column 4: words cannot begin with @ in YAML. {QUOTES}.",
    "a: `b`\n": f"1: column 4: words cannot begin with ` in YAML. {QUOTES}.",
    "a: %b\n": f"1: column 4: words cannot begin with % in YAML. {QUOTES}.",
    "a: *b\n": f"1: column 4: words that begin with * are read as the name of an anchor. {QUOTES}.",
    "a: | b\n": "1: column 6: words stand on the same line as the sign |. Begin them on the line"
    " below |, indented.",
    "a: > b\n": "1: column 6: words stand on the same line as the sign >. Begin them on the line"
    " below >, indented.",
    "a:\n  b: 1\n   c: 2\n": "3: column 4: this line is indented more than the line above allows."
    " Begin it under the name it belongs beside, or end the line above with a colon.",
    "talk\n  a: 1\n": "2: column 3: this line is indented more than the line above allows. Begin it"
    " under the name it belongs beside, or end the line above with a colon.",
    "a:\n    b: 1\n  c: 2\n": "3: column 3: this line is indented by 2 spaces, unlike the lines it"
    " belongs to. Begin it exactly under the line it belongs beside.",
    "a:\n  - b: 1\n   c: 2\n": "3: column 4: this line is indented by 3 spaces, unlike the lines it"
    " belongs to. Begin it exactly under the line it belongs beside.",
    "a:\n- x\nb\n": "3: column 1: this line has no colon after its name. Write it as"
    " `name: value`, or indent it below the words it goes on.",
    "a: [1, 2\nb: 3\n": f"1: column 4: the bracket [ opens a list here {CLOSED} ] at its end; words"
    " that hold a bracket, as in {coil.called}, need quotes around them.",
    "a: {x: 1 y: 2}\n": f"1: column 4: the bracket {{ opens a list here {CLOSED} }} at its end;"
    " words that hold a bracket, as in {coil.called}, need quotes around them.",
    "a: - b\n": "1: column 4: a list cannot begin on the line of its name. Begin it on the next"
    " line, or put quotes around words that begin with -.",
    "a: 1\n---\nb: 1\n": "2: column 1: a second storyboard begins here, after `---` or `...`. Keep"
    " one storyboard in one file.",
    "a: 1\n...\nb: 1\n": "3: column 1: a second storyboard begins here, after `---` or `...`. Keep"
    " one storyboard in one file.",
    "é: ü\nc: \x01\n": "2: column 4: the invisible character U+0001 is not allowed in YAML. Delete"
    " it and type the words anew.",
    "a: b\nc: \x01\n": "2: column 4: the invisible character U+0001 is not allowed in YAML. Delete"
    " it and type the words anew.",
}


@LOADERS
@pytest.mark.parametrize("text", UNREADABLE)
def test_unreadable_yaml_is_told_in_plain_words(text, loader):
    assert complaint(text, loader) == f"talk.yaml:{UNREADABLE[text]}"


@LOADERS
def test_a_backslash_between_double_quotation_marks_is_told(loader):
    assert complaint('a: "C:\\scans"\n', loader).endswith(
        ": a backslash means something else between double quotation marks. Use single quotation"
        " marks: '...'."
    )


@LOADERS
def test_brackets_without_end_are_told(loader):
    assert complaint("[" * 20_000, loader).endswith(
        "brackets stand within brackets without end. Close them."
    )


@LOADERS
@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "a: 1\nb: 2\na: 3\n",
            "3: a: is written twice, first on line 1. Remove one, or rename it.",
        ),
        (
            "v:\n  - {k: 1, k: 2}\n",
            "2: v[0].k: is written twice, first on line 2. Remove one, or rename it.",
        ),
        (
            "[a]: 1\n",
            "1: storyboard: has a list or mapping where a name with a colon is expected. Words"
            " that begin with [ or { need quotes around them.",
        ),
        (
            "a: !b c\n",
            "1: a: !b is a YAML tag, and none is used here. Words that begin with ! need quotes"
            " around them.",
        ),
        (
            "a: !!python/name:os.system x\n",
            "1: a: !!python/name:os.system is a YAML tag, and none is used here. Words that begin"
            " with ! need quotes around them.",
        ),
        (
            "a: &b c\n",
            "1: a: words that begin with & lose their first word, which names an anchor in YAML."
            " Put quotes around them.",
        ),
        (
            "a: #FF9524\n",
            "1: a: is empty, because # begins a comment. Put quotes around words that begin"
            " with #.",
        ),
        (
            "a: &b\n- *b\n",
            "1: a[0]: is a part of itself. Write it out without the alias (*).",
        ),
    ],
)
def test_what_yaml_would_let_pass_is_told(text, message, loader):
    assert complaint(text, loader) == f"talk.yaml:{message}"


def test_aliases_that_stand_for_billions_are_refused():
    rows = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    rows += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 10)}]" for i in range(1, 9)]
    message = complaint("\n".join(rows))
    assert message.endswith(
        "the storyboard has more than 200000 parts from here. Write it out without anchors (&) and"
        " aliases (*)."
    )


def test_anchors_of_lists_may_be_used():
    data, _ = parse_yaml("a: &here [1, 2]\nb: *here\n", FILE)
    assert data == {"a": [1, 2], "b": [1, 2]}


@LOADERS
@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("No", "No"),
        ("on", "on"),
        ("2026-03-05", "2026-03-05"),
        ("12:30:00", "12:30:00"),
        ("1.50", "1.50"),
        ("1e3", "1e3"),
        ("007", "007"),
        ("0x10", "0x10"),
        ("1_000", "1_000"),
        ("-0", "-0"),
        ("1300", 1300),
        ("-1299", -1299),
        ('"-1299"', "-1299"),
        ("9" * 40, "9" * 40),
        ("~", None),
        ("", None),
        ("# a note", None),
        ("'~'", "~"),
        ("''", ""),
        ("[a, b]", ["a", "b"]),
    ],
)
def test_a_scalar_is_what_stands_in_the_file(written, read, loader):
    assert parse_yaml(f"key: {written}\n", FILE, loader)[0] == {"key": read}


def test_a_key_is_always_words():
    assert parse_yaml("on: 1\n2: 3\nnull: 4\n", FILE)[0] == {"on": 1, "2": 3, "null": 4}


def test_fields_without_a_value_can_be_left_out():
    data, _ = parse_yaml("a:\nb: {c: , d: 1}\ne: [~, f]\n", FILE)
    assert without_empty(data) == {"b": {"d": 1}, "e": [None, "f"]}


def test_the_words_of_a_block_have_lines_of_their_own():
    _, places = parse_yaml("a: x\nsay: |\n\n  One.\n  Two.\nfold: >\n  One.\n", FILE)
    assert places.find(("say",)) == Place(FILE, 2, words_line=4)
    assert places.find(("fold",)) == Place(FILE, 6)


names = st.text("abcdefgh_", min_size=1, max_size=6)
scalars = st.one_of(
    st.text(st.characters(codec="utf-8", exclude_categories=["C"]), max_size=12),
    st.integers(-99999, 99999),
)
trees = st.recursive(
    scalars,
    lambda inner: (
        st.lists(inner, min_size=1, max_size=4)
        | st.dictionaries(names, inner, min_size=1, max_size=4)
    ),
    max_leaves=12,
)


@given(tree=st.dictionaries(names, trees, min_size=1, max_size=4), flow=st.booleans())
def test_what_is_dumped_is_read_back_and_every_part_has_a_line(tree, flow):
    text = yaml.safe_dump(tree, allow_unicode=True, default_flow_style=flow, sort_keys=False)
    data, places = parse_yaml(text, FILE)
    assert data == tree
    lines = text.split("\n")
    for path, _ in walk(tree):
        line = lines[places.known[path].line - 1]
        if isinstance(path[-1], str):
            assert path[-1] in line
        elif not flow:
            assert "- " in line


@given(tree=st.dictionaries(names, trees, min_size=1, max_size=4), data=st.data())
def test_what_is_not_in_the_file_has_the_place_of_what_is_around_it(tree, data):
    text = yaml.safe_dump(tree, allow_unicode=True, default_flow_style=False, sort_keys=False)
    _, places = parse_yaml(text, FILE)
    path, _ = data.draw(st.sampled_from(list(walk(tree))))
    assert places.find((*path, "NOT_THERE", 3)) == places.find(path)
    assert places.find(("NOT_THERE",)) == Place(FILE, 1)


def walk(tree, path=()):
    pairs = tree.items() if isinstance(tree, dict) else enumerate(tree)
    for key, value in pairs:
        yield (*path, key), value
        if isinstance(value, dict | list):
            yield from walk(value, (*path, key))
