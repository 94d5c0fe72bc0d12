"""What a rehearsal says of the clock."""

from collections.abc import Mapping
from pathlib import Path

from slidekit.build import Options, Progress, compose_show
from slidekit.errors import RehearsalError
from slidekit.scene.pace import (
    pace_of,
    paces_of,
    parse_clock,
    parse_log,
    rehearsal_lines,
    talk_took_s,
)


def time_rehearsal(
    storyboard: Path, took: str | None, log: Path | None, progress: Progress
) -> tuple[str, ...]:
    """What a rehearsal that `took` so long, or was timed slide by slide in `log`, says of the
    speaker's pace."""
    schedule = compose_show(storyboard, Options(draft=True), progress).schedule
    timed: Mapping[str, float] = {}
    if log is not None:
        timed = parse_log(_read_text(log), schedule)
    took_s = parse_clock(took) if took is not None else talk_took_s(schedule, timed)
    pace = pace_of(schedule, took_s)
    return tuple(rehearsal_lines(schedule, pace, paces_of(schedule, timed)))


def _read_text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        raise RehearsalError(
            f"the log {path} cannot be read", "Name a text file with lines like: 4:10 coil"
        ) from None
