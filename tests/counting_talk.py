"""The small talk with a table of ten urns, for tests of numbers in whole runs."""

from pathlib import Path

from tests.storyboard.boards import spoiled, write
from tests.storyboard.number_boards import BOARD, TABLE
from tests.talks import TALK, write_talk

_NUMBERS = BOARD[BOARD.index("tables:") : BOARD.index("findings:")]
_SLIDE = BOARD[BOARD.index("  - id: rare") : BOARD.index("  - {id: end")]


def _counting() -> str:
    text = spoiled("findings:\n  wire:", f"{_NUMBERS}findings:\n  wire:", TALK)
    text = spoiled("  - id: end\n", f"{_SLIDE}  - id: end\n", text)
    text = spoiled("certainty: observed\n    evidence: [coil]", (
        'certainty: possible\n    against: "Of these urns {holes} have a hole"\n'
        "    evidence: [coil, holes]"
    ), text)  # fmt: skip
    text = spoiled("caption: Section through the base}\n      - {view: front", (
        'caption: "One of {holes.k} such urns"}\n      - {view: front'
    ), text)  # fmt: skip
    text = spoiled("body: [Near the base lies a coil of wire.]", (
        'body: ["Near the base lies a coil of wire. {holes} urns have a hole."]'
    ), text)  # fmt: skip
    return text.replace("slot_min: 2", "slot_min: 3")


COUNTING_TALK = _counting()


def write_counting_talk(folder: Path, text: str = COUNTING_TALK, table: str = TABLE) -> Path:
    """The talk, its scan and its table in `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    write(folder, table, "urns.csv")
    return write_talk(folder, text)
