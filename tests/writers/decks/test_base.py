"""Master, layouts, theme and notes master: what a presenter meets who goes on by hand."""

import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from pptx import Presentation
from pptx.enum.shapes import PP_PLACEHOLDER
from pptx.util import Pt

from slidekit.checks.deck import lint_deck
from slidekit.scene.model import Box, Paragraph, Picture, Run
from slidekit.scene.style import load_style
from slidekit.writers.decks.deck import write_deck
from tests.writers.deck_samples import (
    FACTS,
    NS,
    audit,
    grey_pixels,
    page,
    part,
    sample_pages,
    style,
    text,
    title,
    written,
)

LAYOUTS = {
    "Title": {"ctrTitle", "subTitle", "ftr", "sldNum"},
    "Title and text": {"title", "body", "ftr", "sldNum"},
    "Title and picture": {"title", "pic", "ftr", "sldNum"},
    "Title only": {"title", "ftr", "sldNum"},
}
RELATIONSHIPS = {"rel": "http://schemas.openxmlformats.org/package/2006/relationships"}


def kinds(shapes):
    return {shape._element.find(".//p:ph", NS).get("type") for shape in shapes}


def box_of(shape):
    return Box(*(length / 36_000 for length in (shape.left, shape.top, shape.width, shape.height)))


def test_the_layouts_offer_real_placeholders(tmp_path):
    deck = Presentation(str(written(tmp_path, [page("only")])))
    found = {layout.name: kinds(layout.placeholders) for layout in deck.slide_layouts}
    assert found == LAYOUTS
    assert kinds(deck.slide_master.placeholders) == {"title", "body", "ftr", "sldNum"}


def test_a_slide_added_by_hand_looks_like_the_slides_around_it(tmp_path):
    """Its placeholders are where the deck's are, and its words as large and as coloured."""
    body = (Paragraph((Run("A point"),), bullet=True),)
    pages = [page("one", (text(body, Box(15, 35, 300, 120), "body", size_pt=24),), "text")]
    deck = Presentation(str(written(tmp_path, pages)))
    layout = deck.slide_layouts.get_by_name("Title and text")
    added = deck.slides.add_slide(layout)
    boxes = [box_of(shape) for shape in added.placeholders]
    assert boxes == [pytest.approx(title("").box), pytest.approx(Box(15, 35, 300, 120))]
    look = next(shape for shape in layout.placeholders if shape.name == "Body")._element
    level = look.find(".//a:lstStyle/a:lvl1pPr", NS)
    assert level.find("a:buChar", NS).get("char") == "•"
    assert level.find("a:defRPr", NS).get("sz") == "2400"


def test_a_layout_no_page_uses_has_the_styles_sizes(tmp_path):
    deck = Presentation(str(written(tmp_path, [page("one")])))
    layout = deck.slide_layouts.get_by_name("Title and text")
    sizes = {
        shape.name: int(shape._element.find(".//a:lvl1pPr/a:defRPr", NS).get("sz"))
        for shape in layout.placeholders
    }
    assert sizes["Body"] == Pt(style().sizes["body"].pt).centipoints
    assert sizes["Title"] == Pt(style().sizes["title"].pt).centipoints


def test_a_layout_takes_the_largest_place_its_pages_use(tmp_path):
    """A title of one line must not leave a layout with room for one line only."""
    high = replace(title("Two lines of title"), box=Box(14, 9, 310, 28))
    second = page("two")
    pages = [page("one"), replace(second, items=(high, *second.items[1:]))]
    deck = Presentation(str(written(tmp_path, pages)))
    layout = deck.slide_layouts.get_by_name("Title only")
    shape = next(shape for shape in layout.placeholders if shape.name == "Title")
    assert box_of(shape) == pytest.approx(high.box)


def test_the_picture_placeholder_stands_where_the_largest_picture_does(tmp_path):
    boxes = Box(14, 30, 60, 60), Box(100, 30, 140, 140)
    pictures = [Picture(box, grey_pixels(), "Slice", "S") for box in boxes]
    deck = Presentation(str(written(tmp_path, [page("one", pictures, "pictures")])))
    layout = deck.slide_layouts.get_by_name("Title and picture")
    shape = next(shape for shape in layout.placeholders if shape.name == "Picture")
    assert box_of(shape) == pytest.approx(boxes[1])


def test_layouts_no_page_uses_stay_on_the_slide(tmp_path):
    deck = Presentation(str(written(tmp_path, [replace(page("one"), size_mm=(100.0, 200.0))])))
    body = deck.slide_layouts.get_by_name("Title and text").placeholders[1]
    box = box_of(body)
    assert 0 < box.left_mm < box.right_mm < 100
    assert 0 < box.top_mm < box.bottom_mm < 200


@pytest.mark.parametrize(
    ("name", "ground_slot", "text_slot"),
    [("lecture-dark", "dk1", "lt1"), ("lecture-light", "lt1", "dk1")],
)
def test_the_theme_holds_the_styles_colours(tmp_path, name, ground_slot, text_slot):
    look = load_style(name, Path())
    path = tmp_path / "deck.pptx"
    write_deck(sample_pages(), path, look, FACTS)
    assert audit(path) == []
    scheme = part(path, "ppt/theme/theme1.xml").find(".//a:clrScheme", NS)
    slots = {slot.tag.partition("}")[2]: slot[0].get("val") for slot in scheme}
    color_map = part(path, "ppt/slideMasters/slideMaster1.xml").find("p:clrMap", NS)
    assert (color_map.get("bg1"), color_map.get("tx1")) == (ground_slot, text_slot)
    assert f"#{slots[ground_slot]}" == look.colors.ground
    assert f"#{slots[text_slot]}" == look.colors.ink
    marks = [mark.color.removeprefix("#") for mark in look.marks.values()]
    assert [slots[f"accent{i}"] for i in range(2, 7)] == marks[:5]
    assert f"#{slots['accent1']}" == look.colors.accent


def test_the_theme_has_arial_for_all_scripts_and_no_effects(tmp_path):
    theme = part(written(tmp_path, [page("one")]), "ppt/theme/theme1.xml")
    faces = {face.get("typeface") for face in theme.iterfind(".//a:fontScheme/*/*", NS)}
    assert faces == {"Arial"}
    effects = theme.findall(".//a:effectStyle/a:effectLst", NS)
    assert [len(effect) for effect in effects] == [0, 0, 0]


def test_the_master_text_styles_have_the_styles_sizes(tmp_path):
    master = part(written(tmp_path, [page("one")]), "ppt/slideMasters/slideMaster1.xml")
    sizes = style().sizes
    for kind, role in (("title", "title"), ("body", "body")):
        size = master.find(f"p:txStyles/p:{kind}Style/a:lvl1pPr/a:defRPr", NS).get("sz")
        assert int(size) == Pt(sizes[role].pt).centipoints


def test_the_package_holds_no_part_that_nobody_asked_for(tmp_path):
    with zipfile.ZipFile(written(tmp_path, [page("one")])) as archive:
        names = {name for name in archive.namelist() if not name.endswith(".rels")}
    assert names == {
        "[Content_Types].xml",
        "ppt/presentation.xml",
        "ppt/presProps.xml",
        "ppt/viewProps.xml",
        "ppt/tableStyles.xml",
        "ppt/slideMasters/slideMaster1.xml",
        *(f"ppt/slideLayouts/slideLayout{i}.xml" for i in range(1, 5)),
        "ppt/notesMasters/notesMaster1.xml",
        "ppt/theme/theme1.xml",
        "ppt/theme/theme2.xml",
        "ppt/slides/slide1.xml",
        "docProps/core.xml",
        "docProps/app.xml",
    }


def test_no_word_of_the_librarys_own_template_is_left(tmp_path):
    """python-pptx 1.0.2, templates/default.pptx and notesMaster.xml: prompts, fonts, dates."""
    template = (b"Click to edit", b"Calibri", b"python-pptx", b"2013-01-27", b"10/17/16", b"Office")
    with zipfile.ZipFile(written(tmp_path, sample_pages())) as archive:
        found = {
            (name, words)
            for name in archive.namelist()
            for words in template
            if words in archive.read(name)
        }
    assert found == set()


def test_a_deck_opened_and_saved_again_is_still_valid(tmp_path):
    """Open with python-pptx, add a slide and its words, save: nothing of ours is in the way."""
    path = written(tmp_path, sample_pages())
    deck = Presentation(str(path))
    added = deck.slides.add_slide(deck.slide_layouts.get_by_name("Title and text"))
    added.placeholders[0].text_frame.text = "An added slide"
    added.placeholders[1].text_frame.text = "With words"
    added.notes_slide.notes_text_frame.text = "And notes"
    again = tmp_path / "again.pptx"
    deck.save(str(again))
    assert audit(again) == []
    texts = [slide.shapes.title.text_frame.text for slide in Presentation(str(again)).slides]
    assert texts[-1] == "An added slide"


def test_the_masters_image_of_a_slide_on_the_notes_page_has_the_slides_shape(tmp_path):
    master = Presentation(str(written(tmp_path, [page("one")]))).notes_master
    (image,) = (
        shape
        for shape in master.placeholders
        if shape.placeholder_format.type == PP_PLACEHOLDER.SLIDE_IMAGE
    )
    assert image.width / image.height == pytest.approx(16 / 9, abs=1e-3)


def test_the_notes_page_of_a_narrow_slide_keeps_its_image_above_the_words(tmp_path):
    narrow = replace(page("one"), size_mm=(100.0, 200.0))
    master = Presentation(str(written(tmp_path, [narrow]))).notes_master
    by_kind = {shape.placeholder_format.type: shape for shape in master.placeholders}
    image, words = by_kind[PP_PLACEHOLDER.SLIDE_IMAGE], by_kind[PP_PLACEHOLDER.BODY]
    assert image.height / image.width == pytest.approx(2, abs=1e-3)
    assert image.top + image.height <= words.top
    assert image.left + image.width / 2 == pytest.approx(6_858_000 / 2, abs=1)


def test_the_lint_finds_nothing_in_a_light_deck(tmp_path):
    path = tmp_path / "deck.pptx"
    write_deck(sample_pages(), path, load_style("lecture-light", Path()), FACTS)
    assert lint_deck(path) == ()
