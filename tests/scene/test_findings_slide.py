import pytest

from slidekit.errors import FitError
from slidekit.scene.findings_slide import Grounds, compose_findings
from slidekit.scene.frame import compose_title, content_below
from slidekit.scene.model import Group, Item, Rect, Text
from slidekit.scene.text import text_height_mm
from slidekit.storyboard.findings import Finding
from tests.scene.builders import DARK

TITLE = compose_title("What we may say", DARK)
ROOM = content_below(TITLE)
PAGES = [(5, "coil_slide"), (7, "plug_slide")]
OTHER = {"statement": "It was pressed in", "why_less": "there is no lip"}


def finding(statement: str = "It was drilled.", certainty="probable", **more) -> Finding:
    return Finding.model_validate(
        {"statement": statement, "certainty": certainty, "evidence": ["coil"], **more}
    )


def composed(*findings: Finding, pages=PAGES, cited="") -> list[Item]:
    named = {f"f{i}": one for i, one in enumerate(findings)}
    return compose_findings(TITLE, named, dict.fromkeys(named, Grounds(pages, cited)), DARK)


def groups(items: list[Item]) -> list[Group]:
    return [item for item in items if isinstance(item, Group)]


def texts(items: list[Item]) -> list[Text]:
    return [one for group in groups(items) for one in group.items if isinstance(one, Text)]


def below(one: Finding) -> list[str]:
    """What stands below the statement."""
    lines = texts(composed(one))[2:-1]
    return [paragraph.plain for text in lines for paragraph in text.paragraphs]


def assert_fits(items: list[Item]) -> None:
    for text in texts(items):
        assert text_height_mm(text.paragraphs, text.box.width_mm, text.size_pt) <= (
            text.box.height_mm + 1e-6
        ), text.plain
        assert text.box.bottom_mm <= ROOM.bottom_mm + 1e-6


def test_each_finding_leads_to_the_slides_that_show_it():
    runs = [run for text in texts(composed(finding())) for p in text.paragraphs for run in p.runs]
    links = [(run.text, run.link) for run in runs if run.link]
    assert links == [("5", "coil_slide"), ("7", "plug_slide")]


def test_what_speaks_against_a_finding_is_shown():
    assert below(finding(against="wax is near")) == ["Against: wax is near"]


def test_an_alternative_is_shown_with_why_it_is_less_likely():
    assert below(finding(alternatives=[OTHER])) == [
        "Or: It was pressed in – less likely: there is no lip"
    ]


def test_what_cannot_be_shown_lies_between_its_alternatives():
    others = [{"statement": "A drain"}, {"statement": "A repair"}]
    found = finding("What it was for", "cannot be shown", alternatives=others)
    assert below(found) == ["Between: A drain · A repair"]


def test_the_reason_to_go_beyond_the_evidence_is_shown():
    assert below(finding(although="the bag is whole")) == ["All the same: the bag is whole"]


def test_what_is_cited_for_a_finding_is_shown():
    (*_, small, _) = texts(composed(finding(), cited="Moor 2019, 112"))
    assert small.plain == "After: Moor 2019, 112"


def test_a_finding_whose_slides_are_left_out_says_so():
    assert "left out" in texts(composed(finding(), pages=[]))[-1].plain


@pytest.mark.parametrize(
    ("certainty", "filled"),
    [("observed", 4), ("almost certain", 3), ("probable", 2), ("possible", 1)],
)
def test_the_ladder_has_as_many_steps_filled_as_the_word_is_strong(certainty, filled):
    (row,) = groups(composed(finding(certainty=certainty)))
    steps = [item for item in row.items if isinstance(item, Rect)]
    assert [step.fill is not None for step in steps] == [i < filled for i in range(4)]


def test_what_cannot_be_shown_stands_on_no_step():
    (row,) = groups(composed(finding(certainty="cannot be shown")))
    (frame,) = [item for item in row.items if isinstance(item, Rect)]
    assert frame.fill is None
    (lowest, *_) = [i for i in groups(composed(finding()))[0].items if isinstance(i, Rect)]
    assert frame.box.width_mm > 3 * lowest.box.width_mm


def test_a_row_read_aloud_says_all_that_it_shows():
    (row,) = groups(composed(finding(against="wax is near", alternatives=[OTHER])))
    assert row.alt == (
        "probable: It was drilled.\nAgainst: wax is near\n"
        "Or: It was pressed in – less likely: there is no lip\nSlides 5, 7"
    )


def test_six_findings_with_an_alternative_each_fit():
    items = composed(
        *[finding("It was found there and it is plain to see", alternatives=[OTHER])] * 6
    )
    assert_fits(items)
    assert len(groups(items)) == 6


def test_rows_stand_apart():
    rows = groups(composed(*[finding(against="wax is near")] * 4))
    bottoms = [max(i.box.bottom_mm for i in row.items if isinstance(i, Text)) for row in rows]
    tops = [min(i.box.top_mm for i in row.items if isinstance(i, Text)) for row in rows]
    assert all(top > bottom + 4 for bottom, top in zip(bottoms, tops[1:], strict=False))


def test_findings_that_cannot_fit_are_refused_with_the_measure_and_the_longest():
    long = finding("It was found and it is plain. " * 20)
    with pytest.raises(
        FitError,
        match=r"^the findings need \d+ mm more height at 20 pt, the least size; `f1` takes the most"
        r"\. Shorten the statements and what stands below them, or divide them over two slides\.$",
    ):
        composed(finding(), long, *[finding("It was found and it is plain. " * 4)] * 4)
