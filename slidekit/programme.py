"""Several talks as one programme: its clock, and each talk with who speaks before and after it."""

from dataclasses import dataclass
from pathlib import Path

from slidekit.basis import Progress
from slidekit.build import Options, build_talk, compose_show
from slidekit.scene.clock.running_order import hand_over_of, running_order, slots_of
from slidekit.scene.clock.schedule import Schedule
from slidekit.storyboard.read import read_programme
from slidekit.writers.files import write_text


@dataclass(frozen=True)
class Ordered:
    """The running order, line by line; whether a talk does not fit; and what was written."""

    lines: tuple[str, ...]
    late: bool
    files: tuple[Path, ...]


def run_programme(path: Path, out: Path | None, progress: Progress) -> Ordered:
    """Put the talks of a programme against the clock; and, into the folder `out`, build each of
    them and write the running order.

    Raises
    ------
    SlidekitError
        With everything the authors can mend.
    """
    programme, talks = read_programme(path)
    slots = slots_of(programme, {name: one.board.talk for name, one in talks.items()})
    schedules: dict[str, Schedule] = {}
    files: list[Path] = []
    for name, talk in talks.items():
        over = hand_over_of(slots, name)
        if out is None:
            options = Options(draft=True, hand_over=over)
            schedules[name] = compose_show(talk.path, options, progress).schedule
        else:
            options = Options(hand_over=over)
            show, written = build_talk(talk.path, out / name, options, progress)
            schedules[name] = show.schedule
            files += written
    lines = tuple(running_order(slots, schedules))
    if out is not None:
        files.append(out / "programme.md")
        write_text(_page(programme.title, lines), files[-1])
    return Ordered(lines, any(one.left_s < 0 for one in schedules.values()), tuple(files))


def _page(title: str, lines: tuple[str, ...]) -> str:
    return f"# {title}\n\n" + "".join(f"- {line}\n" for line in lines)
