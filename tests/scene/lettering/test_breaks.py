"""Where lines end in scripts with and without spaces."""

import pytest

from slidekit.scene.fonts import letter_with
from slidekit.scene.lettering.breaks import unbroken_pieces
from slidekit.scene.lettering.named import NamedFont, families_of
from slidekit.scene.text import line_width_mm, misfit, paragraphs_of, wrap_lines
from tests.language_talks import FONTS

JAPANESE = NamedFont(
    family="Noto Sans JP",
    regular=str(FONTS / "NotoSansJP-Regular.ttf"),
    bold=str(FONTS / "NotoSansJP-Bold.ttf"),
)


def pieces(text: str) -> str:
    return "|".join(text[start:end] for start, end in unbroken_pieces(text, at_dashes=False))


@pytest.mark.parametrize(
    ("text", "parted"),
    [
        ("壺の内側", "壺|の|内|側"),
        ("骨片。土", "骨|片。|土"),
        ("「集中」、", "「集|中」、"),
        ("チョーク々", "チョー|ク々"),
        ("CT値は12％", "CT|値|は|12％"),
        ("約−1000、", "約|−1000、"),
        ("（土）", "（土）"),
        ("“中国”人", "“中|国”|人"),
        ("である……", "で|あ|る……"),
        ("불탄 항아리의 안", "불탄|항아리의|안"),
        ("the fired urn", "the|fired|urn"),
        ("הכד השרוף", "הכד|השרוף"),
        ("か\u3099ま", "か\u3099|ま"),
        ("一\u00a0二", "一\u00a0二"),
    ],
)
def test_lines_end_where_the_script_allows(text, parted):
    assert pieces(text) == parted


def test_no_line_begins_with_a_closing_sign_at_any_width():
    letter_with(families_of([JAPANESE]))
    [paragraph] = paragraphs_of("「骨」（片）、「土」。「壺」（底）、「金」。")
    for width_mm in range(18, 80):
        for line in wrap_lines(paragraph, width_mm, 12):
            words = "".join(run.text for run in line)
            assert words[0] not in "」）、。", words
            assert words[-1] not in "「（", words


def test_emphasis_needs_no_spaces_where_the_script_has_none():
    [paragraph] = paragraphs_of("骨は**上半分**に")
    assert [(run.text, run.bold) for run in paragraph.runs] == [
        ("骨は", False),
        ("上半分", True),
        ("に", False),
    ]


def test_asterisks_within_a_word_are_asterisks():
    assert [run.text for run in paragraphs_of("a*b*c and 3*4*5")[0].runs] == ["a*b*c and 3*4*5"]


def test_too_much_of_a_script_without_spaces_is_counted_in_characters():
    letter_with(families_of([JAPANESE]))
    words = paragraphs_of("土の中で錆びているが、形は残っている")
    width_mm = line_width_mm("土の中で錆びて", 12)
    told = str(misfit(words, (width_mm, 7.0), 12, "the caption"))
    assert "Shorten it by about 12 characters of its 18" in told, told
