"""A shorter talk of the same storyboard, through the whole run."""

import json

import pytest

from slidekit.build import Options, build_talk, compose_show
from slidekit.errors import StoryboardError
from tests.talks import TALK, no_progress, write_talk

LOOSE = TALK.replace(
    """      Something is bright. [show coil] {coil.mark} is {coil.called}.
      [show gap] It stands {gap.length} off the wall.
""",
    """      Something is bright. [show coil] {coil.mark} is {coil.called}.

      [may] [show gap] {gap.mark} says that it stands {gap.length} off the wall, and nobody knows
      why it should, for there is nothing in between that could have held it there.

      [should] So much for that.
""",
).replace("    kind: timeline\n", "    kind: timeline\n    keep: should\n")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("talk")
    write_talk(folder, LOOSE)
    return folder


def shorter(folder, slot_min: float):
    return compose_show(folder / "talk.yaml", Options(draft=True, slot_min=slot_min), no_progress)


def complaint(folder, slot_min: float) -> str:
    with pytest.raises(StoryboardError) as raised:
        shorter(folder, slot_min)
    return str(raised.value)


def test_a_talk_that_fits_loses_nothing(folder):
    assert shorter(folder, 2).gone == ()


def test_what_may_go_goes_before_what_should_stay(folder):
    show = shorter(folder, 0.5)
    assert [(one.slide, one.begins) for one in show.gone] == [
        ("base", "The blue line says that it")
    ]
    assert show.schedule.left_s >= 0


def test_what_only_the_missing_words_spoke_of_is_not_on_the_slide(folder):
    base = shorter(folder, 0.5).told[1]
    assert [view.regions for view in base.slide.views] == [("coil",), ()]
    assert base.page.steps == 1


def test_a_slide_goes_when_words_alone_do_not_make_room(folder):
    show = shorter(folder, 0.25)
    assert [one.slide.id for one in show.told] == ["opening", "base", "end", "credits"]
    assert "times" in [one.slide for one in show.gone]
    assert show.schedule.left_s >= 0


def test_slides_are_numbered_anew(folder):
    assert [turn.number for turn in shorter(folder, 0.25).schedule.turns] == [1, 2, 3, 4]


def test_what_must_stay_and_takes_longer_is_told(folder):
    assert complaint(folder, 0.1).endswith(
        "talk.yaml:5: talk.slot_min: what must stay takes at least 0:13, and there is time for"
        " 0:06. Write `keep: should` or `keep: may` at slides that can go, or [should] or [may]"
        " at the head of paragraphs."
    )


def test_what_may_go_and_is_rested_on_counts_with_what_must_stay(tmp_path):
    write_talk(tmp_path, LOOSE.replace("    kind: scan\n", "    kind: scan\n    keep: may\n"))
    assert "what must stay, with what it rests on (`base`), takes at least 0:13, and" in complaint(
        tmp_path, 0.1
    )


def test_a_slide_stays_with_the_finding_that_rests_on_it(tmp_path):
    text = LOOSE.replace("    kind: scan\n", "    kind: scan\n    keep: may\n")
    write_talk(tmp_path, text)
    slides = [one.slide.id for one in shorter(tmp_path, 0.25).told]
    assert "base" in slides
    assert "end" in slides


def test_a_finding_goes_with_the_slide_that_it_rests_on(tmp_path):
    text = LOOSE.replace("    kind: scan\n", "    kind: scan\n    keep: may\n")
    text = text.replace("    kind: findings\n", "    kind: findings\n    keep: may\n")
    write_talk(tmp_path, text)
    slides = [one.slide.id for one in shorter(tmp_path, 0.03).told]
    assert slides == ["opening", "credits"]


def test_a_slide_goes_with_the_one_that_it_refers_to(tmp_path):
    text = LOOSE.replace("    kind: findings\n", "    kind: findings\n    needs: [times]\n")
    write_talk(tmp_path, text)
    assert "what must stay" in complaint(tmp_path, 0.25)


def test_a_region_in_a_table_keeps_its_words(tmp_path):
    text = LOOSE.replace("regions: [coil],", "regions: [coil], table: [coil],")
    text = text.replace("      Something is bright. [show coil]", "      [may] Here. [show coil]")
    write_talk(tmp_path, text)
    gone = [one.begins for one in shorter(tmp_path, 0.3).gone]
    assert not any(words.startswith("Here.") for words in gone)


def test_the_script_and_the_record_say_what_went(folder, tmp_path):
    build_talk(folder / "talk.yaml", tmp_path, Options(slot_min=0.5), no_progress)
    line = "Left out:\n\n- from slide `base`: “The blue line says that it…” ("
    assert line in (tmp_path / "script.md").read_text(encoding="utf-8")
    record = json.loads((tmp_path / "record.json").read_text(encoding="utf-8"))
    assert [one["slide"] for one in record["left_out"]] == ["base"]
    assert record["slot_s"] == 30
