"""A programme against the clock of the day: when each talk begins, and who hands over to whom."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from slidekit.scene.clock.schedule import HandOver, Schedule, balance
from slidekit.storyboard.programme import Programme
from slidekit.storyboard.talk import Talk
from slidekit.wording import phrase


@dataclass(frozen=True)
class Slot:
    """A talk or a pause. `begins_s` counts from midnight."""

    name: str  # of a talk; "" for a pause
    called: str  # "A. Speaker, “What the urn holds”", "Coffee"
    begins_s: float
    seconds: float

    @property
    def ends_s(self) -> float:
        return self.begins_s + self.seconds


def slots_of(programme: Programme, talks: Mapping[str, Talk]) -> tuple[Slot, ...]:
    """All items one after another; between two talks there is time to change."""
    hours, minutes = programme.begins.split(":")
    at_s = int(hours) * 3600.0 + int(minutes) * 60.0
    slots: list[Slot] = []
    for item in programme.items:
        if item.talk is None:
            slots.append(Slot("", item.pause or "", at_s, (item.minutes or 0) * 60))
        else:
            if slots and slots[-1].name:
                at_s += programme.change_min * 60
            talk = talks[item.talk]
            slots.append(Slot(item.talk, _called(talk), at_s, talk.slot_min * 60))
        at_s = slots[-1].ends_s
    return tuple(slots)


def hand_over_of(slots: Sequence[Slot], name: str) -> HandOver:
    """What the talk `name` follows, and what follows it."""
    at = next(i for i, slot in enumerate(slots) if slot.name == name)
    before, after = "", phrase("The programme ends here.")
    if at > 0:
        before = phrase("Before this: {what}.", what=slots[at - 1].called)
    if at + 1 < len(slots):
        following, ends = slots[at + 1].called, time_of_day(slots[at].ends_s)
        after = phrase("Hand over at {time} to {who}.", time=ends, who=following)
        if not slots[at + 1].name:
            until = time_of_day(slots[at + 1].ends_s)
            after = phrase("After this: {what}, until {time}.", what=following, time=until)
    return HandOver(before, after)


def running_order(slots: Sequence[Slot], schedules: Mapping[str, Schedule]) -> Iterator[str]:
    """A line for each item, then the end."""
    for slot in slots:
        detail = f"{slot.seconds / 60:g} min"
        if slot.name:
            detail = balance(schedules[slot.name])
        yield f"{time_of_day(slot.begins_s)}  {slot.called}: {detail}"
    yield f"{time_of_day(slots[-1].ends_s)}  {phrase('end')}"


def time_of_day(seconds: float) -> str:
    """Hours and minutes of the day, past midnight from 00:00 again: "14:05"."""
    minutes = round(seconds / 60)
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


def _called(talk: Talk) -> str:
    return ", ".join(filter(None, (talk.speaker, phrase("“{words}”", words=talk.title))))
