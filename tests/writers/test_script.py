from slidekit.scene.schedule import Cue, Schedule, Turn
from slidekit.storyboard.talk import Talk
from slidekit.writers.script import script_text

TALK = Talk(title="What the urn holds", speaker="A. Speaker", occasion="Evening", slot_min=2)
TURNS = (
    Turn(1, "Opening", 0.0, 30.0, 60, (("Good evening.",),)),
    Turn(
        2,
        "Coil | wire",
        30.0,
        60.0,
        120,
        (("It is bright.", Cue(1, "orange ellipse A, the coil"), "There it is."), ("And so on.",)),
    ),
)


def text(slot_s: float = 120) -> str:
    return script_text(TALK, Schedule(TURNS, slot_s, 120))


def test_the_balance_is_at_the_top():
    assert "180 words at 120 words per minute: 1:30 of 2:00, 0:30 left." in text()


def test_an_overrun_is_set_in_bold():
    assert "1:30 of 1:00, **0:30 over the slot**." in text(60)


def test_every_slide_has_its_clock_time_and_its_words():
    assert "## 2. Coil | wire\n\n**0:30** to 1:30 · 120 words\n" in text()


def test_a_click_stands_where_it_is_made_and_says_what_appears():
    assert "It is bright. **[click 1: orange ellipse A, the coil]** There it is." in text()


def test_paragraphs_stay_apart():
    assert "There it is.\n\nAnd so on.\n" in text()


def test_a_title_does_not_break_the_table():
    assert "| 0:30 | 2 | Coil \\| wire | 120 | 1:00 |" in text()


def test_the_cautions_close_the_script():
    assert text().rstrip().endswith("follows local rules and licensed practice.")
    assert "not for diagnosis" in text()
