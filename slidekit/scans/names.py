"""What the series of a catalogue are called in outputs: by number or the end of their UID, never
by a description, which can name a person."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from slidekit.scans.model import Kind, Series


def named(series: Iterable[Series]) -> tuple[Series, ...]:
    """The series in the order of their numbers, with a name each.

    Stacks that share a UID are counted by what they hold, so that renaming files changes nothing.
    """
    by_uid: dict[str, list[Series]] = {}
    for one in sorted(series, key=_rank):
        by_uid.setdefault(one.uid, []).append(one)
    numbers = Counter(parts[0].number for parts in by_uid.values())
    named = []
    for uid, parts in by_uid.items():
        number = parts[0].number
        only = number is not None and numbers[number] == 1
        name = str(number) if only else _uid_end(uid, by_uid.keys())
        for part, one in enumerate(parts, start=1):
            whole = f"{name}/{part}" if len(parts) > 1 else name
            named.append(replace(one, name=whole, part=part, parts=len(parts)))
    return tuple(named)


def _uid_end(uid: str, uids: Iterable[str]) -> str:
    """The shortest ending, of eight letters or more, that no other UID shares."""
    others = [other for other in uids if other != uid]
    lengths = range(8, len(uid))
    unique = (k for k in lengths if not any(other.endswith(uid[-k:]) for other in others))
    return f"…{uid[-next(unique, len(uid)) :]}"


_KINDS: tuple[Kind, ...] = ("stack", "single", "localizer", "page")  # most useful first


def _rank(series: Series) -> tuple[object, ...]:
    unnumbered = series.number is None
    return (
        unnumbered,
        series.number or 0,
        series.uid,
        _KINDS.index(series.kind),
        -len(series.slices),
        min(one.sop_uid for one in series.slices),
    )
