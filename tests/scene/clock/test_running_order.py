import pytest

from slidekit.scene.clock.running_order import hand_over_of, running_order, slots_of, time_of_day
from slidekit.scene.clock.schedule import HandOver, Schedule
from slidekit.storyboard.programme import Programme
from slidekit.storyboard.talk import Talk

PROGRAMME = Programme.model_validate(
    {
        "title": "Urns",
        "begins": "13:50",
        "change_min": 2,
        "items": [
            {"talk": "one", "storyboard": "one.yaml"},
            {"talk": "two", "storyboard": "two.yaml"},
            {"pause": "Coffee", "minutes": 15},
            {"talk": "three", "storyboard": "three.yaml"},
        ],
    }
)
TALKS = {
    "one": Talk(title="First", speaker="A. Speaker", slot_min=20),
    "two": Talk(title="Second", slot_min=10),
    "three": Talk(title="Third", slot_min=12.5),
}
SLOTS = slots_of(PROGRAMME, TALKS)


def test_talks_begin_when_the_one_before_is_over_and_the_speakers_have_changed():
    begins = [time_of_day(slot.begins_s) for slot in SLOTS]
    assert begins == ["13:50", "14:12", "14:22", "14:37"]


def test_a_talk_hands_over_to_the_next():
    assert hand_over_of(SLOTS, "one") == HandOver("", "Hand over at 14:10 to “Second”.")
    assert hand_over_of(SLOTS, "two") == HandOver(
        "Before this: A. Speaker, “First”.", "After this: Coffee, until 14:37."
    )
    assert hand_over_of(SLOTS, "three") == HandOver(
        "Before this: Coffee.", "The programme ends here."
    )


def test_the_running_order_has_a_line_for_each_item_and_the_end():
    schedules = {name: Schedule((), talk.slot_min * 60, 120) for name, talk in TALKS.items()}
    assert list(running_order(SLOTS, schedules)) == [
        "13:50  A. Speaker, “First”: 0:00 of 20:00 min, 20:00 left",
        "14:12  “Second”: 0:00 of 10:00 min, 10:00 left",
        "14:22  Coffee: 15 min",
        "14:37  “Third”: 0:00 of 12:30 min, 12:30 left",
        "14:50  end",
    ]


@pytest.mark.parametrize(("seconds", "read"), [(0, "00:00"), (86340, "23:59"), (90000, "01:00")])
def test_a_day_begins_anew_at_midnight(seconds, read):
    assert time_of_day(seconds) == read
