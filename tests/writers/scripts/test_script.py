from slidekit.scene.clock.schedule import Cue, Passage, Said, Schedule, Silence, Turn
from slidekit.storyboard.talk import Talk
from slidekit.writers.scripts.script import script_text

TALK = Talk(title="What the urn holds", speaker="A. Speaker", occasion="Evening", slot_min=2)
TURNS = (
    Turn(1, "opening", "Opening", 0.0, 30.0, (Passage((Said("Good evening.", 60, 0, 30),)),)),
    Turn(
        2,
        "coil",
        "Coil | wire",
        30.0,
        60.0,
        (
            Passage(
                (
                    Said("It is bright.", 80, 30, 40),
                    Cue(1, "orange ellipse A, the coil", 70),
                    Said("There it is.", 20, 70, 10),
                )
            ),
            Passage((Silence(5, 80), Said("And so on.", 10, 85, 5)), keep="may"),
        ),
        keep="should",
    ),
)


def text(slot_s: float = 120) -> str:
    return script_text(TALK, Schedule(TURNS, slot_s, 120))


def test_the_balance_is_at_the_top():
    assert "170 words at 120 words per minute: 1:30 of 2:00 min, 0:30 left." in text()


def test_an_overrun_is_told():
    assert "1:30 of 1:00 min, 0:30 over the slot." in text(60)


def test_every_slide_has_its_clock_time_and_its_words():
    assert (
        "## 2. Coil | wire\n\n"
        "0:30 to 1:30 · 110 words · begins by 1:00 at the latest · should stay\n" in text()
    )


def test_a_click_stands_where_it_is_made_and_says_what_appears():
    assert "It is bright. **[click 1: orange ellipse A, the coil]** There it is." in text()


def test_paragraphs_stay_apart():
    assert "There it is.\n\n*(may go: 0:10)* " in text()


def test_a_pause_stands_where_it_is_made():
    assert "**[pause 5 s]** And so on.\n" in text()


def test_time_for_questions_is_part_of_the_balance():
    schedule = Schedule(TURNS, 120, 120, questions_s=20)
    assert "1:30 and 0:20 for questions of 2:00 min, 0:10 left." in script_text(TALK, schedule)


def test_each_slide_says_when_it_must_begin_at_the_latest():
    assert "| 0:30 | 1:00 | 2 |" in text()
    assert "| 0:30 |  | 2 |" in text(60)  # too late already


def test_a_title_does_not_break_the_table():
    assert "| 0:30 | 1:00 | 2 | Coil \\| wire | 110 | 1:00 |" in text()


def test_the_cautions_close_the_script():
    assert text().rstrip().endswith("follows local rules and licensed practice.")
    assert "not for diagnosis" in text()
