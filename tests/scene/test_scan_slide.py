from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import FitError
from slidekit.scans.model import Grid
from slidekit.scene.exhibits import exhibits_of
from slidekit.scene.model import Box, Group, Picture, Text
from slidekit.scene.scan_slide import compose_exhibits
from slidekit.scene.sights.model import Sights
from slidekit.scene.speech import cast_of
from slidekit.scene.text import text_height_mm
from slidekit.storyboard.views import ShownView
from tests.scene.builders import DARK, axial_picture, axial_sight, round_region

ROOM = Box(14, 40, 310, 130)
REGIONS = {name: round_region(name, x, 0) for name, x in (("coil", -50), ("plug", -40))}
WORDS = "The base of the urn with the coil of wire in its wrapping, seen from below. "


def sight(name: str, aspect: float):
    rows = 240
    grid = Grid((-60, -60, 30), (1, 0, 0), (0, 1, 0), 0.5, 0.5, rows, round(rows * aspect))
    return axial_sight(name, axial_picture(grid))


def compose(aspects, captions, regions=()):
    sights = Sights({f"v{i}": sight(f"v{i}", a) for i, a in enumerate(aspects)}, REGIONS)
    shown = [
        ShownView(view=f"v{i}", caption=caption, regions=regions)
        for i, caption in enumerate(captions)
    ]
    return compose_exhibits(exhibits_of(shown, sights), ROOM, cast_of(shown), DARK)


def boxes(items) -> list[Box]:
    """Pictures and the words around them."""
    words = [i.box for i in items if isinstance(i, Text)]
    keys = [
        inner.box
        for item in items
        if isinstance(item, Group) and item.name.startswith("Key")
        for inner in item.items
        if isinstance(inner, Text)
    ]
    return [*(i.box for i in items if isinstance(i, Picture)), *words, *keys]


def overlap(a: Box, b: Box) -> bool:
    return (
        min(a.right_mm, b.right_mm) - max(a.left_mm, b.left_mm) > 1e-6
        and min(a.bottom_mm, b.bottom_mm) - max(a.top_mm, b.top_mm) > 1e-6
    )


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.7, 2.4), st.integers(0, 2)), min_size=1, max_size=4),
    st.sampled_from([(), ("coil",), ("coil", "plug")]),
)
def test_nothing_overlaps_or_leaves_the_room(views, regions):
    aspects = [aspect for aspect, _ in views]
    try:
        items = compose(aspects, [WORDS * n for _, n in views], regions)
    except FitError:
        return
    placed = boxes(items)
    assert not any(overlap(a, b) for a, b in combinations(placed, 2))
    for box in placed:
        assert box.left_mm >= ROOM.left_mm - 1e-6
        assert box.top_mm >= ROOM.top_mm - 1e-6
        assert box.right_mm <= ROOM.right_mm + 1e-6
        assert box.bottom_mm <= ROOM.bottom_mm + 1e-6


@settings(max_examples=20, deadline=None)
@given(st.lists(st.floats(0.7, 2.4), min_size=1, max_size=4))
def test_no_picture_is_stretched(aspects):
    items = compose(aspects, [""] * len(aspects))
    for item in items:
        if isinstance(item, Picture):
            rows, columns = item.pixels.shape
            assert item.box.width_mm / item.box.height_mm == pytest.approx(columns / rows)


def test_a_single_picture_takes_the_height_of_the_room():
    items = compose([1.0], [WORDS], ("coil",))
    picture = next(i for i in items if isinstance(i, Picture))
    assert picture.box.height_mm > 0.94 * ROOM.height_mm


def test_pictures_side_by_side_have_one_height():
    items = compose([1.0, 0.7, 1.4], [WORDS, "", WORDS])
    assert len({round(i.box.height_mm, 6) for i in items if isinstance(i, Picture)}) == 1


def test_captions_share_one_size_and_one_line():
    items = compose([1.0, 0.6], [WORDS, WORDS])
    captions = [i for i in items if isinstance(i, Text) and i.role == "caption"]
    assert len({c.size_pt for c in captions}) == 1
    assert len({c.box.top_mm for c in captions}) == 1


def test_the_key_names_a_region_once_however_many_views_show_it():
    items = compose([1.0, 1.0], ["", ""], ("coil",))
    assert [i.name for i in items if isinstance(i, Group) and i.name.startswith("Key")] == [
        "Key A: the coil"
    ]


def test_words_fit_their_boxes_at_their_size():
    for item in compose([0.8, 1.3], [WORDS * 2, WORDS]):
        if isinstance(item, Text):
            needed = text_height_mm(item.paragraphs, item.box.width_mm, item.size_pt)
            assert needed <= item.box.height_mm + 1e-6


def scaled(rows_mm: list[float]):
    """Pictures of these heights in the patient, at one scale."""
    sights = {}
    for i, height in enumerate(rows_mm):
        grid = Grid((-60, -60, 30), (1, 0, 0), (0, 1, 0), 0.5, 0.5, round(height * 2), 240)
        sights[f"v{i}"] = axial_sight(f"v{i}", axial_picture(grid))
    shown = [ShownView(view=name) for name in sights]
    exhibits = exhibits_of(shown, Sights(sights, REGIONS), same_scale=True)
    return compose_exhibits(exhibits, ROOM, cast_of(shown), DARK)


def test_a_patient_millimetre_is_as_long_on_every_picture_of_one_scale():
    items = scaled([120, 60, 90])
    found = [i for i in items if isinstance(i, Picture)]
    lengths = [i.box.height_mm / (i.pixels.shape[0] / 2) for i in found]
    lengths += [i.box.width_mm / (i.pixels.shape[1] / 2) for i in found]
    assert lengths == pytest.approx([lengths[0]] * 6)
    assert len({round(i.box.bottom_mm, 6) for i in found}) == 1


def test_pictures_of_one_scale_have_one_scale_bar_and_say_so():
    items = scaled([120, 40])
    bars = {i.alt.split(".")[0] for i in items if isinstance(i, Group)}
    assert len(bars) == 1
    data = [i.plain for i in items if isinstance(i, Text) and i.role == "data"]
    assert all(line.endswith(" · same scale") for line in data)


def test_too_many_words_beside_a_picture_are_refused_with_the_measure():
    with pytest.raises(
        FitError,
        match=r"^caption and key need \d+ mm more height at 14 pt, the least size\. "
        r"Shorten the caption or the names of the regions\.$",
    ):
        compose([1.0], [WORDS * 40])


def test_too_many_words_under_pictures_are_refused_with_the_measure():
    with pytest.raises(
        FitError, match=r"^captions and keys leave \d+ mm of height for the pictures, .* in two\.$"
    ):
        compose([1.0, 1.0, 1.0], [WORDS * 8] * 3)


@pytest.mark.parametrize("aspect", [0.22, 0.3, 4.0])
def test_narrow_and_low_pictures_keep_their_words_in_the_room(aspect: float):
    placed = boxes(compose([aspect], [WORDS], ("coil",)))
    for a, b in combinations(placed, 2):
        assert not overlap(a, b)
    for box in placed:
        assert box.right_mm <= ROOM.right_mm + 1e-6
        assert box.bottom_mm <= ROOM.bottom_mm + 1e-6


@pytest.mark.parametrize(
    ("aspects", "width", "height"), [((0.05,), 6, 113), ((40,), 310, 8), ((0.2, 6), 9, 43)]
)
def test_a_picture_with_no_room_for_its_scale_is_refused(aspects, width: int, height: int):
    with pytest.raises(
        FitError,
        match=rf"^the picture of view `v0` would be {width} mm wide and {height} mm high, and "
        r"needs 24 mm of both\. Crop it with `crop_mm`, or show it with fewer others\.$",
    ):
        compose(aspects, [""] * len(aspects))


def test_a_picture_that_one_scale_makes_too_small_is_told_of_it():
    with pytest.raises(FitError, match=r"fewer others, or without `same_scale`\.$"):
        scaled([120, 15])
