"""What a speaker rehearses with, takes to the lectern, and learns from it."""

from collections.abc import Callable, Collection, Mapping
from pathlib import Path

from slidekit.build import Options, Progress, Show, compose_show
from slidekit.errors import RehearsalError
from slidekit.scene.captions import compose_captions
from slidekit.scene.pace import (
    pace_of,
    paces_of,
    parse_clock,
    parse_log,
    rehearsal_lines,
    talk_took_s,
)
from slidekit.writers.captions import write_srt, write_vtt
from slidekit.writers.prompter import write_prompter


def write_forms(
    storyboard: Path,
    out: Path,
    forms: Collection[str],
    options: Options,
    progress: Progress,
) -> tuple[Path, ...]:
    """Write the words of a talk into the folder `out`, in the forms
    asked for, which are keys of `WRITERS`."""
    show = compose_show(storyboard, options, progress)
    return tuple(file for form in WRITERS if form in forms for file in WRITERS[form](show, out))


def _prompter(show: Show, out: Path) -> tuple[Path, ...]:
    page = out / "prompter.html"
    write_prompter(show.sound.source.board.talk, show.schedule, page)
    return (page,)


def _captions(show: Show, out: Path) -> tuple[Path, ...]:
    captions = compose_captions(show.schedule)
    vtt, srt = out / "captions.vtt", out / "captions.srt"
    write_vtt(captions, vtt)
    write_srt(captions, srt)
    return vtt, srt


WRITERS: Mapping[str, Callable[[Show, Path], tuple[Path, ...]]] = {
    "prompter": _prompter,
    "captions": _captions,
}


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
