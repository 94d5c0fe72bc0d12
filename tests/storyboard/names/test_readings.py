"""Faults of materials questions and contrasts, of slides that show them and of words on them."""

import pytest

from slidekit.basis import read_basis
from slidekit.errors import StoryboardError
from tests.materials_talk import MATERIALS_TALK
from tests.storyboard.boards import spoiled, write


def faults(folder, text: str) -> list[str]:
    with pytest.raises(StoryboardError) as refused:
        read_basis(write(folder, text), None)
    return [str(fault).replace(f"{folder}/", "") for fault in refused.value.faults]


LINE = (
    "  edge: {view: base, shape: line, from_mm: [1, 1], to_mm: [9, 9], called: the edge}\n"
    "materials:"
)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("    region: left\n", "    region: lift\n",
         "22: materials.seal_is.region: there is no region `lift`. Write `left` if you mean that;"
         " the regions are left, right."),
        ("    mix: [beeswax, pine_resin]\n", "    mix: [beeswax, beeswax]\n",
         "24: materials.seal_is.mix: `beeswax` is named twice. Name two different ones."),
        ("    regions: [right, left]\n", "    regions: [left, left]\n",
         "28: contrasts.both.regions: `left` is named twice. Name two different ones."),
        ("    regions: [right, left]\n", "    regions: [left]\n",
         "28: contrasts.both.regions: has 1 entry. Write exactly 2."),
        ("question: seal_is\n", "question: seal\n",
         "51: slides[1].question: there is no materials question `seal`. Write `seal_is`, the only"
         " one there is, or define it."),
        ("contrast: both}]\n    say", "contrast: none}]\n    say",
         "44: slides[0].views[0].contrast: there is no contrast `none`. Define it, or choose"
         " another: the contrasts are both."),
        ("regions: [left, right], contrast: both}]\n    say",
         "regions: [left], contrast: both}]\n    say",
         "44: slides[0].views[0].contrast: `right` is not among the `regions` of this view. List it"
         " there, or remove it here."),
        ("{seal_is.energy}", "{seal_is.kev}",
         "52: slides[1].say: {seal_is.kev} is not known. Write one of {seal_is.called},"
         " {seal_is.remain}, {seal_is.excluded}, {seal_is.share}, {seal_is.energy},"
         " {seal_is.warning}."),
        ("    mix: [beeswax, pine_resin]\n", "",
         "51: slides[1].say: {seal_is.share} is said, and `seal_is` asks about no mixture. Add"
         " `mix:` with two candidates to the question."),
        ("{both.effect}", "{both.p}",
         "45: slides[0].say: {both.p} is not known. Write one of {both.called}, {both.difference},"
         " {both.interval}, {both.effect}, {both.overlap}, {both.warning}."),
        ("candidates: [pine_resin, beeswax, quartz]", "candidates: [pine_rosin, beeswax]",
         "23: materials.seal_is.candidates[0]: there is no candidate `pine_rosin`. Write"
         " `pine_resin` if you mean that; the candidates are air, water, fat, soft_tissue,"
         " dried_tissue, bone, burnt_bone, ivory and 37 more; add others in a `file` of your own."),
        ("    region: left\n", "    region: left\n    file: none.yaml\n",
         "23: materials.seal_is.file: there is no file none.yaml. Write the path of a file of"
         " candidates, seen from this storyboard."),
        ("    region: left\n", "    region: left\n    energy_kev: 500\n",
         "23: materials.seal_is.energy_kev: `500` is too large. Write a number from 20 to 200."),
        ("materials:\n", LINE.replace("edge", "both") + "\n",
         "27: contrasts.both: `both` is also a name in `regions`. Rename one of the two: words and"
         " findings use both."),
        ("evidence: [seal_is]", "evidence: [seal_is, seal_was]",
         "38: findings.stuff.evidence[1]: there is no"),
        ("contrast: both}]\n    say", "contrast: both, profile: left}]\n    say",
         "44: slides[0].views[0]: has `profile` and `contrast`. Write one of the two."),
    ],
)  # fmt: skip
def test_a_fault_is_told_with_its_line_and_what_to_write(tmp_path, old, new, said):
    assert any(f.startswith(f"talk.yaml:{said}") for f in faults(
        tmp_path, spoiled(old, new, MATERIALS_TALK)
    ))  # fmt: skip


@pytest.mark.parametrize("section", ["materials", "contrasts"])
def test_a_line_holds_no_values(tmp_path, section):
    text = spoiled("materials:\n", LINE + "\n", MATERIALS_TALK)
    old, new = {
        "materials": ("    region: left\n", "    region: edge\n"),
        "contrasts": ("    regions: [right, left]\n", "    regions: [right, edge]\n"),
    }[section]
    said = "`edge` is a line, and holds no values. Name an ellipse, a rectangle or a polygon."
    assert any(said in fault for fault in faults(tmp_path, spoiled(old, new, text)))


def test_regions_of_two_scans_are_not_held_against_each_other(tmp_path):
    text = MATERIALS_TALK.replace(
        "views:\n", "  other: {folder: block, credit: x, rights: y}\nviews:\n"
        "  second: {scan: other, plane: axial, at_mm: 2, window: soft_tissue}\n", 1,
    ).replace("  right:\n    view: base\n", "  right:\n    view: second\n")  # fmt: skip
    swapped = text.replace("regions: [right, left]", "regions: [left, right]")
    said = (
        "contrasts.both.regions: its regions lie on two scans, `block` and `other`. Draw both on"
        " views of one scan: two scans may be set differently."
    )
    assert any(said in fault for fault in faults(tmp_path, swapped))


def test_evidence_must_have_been_shown(tmp_path):
    text = MATERIALS_TALK.replace("evidence: [both]", "evidence: [both, seal_is]")
    shown_late = text.replace("  - id: question\n", "  - id: late\n").replace(
        "slides:\n", "slides:\n  - {id: first, kind: findings, title: First, findings: [sealed]}\n"
    )
    said = faults(tmp_path, shown_late)
    assert any("`both` is shown on the slide `two`, after `first`" in fault for fault in said)
    assert any("`seal_is` is shown on the slide `late`, after `first`" in fault for fault in said)


def test_a_borrowed_slide_brings_its_question_and_its_contrast(tmp_path):
    write(tmp_path, MATERIALS_TALK, "lender.yaml")
    text = (
        "talk: {title: Short, slot_min: 2}\nborrow: {them: lender.yaml}\nslides:\n"
        "  - {kind: borrowed, origin: them, slide: two}\n"
        "  - {kind: borrowed, origin: them, slide: question}\n"
    )
    board = read_basis(write(tmp_path, text), None).source.board
    assert set(board.materials) == {"seal_is"}
    assert set(board.contrasts) == {"both"}
    assert set(board.regions) == {"left", "right"}
