import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.scene.frame import MARGIN_MM, PAGE_MM, Heading, compose_page, compose_title
from slidekit.scene.frame import content_below as room_below
from slidekit.scene.model import Text
from slidekit.scene.text import text_height_mm
from tests.scene.builders import DARK

CREDIT = "Scan of a closed urn by the imaging group of an invented museum, in series {}"


def footer(*owners: str) -> Text:
    page = compose_page(Heading("only", "Title", "", owners, "en"), "title_only", (), 7, DARK)
    return next(i for i in page.items if isinstance(i, Text) and i.role == "footer")


def test_a_short_credit_line_is_set_in_one_line_at_its_first_size():
    line = footer("CT of an urn")
    assert line.size_pt == DARK.sizes["footer"].pt
    assert line.plain == "CT of an urn · For teaching and exhibition, not for diagnosis"


def test_a_credit_line_too_long_for_one_line_is_set_in_two_and_stays_whole():
    owners = [CREDIT.format(number) for number in range(3)]
    line = footer(*owners)
    assert line.size_pt == DARK.sizes["footer"].least_pt
    assert line.plain.startswith(" · ".join(owners))


def test_credits_too_long_for_two_lines_are_cut_alike_and_the_cut_is_seen():
    line = footer(*(f"{CREDIT.format(number)}, {'with many words ' * 9}" for number in range(3)))
    *cut, caution = line.plain.split(" · ")
    assert {credit[-1] for credit in cut} == {"…"}
    assert len({len(credit.split()) for credit in cut}) == 1
    assert caution == "For teaching and exhibition, not for diagnosis"


def test_a_short_credit_stays_whole_beside_one_that_is_cut():
    short, long, _ = footer("CT of an urn", CREDIT * 9).plain.split(" · ")
    assert short == "CT of an urn"
    assert long.endswith("…")


@settings(max_examples=30, deadline=None)
@given(st.lists(st.lists(st.text("abc,", min_size=1, max_size=12), max_size=60), max_size=5))
def test_every_credit_line_fits_between_the_content_and_the_edge_of_the_page(owners):
    line = footer(*map(" ".join, filter(None, owners)))
    needed = text_height_mm(line.paragraphs, line.box.width_mm, line.size_pt)
    assert needed <= line.box.height_mm + 1e-6
    assert line.box.top_mm >= room_below(compose_title("Title", DARK)).bottom_mm
    assert line.box.bottom_mm <= PAGE_MM[1]
    assert line.box.left_mm == pytest.approx(MARGIN_MM)
