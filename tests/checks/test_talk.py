import pytest

from slidekit.build import Options, compose_show
from slidekit.checks.talk import check_heard
from slidekit.review import heard_of
from tests.scans.dicom_series import Attributes
from tests.talks import TALK, no_progress, write_block, write_talk

DRAFT = Options(draft=True)


def remarks(folder, text=TALK, attributes=None) -> list[str]:
    storyboard = write_talk(folder, text)
    if attributes:
        write_block(folder / "block", attributes)
    show = compose_show(storyboard, DRAFT, no_progress)
    checked = check_heard(heard_of(show))
    return [str(r).removeprefix(f"{storyboard.parent}/") for r in checked.remarks]


def test_a_sound_talk_has_no_remarks(tmp_path):
    assert remarks(tmp_path) == []


FAULTS = {
    "slot": (
        ("slot_min: 2", "slot_min: 0.1"),
        "talk.yaml:5: error: slot: the words take 0:24 and run 0:18 over the slot",
    ),
    "unspoken": (
        ("[show gap] It stands {gap.length} off the wall.", "It stands off the wall."),
        "talk.yaml:56: warning: unspoken: region `gap` is on the slide, and the words never"
        " speak of it",
    ),
    "early": (
        ("[show coil] {coil.mark} is {coil.called}.", "{coil.mark} is {coil.called}. [show coil]"),
        "talk.yaml:58: error: early: {coil.mark} is spoken before [show coil] brings it on",
    ),
    "silent": (
        ("    say: Good evening.\n", ""),
        "talk.yaml:49: warning: silent: slide `opening` has no words",
    ),
    "still": (
        ("say: Good evening.", f"say: {'Good evening everybody. ' * 100}"),
        "talk.yaml:51: warning: still: nothing changes on slide `opening` for 2:30",
    ),
}


@pytest.mark.parametrize("rule", FAULTS)
def test_each_rule_finds_its_fault(tmp_path, rule):
    (old, new), said = FAULTS[rule]
    assert old in TALK
    found = [r for r in remarks(tmp_path, TALK.replace(old, new)) if f": {rule}: " in r]
    assert [r.split(": ", 1)[1] for r in found] == [said.split(": ", 1)[1]]


def test_text_in_the_pixels_is_pointed_out(tmp_path):
    found = remarks(tmp_path, attributes=Attributes(every={"BurnedInAnnotation": "YES"}))
    assert found == [
        "talk.yaml:7: error: burned-in: scan `block` has, or may have, text in its pixels: "
        "look for names before showing it"
    ]


def test_a_length_may_be_spoken_before_its_line_is_shown(tmp_path):
    text = TALK.replace("[show gap] It stands {gap.length}", "It stands {gap.length} [show gap]")
    assert remarks(tmp_path, text) == []


SMALL = ("radii_mm: [5, 4]", "radii_mm: [2.1, 2.1]")


def test_a_value_that_something_speaks_against_needs_its_warning(tmp_path):
    text = TALK.replace(*SMALL).replace("is {coil.called}.", "is {coil.mean}.")
    found = remarks(tmp_path, text)
    assert [r.split(": ", 1)[1] for r in found] == [
        "warning: unsafe-value: {coil.mean} is spoken, and not that only 13 samples lie in it: say"
        " {coil.warning} too, or leave the number out"
    ]


@pytest.mark.parametrize("words", ["{coil.mean}; {coil.warning}", "{coil.mean} in {coil.n}"])
def test_a_value_with_its_warning_or_its_n_is_in_order(tmp_path, words):
    text = TALK.replace(*SMALL).replace("is {coil.called}.", f"is {words}.")
    assert remarks(tmp_path, text) == []


def test_a_printed_value_without_its_warning_is_told(tmp_path):
    text = TALK.replace(*SMALL).replace("Section through the base}", "'{coil.mean}'}", 1)
    (found,) = remarks(tmp_path, text)
    assert found.split(": ", 1)[1] == (
        "warning: unsafe-value: slide `base` prints {coil.mean}, and nothing says that only 13"
        " samples lie in it: print {coil.warning} too, or leave the number out"
    )


@pytest.mark.parametrize(
    "caption", ["'{coil.mean}; {coil.warning}'", "'{coil.mean}', values: [coil]"]
)
def test_a_printed_value_with_its_warning_on_the_page_is_in_order(tmp_path, caption):
    text = TALK.replace(*SMALL).replace("Section through the base}", f"{caption}}}", 1)
    assert remarks(tmp_path, text) == []


def test_a_finding_that_prints_an_unsafe_value_is_told(tmp_path):
    text = TALK.replace(*SMALL).replace("A coil of wire lies in the block.", "It has {coil.mean}.")
    found = [one for one in remarks(tmp_path, text) if "unsafe-value" in one]
    assert [one.split(": ", 3)[3].split(" samples")[0] for one in found] == [
        "slide `end` prints {coil.mean}, and nothing says that only 13"
    ]


def test_a_window_made_for_hu_on_other_values_is_told(tmp_path):
    found = remarks(tmp_path, attributes=Attributes({"Modality": "MR"}))
    assert [one.split(": ", 1)[1] for one in found] == [
        "warning: foreign-window: window `soft_tissue` is made for values in HU, and those"
        " of view `front` are without a known unit: write center and width, or"
        " `{percentiles: [1, 99]}` or `{stored: 1}`"
    ]


def test_a_length_needs_no_warning(tmp_path):
    assert remarks(tmp_path, TALK.replace(*SMALL)) == []


LATE = FAULTS["early"][0]
WAIVED = "{rule: early, slide: base, because: Its shadow is there from the start}"


def waiving(waiver: str, text: str) -> str:
    return text.replace("waive:\n", f"waive:\n  - {waiver}\n")


def checked(folder, text):
    return check_heard(heard_of(compose_show(write_talk(folder, text), DRAFT, no_progress)))


def test_a_waiver_keeps_its_finding_and_its_reason(tmp_path):
    found = checked(tmp_path, waiving(WAIVED, TALK.replace(*LATE)))
    assert found.remarks == ()
    reasons = {one.rule: one.because for one in found.waived}
    assert reasons["early"] == "Its shadow is there from the start"


@pytest.mark.parametrize(
    "waiver",
    ["slide: times", "name: gap", "slide: base, name: gap"],
)
def test_a_waiver_for_something_else_meets_nothing(tmp_path, waiver):
    text = waiving(f"{{rule: early, {waiver}, because: So}}", TALK.replace(*LATE))
    assert [one.rule for one in checked(tmp_path, text).remarks] == ["early", "waiver"]


@pytest.mark.parametrize("waiver", ["slide: base", "name: coil", "slide: base, name: coil"])
def test_a_waiver_may_name_slide_or_name(tmp_path, waiver):
    text = waiving(f"{{rule: early, {waiver}, because: So}}", TALK.replace(*LATE))
    assert checked(tmp_path, text).remarks == ()


def test_a_waiver_that_meets_nothing_is_a_note(tmp_path):
    (found,) = checked(tmp_path, waiving(WAIVED, TALK)).remarks
    assert str(found).endswith(
        ": note: waiver: rule `early` has nothing to say on slide `base`: remove this waiver"
    )


def test_a_borrowed_slide_brings_its_waivers(tmp_path):
    write_talk(tmp_path, waiving(WAIVED, TALK.replace(*LATE)))
    text = "talk: {title: Again, slot_min: 2}\nborrow: {first: talk.yaml}\n"
    text += "slides: [{kind: borrowed, origin: first, slide: base}]\n"
    (tmp_path / "again.yaml").write_text(text, encoding="utf-8")
    found = check_heard(heard_of(compose_show(tmp_path / "again.yaml", DRAFT, no_progress)))
    assert (found.remarks, len(found.waived)) == ((), 2)


def test_a_waiver_that_a_lender_needs_and_a_borrower_does_not_is_no_remark(tmp_path):
    write_talk(tmp_path, waiving(WAIVED, TALK.replace(*LATE)))
    text = "talk: {title: Again, slot_min: 2}\nborrow: {first: talk.yaml}\n"
    text += "slides: [{kind: borrowed, origin: first, slide: base, say: "
    text += '"[show coil] {coil.mark} is {coil.called}, and {gap} is beside it."}]\n'
    (tmp_path / "again.yaml").write_text(text, encoding="utf-8")
    found = check_heard(heard_of(compose_show(tmp_path / "again.yaml", DRAFT, no_progress)))
    assert found.remarks == ()
