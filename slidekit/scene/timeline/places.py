"""Where the labels of a timeline find room: flags on poles for events, rows of bars for periods.

Pure geometry along x, in millimetres; rows count from 0, nearest to the axis.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple, TypeAlias

FLAG_GAP_MM = 4.0  # between two labels of one row
POLE_GAP_MM = 1.6  # between a pole and its own label
_POLE_CLEAR_MM = 1.0  # between a pole and any other label
_MOST_TRIES = 2_000

Side: TypeAlias = Literal["right", "left"]
LabelPlace: TypeAlias = Literal["inside", "right", "left"]


class Span(NamedTuple):
    """From left to right, in mm."""

    left_mm: float
    right_mm: float

    @property
    def width_mm(self) -> float:
        return self.right_mm - self.left_mm

    def meets(self, other: "Span", gap_mm: float = 0.0) -> bool:
        return self.left_mm < other.right_mm + gap_mm and other.left_mm < self.right_mm + gap_mm


@dataclass(frozen=True)
class Flag:
    """The label of an event as placed: on a pole at `pole_mm`, in `row`, to one side of it."""

    pole_mm: float
    label: Span
    row: int
    side: Side


def place_flags(
    poles_mm: Sequence[float], widths_mm: Sequence[float], room: Span, rows: int
) -> tuple[Flag, ...] | None:
    """A flag for each pole, in at most `rows` rows, or None if there is no such arrangement.

    No two labels of a row meet, and no pole runs through a label: a pole stands in all rows from
    the axis up to its own label's.
    """
    # from the right: a flag to the right of its pole is crossed by no pole that comes later
    order = sorted(range(len(poles_mm)), key=lambda i: (-poles_mm[i], i))
    hunt = _FlagHunt([poles_mm[i] for i in order], [widths_mm[i] for i in order], room, rows)
    if not hunt.place_from(0):
        return None
    placed = dict(zip(order, hunt.placed, strict=True))
    return tuple(placed[i] for i in range(len(order)))


@dataclass
class _FlagHunt:
    """Depth-first search with a bound on its length, so that it ends the same way everywhere."""

    poles_mm: Sequence[float]
    widths_mm: Sequence[float]
    room: Span
    rows: int
    placed: list[Flag] = field(default_factory=list)
    tries: int = 0

    def place_from(self, number: int) -> bool:
        """Place the flag of that number and all after it; leaves `placed` as it was if not."""
        if number == len(self.poles_mm):
            return True
        for flag in self._choices(self.poles_mm[number], self.widths_mm[number]):
            self.tries += 1
            if self.tries > _MOST_TRIES:
                return False
            if any(_collide(flag, other) for other in self.placed):
                continue
            self.placed.append(flag)
            if self.place_from(number + 1):
                return True
            self.placed.pop()
        return False

    def _choices(self, pole_mm: float, width_mm: float) -> Iterator[Flag]:
        right = Span(pole_mm + POLE_GAP_MM, pole_mm + POLE_GAP_MM + width_mm)
        left = Span(pole_mm - POLE_GAP_MM - width_mm, pole_mm - POLE_GAP_MM)
        for row in range(self.rows):
            if right.right_mm <= self.room.right_mm:
                yield Flag(pole_mm, right, row, "right")
            if left.left_mm >= self.room.left_mm:
                yield Flag(pole_mm, left, row, "left")


def _collide(one: Flag, other: Flag) -> bool:
    if one.row == other.row and one.label.meets(other.label, FLAG_GAP_MM):
        return True
    return _pole_crosses(one, other) or _pole_crosses(other, one)


def _pole_crosses(pole: Flag, other: Flag) -> bool:
    at = Span(pole.pole_mm, pole.pole_mm)
    return pole.row >= other.row and at.meets(other.label, _POLE_CLEAR_MM)


@dataclass(frozen=True)
class Bar:
    """A period to be placed: `inside` is the part of its bar that a label may stand on."""

    bar: Span
    inside: Span
    lane: int
    label_width_mm: float


@dataclass(frozen=True)
class PlacedBar:
    """Its row (from 0 over all lanes), and where its label stands."""

    row: int
    place: LabelPlace
    label: Span


BAR_LABEL_GAP_MM = 2.0  # between a bar and a label outside it


def place_bars(bars: Sequence[Bar], room: Span) -> tuple[PlacedBar, ...] | None:
    """Rows for all bars, or None if a label fits neither inside nor beside its bar.

    Lanes keep their order; bars of one lane that would meet get rows of their own under it.
    """
    found = [
        placed
        for outside in (("right", "left"), ("left", "right"))
        if (placed := _place_bars(bars, room, outside)) is not None
    ]
    return min(found, key=lambda placed: max((bar.row for bar in placed), default=0), default=None)


def _place_bars(
    bars: Sequence[Bar], room: Span, outside: tuple[LabelPlace, LabelPlace]
) -> tuple[PlacedBar, ...] | None:
    placed: dict[int, PlacedBar] = {}
    first_row = 0
    for lane in sorted({bar.lane for bar in bars}):
        rows: list[list[Span]] = []
        members = [i for i, bar in enumerate(bars) if bar.lane == lane]
        for i in sorted(members, key=lambda i: (bars[i].bar, i)):
            choices = list(_label_places(bars[i], room, outside))
            if not choices:
                return None
            row, place, label = _first_free(bars[i], choices, rows)
            placed[i] = PlacedBar(first_row + row, place, label)
        first_row += len(rows)
    return tuple(placed[i] for i in range(len(bars)))


def _label_places(
    bar: Bar, room: Span, outside: tuple[LabelPlace, LabelPlace]
) -> Iterator[tuple[LabelPlace, Span]]:
    width = bar.label_width_mm
    if bar.inside.right_mm - bar.inside.left_mm >= width:
        middle = (bar.inside.left_mm + bar.inside.right_mm) / 2
        yield "inside", Span(middle - width / 2, middle + width / 2)
        return
    right = bar.bar.right_mm + BAR_LABEL_GAP_MM
    left = bar.bar.left_mm - BAR_LABEL_GAP_MM
    beside: Mapping[LabelPlace, Span] = {
        "right": Span(right, right + width),
        "left": Span(left - width, left),
    }
    for place in outside:
        label = beside[place]
        if label.left_mm >= room.left_mm and label.right_mm <= room.right_mm:
            yield place, label


def _first_free(
    bar: Bar, choices: Sequence[tuple[LabelPlace, Span]], rows: list[list[Span]]
) -> tuple[int, LabelPlace, Span]:
    """The first row with room for the bar and its label; both are noted there."""
    for row in range(len(rows) + 1):
        if row == len(rows):
            rows.append([])
        for place, label in choices:
            taken = _footprint(bar, place, label)
            if not any(taken.meets(other) for other in rows[row]):
                rows[row].append(taken)
                return row, place, label
    raise AssertionError("a new row is free")


def _footprint(bar: Bar, place: LabelPlace, label: Span) -> Span:
    if place == "right":
        return Span(bar.bar.left_mm, label.right_mm + BAR_LABEL_GAP_MM)
    if place == "left":
        return Span(label.left_mm - BAR_LABEL_GAP_MM, bar.bar.right_mm)
    return bar.bar


def spread_apart(
    middles_mm: Sequence[float], widths_mm: Sequence[float], room: Span, gap_mm: float
) -> tuple[Span, ...] | None:
    """Spans of those widths around their middles (ascending), moved apart until none meets its
    neighbour; None if the room is too narrow for all of them."""
    if sum(widths_mm) + gap_mm * (len(widths_mm) - 1) > room.width_mm:
        return None
    lefts: list[float] = []
    edge = room.left_mm
    for middle, width in zip(middles_mm, widths_mm, strict=True):
        lefts.append(max(middle - width / 2, edge))
        edge = lefts[-1] + width + gap_mm
    edge = room.right_mm
    for i in reversed(range(len(lefts))):
        lefts[i] = min(lefts[i], edge - widths_mm[i])
        edge = lefts[i] - gap_mm
    return tuple(Span(left, left + width) for left, width in zip(lefts, widths_mm, strict=True))
