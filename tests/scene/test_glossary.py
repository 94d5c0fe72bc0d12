import pytest

from slidekit.errors import FitError
from slidekit.scene.frame import compose_title, content_below
from slidekit.scene.glossary import Entry, compose_glossary, glossary_entries
from slidekit.scene.model import Text
from slidekit.scene.text import text_height_mm
from slidekit.storyboard.model import Storyboard
from tests.scene.builders import DARK

ROOM = content_below(compose_title("Words we used", DARK))
BOARD = Storyboard.model_validate(
    {
        "talk": {"title": "t", "slot_min": 1, "audience": "student"},
        "glossary": {
            "ply": {"term": "ply", "plain": "one layer of cloth"},
            "ebauche": {"term": "Ébauche", "plain": {"general": "a rough cut"}},
            "temper": {"term": "temper", "plain": {"specialist": "grog", "general": "grains"}},
        },
        "slides": [{"id": "a", "kind": "title"}],
    }
)


def texts(entries: list[Entry]) -> list[Text]:
    return [item for item in compose_glossary(ROOM, entries, DARK) if isinstance(item, Text)]


def many(count: int, plain: str = "one layer of cloth") -> list[Entry]:
    return [Entry(f"term {i:02}", plain, (i, f"slide_{i}")) for i in range(count)]


def test_terms_stand_in_the_order_of_the_alphabet_whatever_their_accents():
    entries = glossary_entries((), BOARD, {"ply": (3, "cloth"), "ebauche": (4, "cut")})
    assert entries == (
        Entry("Ébauche", "a rough cut", (4, "cut")),
        Entry("ply", "one layer of cloth", (3, "cloth")),
    )


def test_a_term_asked_for_by_name_needs_no_slide():
    assert glossary_entries(("temper",), BOARD, {}) == (Entry("temper", "grains", None),)


def test_an_entry_has_its_term_in_bold_and_leads_to_its_slide():
    ((paragraph,),) = [text.paragraphs for text in texts([Entry("ply", "a layer", (3, "cloth"))])]
    assert [(run.text, run.bold, run.link) for run in paragraph.runs] == [
        ("ply", True, None),
        (" – a layer", False, None),
        ("\N{NO-BREAK SPACE}·\N{NO-BREAK SPACE}", False, None),
        ("slide\N{NO-BREAK SPACE}3", False, "cloth"),
    ]


@pytest.mark.parametrize("count", [1, 4, 9])
def test_a_few_terms_stand_in_one_column(count):
    (column,) = texts(many(count))
    assert len(column.paragraphs) == count
    assert column.size_pt == DARK.sizes["body"].pt


@pytest.mark.parametrize("count", [12, 17, 24])
def test_two_columns_of_about_one_height_read_down_and_then_across(count):
    left, right = texts(many(count))
    assert [p.plain[:7] for text in (left, right) for p in text.paragraphs] == [
        f"term {i:02}" for i in range(count)
    ]
    heights = [text_height_mm(t.paragraphs, t.box.width_mm, t.size_pt) for t in (left, right)]
    assert 0 <= heights[0] - heights[1] <= 1.2 * heights[0] / len(left.paragraphs)
    assert left.box.right_mm < right.box.left_mm
    assert left.size_pt == right.size_pt
    for text in (left, right):
        needed = text_height_mm(text.paragraphs, text.box.width_mm, text.size_pt)
        assert needed <= text.box.height_mm


def test_more_terms_stand_smaller():
    assert texts(many(30))[0].size_pt < texts(many(12))[0].size_pt


def test_terms_that_do_not_fit_are_refused_with_the_measure():
    with pytest.raises(
        FitError,
        match=r"^the glossary needs \d+ mm more height at 14 pt, the least size\. Name fewer"
        r" `terms`, or shorten their plain words\.$",
    ):
        compose_glossary(ROOM, many(60, "one layer of cloth of many that lie on each other"), DARK)


def test_a_glossary_of_nothing_is_refused():
    with pytest.raises(FitError, match=r"^no slide uses a term of the glossary\. Name its `terms`"):
        compose_glossary(ROOM, (), DARK)
