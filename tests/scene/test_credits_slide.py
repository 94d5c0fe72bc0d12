import pytest

from slidekit.errors import FitError
from slidekit.evidence.sources.citing import Bibliography
from slidekit.evidence.sources.works import work_of
from slidekit.scene.cautions import cautions
from slidekit.scene.credits_slide import Credit, compose_credits, credits_of, references_in
from slidekit.scene.frame import PAGE_MM
from slidekit.scene.model import Item, Text
from slidekit.scene.text import text_height_mm
from slidekit.storyboard.account import Account, Stage
from slidekit.storyboard.citations import Citations
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.scans import Scan
from slidekit.storyboard.slides import CreditsSlide, TextSlide
from slidekit.storyboard.talk import Talk
from slidekit.storyboard.views import ShownView, View
from slidekit.storyboard.works import CitedWork
from tests.scene.builders import DARK

TALK = Talk(title="What the urn holds", slot_min=15)
SLIDE = CreditsSlide(id="c", kind="credits", title="Credits", points=("Thanks",))
MOOR = {"type": "book", "title": "Urns", "author": [{"family": "Moor"}], "issued": 2019}
LEE = {**MOOR, "title": "Lids", "author": [{"family": "Lee"}]}


def scan(**fields: str) -> Scan:
    return Scan.model_validate(
        {"demo": "x", "credit": "CT by nobody", "rights": "CC0 1.0", **fields}
    )


def board(said: str = "", **fields: object) -> Storyboard:
    return Storyboard(
        talk=TALK,
        scans={"ct": scan(), "other": scan(credit="Never shown")},
        views={"v": View(scan="ct", plane="axial", at_mm=1, window="bone")},
        sources={name: CitedWork.model_validate(one) for name, one in WORKS.items()},
        slides=(TextSlide(id="t", kind="text", title="x", points=("y",), say=said), SLIDE),
    ).model_copy(update=fields)


WORKS = {"moor": MOOR, "lee": LEE}
CITATIONS = Citations(
    Bibliography({name: work_of(item) for name, item in WORKS.items()}), dict.fromkeys(WORKS, "")
)


def pictures(one: Scan) -> list[str]:
    found = credits_of(SLIDE, board(scans={"ct": one}), CITATIONS)
    return [credit.words for credit in found if credit.heading == "Pictures"]


def texts(items: list[Item]) -> list[Text]:
    return [item for item in items if isinstance(item, Text)]


def test_what_is_cited_comes_first_in_full_then_whose_the_pictures_are_then_the_points():
    assert credits_of(SLIDE, board("{moor} and {lee} agree."), CITATIONS) == (
        ("Sources", "Lee. 2019. *Lids*."),
        ("Sources", "Moor. 2019. *Urns*."),
        (
            "Pictures",
            "CT by nobody. CC0 1.0 Universal, creativecommons.org/publicdomain/zero/1.0/.",
        ),
        ("Notes", "Thanks"),
    )


def test_what_is_not_cited_is_not_listed():
    found = credits_of(SLIDE, board("{moor} says so."), CITATIONS)
    assert [credit.words for credit in found if credit.heading == "Sources"] == [
        "Moor. 2019. *Urns*."
    ]


def test_a_panel_lists_what_it_cites_itself():
    panel = Panel(
        size_mm=(420, 594), headline="x", body=("After {lee}.",), views=(ShownView(view="v"),)
    )
    assert references_in(panel, board("{moor}"), CITATIONS) == ("Lee. 2019. *Lids*.",)


def test_a_panel_that_lists_stages_lists_where_they_come_from():
    stages = {one: Stage(called="Soil", about="Laid in", here="absent") for one in ("soil", "lid")}
    told = board(account=Account(called="Filling", source="{moor}", stages=stages))
    panel = Panel(size_mm=(420, 594), headline="x", body=("y",), views=(ShownView(view="v"),))
    assert references_in(panel, told, CITATIONS) == ()
    panel = panel.model_copy(update={"stages": ("soil",)})
    assert references_in(panel, told, CITATIONS) == ("Moor. 2019. *Urns*.",)


def test_a_permission_is_told_with_its_note():
    given = scan(rights="InC", permission="granted", permission_note="by the owner, 3 May 2026")
    assert pictures(given) == [
        "CT by nobody. In Copyright, rightsstatements.org/vocab/InC/1.0/."
        " Permission granted by the owner, 3 May 2026."
    ]


@pytest.mark.parametrize(
    ("permission", "note", "words"),
    [
        ("asked", "", "Permission has been asked for"),
        ("not needed", "", ""),
        ("not needed", "out of copyright since 1990", "out of copyright since 1990"),
        (None, "", ""),
    ],
)
def test_only_what_there_is_to_say_of_a_permission_is_said(permission, note, words):
    one = scan(permission=permission, permission_note=note)
    assert one.permission_in_words == words


def test_what_fits_stands_on_one_page_with_the_cautions_at_its_foot():
    ((title, items),) = compose_credits("Credits", [Credit("Notes", "Thanks")], DARK)
    assert title == "Credits"
    assert [text.plain for text in texts(items)] == [
        "Credits",
        "Notes",
        "Thanks",
        "\n".join(cautions()),
    ]


def test_a_talk_that_owes_nothing_has_its_cautions_all_the_same():
    ((_, items),) = compose_credits("Credits", [], DARK)
    assert [text.plain for text in texts(items)] == ["Credits", "\n".join(cautions())]


@pytest.mark.parametrize("count", [3, 20, 60])
def test_long_lists_go_on_over_counted_pages_and_every_text_fits(count: int):
    entries = [
        Credit("Sources", f"Moor, A. {year}. *Urns of the {year}s, and What Was in Them*. Nowhere.")
        for year in range(1900, 1900 + count)
    ]
    entries.append(Credit("Pictures", "CT by nobody"))
    pages = compose_credits("Credits", entries, DARK)
    assert [title for title, _ in pages] == (
        ["Credits"]
        if len(pages) == 1
        else [f"Credits ({i}/{len(pages)})" for i in range(1, len(pages) + 1)]
    )
    said = [text.plain for _, items in pages for text in texts(items)]
    listed = "\n".join(said).split("\n")
    assert [one for one in listed if one.startswith("Moor")] == [
        one.words.replace("*", "") for one in entries[:-1]
    ]
    for _, items in pages:
        for text in texts(items):
            assert text_height_mm(text.paragraphs, text.box.width_mm, text.size_pt) <= (
                text.box.height_mm + 1e-6
            )
            assert text.box.bottom_mm <= PAGE_MM[1]
    *_, last, foot = texts(pages[-1][1])
    assert last.box.bottom_mm <= foot.box.top_mm
    assert foot.plain == "\n".join(cautions())
    assert [text.plain for _, items in pages for text in texts(items)].count(foot.plain) == 1


def test_a_list_that_goes_on_has_its_heading_again():
    entries = [
        Credit("Sources", f"Moor. {year}. *Urns*. " + "Nowhere. " * 30) for year in range(12)
    ]
    pages = compose_credits("Credits", entries, DARK)
    assert len(pages) > 1
    assert all("Sources" in [text.plain for text in texts(items)] for _, items in pages)


def test_an_entry_longer_than_a_page_is_refused_with_the_measure():
    with pytest.raises(FitError, match=r"^an entry needs \d+ mm more height at 14 pt"):
        compose_credits("Credits", [Credit("Notes", "Thanks to everybody. " * 200)], DARK)
