"""A talk that shows everything says nothing in another language than its own."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import get_args

import numpy as np
import pytest
from docx import Document

from slidekit import lectern, panels
from slidekit.build import Options, build_talk
from slidekit.storyboard.read import read_storyboard
from slidekit.storyboard.regions import Region
from slidekit.storyboard.slides import OwnSlide
from slidekit.wording import lacking
from tests.talks import no_progress
from tests.wording.whole_talk import write_whole_talk

ENGLISH = frozenset(
    re.findall(
        r"\w+",
        """
        the of and with from to at is are its it this these those which not for along through by
        between within above below under left right top bottom edge first last picture slide click
        seen shown where there here no mean least greatest case cases legend window slice plane
        measured candidate excluded samples about words minutes
        """,
    )
)
"""Words that English cannot do without, and that neither German nor French has; and some that
slides are full of."""
READ = ("text", "alt", "title", "notes", "section")
"""The fields of a page that somebody reads or hears; names are for the record and the layouts."""


def said_on(part: object) -> Iterator[str]:
    """Everything that a page says: words, alternative texts, notes."""
    if isinstance(part, tuple | list):
        for one in part:
            yield from said_on(one)
    elif is_dataclass(part):
        for field in fields(part):
            value = getattr(part, field.name)
            if isinstance(value, str):
                if field.name in READ:
                    yield value
            else:
                yield from said_on(value)


def english_in(texts: Iterable[str]) -> list[str]:
    """Texts with English words."""
    return [
        text
        for text in texts
        if ENGLISH & {word.lower() for word in re.findall(r"[^\W\d_]+", text)}
    ]


def without_markup(html: str) -> str:
    html = re.sub(r"<(script|style)\b.*?</\1>", " ", html, flags=re.DOTALL)
    alts = re.findall(r'(?:alt|title|aria-label)="([^"]*)"', html)
    return " ".join([re.sub(r"<[^>]*>", " ", html), *alts])


@pytest.fixture
def printed(monkeypatch) -> list[object]:
    """The pages that would be written as PDF."""
    pages: list[object] = []
    for module in (lectern, panels):
        monkeypatch.setattr(module, "write_pdf", lambda some, *_: pages.extend(some))
    monkeypatch.setattr(panels, "write_png", lambda *_: None)
    monkeypatch.setattr(lectern, "page_pixels", lambda *_: np.zeros((9, 16, 3), np.uint8))
    return pages


@pytest.fixture(params=["de", "fr"])
def storyboard(request, tmp_path) -> Path:
    return write_whole_talk(tmp_path, request.param)


def test_it_has_every_kind_of_slide_and_every_shape_of_region(tmp_path):
    board = read_storyboard(write_whole_talk(tmp_path)).board
    kinds = {type(slide) for slide in board.slides}
    assert kinds == set(get_args(OwnSlide))
    shapes = {type(region) for region in board.regions.values()}
    assert shapes == set(get_args(get_args(Region)[0]))


def test_slides_notes_and_script_have_no_english_word(storyboard):
    show, files = build_talk(storyboard, storyboard.parent / "out", Options(), no_progress)
    assert lacking() == ()
    said = list(said_on(show.pages))
    assert len(said) > 500
    assert english_in(said) == []
    script = files[1].read_text(encoding="utf-8").splitlines()
    assert files[1].suffix == ".md"
    assert english_in(script) == []


def test_what_is_taken_to_the_lectern_has_no_english_word(storyboard, printed):
    out = storyboard.parent / "out"
    files = lectern.write_forms(storyboard, out, lectern.WRITERS, Options(draft=True), no_progress)
    lectern.write_handout(storyboard, out / "h.pdf", 2, "words", Options(draft=True), no_progress)
    assert lacking() == ()
    assert english_in(said_on(printed)) == []
    for file in files:
        if file.suffix == ".html":
            assert english_in([without_markup(file.read_text(encoding="utf-8"))]) == []
        elif file.suffix in (".vtt", ".srt"):
            assert english_in(file.read_text(encoding="utf-8").splitlines()[1:]) == []
        elif file.suffix == ".docx":
            document = Document(str(file))
            assert english_in(one.text for one in document.element.iter() if one.text) == []


def test_panels_have_no_english_word(storyboard, printed):
    panels.build_panels(storyboard, storyboard.parent / "out", None, no_progress)
    assert lacking() == ()
    assert len(list(said_on(printed))) > 40
    assert english_in(said_on(printed)) == []


def test_english_would_be_found(tmp_path):
    folder = tmp_path / "english"
    folder.mkdir()
    storyboard = write_whole_talk(folder, "en")
    show, _ = build_talk(storyboard, folder / "out", Options(draft=True), no_progress)
    assert len(english_in(said_on(show.pages))) > 50
