"""The two talks and the panels of the demo keep to what the demo is to show."""

import re

import numpy as np
import pytest
from PIL import Image

from slidekit.build import Options, compose_show
from slidekit.checks.talk import check_heard
from slidekit.review import check_talk, heard_of
from slidekit.shipped import demo_folder
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.read import read_storyboard
from slidekit.storyboard.slides import ScanSlide
from slidekit.wording import lacking
from slidekit.writers.figures.figure import write_png

NAMES = ("urn", "students")
README_PICTURE_MAY_DIFFER = 1.0
"""Levels of 255 on average: its pictures are finer than drafts, and its page number is another."""


def read(name: str) -> Storyboard:
    return read_storyboard(demo_folder() / f"{name}.yaml").board


@pytest.fixture
def in_cache(real_series, monkeypatch):
    """The series of the demo, already made."""
    cache = real_series("urn").parents[2]
    assert real_series("urn-fine").parents[2] == cache
    monkeypatch.setenv("SLIDEKIT_CACHE", str(cache))


@pytest.mark.parametrize("name", NAMES)
def test_a_talk_of_the_demo_leaves_nothing_to_look_at_again(in_cache, name):
    assert check_talk(demo_folder() / f"{name}.yaml", None, lambda _: lambda *_: None).remarks == ()


def test_the_shorter_talk_is_german_when_asked_for(in_cache):
    options = Options(draft=True, language="de")
    show = compose_show(demo_folder() / "students.yaml", options, lambda _: lambda *_: None)
    assert lacking() == ()
    assert check_heard(heard_of(show)).remarks == ()
    assert show.schedule.turns[0].title == "Blick in ein verschlossenes Gefäß"


@pytest.mark.parametrize("slot_min", [12, 14])
def test_a_shorter_talk_of_the_demo_leaves_nothing_to_look_at_again(in_cache, slot_min):
    options = Options(draft=True, slot_min=slot_min)
    show = compose_show(demo_folder() / "urn.yaml", options, lambda _: lambda *_: None)
    assert show.gone
    assert check_heard(heard_of(show)).remarks == ()


def test_one_slide_of_the_full_talk_moves_and_its_picture_is_small(in_cache):
    options = Options(draft=True, only=("way_down",))
    show = compose_show(demo_folder() / "urn.yaml", options, lambda _: lambda *_: None)
    [movie] = show.sights.movies.values()
    assert movie.frames == 28
    assert (movie.places[0], movie.places[-1]) == (105, -84)
    assert len(movie.gif) < 2e6


def test_the_picture_of_the_readme_is_a_slide_as_it_is_built_now(in_cache, tmp_path):
    options = Options(draft=True, only=("fill",))
    show = compose_show(demo_folder() / "urn.yaml", options, lambda _: lambda *_: None)
    write_png(show.pages[0], tmp_path / "slide.png", 117)
    kept, built = (
        np.asarray(Image.open(folder / "slide.png").convert("RGB").resize((320, 180)), dtype=float)
        for folder in (demo_folder(), tmp_path)
    )
    assert np.abs(kept - built).mean() < README_PICTURE_MAY_DIFFER


def test_the_full_talk_has_every_shape_that_a_region_can_have():
    shapes = {region.shape for region in read("urn").regions.values()}
    assert shapes == {"ellipse", "rectangle", "polygon", "arrow", "line", "point"}


def test_the_full_talk_has_every_kind_of_slide():
    kinds = {slide.kind for slide in read("urn").slides}
    assert kinds == {
        "title", "notice", "text", "quote", "timeline", "scan", "series", "materials", "findings",
        "compare", "credits",
    }  # fmt: skip


def test_its_dates_lie_on_both_sides_of_1_bce_and_some_are_uncertain():
    chronology = read("urn").chronology
    assert chronology is not None
    dates = [date for period in chronology.periods.values() for date in (period.start, period.end)]
    assert min(date.earliest for date in dates) <= 0 < max(date.latest for date in dates)
    assert any(date.approximate for date in dates)
    assert not all(date.approximate for date in dates)


@pytest.mark.parametrize("name", NAMES)
def test_every_credit_says_that_the_scan_is_synthetic_and_the_urn_invented(name):
    for scan in read(name).scans.values():
        assert "Synthetic" in scan.credit
        assert "invented" in scan.credit


@pytest.mark.parametrize("name", NAMES)
def test_every_region_that_a_slide_shows_waits_for_its_click(name):
    for slide in read(name).slides:
        if isinstance(slide, ScanSlide):
            shown = {region for view in slide.views for region in view.regions}
            clicked = {
                region.strip()
                for click in re.findall(r"\[show ([^\]]+)\]", slide.say)
                for region in click.split(",")
            }
            assert clicked == shown


def test_the_talk_for_students_borrows_five_slides_in_words_of_its_own():
    full = {slide.id: slide for slide in read("urn").slides}
    lent = [
        slide
        for slide in read("students").slides
        if slide.id in full and slide.kind in ("scan", "series")
    ]
    assert [slide.kind for slide in lent] == ["scan"] * 4 + ["series"]
    for slide in lent:
        assert slide.title != full[slide.id].title
        assert slide.say != full[slide.id].say


# Smithsonian Guidelines for Accessible Exhibition Design, III: labels of 75 to 100 words at most,
# sentences of 25 at most. Serrell, Exhibit Labels, 2nd ed. 2015: titles of 1 to 7 words.
@pytest.mark.parametrize("name", sorted(read("urn").panels))
def test_a_panel_keeps_to_the_length_of_exhibit_labels(name):
    panel = read("urn").panels[name]
    assert 3 <= len(panel.headline.split()) <= 7
    assert sum(len(paragraph.split()) for paragraph in panel.body) <= 100
    sentences = [s for text in panel.body for s in re.split(r"(?<=[.?!])\s", text)]
    assert max(len(sentence.split()) for sentence in sentences) <= 20


def test_the_panels_are_one_upright_and_one_wide():
    assert sorted(w > h for w, h in (p.size_mm for p in read("urn").panels.values())) == [
        False,
        True,
    ]
