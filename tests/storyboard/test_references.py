import pytest

from slidekit.errors import StoryboardError
from slidekit.storyboard.read import read_programme, read_storyboard
from slidekit.storyboard.words import Reference, find_flaws, parse_words, references, speak

PROGRAMME = """\
programme:
  title: Urns, unopened
  begins: "14:00"
  items:
    - {talk: first, storyboard: first.yaml}
    - {pause: Coffee, minutes: 15}
    - {talk: second, storyboard: second.yaml}
"""
TALK = """\
talk: {title: %s, speaker: "%s", slot_min: 5, programme: evening.yaml}
slides:
  - {id: opening, kind: title, say: "%s"}
  - {id: middle, kind: text, title: Middle, points: [one], say: "%s"}
  - {id: close, kind: text, title: Close, points: [one], say: Good.}
"""


def write(folder, first=("Hello.", "Look."), second=("Hello.", "Look."), speakers=("A", "")):
    (folder / "evening.yaml").write_text(PROGRAMME, encoding="utf-8")
    for name, say, who in (("first", first, speakers[0]), ("second", second, speakers[1])):
        text = TALK % (f"The {name} talk", who, *say)
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder


def say_of(folder, talk: str, slide: int) -> str:
    return read_storyboard(folder / f"{talk}.yaml").slides[slide].say


def complaints(folder, talk: str) -> list[str]:
    with pytest.raises(StoryboardError) as raised:
        read_storyboard(folder / f"{talk}.yaml")
    return [str(fault).removeprefix(f"{folder}/") for fault in raised.value.faults]


def test_a_reference_names_a_slide_of_this_talk_or_of_another():
    found = references(parse_words("See {later: close} and { earlier : first / coil }."))
    assert found == (Reference("later", "", "close"), Reference("earlier", "first", "coil"))
    assert find_flaws("{sooner: close}")[0].wrong == "{sooner: close} is not known"


def test_a_reference_to_this_talk_is_spoken_as_such():
    (one,) = speak(parse_words("{later: close} we see. It came {earlier: close}."), str)
    assert one.tokens[0].text == "Later in this talk we see. It came earlier in this talk."


def test_a_reference_to_another_talk_names_who_gives_it_or_its_title(tmp_path):
    write(tmp_path, ("We see it {later: second/middle}.", "-"), ("As {earlier: first/close}.", "-"))
    assert say_of(tmp_path, "first", 0) == "We see it later, in the talk “The second talk”."
    assert say_of(tmp_path, "second", 0) == "As earlier, in the talk by A."


def test_brackets_in_a_title_stay_brackets(tmp_path):
    write(tmp_path, ("We see it {later: second/middle}.", "-"))
    text = (tmp_path / "second.yaml").read_text(encoding="utf-8")
    (tmp_path / "second.yaml").write_text(text.replace("The second talk", "'Urns [sic]'"))
    (one,) = parse_words(say_of(tmp_path, "first", 0))
    assert one.tokens[0].text == "We see it later, in the talk “Urns [sic]”."


@pytest.mark.parametrize(
    ("first", "told"),
    [
        ("{later: cloze}", "there is no slide `cloze`. Write `close` if you mean that; there are"),
        ("{earlier: close}", "slide `close` comes later. Write {later: close}."),
        ("{later: opening}", "names the slide it stands on. Name another slide, or remove it."),
        ("{earlier: second/close}", "the talk `second` comes later. Write {later: second/close}."),
        ("{later: third/close}", "the programme has no talk `third`. Write one of first, second."),
        ("{later: first/middle}", "names this talk itself. Write {later: middle}."),
        ("{later: second/muddle}", "there is no slide `muddle`. Write `middle` if you mean that;"),
    ],
)
def test_a_reference_that_leads_nowhere_or_the_wrong_way_is_told(tmp_path, first, told):
    (complaint,) = complaints(write(tmp_path, (first, "-")), "first")
    assert complaint.startswith("first.yaml:3: slides[0].say: {")
    assert told in complaint


def test_another_talk_can_be_named_only_in_a_programme(tmp_path):
    folder = write(tmp_path, ("{later: second/middle}", "-"))
    text = (folder / "first.yaml").read_text(encoding="utf-8")
    (folder / "first.yaml").write_text(text.replace(", programme: evening.yaml", ""))
    (complaint,) = complaints(folder, "first")
    assert "names another talk, and this one is in no programme. Add `programme:`" in complaint


def test_a_programme_that_does_not_have_the_talk_is_told(tmp_path):
    folder = write(tmp_path)
    text = (folder / "first.yaml").read_text(encoding="utf-8")
    (folder / "third.yaml").write_text(text, encoding="utf-8")
    (complaint,) = complaints(folder, "third")
    assert complaint.endswith(
        "does not have this talk. Add {talk: NAME, storyboard: third.yaml} to its items."
    )


def test_a_programme_has_its_talks_in_their_order(tmp_path):
    programme, talks = read_programme(write(tmp_path) / "evening.yaml")
    assert programme.begins == "14:00"
    assert list(talks) == ["first", "second"]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("programme:", "program:", ":1: programme: a file with a programme has one section"),
        ('"14:00"', '"25:00"', ":3: programme.begins: `25:00` "),
        ("minutes: 15", "minuts: 15", ":6: programme.items[1].minuts: is not a field here"),
        ("{pause: Coffee, minutes: 15}", "{pause: Coffee}", ": has no `minutes`. Add minutes: 15."),
        ("talk: second, ", "", "is neither a talk nor a pause, or both. Write {talk: urn,"),
        ("talk: second", "talk: first", ":7: programme.items[2].talk: there are two talks `first`"),
        ("second.yaml", "secund.yaml", ":7: programme.items[2].storyboard: there is no file"),
    ],
)
def test_a_fault_of_a_programme_is_told_with_its_line(tmp_path, old, new, told):
    path = write(tmp_path) / "evening.yaml"
    path.write_text(PROGRAMME.replace(old, new), encoding="utf-8")
    with pytest.raises(StoryboardError) as raised:
        read_programme(path)
    assert told in str(raised.value)
