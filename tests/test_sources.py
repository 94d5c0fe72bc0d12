"""Whole runs of talks and panels that cite."""

import json

import pytest
from pypdf import PdfReader

from slidekit.build import Options, build_talk, compose_show
from slidekit.panels import build_panels
from tests.talks import TALK, no_progress, write_talk

MANY = 40
SOURCES = "sources:\n" + "".join(
    f"  work_{i}: {{type: book, title: Book {i}, author: [{{family: Author{i:02d}, given: An}}],"
    f" issued: {1900 + i}, publisher: Press, publisher-place: Town, page: {i + 1}}}\n"
    for i in range(MANY)
)
CITED = "; ".join(f"{{work_{i}.author}}" for i in range(MANY))
SLIDES = f"""\
  - {{id: read, kind: text, title: What was read, points: ["A point ({{work_0}})"], say: "{CITED}"}}
  - {{id: owed, kind: credits, title: Owed}}
  - {{id: last, kind: findings, title: Last of all, findings: [wire], say: The end.}}
panels:
  wall:
    size_mm: [420, 594]
    headline: A coil
    body: ["It was known before ({{work_3}})."]
    views: [{{view: base, caption: A cut}}]
"""
OWN, _ = TALK.split("  - {id: credits")
TEXT = OWN.replace("slides:\n", f"{SOURCES}slides:\n", 1) + SLIDES
TEXT = TEXT.replace(
    "    rights: CC0 1.0\n",
    "    rights: InC\n    permission: granted\n    permission_note: by the owner\n",
    1,
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("sources")
    write_talk(folder, TEXT)
    build_talk(folder / "talk.yaml", folder / "out", Options(), no_progress)
    return folder


@pytest.fixture(scope="module")
def show(folder):
    return compose_show(folder / "talk.yaml", Options(draft=True), no_progress)


@pytest.fixture(scope="module")
def record(folder):
    return json.loads((folder / "out/record.json").read_text(encoding="utf-8"))


def test_credits_go_on_over_pages_that_count_as_slides(show):
    ids = [page.id for page in show.pages]
    at = ids.index("owed")
    assert ids[at : at + 2] == ["owed", "owed.2"]
    numbers = [
        text.plain
        for page in show.pages
        for text in page.items
        if getattr(text, "role", "") == "page_number"
    ]
    assert numbers == [str(number) for number in range(1, len(ids) + 1)]


def test_turns_after_long_credits_have_the_numbers_of_their_slides(show):
    last = show.schedule.turns[-1]
    assert show.pages[last.number - 1].title == last.title == "Last of all"


def test_citations_are_said_and_printed_in_their_own_ways(folder, show):
    script = (folder / "out/script.md").read_text(encoding="utf-8")
    assert "Author00; Author01" in script
    (points,) = [
        item.plain
        for page in show.pages
        for item in page.items
        if page.id == "read" and getattr(item, "role", "") == "body"
    ]
    assert points == "A point (Author00 1900, 1)"


def test_the_record_has_every_source_and_whose_the_pictures_are(record):
    assert record["sources"]["work_3"] == {
        "type": "book",
        "cited": "Author03 1903, 4",
        "spoken": "Author03, 1903",
        "reference": "Author03, An. 1903. Book 3. Town: Press.",
        "page": "4",
    }
    assert record["scans"]["block"] == {
        "credit": "Made for a test",
        "rights": "In Copyright",
        "rights_name": "In Copyright",
        "rights_uri": "http://rightsstatements.org/vocab/InC/1.0/",
        "permission": "granted",
        "permission_note": "by the owner",
    }


def test_a_panel_lists_what_it_cites_and_its_rights_in_short(folder):
    build_panels(folder / "talk.yaml", folder / "panels", None, no_progress)
    (page,) = PdfReader(folder / "panels/wall.pdf").pages
    text = " ".join(page.extract_text().split())
    assert "It was known before (Author03 1903, 4)." in text
    assert "Made for a test. In Copyright." in text
    assert "Author03, An. 1903. Book 3. Town: Press." in text
    assert "Author04" not in text
