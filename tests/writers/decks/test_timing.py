"""Clicks: ECMA-376 Part 1, 19.5 (animation) as a tree with one branch for each click."""

from hypothesis import given
from hypothesis import strategies as st
from pptx import Presentation

from slidekit.writers.decks.timing import timing
from tests.writers.deck_samples import NS, finding, page, slide_xml, written


def clicks_of(root):
    """Shape ids by click, and the node type of each effect."""
    sequence = root.find(".//p:timing//p:seq/p:cTn[@nodeType='mainSeq']/p:childTnLst", NS)
    return [
        [
            (effect.get("nodeType"), effect.find(".//p:spTgt", NS).get("spid"))
            for effect in click.iterfind(".//p:cTn[@presetID]", NS)
        ]
        for click in sequence
    ]


def names_by_click(tmp_path, *items):
    path = written(tmp_path, [page("only", items)])
    names = {str(shape.shape_id): shape.name for shape in Presentation(str(path)).slides[0].shapes}
    return [[names[spid] for _, spid in click] for click in clicks_of(slide_xml(path))]


def test_groups_appear_in_the_order_of_their_steps(tmp_path):
    found = names_by_click(
        tmp_path, finding("C", (80, 90), 3), finding("A", (80, 90), 1), finding("B", (80, 90), 2)
    )
    assert found == [["Finding A"], ["Finding B"], ["Finding C"]]


def test_groups_of_one_step_appear_on_one_click(tmp_path):
    found = names_by_click(
        tmp_path, finding("A", (80, 90), 1), finding("B", (80, 90), 1), finding("C", (80, 90), 2)
    )
    assert found == [["Finding A", "Finding B"], ["Finding C"]]


def test_a_group_of_step_zero_is_there_from_the_start(tmp_path):
    found = names_by_click(tmp_path, finding("A", (80, 90), 0), finding("B", (80, 90), 1))
    assert found == [["Finding B"]]


def test_a_step_left_out_costs_no_empty_click(tmp_path):
    found = names_by_click(tmp_path, finding("A", (80, 90), 2), finding("B", (80, 90), 5))
    assert found == [["Finding A"], ["Finding B"]]


def test_the_first_of_a_click_starts_it_and_the_others_go_with_it(tmp_path):
    path = written(tmp_path, [page("only", [finding(letter, (80, 90), 1) for letter in "ABC"])])
    assert [[node for node, _ in click] for click in clicks_of(slide_xml(path))] == [
        ["clickEffect", "withEffect", "withEffect"]
    ]


def test_a_slide_without_clicks_has_no_timing(tmp_path):
    path = written(tmp_path, [page("only", (finding("A", (80, 90), 0),))])
    assert slide_xml(path).find("p:timing", NS) is None


def test_each_effect_makes_its_shape_visible(tmp_path):
    path = written(tmp_path, [page("only", (finding("A", (80, 90), 1),))])
    (change,) = slide_xml(path).iterfind(".//p:timing//p:set", NS)
    assert change.findtext(".//p:attrName", "", NS) == "style.visibility"
    assert change.find("p:to/p:strVal", NS).get("val") == "visible"
    effect = slide_xml(path).find(".//p:cTn[@presetClass]", NS)
    assert (effect.get("presetClass"), effect.get("presetID")) == ("entr", "1")


def test_groups_have_no_paragraph_build(tmp_path):
    path = written(tmp_path, [page("only", (finding("A", (80, 90), 1),))])
    assert list(slide_xml(path).iterfind(".//p:bldP", NS)) == []


@given(st.lists(st.lists(st.integers(2, 99), min_size=1, max_size=4), min_size=1, max_size=9))
def test_time_nodes_are_numbered_in_document_order(clicks):
    numbers = [int(word.split('"')[0]) for word in timing(clicks).split('<p:cTn id="')[1:]]
    assert numbers == list(range(1, len(numbers) + 1))
