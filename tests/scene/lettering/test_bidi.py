"""The order of letters, against the test file of the standard itself."""

import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest

from slidekit.scene.lettering.bidi import direction_of, embedding_levels, mirrored, visual_order

# BidiCharacterTest.txt of the Unicode Character Database, version 15.0.0: code points; direction
# of the paragraph asked for (0 left to right, 1 right to left, 2 by its letters); its resolved
# level; levels; order from left to right
EXCERPTS = """
0061 0028 0062 0029 05D0;0;0;0 0 0 0 1;0 1 2 3 4
0061 0028 0062 0029 05D0;1;1;2 2 2 2 1;4 0 1 2 3
05D0 0028 0061 0029 0062;1;1;1 1 2 1 2;4 3 2 1 0
05D0 0028 0061 0029 05D1;0;0;1 0 0 0 1;0 1 2 3 4
0661 0028 0662 0029 0331;0;0;2 1 2 1 1;4 3 2 1 0
0061 0028 0332 0062 0029 0333;1;1;2 2 2 2 2 2;0 1 2 3 4 5
062A 0031 002F 0032;1;1;1 2 2 2;1 2 3 0
0028 0627 05D0 0029 0020 0031 002D 0032;1;1;1 1 1 1 1 2 2 2;5 6 7 4 3 2 1 0
"""

FILE = Path("/usr/share/unicode/BidiCharacterTest.txt")
EXPLICIT = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI", "BN", "B", "S"}
"""Embeddings, isolates and separators, which paragraphs of slides do not have."""


def cases(text: str) -> Iterator[tuple[str, int, list[int], list[int]]]:
    for line in text.splitlines():
        if not line.strip() or line.startswith("#"):
            continue
        codes, _, level, levels, order = line.split(";")
        letters = "".join(chr(int(code, 16)) for code in codes.split())
        if not {unicodedata.bidirectional(letter) for letter in letters} & {*EXPLICIT, ""}:
            yield letters, int(level), [*map(int, levels.split())], [*map(int, order.split())]


def wrong(text: str) -> list[str]:
    found = []
    for letters, base, levels, order in cases(text):
        given = embedding_levels(letters, "rtl" if base else "ltr")
        spaces = [unicodedata.bidirectional(letter) == "WS" for letter in letters]
        ours = visual_order(given, spaces, base)
        end = len(letters.rstrip()) if letters.strip() else 0
        given[end:] = [base] * (len(letters) - end)
        if (given, ours) != (levels, order):
            found.append(ascii(letters))
    return found


def test_the_excerpts_of_the_standard_are_in_order():
    assert len(list(cases(EXCERPTS))) == 8
    assert wrong(EXCERPTS) == []


@pytest.mark.skipif(not FILE.is_file(), reason="the package unicode-data is not installed")
def test_all_lines_of_the_standard_without_explicit_signs_are_in_order():
    text = FILE.read_text(encoding="utf-8")
    assert sum(1 for _ in cases(text)) > 50_000
    assert wrong(text)[:5] == []


@pytest.mark.parametrize(
    ("text", "language", "direction"),
    [
        ("הכד", "en", "rtl"),
        ("the jar, הכד", "en", "ltr"),
        ("CT של הכד", "he", "rtl"),
        ("CT", "he", "ltr"),
        ("12–15", "ar", "ltr"),
        ("جرة", "ar-EG", "rtl"),
        ("jarra جرة", "ar-Latn", "ltr"),
    ],
)
def test_a_paragraph_runs_as_its_first_letter_or_its_language_does(text, language, direction):
    assert direction_of(text, language) == direction


def test_signs_that_run_to_the_left_face_the_other_way():
    assert mirrored("([«") == "»])"
