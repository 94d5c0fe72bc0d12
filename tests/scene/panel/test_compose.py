import itertools
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slidekit.errors import FitError
from slidekit.scans.model import Grid
from slidekit.scene.model import Ellipse, Group, Picture, Polyline, Rect, Text
from slidekit.scene.panel.compose import compose_panel
from slidekit.scene.panel.type_sizes import panel_scale, type_ladder
from slidekit.scene.sights.figures import Figure
from slidekit.scene.sights.model import Sights
from slidekit.scene.typeset import set_lines
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.talk import Talk
from tests.scene.builders import DARK, LIGHT, axial_picture, axial_sight, placed, round_region

TALK = Talk(title="The urn", slot_min=20, language="en-GB")
TALL = Grid((-50, -80, 30), (1, 0, 0), (0, 1, 0), 0.5, 0.5, rows=400, columns=200)
A2, A1 = (420.0, 594.0), (594.0, 841.0)
LEAD = "Nobody has opened this urn since it was buried. X-rays let us look inside."
BODY = (
    "The urn was lifted in one block of earth and scanned before anyone touched it. Dense things "
    "look bright, air looks black.",
    "Under a layer of silt lies a band rich in charcoal. Below it the burnt bones were laid down "
    "in a bag or cloth, beside a coil of bronze wire.",
)
VIEWS = (
    {"view": "across", "regions": ["bone", "plug"], "caption": "A slice across the urn."},
    {"view": "tall", "regions": ["coil"], "caption": "A narrow part of it."},
    {"view": "metal", "regions": ["bone"], "caption": "Only metal still shows."},
    {"view": "plain"},
)


def sights(**changes):
    names = ("across", "metal", "plain")
    views = {name: axial_sight(name, **changes) for name in names}
    views["tall"] = axial_sight("tall", axial_picture(TALL), **changes)
    plug = Figure("arrow", ((-60.0, 40.0, 30.0), (-75.0, 50.0, 30.0)))
    regions = [
        round_region("bone", -20, 10, 20),
        round_region("coil", 0, 0, 10, mark_key="blue"),
        placed("plug", plug, "arrow", "yellow"),
    ]
    return Sights(views, {region.name: region for region in regions})


def compose(count=1, size_mm=A2, *, style=DARK, body=(LEAD, *BODY), headline="Inside the urn"):
    panel = Panel(size_mm=size_mm, headline=headline, body=body, views=VIEWS[:count])
    return compose_panel("urn", panel, sights(), style, TALK)


def leaves(page):
    for item in page.items:
        yield from item.items if isinstance(item, Group) else (item,)


def texts(page, role=None):
    return [i for i in leaves(page) if isinstance(i, Text) and role in (None, i.role)]


def extent(item):
    """Left, top, right, bottom; letters count (capitals: 0.688 em, OS/2 table), not their boxes."""
    match item:
        case Text(fill=None):
            em = item.size_pt * 25.4 / 72
            lines = set_lines(item)
            return (
                min(line.left_mm for line in lines),
                min(line.baseline_mm for line in lines) - 0.688 * em,
                max(line.left_mm + line.width_mm for line in lines),
                max(line.baseline_mm for line in lines) + 0.22 * em,
            )
        case Text() | Picture() | Rect():
            return (item.box.left_mm, item.box.top_mm, item.box.right_mm, item.box.bottom_mm)
        case Ellipse(center_mm=(x, y), radii_mm=(a, b)):
            reach = max(a, b)
            return (x - reach, y - reach, x + reach, y + reach)
        case Polyline(points_mm=points):
            xs, ys = zip(*points, strict=True)
            return (min(xs), min(ys), max(xs), max(ys))


def overlap(a, b):
    across = min(a[2], b[2]) - max(a[0], b[0])
    down = min(a[3], b[3]) - max(a[1], b[1])
    return across > 0.01 and down > 0.01


def assert_well_set(page):
    """Everything within the margins, letters within their boxes, no text on another or on a
    picture."""
    margin = min(page.size_mm) / 14
    for item in leaves(page):
        left, top, right, bottom = extent(item)
        assert left >= margin - 0.01
        assert top >= margin - 0.01
        assert right <= page.size_mm[0] - margin + 0.01
        assert bottom <= page.size_mm[1] - margin + 0.01
    for text in texts(page):
        assert text.size_pt >= 24 - 1e-9
        em = text.size_pt * 25.4 / 72
        for line in set_lines(text):
            assert line.width_mm <= text.box.width_mm + 0.01
            assert line.baseline_mm + 0.22 * em <= text.box.bottom_mm + 0.6
    around = [extent(t) for t in texts(page) if t.role not in {"label"} and t.fill is None]
    for a, b in itertools.combinations(around, 2):
        assert not overlap(a, b)
    pictures = [extent(item) for item in page.items if isinstance(item, Picture)]
    for a, b in itertools.product(around, pictures):
        assert not overlap(a, b)
    for a, b in itertools.combinations(pictures, 2):
        assert not overlap(a, b)


@pytest.mark.parametrize("size_mm", [A2, A2[::-1], A1, A1[::-1], (1000.0, 500.0)])
@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_panels_of_one_to_four_views_are_well_set(count, size_mm):
    body = (LEAD, *BODY) if count < 3 or max(size_mm) > 800 else BODY[:1]
    page = compose(count, size_mm, body=body)
    assert page.size_mm == size_mm
    assert len([item for item in page.items if isinstance(item, Picture)]) == count
    assert_well_set(page)


words = st.sampled_from(
    ["urn", "bone", "charcoal", "silt", "wire", "textile", "birch-tar", "lifted", "and", "the"]
)
sentences = st.lists(words, min_size=3, max_size=40).map(" ".join)


@given(
    st.lists(words, min_size=1, max_size=7).map(" ".join),
    st.lists(sentences, min_size=1, max_size=4),
    st.integers(1, 4),
    st.tuples(st.floats(200, 1200), st.floats(200, 1200)),
)
@settings(max_examples=20, deadline=None)
def test_any_panel_is_well_set_or_says_how_much_too_much_it_is(headline, body, count, size_mm):
    try:
        page = compose(count, size_mm, body=tuple(body), headline=headline)
    except FitError as error:
        told = error.wrong
    else:
        assert_well_set(page)
        return
    assert re.search(r"\d+ mm (more height|wider)", told)


def test_items_stand_in_reading_order():
    page = compose(2)
    names = [
        item.role if isinstance(item, Text) else type(item).__name__
        for item in page.items
        if isinstance(item, Text | Picture)
    ]
    assert names == [
        "title", "body",
        "Picture", "data", "caption",
        "Picture", "data", "caption",
        "body", *names[9:],
    ]  # fmt: skip
    assert set(names[9:]) == {"footer"}


def test_a_short_first_paragraph_is_the_lead_and_larger():
    lead, body = texts(compose(1), "body")
    assert lead.plain == LEAD
    assert lead.size_pt > body.size_pt


def test_a_single_paragraph_is_the_text():
    [body] = texts(compose(1, body=(LEAD,)), "body")
    assert body.plain == LEAD


def test_sizes_keep_the_hierarchy():
    page = compose(1)
    sizes = {role: [t.size_pt for t in texts(page, role)] for role in ("title", "body", "caption")}
    assert sizes["title"][0] > 1.5 * max(sizes["body"])
    assert min(sizes["body"]) >= max(sizes["caption"])


def test_lines_are_of_a_length_that_is_read_with_ease():
    # Smithsonian Guidelines for Accessible Exhibition Design: at most 55 letters, 45 to 50 better;
    # up to 60 as usual for a single column (common practice)
    for size_mm in (A2, A2[::-1], A1):
        for text in texts(compose(1, size_mm), "body"):
            lengths = [len(line.plain) for line in set_lines(text)]
            assert max(lengths) <= 66
            assert np.mean(lengths[:-1] or lengths) <= 60


def test_nothing_is_smaller_than_24_points():
    # US National Park Service, exhibit text
    for size_mm in ((297.0, 420.0), A2, (841.0, 1189.0)):
        for type_ in type_ladder(LIGHT, size_mm):
            assert min(
                type_.title.least_pt, type_.lead_pt, type_.body_pt, type_.caption_pt,
                type_.key_pt, type_.data_pt, type_.label_pt, type_.footer_pt,
            ) >= 24  # fmt: skip


@pytest.mark.parametrize(
    ("size_mm", "scale"),
    [
        ((420, 594), 1),
        ((594, 420), 1),
        ((594, 841), 2**0.5),
        ((841, 1189), 2),
        ((297, 420), 0.5**0.5),
    ],
)
def test_sizes_follow_the_paper(size_mm, scale):
    # ISO 216: each size has twice the area of the next
    assert panel_scale(size_mm) == pytest.approx(scale, rel=3e-3)
    first = type_ladder(DARK, size_mm)[0]
    assert first.title.pt == pytest.approx(100 * scale, abs=1)
    assert first.body_pt == pytest.approx(max(36 * scale, 24), abs=1)


def test_type_steps_down_to_the_least_sizes_of_the_style():
    ladder = type_ladder(DARK, A2)
    assert [ladder[0].body_pt, ladder[-1].body_pt] == [36, 30]
    for larger, smaller in itertools.pairwise(ladder):
        assert larger.body_pt >= smaller.body_pt
        assert larger.caption_pt >= smaller.caption_pt


def test_more_text_makes_smaller_pictures_not_smaller_letters_than_allowed():
    def area(page):
        return sum(i.box.width_mm * i.box.height_mm for i in page.items if isinstance(i, Picture))

    short, long = compose(1, body=BODY[:1]), compose(1, body=(LEAD, *BODY))
    assert area(short) > area(long)
    assert min(t.size_pt for t in texts(long, "body")) >= 30


def test_a_picture_keeps_its_proportions():
    for item in compose(2).items:
        if isinstance(item, Picture):
            rows, columns = item.pixels.shape
            assert item.box.width_mm / item.box.height_mm == pytest.approx(columns / rows)


def test_marks_lie_on_the_picture_where_the_region_is():
    page = compose(1)
    [picture] = [item for item in page.items if isinstance(item, Picture)]
    mark = next(i for i in page.items if isinstance(i, Group) and i.name.startswith("Mark A"))
    ellipse = next(i for i in mark.items if isinstance(i, Ellipse))
    # (-20, 10) mm lies 160 and 180 half-millimetre pixels from the first pixel's centre at
    # (-100, -80), on 400 by 320 pixels
    x = picture.box.left_mm + 160.5 / 400 * picture.box.width_mm
    y = picture.box.top_mm + 180.5 / 320 * picture.box.height_mm
    assert ellipse.center_mm == pytest.approx((x, y))
    assert ellipse.radii_mm[0] == pytest.approx(20 / 200 * picture.box.width_mm)


def test_lines_of_marks_grow_with_the_letters():
    page = compose(1, A1)
    mark = next(i for i in page.items if isinstance(i, Group) and i.name.startswith("Mark A"))
    bright = [i for i in mark.items if isinstance(i, Ellipse)][-1]
    [label] = [i for i in mark.items if isinstance(i, Text)]
    assert bright.stroke.width_pt / DARK.mark_line_pt == pytest.approx(
        label.size_pt / DARK.sizes["label"].pt
    )


def test_a_region_on_two_pictures_is_explained_once():
    body = BODY[:1]
    keys = [
        i.name
        for i in compose(3, A1, body=body).items
        if isinstance(i, Group) and i.name.startswith("Key")
    ]
    assert keys == ["Key A: the bone", "Key B: the plug", "Key C: the coil"]


def foot(page):
    return "\n".join(text.plain for text in texts(page, "footer"))


def test_the_foot_credits_each_scan_once_and_warns():
    small_print = foot(compose(2))
    assert small_print.count("Made for a test. CC0 1.0.") == 1
    assert "For teaching and exhibition, not for diagnosis." in small_print
    assert "CT numbers alone do not name a substance." in small_print
    assert "licensed practice" in small_print
    assert "ICOM" not in small_print


def test_human_remains_are_shown_with_the_code_of_ethics():
    # ICOM Code of Ethics for Museums (2004): 3.7 research on, 4.3 exhibition of human remains
    panel = Panel(size_mm=A2, headline="Inside", body=BODY[:1], views=VIEWS[:1])
    page = compose_panel("urn", panel, sights(human_remains=True), DARK, TALK)
    assert re.search(r"ICOM Code of Ethics for Museums, 3\.7\sand\s4\.3", foot(page))


def test_several_credits_are_all_given():
    seen = sights()
    other = axial_sight("tall", axial_picture(TALL), credit="Another museum", rights="CC BY 4.0")
    seen = Sights({**seen.views, "tall": other}, seen.regions)
    panel = Panel(size_mm=A2, headline="Inside", body=BODY[:1], views=VIEWS[:2])
    small_print = foot(compose_panel("urn", panel, seen, DARK, TALK))
    assert "Made for a test. CC0 1.0." in small_print
    assert "Another museum. CC BY 4.0." in small_print


def test_the_page_carries_name_headline_and_language():
    page = compose(1, style=LIGHT)
    assert (page.id, page.title, page.language) == ("urn", "Inside the urn", "en-GB")
    assert page.ground == LIGHT.colors.ground


def test_too_much_text_says_by_how_much():
    with pytest.raises(
        FitError,
        match=r"^its texts and pictures need (\d+) mm more height at 30 pt, the least size of its "
        r"text\. Shorten the texts by about (\d+) words, show fewer views, or make it larger\.$",
    ) as told:
        compose(1, body=(LEAD, *BODY * 4))
    # A line of 30 pt is 12.7 mm and holds about ten words.
    over_mm, words = map(int, re.findall(r"(\d+) (?:mm|words)", str(told.value)))
    assert words / (over_mm / 12.7) == pytest.approx(10, rel=0.4)


def test_a_text_shortened_as_told_fits():
    long = " ".join(BODY * 5)
    with pytest.raises(FitError) as told:
        compose(1, body=(LEAD, long))
    words = int(re.search(r"about (\d+) words", told.value.instead)[1])
    shorter = " ".join(long.split()[:-words])
    assert_well_set(compose(1, body=(LEAD, shorter)))


def test_a_headline_that_is_too_long_is_named():
    with pytest.raises(
        FitError,
        match=r"^the headline needs \d+ mm more height at 64 pt, the least size that the "
        r"style allows\. Shorten it by about \d+ words of its 24\.$",
    ):
        compose(1, headline="A word and another one " * 4 + "and on and on")


def test_a_word_wider_than_the_panel_is_named():
    with pytest.raises(
        FitError, match=r"^the headline: the word 'Grubenbrandgrab.*' is \d+ mm wider"
    ):
        compose(1, (200.0, 300.0), headline="Grubenbrandgrabsittenforschung", body=("Short.",))


def test_where_shorter_words_are_not_enough_none_are_asked_for():
    with pytest.raises(
        FitError,
        match=r"^its texts and pictures need \d+ mm more height at \d+ pt, the least size of its "
        r"text\. Show fewer views, or make it larger: shorter texts alone are not enough\.$",
    ):
        compose(4, (210.0, 200.0), body=("Short.",))
