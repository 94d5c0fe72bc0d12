import pytest

from tests.storyboard.boards import complaints, read, spoiled

SHOWN = "      - {view: side, regions: [wall]}"


def with_inset(inset: str) -> str:
    return spoiled(SHOWN, f"      - {{view: side, inset: {inset}}}").replace(
        "{wall.length}", "3 mm"
    )


def test_an_inset_is_around_a_region_or_a_rectangle(tmp_path):
    for inset in ("{region: wall}", "{center_mm: [1, 2], size_mm: [9, 7], times: 2.5}"):
        assert read(tmp_path, with_inset(inset)).board.slides[3].views[1].inset is not None


INCOMPLETE = (
    "needs either `region`, or both `center_mm` and `size_mm`, or both `center_px` and `size_px`. "
    "Write one of the three forms."
)


@pytest.mark.parametrize(
    ("inset", "said"),
    [
        (
            "{times: 3}",
            INCOMPLETE,
        ),
        (
            "{region: wall, size_mm: [3, 3]}",
            INCOMPLETE,
        ),
        (
            "{center_mm: [1, 2], size_mm: [9, 7], margin_mm: 3}",
            "has a margin and no `region`. Make the size larger instead.",
        ),
    ],
)
def test_half_an_inset_is_told(tmp_path, inset, said):
    assert complaints(tmp_path, with_inset(inset)) == [
        f"talk.yaml:50: slides[3].views[1].inset: {said}"
    ]


def test_an_enlargement_that_is_too_great_is_told_with_both_limits(tmp_path):
    assert complaints(tmp_path, with_inset("{region: wall, times: 40}")) == [
        "talk.yaml:50: slides[3].views[1].inset.times: `40` is too large. Write more than 1 and"
        " at most 12."
    ]


def test_two_crops_of_one_view_are_told(tmp_path):
    text = spoiled(
        "side: {scan: urn,",
        "side: {crop_mm: [[0, 0], [9, 9]], crop_around: {region: wall}, scan: urn,",
    )
    assert complaints(tmp_path, text) == [
        "talk.yaml:12: views.side: has `crop_mm` and `crop_around`. Write one of the two."
    ]
