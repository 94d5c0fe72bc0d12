import pytest

from slidekit.build import Options, compose_show
from slidekit.errors import FitError
from slidekit.scene.model import Polyline, Rect, Text
from slidekit.scene.paper.handout import compose_handout
from slidekit.scene.paper.sheet import CONTENT
from tests.talks import TALK, no_progress, write_talk

SUMMED_UP = TALK.replace(
    "    kind: timeline\n", "    kind: timeline\n    summary: All of it is old.\n"
).replace("    views:\n", "    summary: 'It is {gap.length} off the wall.'\n    views:\n", 1)


@pytest.fixture(scope="module")
def show(tmp_path_factory):
    folder = tmp_path_factory.mktemp("talk")
    return compose_show(write_talk(folder, SUMMED_UP), Options(draft=True), no_progress)


def sheets(show, per_sheet: int, beside: str):
    return list(compose_handout(show.told, show.pages, per_sheet, beside))


@pytest.mark.parametrize(("per_sheet", "count"), [(1, 5), (2, 3), (3, 2), (6, 1)])
def test_so_many_slides_stand_on_a_sheet(show, per_sheet, count):
    made = sheets(show, per_sheet, "lines")
    assert len(made) == count
    whole = [item for item in made[0] if isinstance(item, Rect) and item.box.width_mm > 70]
    assert len(whole) == min(per_sheet, 5)


@pytest.mark.parametrize("per_sheet", [1, 2, 3, 6])
def test_everything_stands_inside_the_sheet(show, per_sheet):
    for sheet in sheets(show, per_sheet, "lines"):
        for item in sheet:
            if isinstance(item, Text | Rect):
                assert item.box.left_mm >= CONTENT.left_mm - 1e-6
                assert item.box.right_mm <= CONTENT.right_mm + 1e-6
                assert item.box.bottom_mm <= CONTENT.bottom_mm + 1e-6


def test_the_words_stand_beside_their_slide(show):
    texts = [item.plain for sheet in sheets(show, 2, "words") for item in sheet if is_text(item)]
    assert "Good evening." in texts


def test_the_summary_stands_where_the_author_gave_one(show):
    texts = [item.plain for sheet in sheets(show, 6, "summary") for item in sheet if is_text(item)]
    assert "All of it is old." in texts
    assert "Good evening." not in texts


def test_a_summary_tells_the_numbers_it_names(show):
    texts = [item.plain for sheet in sheets(show, 6, "summary") for item in sheet if is_text(item)]
    assert "It is 12 mm off the wall." in texts


def test_there_are_lines_to_write_on(show):
    ruled = [item for item in sheets(show, 3, "lines")[0] if isinstance(item, Polyline)]
    assert len(ruled) > 12


def test_two_slides_on_a_sheet_are_as_wide_as_it_where_their_summaries_are_short(show):
    slides = [i for i in sheets(show, 2, "summary")[0] if isinstance(i, Rect)]
    assert slides[0].box.width_mm == CONTENT.width_mm


def test_two_slides_on_a_sheet_leave_room_for_five_lines_below_them(show):
    ruled = [i for i in sheets(show, 2, "lines")[0] if isinstance(i, Polyline)]
    tops = [line.points_mm[0][1] for line in ruled if line.points_mm[0][0] == CONTENT.left_mm]
    assert len(tops) >= 2 * 5


def test_words_that_do_not_fit_are_told(tmp_path):
    text = TALK.replace("Good evening.", "Good evening. " * 400)
    talk = compose_show(write_talk(tmp_path, text), Options(draft=True), no_progress)
    told = (
        r"^the words of slide `opening` do not fit beside it\. Put fewer slides on a sheet"
        r" \(--per-sheet 1\), or take the summary \(--beside summary\)\.$"
    )
    with pytest.raises(FitError, match=told):
        sheets(talk, 2, "words")


def is_text(item) -> bool:
    return isinstance(item, Text)
