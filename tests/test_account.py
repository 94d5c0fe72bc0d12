"""A reference account, in every output that gives it."""

import json
import re
import zipfile

import pytest
from openxml_audit import OpenXmlValidator

from slidekit.build import Options, build_talk, compose_show
from slidekit.errors import StoryboardError
from slidekit.review import check_talk
from slidekit.scene.model import Group, Text
from tests.account_talk import ACCOUNT_TALK
from tests.counting_talk import write_counting_talk
from tests.storyboard.boards import spoiled, write
from tests.talks import no_progress


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("account")
    write_counting_talk(folder, ACCOUNT_TALK)
    build_talk(folder / "talk.yaml", folder / "out", Options(), no_progress)
    return folder


def show_of(folder, text=ACCOUNT_TALK):
    return compose_show(write_counting_talk(folder, text), Options(draft=True), no_progress)


def remarks(folder, text: str) -> list[str]:
    checked = check_talk(write_counting_talk(folder, text), None, no_progress)
    return [str(one).removeprefix(f"{folder}/") for one in checked.remarks]


def faults(folder, text: str) -> list[str]:
    with pytest.raises(StoryboardError) as raised:
        show_of(folder, text)
    return [str(one).removeprefix(f"{folder}/").split(": ", 1)[1] for one in raised.value.faults]


def words_of(group: Group) -> str:
    return " | ".join(item.plain for item in group.items if isinstance(item, Text))


def test_a_talk_with_an_account_leaves_nothing_to_look_at_again(tmp_path):
    assert remarks(tmp_path, ACCOUNT_TALK) == []


def test_its_deck_is_valid(folder):
    deck = folder / "out/deck.pptx"
    assert [str(e) for e in OpenXmlValidator().validate(str(deck)).errors] == []


def test_each_stage_comes_on_at_its_click(folder):
    page = next(one.page for one in show_of(folder).told if one.slide.id == "custom")
    rows = [one for one in page.items if isinstance(one, Group)]
    assert [(row.name, row.step) for row in rows] == [
        ("Stage pyre", 1), ("Stage gift", 2), ("Stage soil", 2), ("Stage stone", 3),
    ]  # fmt: skip
    # the handmade letters and numbers of slides: regions A and B of slide 2
    assert words_of(rows[0]) == (
        "1\N{EN SPACE}Burning | What is laid in has been burnt | as described"
        " | It is 12 mm off the wall | 2\N{NO-BREAK SPACE}(A,\N{NO-BREAK SPACE}B)"
    )
    assert "3 of 9 · 33\N{NO-BREAK SPACE}%" in words_of(rows[1])


def test_the_row_of_a_scan_slide_has_all_stages_and_the_count(folder):
    base = next(one.page for one in show_of(folder).told if one.slide.id == "base")
    row = next(i for i in base.items if isinstance(i, Group) and i.name == "Row of stages")
    assert words_of(row) == "Burning | Gift | Soil | Stone | Stage 2 of 4"
    assert row.alt == "How blocks were usually filled. Stage 2 of 4: Gift"
    bold = [i.plain for i in row.items if isinstance(i, Text) and i.paragraphs[0].runs[0].bold]
    assert bold == ["Gift"]


def test_the_script_says_what_each_click_brings_on(folder):
    script = (folder / "out/script.md").read_text(encoding="utf-8")
    assert (
        "**[click 1: stage 1 of 4, Burning: as described]** Burning, stage 1 of 4, is as described."
    ) in script
    assert "**[click 2: stage 2 of 4, Gift: differs; stage 3 of 4, Soil: absent]**" in script


def test_the_record_has_the_account_and_the_slides_it_rests_on(folder):
    record = json.loads((folder / "out/record.json").read_text(encoding="utf-8"))
    account = record["account"]
    assert (account["called"], account["source"]) == (
        "How blocks were usually filled", "A handbook, 1978",
    )  # fmt: skip
    gift = account["stages"][1]
    assert (gift["name"], gift["here"], gift["series"]) == ("gift", "differs", "holes")
    assert gift["by"] == {"coil": ["base"]}
    assert gift["slides"] == ["base", "custom"]


def test_a_finding_rests_on_a_stage_that_a_slide_compares(folder):
    with zipfile.ZipFile(folder / "out/deck.pptx") as parts:
        names = [n for n in parts.namelist() if re.fullmatch(r"ppt/slides/slide\d+\.xml", n)]
        slides = [parts.read(name).decode() for name in names]
    findings = next(one for one in slides if "What we may say" in one)
    number = next(
        i for i, one in enumerate(show_of(folder).told, start=1) if one.slide.id == "custom"
    )
    assert f">{number}<" in findings


FAULTS = {
    "a stage that there is not": (
        ("    stage: gift\n", "    stage: gifts\n"),
        "slides[1].stage: there is no stage `gifts`. Write `gift` if you mean that; the stages"
        " are pyre, gift, soil, stone.",
    ),
    "what does not exist shows it": (
        ("by: [coil, gap]", "by: [coil, gaps]"),
        "account.stages.pyre.by[1]: there is no region, period, event, count, comparison,"
        " agreement, quoted number or finding `gaps`. Write `gap` if you mean that; the names are",
    ),
    "named twice": (
        ("by: [coil, gap]", "by: [coil, coil]"),
        "account.stages.pyre.by[1]: `coil` is named twice. Remove one of the two.",
    ),
    "a stage shows itself": (
        ("by: [coil, gap]", "by: [pyre]"),
        "account.stages.pyre.by[0]: `pyre` is a stage, not a region, period, event, count, ",
    ),
    "a value that a region has not": (
        ("by: [coil, gap]", "by: [coil, gap.mean]"),
        "account.stages.pyre.by[1]: `gap.mean` is no evidence. Write one of `gap`, `gap.length`",
    ),
    "a series that is no count": (
        ("series: holes", "series: coil"),
        "account.stages.gift.series: `coil` is a region, not a count. ",
    ),
    "a finding that rests on the stage": (
        ("      by: [coil]\n", "      by: [coil, wire]\n"),
        "account.stages.gift.by[1]: the finding `wire` rests on the stage `gift` itself. Name what"
        " both rest on.",
    ),
    "a part that a stage has not": (
        ("is {pyre.here}.", "is {pyre.there}."),
        "slides[4].say: {pyre.there} is not known. Write one of {pyre.called}, {pyre.here},"
        " {pyre.number}.",
    ),
    "a click of something else": (
        ("[show stone]", "[show coil]"),
        "slides[4].say: `coil` is a region, not a stage. ",
    ),
    "a click of a stage that is not on the slide": (
        ("    kind: compare\n", "    kind: compare\n    stages: [pyre, gift, soil]\n"),
        "slides[4].say: [show stone] is said, and this slide does not have the stage. List it under"
        " `stages` of this slide, or remove the click.",
    ),
    "a name that a region has too": (
        ("    stone:\n", "    coil:\n"),
        "account.stages.coil: `coil` is also a name in `regions`. Rename one of the two",
    ),
    "an answer that is none": (
        ("here: not assessable", "here: unsure"),
        "account.stages.stone.here: ",
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_told_with_what_to_write(tmp_path, fault):
    (old, new), said = FAULTS[fault]
    found = faults(tmp_path, spoiled(old, new, ACCOUNT_TALK))
    assert [one for one in found if one.startswith(said)], found


def test_a_compare_slide_without_an_account_is_refused(tmp_path):
    text = ACCOUNT_TALK
    start, end = text.index("account:\n"), text.index("findings:\n  wire:")
    text = text[:start] + text[end:]
    text = text.replace("    stage: gift\n", "").replace("holes, gift]", "holes]")
    said = faults(tmp_path, text)
    assert "slides[4]: there is no account to compare with. Add an `account` section." in said


RULES = {
    "unshown-stage, nothing named": (
        ("      by: [coil, gap]\n", ""),
        "error: unshown-stage: stage `pyre` is said to be `as described`, and `by` names nothing",
    ),
    "unshown-stage, shown too late": (
        ("by: [coil, gap]", "by: [coil, phases]"),
        "error: unshown-stage: stage `pyre` rests on `phases`, which no slide before shows",
    ),
    "unreasoned-absence": (
        ("      note: The block is full of plaster\n", ""),
        "error: unreasoned-absence: stage `soil` is said to be absent, and `note` does not say why",
    ),
    "unspoken-stage": (
        ("[show stone] Of the {stone} nobody knows.", "And so on."),
        "warning: unspoken-stage: stage `stone` is on the slide, and the words never speak of it",
    ),
}


@pytest.mark.parametrize("rule", RULES)
def test_a_rule_finds_its_fault(tmp_path, rule):
    (old, new), said = RULES[rule]
    found = remarks(tmp_path, spoiled(old, new, ACCOUNT_TALK))
    assert [one.split(": ", 1)[1] for one in found] == [said]


def test_a_stage_that_is_not_assessable_needs_nothing(tmp_path):
    text = spoiled("      here: as described\n", "      here: not assessable\n", ACCOUNT_TALK)
    assert remarks(tmp_path, spoiled("      by: [coil, gap]\n", "", text)) == []


def test_no_finding_rests_on_a_stage_that_is_not_assessable(tmp_path):
    found = remarks(tmp_path, spoiled("here: differs", "here: not assessable", ACCOUNT_TALK))
    assert [one.split(": ", 1)[1] for one in found] == [
        "error: weak-link: `wire` is called possible, and the stage `gift` carries no conclusion:"
        " it cannot be assessed in this case. Leave it out of the evidence, or write `certainty:"
        " cannot be shown`"
    ]


BORROWER = """\
talk: {title: Another talk, slot_min: 5}
borrow: {full: talk.yaml}
slides:
  - {kind: borrowed, origin: full, slide: base}
  - {kind: borrowed, origin: full, slide: rare}
  - {kind: borrowed, origin: full, slide: custom}
"""


def test_a_borrowed_slide_brings_the_whole_account(tmp_path):
    write_counting_talk(tmp_path, ACCOUNT_TALK)
    show = compose_show(write(tmp_path, BORROWER, "b.yaml"), Options(draft=True), no_progress)
    assert show.basis.source.board.account is not None
    assert list(show.basis.source.board.account.stages) == ["pyre", "gift", "soil", "stone"]
    page = show.told[2].page
    row = next(i for i in page.items if isinstance(i, Group) and i.name == "Stage pyre")
    assert words_of(row).endswith("1\N{NO-BREAK SPACE}(A,\N{NO-BREAK SPACE}B)")


def test_a_borrowed_slide_may_leave_its_row_of_stages_behind(tmp_path):
    text = BORROWER.replace("slide: base}", "slide: base, stage_row: false}")
    write_counting_talk(tmp_path, ACCOUNT_TALK)
    show = compose_show(write(tmp_path, text, "b.yaml"), Options(draft=True), no_progress)
    assert "Row of stages" not in [item.name for item in show.told[0].page.items]


def test_what_is_shown_on_slides_left_out_is_said_so(tmp_path):
    text = BORROWER.replace("  - {kind: borrowed, origin: full, slide: base}\n", "")
    write_counting_talk(tmp_path, ACCOUNT_TALK)
    show = compose_show(write(tmp_path, text, "b.yaml"), Options(draft=True), no_progress)
    row = next(i for i in show.told[1].page.items if isinstance(i, Group))
    assert words_of(row).endswith("left out here")


def test_two_accounts_in_one_talk_are_refused(tmp_path):
    write_counting_talk(tmp_path, ACCOUNT_TALK)
    own = "account: {called: Mine, source: Mine, stages: {one: {called: A, about: A, here: absent}"
    own += ", two: {called: B, about: B, here: absent}}}\n"
    text = BORROWER.replace("slides:\n", own + "slides:\n")
    with pytest.raises(StoryboardError) as raised:
        compose_show(write(tmp_path, text, "b.yaml"), Options(draft=True), no_progress)
    fault = raised.value.faults[0]
    assert fault.wrong.startswith("is not the same in ")
    assert fault.instead == "Make them alike: a talk has one account"


def test_an_account_and_its_shares_are_told_in_the_language_of_the_talk(tmp_path):
    text = spoiled(
        "  speaker: A. Speaker\n", "  speaker: A. Speaker\n  language: de\n", ACCOUNT_TALK
    )
    show = show_of(tmp_path, text)
    page = next(one.page for one in show.told if one.slide.id == "custom")
    rows = {one.name: words_of(one) for one in page.items if isinstance(one, Group)}
    assert "| wie beschrieben |" in rows["Stage pyre"]
    assert "| weicht ab |" in rows["Stage gift"]
    assert rows["Stage gift"].endswith("| 3 von 9 · 33\N{NO-BREAK SPACE}%")
    assert "| fehlt |" in rows["Stage soil"]
    assert rows["Stage stone"].endswith("| nicht beurteilbar")
    base = next(one.page for one in show.told if one.slide.id == "base")
    row = next(i for i in base.items if isinstance(i, Group) and i.name == "Row of stages")
    assert words_of(row).endswith("| Schritt 2 von 4")
    heads = [one.plain for one in page.items if isinstance(one, Text)]
    assert {"Dieser Fall", "Auf Folie", "In der Serie"} <= set(heads)
