"""The deck as a whole: valid, complete for another reader, reproducible, frank when it fails."""

import hashlib
import io
import os
import re
import subprocess
import sys
import time
import zipfile
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from pptx import Presentation
from pptx.util import Emu

from slidekit.checks.deck import lint_deck
from slidekit.checks.deck_file import read_deck
from slidekit.errors import WriteError
from slidekit.scans.movies import encode_gif
from slidekit.scene.model import (
    Box,
    Ellipse,
    Group,
    Paragraph,
    Picture,
    Polyline,
    Rect,
    Run,
    Stroke,
)
from slidekit.scene.steps import spread
from slidekit.writers.decks.deck import DeckFacts, write_deck
from tests.writers.deck_samples import (
    FACTS,
    GROUND,
    SIZE_MM,
    audit,
    finding,
    grey_pixels,
    page,
    sample_pages,
    style,
    text,
    written,
)


def test_a_deck_with_every_kind_of_item_is_valid(tmp_path):
    """ECMA-376 schemas and constraints, as openxml-audit knows them."""
    assert audit(written(tmp_path, sample_pages())) == []


def test_a_deck_with_every_kind_of_item_has_nothing_the_lint_complains_of(tmp_path):
    assert lint_deck(written(tmp_path, sample_pages())) == ()


def test_a_deck_without_clicks_notes_sections_and_pictures_is_valid(tmp_path):
    path = written(tmp_path, [page("only")])
    assert audit(path) == []
    assert lint_deck(path) == ()


def test_clicks_spread_over_slides_are_valid_and_numbered_like_the_script(tmp_path):
    path = written(tmp_path, spread(sample_pages()))
    assert audit(path) == []
    assert lint_deck(path) == ()
    slides = Presentation(str(path)).slides
    numbers = [
        next(s.text_frame.text for s in slide.shapes if s.name.startswith("Page number"))
        for slide in slides
    ]
    assert numbers == ["1", "2", "3", "3", "3", "4"]


def test_another_reader_finds_title_layout_notes_and_alternative_texts(tmp_path):
    """Read back with python-pptx, and along the links with zipfile and lxml alone."""
    path = written(tmp_path, sample_pages())
    followed = read_deck(path).slides
    assert [slide.title for slide in followed] == [
        "Title of opening",
        "Title of points",
        "Title of fill",
        "Title of timeline",
    ]
    assert [
        [] if slide.notes is None else [words.text for words in slide.notes.iter("{*}t")]
        for slide in followed
    ] == [["Good evening.", "Thank you for coming.", "1"], [], ["Look at the charcoal.", "3"], []]
    slides = Presentation(str(path)).slides
    assert [slide.shapes.title.text_frame.text for slide in slides] == [
        "Title of opening",
        "Title of points",
        "Title of fill",
        "Title of timeline",
    ]
    assert [slide.slide_layout.name for slide in slides] == [
        "Title",
        "Title and text",
        "Title and picture",
        "Title only",
    ]
    assert slides[0].notes_slide.notes_text_frame.text == "Good evening.\n\nThank you for coming."
    assert [slide.has_notes_slide for slide in slides] == [True, False, True, False]
    described = {
        shape.name: shape._element.xpath(".//p:cNvPr")[0].get("descr")
        for shape in slides[2].shapes
        if shape.shape_type is not None and (hasattr(shape, "image") or hasattr(shape, "shapes"))
    }
    assert described == {
        "Slice": "Axial slice of the urn",
        "Colour": "In colour",
        "Finding A": "Finding A: the dash ellipse",
        "Finding B": "Finding B: the solid ellipse",
        "Finding C": "An arrow",
    }


def test_the_slide_is_as_large_as_the_pages(tmp_path):
    """13.333 x 7.5 inches are 12 192 000 x 6 858 000 EMU (ECMA-376 Part 1, 20.1.2.1)."""
    deck = Presentation(str(written(tmp_path, [page("only")])))
    assert (deck.slide_width, deck.slide_height) == (12_192_000, 6_858_000)


def test_another_page_size_gives_a_valid_deck_of_that_size(tmp_path):
    a4 = replace(page("only"), size_mm=(297.0, 210.0))
    path = written(tmp_path, [a4])
    deck = Presentation(str(path))
    assert audit(path) == []
    # ISO 216 A4; 36 000 EMU to the millimetre
    assert (deck.slide_width, deck.slide_height) == (10_692_000, 7_560_000)


def test_the_file_names_title_author_subject_keywords_and_language(tmp_path):
    core = Presentation(str(written(tmp_path, sample_pages()))).core_properties
    assert (core.title, core.author, core.subject, core.keywords, core.language) == (
        "Inside the urn",
        "A. Lecturer",
        "A demonstration",
        "urn, CT",
        "en-GB",
    )


def test_facts_left_empty_are_left_out(tmp_path):
    path = written(tmp_path, [page("only")], DeckFacts("", "", "", (), "en"))
    assert audit(path) == []
    assert lint_deck(path) == ()


def test_a_fact_longer_than_a_property_ends_in_an_ellipsis(tmp_path):
    """python-pptx allows a property 255 letters."""
    fits, longer = "a" * 255, "b" * 256
    path = written(tmp_path, [page("only")], DeckFacts(fits, longer, "\x07", (), "en"))
    core = Presentation(str(path)).core_properties
    assert (core.title, core.author) == (fits, "b" * 254 + "…")
    assert lint_deck(path) == ()


BUILD = """
import sys
from pathlib import Path
from tests.writers.deck_samples import sample_pages, written
written(Path(sys.argv[1]), sample_pages())
"""


def test_another_process_with_another_hash_seed_writes_the_same_bytes(tmp_path):
    digests = set()
    for seed in ("0", "1", "4711"):
        folder = tmp_path / seed
        subprocess.run(
            [sys.executable, "-c", BUILD, folder],
            check=True,
            env={
                **os.environ,
                "PYTHONHASHSEED": seed,
                "PYTHONPATH": str(Path(__file__).parents[2]),
            },
        )
        digests.add(hashlib.sha256((folder / "deck.pptx").read_bytes()).hexdigest())
    digests.add(hashlib.sha256(written(tmp_path, sample_pages()).read_bytes()).hexdigest())
    assert len(digests) == 1


def test_pictures_come_back_pixel_by_pixel_grey_as_grey_and_colour_as_colour(tmp_path):
    grey = grey_pixels(30, 20)
    colour = np.dstack([grey, grey[::-1], grey[:, ::-1]])
    box = Box(10, 30, 20, 30)
    path = written(
        tmp_path,
        [page("only", (Picture(box, grey, "Grey", "G"), Picture(box, colour, "Colour", "C")))],
    )
    shapes = {shape.name: shape for shape in Presentation(str(path)).slides[0].shapes}
    for name, mode, pixels in (("G", "L", grey), ("C", "RGB", colour)):
        image = Image.open(io.BytesIO(shapes[name].image.blob))
        assert image.mode == mode
        assert np.array_equal(np.asarray(image), pixels)


def test_the_same_pixels_are_stored_once(tmp_path):
    box = Box(10, 30, 20, 20)
    pages = [page(f"p{i}", (Picture(box, grey_pixels() + i % 2, "Grey", "G"),)) for i in range(4)]
    with zipfile.ZipFile(written(tmp_path, pages)) as archive:
        media = [name for name in archive.namelist() if "/media/" in name]
    assert media == ["ppt/media/image1.png", "ppt/media/image2.png"]


def test_pixels_that_differ_only_in_shape_are_two_pictures(tmp_path):
    flat = np.zeros((4, 9), np.uint8)
    box = Box(10, 30, 20, 20)
    pictures = (Picture(box, flat, "Wide", "W"), Picture(box, flat.reshape(9, 4), "High", "H"))
    shapes = Presentation(str(written(tmp_path, [page("only", pictures)]))).slides[0].shapes
    assert [s.image.size for s in shapes if hasattr(s, "image")] == [(9, 4), (4, 9)]


def test_a_draft_shows_the_same_pixels(tmp_path):
    write_deck(sample_pages(), tmp_path / "draft.pptx", style(), FACTS, draft=True)
    draft = Presentation(str(tmp_path / "draft.pptx"))
    final = Presentation(str(written(tmp_path, sample_pages())))
    for one, other in zip(draft.slides[2].shapes, final.slides[2].shapes, strict=True):
        if hasattr(one, "image"):
            a, b = (np.asarray(Image.open(io.BytesIO(s.image.blob))) for s in (one, other))
            assert np.array_equal(a, b)


def refused(pages, path: Path, message: str) -> None:
    with pytest.raises(WriteError, match=f"^{re.escape(message)}$"):
        write_deck(pages, path, style(), FACTS)


def test_no_slides_are_refused(tmp_path):
    refused([], tmp_path / "d.pptx", "The deck has no slides. Give it at least one slide.")


def test_two_sizes_are_refused(tmp_path):
    refused(
        [page("one"), replace(page("two"), size_mm=(100.0, 50.0))],
        tmp_path / "d.pptx",
        "The slide 'two' is 100 x 50 mm, the first one 338.7 x 190.5 mm."
        " All slides of a deck have one size.",
    )


def test_a_size_beyond_the_format_is_refused(tmp_path):
    """ST_SlideSizeCoordinate: 914 400 to 51 206 400 EMU."""
    refused(
        [replace(page("banner"), size_mm=(1500.0, 500.0))],
        tmp_path / "d.pptx",
        "The slides are 1500 x 500 mm. A slide's width and height may be 25.4 to 1422.4 mm.",
    )


@pytest.mark.parametrize("size_mm", [(25.4, 25.4), (1422.4, 1422.4)])
def test_the_least_and_the_most_size_are_valid(tmp_path, size_mm):
    assert audit(written(tmp_path, [replace(page("only"), size_mm=size_mm)])) == []


def test_equal_ids_are_refused(tmp_path):
    refused(
        [page("one", title="One"), page("one", title="Two")],
        tmp_path / "d.pptx",
        "The slides 'one' and 'one' have the same id 'one'."
        " No two slides may share it: readers and menus find slides by it.",
    )


def test_equal_titles_are_refused_even_when_spaces_differ(tmp_path):
    refused(
        [page("one", title="The urn"), page("two", title="The  urn ")],
        tmp_path / "d.pptx",
        "The slides 'one' and 'two' have the same title 'The urn'."
        " No two slides may share it: readers and menus find slides by it.",
    )


@pytest.mark.parametrize("words", ["", "  ", "\x07"])
def test_a_slide_without_a_title_is_refused(tmp_path, words):
    refused(
        [page("one", title=words)],
        tmp_path / "d.pptx",
        "The slide 'one' shows no title."
        " Give it a text of the role title: readers and menus find slides by it.",
    )


def test_a_link_to_a_slide_that_is_not_there_is_refused(tmp_path):
    linked = text((Paragraph((Run("See", link="two"),)),), Box(10, 30, 50, 9))
    refused(
        [page("one", (linked,))],
        tmp_path / "d.pptx",
        "The slide 'one' links to 'two', which is not in this deck."
        " Link to the id of one of its slides.",
    )


def test_pixels_that_are_no_bytes_are_refused(tmp_path):
    picture = Picture(Box(10, 30, 20, 20), np.zeros((4, 4)), "Grey", "G")
    refused(
        [page("one", (picture,))],
        tmp_path / "d.pptx",
        "The picture 'G' on slide 'one' has float64 pixels in the shape (4, 4)."
        " Give uint8 (rows, columns) for grey or (rows, columns, 3) for colour.",
    )


def test_a_refused_deck_leaves_the_old_file_and_nothing_beside(tmp_path):
    path = written(tmp_path, [page("one")])
    before = path.read_bytes()
    with pytest.raises(WriteError):
        write_deck([], path, style(), FACTS)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_a_place_that_cannot_be_written_is_refused(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(WriteError, match=r"^cannot write .*deck\.pptx: .*\. Choose another place"):
        write_deck([page("one")], tmp_path / "file" / "deck.pptx", style(), FACTS)


XML_SPACE = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
MM_ACROSS = st.floats(0, SIZE_MM[0] - 60)
MM_DOWN = st.floats(0, SIZE_MM[1] - 60)
BOXES = st.builds(Box, MM_ACROSS, MM_DOWN, st.floats(1, 60), st.floats(1, 60))
COLORS = st.sampled_from(["#000000", "#ffffff", "#FF9524"])
STROKES = st.none() | st.builds(
    Stroke, COLORS, st.floats(0.25, 12), st.sampled_from(["solid", "dash", "lgDashDotDot"])
)
SHAPES = st.one_of(
    st.builds(
        Polyline,
        st.lists(st.tuples(MM_ACROSS, MM_DOWN), min_size=2, max_size=6).map(tuple),
        st.booleans(),
        STROKES,
        st.none() | COLORS,
        XML_SPACE,
    ),
    st.builds(
        Ellipse,
        st.tuples(st.floats(60, 270), st.floats(60, 120)),
        st.tuples(st.floats(0.1, 50), st.floats(0.1, 50)),
        st.floats(-720, 720),
        STROKES,
        st.none() | COLORS,
    ),
    st.builds(Rect, BOXES, st.floats(0, 20), STROKES, st.none() | COLORS),
)
PARAGRAPHS = st.builds(
    Paragraph,
    st.lists(st.builds(Run, XML_SPACE, st.booleans(), st.booleans(), st.none() | COLORS)).map(
        tuple
    ),
    st.booleans(),
    st.floats(0, 30),
)
TEXTS = st.builds(
    text,
    st.lists(PARAGRAPHS, max_size=3).map(tuple),
    BOXES,
    st.sampled_from(["body", "caption", "label", "footer", "page_number"]),
    size_pt=st.floats(8, 60),
    fill=st.none() | COLORS,
    corner_mm=st.floats(0, 20),
    anchor=st.sampled_from(["top", "middle", "bottom"]),
)
GROUPS = st.builds(
    Group,
    XML_SPACE,
    XML_SPACE.map(lambda words: f"Finding: {words}"),
    st.lists(SHAPES | TEXTS, min_size=1, max_size=3).map(tuple),
    st.integers(0, 3),
)
PAGES = st.builds(
    lambda items, layout, notes, section: page("p", items, layout, notes=notes, section=section),
    st.lists(SHAPES | TEXTS | GROUPS, max_size=5),
    st.sampled_from(["title", "text", "pictures", "title_only"]),
    XML_SPACE,
    XML_SPACE,
)


@settings(max_examples=40, deadline=None)
@given(st.lists(PAGES, min_size=1, max_size=3))
def test_random_scenes_make_valid_decks_without_lint(tmp_path_factory, pages):
    unique = [
        replace(one, id=f"p{i}", items=(text(f"T{i}", Box(9, 9, 99, 9), "title"), *one.items[1:]))
        for i, one in enumerate(pages)
    ]
    path = written(tmp_path_factory.mktemp("scene"), unique)
    assert audit(path) == []
    assert lint_deck(path) == ()
    read = Presentation(str(path))
    assert [slide.shapes.title.text_frame.text for slide in read.slides] == [
        f"T{i}" for i in range(len(pages))
    ]


def test_the_work_grows_with_the_deck_and_not_with_its_square(tmp_path):
    pages = [
        page(
            f"p{i}",
            [finding(letter, (80, 100), n) for n, letter in enumerate("ABC", 1)],
            notes="See the charcoal.",
        )
        for i in range(160)
    ]

    def seconds(count: int) -> float:
        start = time.process_time()
        written(tmp_path, pages[:count])
        return time.process_time() - start

    seconds(10)  # warm
    few, many = (min(seconds(count) for _ in range(3)) for count in (40, 160))
    assert many < 2.5 * 4 * few  # four times the slides, with room for noise


def test_lengths_are_rounded_once_to_whole_emu(tmp_path):
    slide = Presentation(
        str(written(tmp_path, [page("only", (Rect(Box(10, 30, 20, 0.1)),))]))
    ).slides[0]
    rect = next(shape for shape in slide.shapes if shape.name.startswith("Rectangle"))
    assert (rect.left, rect.top, rect.width, rect.height) == (
        Emu(360_000),
        Emu(1_080_000),
        Emu(720_000),
        Emu(3_600),
    )


def test_a_page_on_another_ground_says_so_and_the_others_take_the_masters(tmp_path):
    pages = [page("one"), replace(page("two"), ground="#FFFFFF")]
    slides = Presentation(str(written(tmp_path, pages))).slides
    fills = [slide._element.xpath("p:cSld/p:bg//a:srgbClr/@val") for slide in slides]
    assert fills == [[], ["FFFFFF"]]
    assert style().colors.ground == GROUND


def test_a_moving_picture_is_kept_as_it_is_once_and_audited(tmp_path):
    frames = [np.full((9, 12), level, np.uint8) for level in (10, 200)]
    gif = encode_gif(frames, 120)
    box = Box(30, 40, 60, 45)
    moving = Picture(box, frames[0], "It moves", "moving", moving=gif)
    still = Picture(box, frames[1], "It stands still", "still")
    path = written(tmp_path, [page("one", (moving,)), page("two", (still, moving))])
    with zipfile.ZipFile(path) as deck:
        media = {n: deck.read(n) for n in deck.namelist() if n.startswith("ppt/media/")}
        types = deck.read("[Content_Types].xml").decode()
    assert sorted(media) == ["ppt/media/image1.png", "ppt/media/image2.gif"]
    assert media["ppt/media/image2.gif"] == gif
    assert 'Extension="gif" ContentType="image/gif"' in types
    assert audit(path) == []
