import pytest

from slidekit.errors import StoryboardError
from slidekit.storyboard.read import read_storyboard

TALK = """\
talk:
  title: {en: The urn, de: Die Urne}
  slot_min: 5
  languages: [en, de]
  speaker: A. Speaker
slides:
  - {id: opening, kind: title, say: {en: Good evening., de: Guten Abend.}}
  - id: points
    kind: text
    title: {en: What we know}
    points:
      en: [It is old, It is heavy]
      de: [Sie ist alt, Sie ist schwer]
    say:
      en: |
        Look.
      de: |
        Sehen Sie.

        Bitte [sehen.
"""
SOUND = TALK.replace("Bitte [sehen.", "Bitte.")


def read(folder, text: str = SOUND, language: str | None = None):
    path = folder / "talk.yaml"
    path.write_text(text, encoding="utf-8")
    return read_storyboard(path, language)


def complaints(folder, text: str, language: str | None = None) -> list[str]:
    with pytest.raises(StoryboardError) as raised:
        read(folder, text, language)
    return [str(fault).removeprefix(f"{folder}/") for fault in raised.value.faults]


def test_a_text_is_taken_in_the_language_asked_for(tmp_path):
    board = read(tmp_path, language="de").board
    assert board.talk.title == "Die Urne"
    assert board.talk.language == "de"
    assert board.slides[0].say == "Guten Abend."
    assert board.slides[1].points == ("Sie ist alt", "Sie ist schwer")


def test_without_a_wish_the_talk_is_in_its_own_language(tmp_path):
    assert read(tmp_path).board.talk.title == "The urn"
    own = SOUND.replace("  speaker:", "  language: de\n  speaker:")
    assert read(tmp_path, own).board.talk.title == "Die Urne"


def test_a_plain_text_holds_for_every_language(tmp_path):
    assert read(tmp_path, language="de").board.talk.speaker == "A. Speaker"


def test_a_text_that_lacks_the_language_is_there_in_another_and_noted(tmp_path):
    source = read(tmp_path, language="de")
    assert source.board.slides[1].title == "What we know"
    assert source.untranslated == (("slides", 1, "title"),)


def test_a_plain_sentence_counts_as_not_translated_in_another_language_only(tmp_path):
    text = SOUND.replace("say: {en: Good evening., de: Guten Abend.}", "say: Good evening.")
    assert ("slides", 0, "say") in read(tmp_path, text, "de").untranslated
    assert read(tmp_path, text).untranslated == ()


def test_the_dictionary_of_a_table_needs_no_translation(tmp_path):
    columns = "    columns: {lid: {about: Lid of it, values: [on]}, pot: {about: Its own number}}\n"
    table = f"tables:\n  pots:\n    file: pots.csv\n    about: Töpfe\n    id: pot\n{columns}"
    (tmp_path / "pots.csv").write_text("pot,lid\nA,on\n", encoding="utf-8")
    untranslated = read(tmp_path, SOUND + table, "de").untranslated
    assert [path for path in untranslated if "columns" in path] == []


def test_a_language_that_the_talk_is_not_given_in_is_told(tmp_path):
    assert complaints(tmp_path, SOUND, "fr") == [
        "talk.yaml:1: talk: the talk is not given in `fr`. Ask for one of en, de, or add it to"
        " `languages` and give its texts."
    ]


def test_the_own_language_must_be_listed_and_none_twice(tmp_path):
    other = SOUND.replace("  speaker:", "  language: fr\n  speaker:")
    assert "is in `fr`, which is not among its `languages`" in complaints(tmp_path, other)[0]
    twice = SOUND.replace("[en, de]", "[en, de, en]")
    assert "lists one language twice" in complaints(tmp_path, twice)[0]


def test_a_fault_is_told_on_the_line_of_its_language(tmp_path):
    assert complaints(tmp_path, TALK, "de")[0].startswith(
        "talk.yaml:20: slides[1].say: the bracket"
    )
    assert read(tmp_path, TALK).slides[1].say == "Look."


def test_names_that_are_language_tags_are_names_where_no_text_is(tmp_path):
    text = SOUND.replace(
        "slides:\n", "scans:\n  de: {demo: urn, credit: C, rights: CC0}\nslides:\n"
    )
    assert list(read(tmp_path, text).board.scans) == ["de"]


def test_borrowed_slides_bring_what_is_not_translated_in_them(tmp_path):
    (tmp_path / "lender.yaml").write_text(SOUND, encoding="utf-8")
    text = """\
talk: {title: {en: Short, de: Kurz}, slot_min: 1, languages: [en, de]}
borrow: {full: lender.yaml}
slides:
  - {kind: borrowed, origin: full, slide: points}
"""
    source = read(tmp_path, text, "de")
    assert source.slides[0].points == ("Sie ist alt", "Sie ist schwer")
    assert source.untranslated == (("slides", 0, "title"),)


def test_a_text_in_english_serves_a_talk_in_british_english(tmp_path):
    # RFC 4647, 3.4: the range en-GB falls back to en
    british = SOUND.replace("  speaker:", "  language: en-GB\n  speaker:")
    source = read(tmp_path, british)
    assert (source.board.talk.title, source.board.talk.language) == ("The urn", "en-GB")
    assert source.untranslated == ()
    assert read(tmp_path, british, "en").untranslated == ()
    assert read(tmp_path, british, "de").board.talk.title == "Die Urne"


LENDER = """\
talk: {title: {en: Long, de: Lang}, slot_min: 1, languages: [en, de]}
scans: {urn: {demo: urn, credit: C, rights: CC0}}
views: {base: {scan: urn, plane: axial, at_mm: 4, window: bone}}
regions:
  coil: {view: base, shape: point, at_mm: [1, 2], called: {en: the coil, de: die Spirale}}
account:
  called: How it was filled
  source: A handbook, 1978
  stages:
    gift: {called: {en: Gift, de: Beigabe}, about: {en: Metal, de: Metall}, here: absent}
    soil: {called: {en: Soil, de: Erde}, about: {en: Sand, de: Sand}, here: absent}
slides:
  - id: base
    kind: scan
    title: {en: The base, de: Der Boden}
    stage: gift
    views: [{view: base, regions: [coil], caption: Level cut}]
"""


def test_a_caption_of_the_borrower_stands_for_one_that_is_not_translated(tmp_path):
    (tmp_path / "lender.yaml").write_text(LENDER, encoding="utf-8")
    text = """\
talk: {title: {en: Short, de: Kurz}, slot_min: 1, languages: [en, de]}
borrow: {full: lender.yaml}
slides:
  - {kind: borrowed, origin: full, slide: base}
"""
    account = ("account", "called")
    assert set(read(tmp_path, text, "de").untranslated) == {
        account,
        ("slides", 0, "views", 0, "caption"),
    }
    own = text.replace("slide: base}", "slide: base, captions: {base: {en: Cut, de: Schnitt}}}")
    assert read(tmp_path, own, "de").untranslated == (account,)


def test_a_lender_without_the_language_is_taken_as_it_is(tmp_path):
    plain = SOUND.replace("  languages: [en, de]\n", "")
    plain = plain.replace("{en: The urn, de: Die Urne}", "The urn").replace(
        "{en: What we know}", "We know"
    )
    plain = plain.replace("{en: Good evening., de: Guten Abend.}", "Good evening.")
    plain = plain[: plain.index("    points:")] + "    points: [It is old]\n    say: Look there.\n"
    (tmp_path / "lender.yaml").write_text(plain, encoding="utf-8")
    text = """\
talk: {title: {en: Short, de: Kurz}, slot_min: 1, languages: [en, de]}
borrow: {full: lender.yaml}
slides:
  - {kind: borrowed, origin: full, slide: points}
"""
    source = read(tmp_path, text, "de")
    assert source.slides[0].say == "Look there."
    assert ("slides", 0, "say") in source.untranslated


def test_the_title_of_a_cited_work_stays_as_it_stands_on_the_work(tmp_path):
    text = SOUND + "sources: {urns: {type: book, title: Urns of the Plain, issued: 1931}}\n"
    assert ("sources", "urns", "title") not in read(tmp_path, text, "de").untranslated


def test_languages_that_are_nowhere_listed_are_one_fault(tmp_path):
    assert complaints(tmp_path, SOUND.replace("  languages: [en, de]\n", "")) == [
        "talk.yaml:1: talk: texts are given by language (en, de), and `languages` is missing. Add"
        " `languages: [en, de]`."
    ]


def test_a_text_in_a_language_that_is_not_listed_is_told_at_its_place(tmp_path):
    text = SOUND.replace("Good evening., de:", "Good evening., fr:")
    assert complaints(tmp_path, text) == [
        "talk.yaml:7: slides[0].say.fr: `fr` is none of the talk's `languages`. Write one of en,"
        " de, or add `fr` to `languages`."
    ]


def test_a_field_of_two_letters_is_no_language(tmp_path):
    text = SOUND.replace("  speaker: A. Speaker", "  speaker: A. Speaker\n  by: me")
    assert complaints(tmp_path, text)[0].startswith("talk.yaml:6: talk.by: is not a field here.")
