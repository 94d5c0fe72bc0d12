"""Text of the scene as DrawingML."""

import pytest
from pptx import Presentation
from pptx.enum.text import MSO_ANCHOR, MSO_AUTO_SIZE, PP_ALIGN
from pptx.util import Pt

from slidekit.scene.model import Box, Paragraph, Run
from slidekit.scene.text import bullet_indent_mm
from tests.writers.deck_samples import NS, SIZE_MM, audit, page, slide_xml, style, text, written

BOX = Box(20, 40, 100, 60)


def shape_of(tmp_path, item, layout="title_only", **about):
    slide = Presentation(str(written(tmp_path, [page("only", (item,), layout, **about)]))).slides[0]
    return next(shape for shape in slide.shapes if shape.name == "T")


def frame_of(tmp_path, words, **look):
    return shape_of(tmp_path, text(words, BOX, name="T", **look)).text_frame


def test_every_run_states_all_three_typefaces_size_and_language(tmp_path):
    path = written(tmp_path, [page("only", (text("Urne", BOX),), language="de-AT")])
    runs = list(slide_xml(path).iter("{*}r", "{*}fld"))
    assert len(runs) == 4
    for run in runs:
        properties = run.find("a:rPr", NS)
        faces = [properties.find(f"a:{kind}", NS).get("typeface") for kind in ("latin", "ea", "cs")]
        assert faces == ["Arial"] * 3
        assert properties.get("lang") == "de-AT"
        assert int(properties.get("sz")) >= 1100


def test_size_weight_slant_and_colour_are_those_of_the_run(tmp_path):
    words = (Paragraph((Run("plain"), Run("bold", bold=True), Run("red", False, True, "#AA0000"))),)
    plain, bold, red = frame_of(tmp_path, words, size_pt=17.5).paragraphs[0].runs
    assert [run.font.size for run in (plain, bold, red)] == [Pt(17.5)] * 3
    assert [run.font.bold for run in (plain, bold, red)] == [False, True, False]
    assert [run.font.italic for run in (plain, bold, red)] == [False, False, True]
    assert [str(run.font.color.rgb) for run in (plain, red)] == ["F2EFE8", "AA0000"]


def test_insets_anchor_wrap_and_size_are_fixed(tmp_path):
    """The standard's own insets are 2.54 and 1.27 mm (ECMA-376 Part 1, 21.1.2.1.1): never these."""
    frame = frame_of(tmp_path, "words", inset_mm=(3.0, 2.0), anchor="middle")
    insets = (frame.margin_left, frame.margin_right, frame.margin_top, frame.margin_bottom)
    assert insets == (108_000, 108_000, 72_000, 72_000)
    assert frame.vertical_anchor == MSO_ANCHOR.MIDDLE
    assert frame.word_wrap is True
    assert frame.auto_size == MSO_AUTO_SIZE.NONE


def test_insets_of_zero_are_written_too(tmp_path):
    frame = frame_of(tmp_path, "words")
    assert (frame.margin_left, frame.margin_top) == (0, 0)
    assert frame._txBody.bodyPr.get("lIns") == "0"


@pytest.mark.parametrize(
    ("align", "read"),
    [("left", PP_ALIGN.LEFT), ("center", PP_ALIGN.CENTER), ("right", PP_ALIGN.RIGHT)],
)
def test_alignment_is_kept(tmp_path, align, read):
    assert frame_of(tmp_path, "words", align=align).paragraphs[0].alignment == read


def test_paragraphs_and_the_space_before_them_are_kept(tmp_path):
    words = (Paragraph((Run("one"),)), Paragraph((Run("two"),), space_before_pt=7.5))
    one, two = frame_of(tmp_path, words).paragraphs
    assert (one.text, two.text) == ("one", "two")
    assert (one.space_before, two.space_before) == (Pt(0), Pt(7.5))


def test_a_bullet_is_a_real_one_and_hangs_as_far_as_the_text_was_measured(tmp_path):
    words = (Paragraph((Run("one"),), bullet=True), Paragraph((Run("two"),)))
    bulleted, plain = frame_of(tmp_path, words, size_pt=26).paragraphs
    properties = bulleted._p.pPr
    indent = round(bullet_indent_mm(26) * 36_000)
    assert (properties.get("marL"), properties.get("indent")) == (str(indent), str(-indent))
    assert properties.find("a:buChar", NS).get("char") == "•"
    color = properties.find("a:buClr/a:srgbClr", NS).get("val")
    assert color == style().colors.accent.removeprefix("#")
    assert plain._p.pPr.find("a:buNone", NS) is not None
    assert bulleted.text == "one"


def test_control_characters_are_left_out_and_line_ends_become_breaks(tmp_path):
    """XML 1.0, 2.2 allows tab, line feed and carriage return; ECMA-376 writes a:br for a break."""
    frame = frame_of(tmp_path, "be\x07ll\x00\x1b, one\ntwo\r\nthree\vfour\uffff")
    assert frame.text == "bell, one\vtwo\vthree\vfour"  # python-pptx reads a:br as \v


def test_signs_of_xml_are_only_words(tmp_path):
    words = "<a:t> & \"quoted\" 'words' ]]>"
    assert frame_of(tmp_path, words).text == words


def test_spaces_at_the_ends_of_runs_are_kept(tmp_path):
    words = (Paragraph((Run("one "), Run(" two ", bold=True), Run(" "), Run("three"))),)
    assert frame_of(tmp_path, words).text == "one  two  three"


def test_names_and_alternative_texts_keep_quotes_and_line_ends(tmp_path):
    item = text("w", BOX, name='The "dark"\nband & <more>')
    slide = Presentation(str(written(tmp_path, [page("only", (item,))]))).slides[0]
    assert 'The "dark"\nband & <more>' in [shape.name for shape in slide.shapes]


def test_a_fill_puts_a_rounded_plate_under_the_words(tmp_path):
    shape = shape_of(tmp_path, text("w", BOX, name="T", fill="#1E242D", corner_mm=6))
    assert shape._element.find(".//a:prstGeom", NS).get("prst") == "roundRect"
    assert str(shape.fill.fore_color.rgb) == "1E242D"
    assert shape.adjustments[0] == pytest.approx(6 / 60)


def test_a_link_jumps_to_the_slide_and_keeps_the_colour_of_its_run(tmp_path):
    words = (Paragraph((Run("See the "), Run("base", link="base", color="#66B2FF"))),)
    pages = [page("only", (text(words, BOX, name="T"),)), page("base")]
    path = written(tmp_path, pages)
    slides = Presentation(str(path)).slides
    shape = next(shape for shape in slides[0].shapes if shape.name == "T")
    link = shape._element.find(".//a:hlinkClick", NS)
    assert link.get("action") == "ppaction://hlinksldjump"
    relationship = slides[0].part.rels[link.get(f"{{{NS['r']}}}id")]
    assert relationship.target_part is slides[1].part
    assert [node.get("val") for node in link.iter("{*}hlinkClr")] == ["tx"]
    assert audit(path) == []


def test_the_page_number_is_a_field(tmp_path):
    """ECMA-376 Part 1, 21.1.2.2.4: type slidenum, the cached text inside."""
    path = written(tmp_path, [page("one", number=1), page("two", number=2)])
    fields = list(slide_xml(path, 2).iter("{*}fld"))
    assert [(field.get("type"), field.findtext("a:t", "", NS)) for field in fields] == [
        ("slidenum", "2")
    ]


def test_a_page_number_other_than_the_slides_own_stays_as_it_is(tmp_path):
    path = written(tmp_path, [page("one", number=7)])
    assert list(slide_xml(path).iter("{*}fld")) == []
    assert "7" in [node.text for node in slide_xml(path).iter("{*}t")]


@pytest.mark.parametrize(
    ("role", "layout", "kind"),
    [
        ("body", "text", "body"),
        ("body", "title", "subTitle"),
        ("body", "pictures", None),
        ("body", "title_only", None),
        ("caption", "text", None),
    ],
)
def test_a_text_fills_the_placeholder_its_layout_has_for_its_role(tmp_path, role, layout, kind):
    shape = shape_of(tmp_path, text("w", BOX, role, name="T"), layout)
    placeholder = shape._element.find(".//p:ph", NS)
    assert (placeholder.get("type") if placeholder is not None else None) == kind


def test_a_placeholder_stands_where_the_scene_says(tmp_path):
    shape = shape_of(tmp_path, text("w", BOX, "body", name="T"), "text")
    assert shape._element.find("p:spPr/a:xfrm", NS) is not None
    assert [x / 36_000 for x in (shape.left, shape.top, shape.width, shape.height)] == list(BOX)


def test_a_second_body_is_a_text_box(tmp_path):
    items = tuple(text(word, BOX, "body", name=word) for word in ("first", "second"))
    slide = Presentation(str(written(tmp_path, [page("only", items, "text")]))).slides[0]
    filled = {shape.name: shape.is_placeholder for shape in slide.shapes}
    assert (filled["first"], filled["second"]) == (True, False)


def test_a_text_without_words_leaves_no_empty_placeholder(tmp_path):
    path = written(tmp_path, [page("only", (text(" ", BOX, "body", name="T"),), "text")])
    names = [shape.name for shape in Presentation(str(path)).slides[0].shapes]
    assert names == ["Title 2", "Footer 3", "Page number 4"]


def test_footer_and_number_fill_their_placeholders(tmp_path):
    slide = Presentation(str(written(tmp_path, [page("only")]))).slides[0]
    kinds = {shape.name: shape._element.find(".//p:ph", NS).get("type") for shape in slide.shapes}
    assert kinds == {"Title 2": "title", "Footer 3": "ftr", "Page number 4": "sldNum"}
    assert slide.shapes[1].left < SIZE_MM[0] * 36_000
