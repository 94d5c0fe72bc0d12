"""Frozen values as plain JSON and back, by the types of their fields: what is kept on disk.

A dataclass becomes a list of its name and its fields, in order. Only classes that the types name
are made, and nothing in the text is run: a kept file can do no more than hold wrong values.
"""

import types
from collections.abc import Callable, Sequence
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal, TypeAlias, Union, get_args, get_origin, get_type_hints

from slidekit.scans.files import FilePath, Member

Plain: TypeAlias = Any  # None, bool, int, float, str, and lists of these
_Reader: TypeAlias = Callable[[Plain, Sequence[FilePath]], Any]

_ATOMS = (str, int, float, bool, types.NoneType)


def _refuse(path: FilePath) -> int:
    raise TypeError(f"{path} has no number here")


def to_plain(value: object, number_of: Callable[[FilePath], int] = _refuse) -> Plain:
    """A frozen value as JSON would have it; a path as its number, since its name may be private.

    Raises
    ------
    TypeError
        For what has no plain form, such as arrays.
    """
    if type(value) in _ATOMS:
        return value
    if isinstance(value, tuple):
        return [to_plain(one, number_of) for one in value]
    if isinstance(value, (Path, Member)):
        return number_of(value)
    if is_dataclass(value) and not isinstance(value, type):
        members = (to_plain(getattr(value, name), number_of) for name in _names(type(value)))
        return [type(value).__name__, *members]
    raise TypeError(f"{type(value).__name__} has no plain form")


def from_plain(kind: type, plain: Plain, paths: Sequence[FilePath] = ()) -> Any:
    """The value of the dataclass `kind` that `to_plain` made `plain` of.

    Raises
    ------
    ValueError, TypeError, IndexError
        If `plain` is no such value.
    """
    reader = _reader(kind)
    return plain if reader is None else reader(plain, paths)


def field_from_plain(kind: type, name: str, plain: Plain) -> Any:
    """The value of one field of the dataclass `kind`; see `from_plain`."""
    reader = _reader(_hints(kind)[name])
    return plain if reader is None else reader(plain, ())


@cache
def _names(kind: type) -> tuple[str, ...]:
    return tuple(one.name for one in fields(kind))


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


@cache
def _reader(hint: Any) -> _Reader | None:
    """How values of a type are read; None when they are plain already."""
    if hint in _ATOMS or get_origin(hint) is Literal:
        return None
    if hint in (Path, FilePath):
        return lambda plain, paths: paths[plain]
    if get_origin(hint) is tuple:
        return _tuple_reader(get_args(hint))
    if get_origin(hint) in (Union, types.UnionType):
        return _choice_reader([one for one in get_args(hint) if one is not types.NoneType])
    if is_dataclass(hint):
        return _dataclass_reader(hint)
    raise TypeError(f"{hint} has no plain form")


def _tuple_reader(members: tuple[Any, ...]) -> _Reader:
    if len(members) == 2 and members[1] is Ellipsis:
        inner = _reader(members[0])
        if inner is None:
            return lambda plain, _: tuple(plain)
        return lambda plain, paths: tuple(inner(one, paths) for one in plain)
    some = _some_readers(members)
    return lambda plain, paths: tuple(_read_some(some, plain, paths))


def _choice_reader(choices: Sequence[Any]) -> _Reader | None:
    readers = [_reader(choice) for choice in choices]
    if all(reader is None for reader in readers):
        return None
    if len(readers) == 1 and readers[0] is not None:
        only = readers[0]
        return lambda plain, paths: None if plain is None else only(plain, paths)
    if not all(map(is_dataclass, choices)):
        raise TypeError("a choice among values and classes has no plain form")
    named = {choice.__name__: _dataclass_reader(choice) for choice in choices}
    return lambda plain, paths: None if plain is None else named[plain[0]](plain, paths)


def _dataclass_reader(kind: Any) -> _Reader:
    hints = [_hints(kind)[one.name] for one in fields(kind)]
    some, count = _some_readers(hints), len(hints)

    def read(plain: Plain, paths: Sequence[FilePath]) -> Any:
        name, *values = plain
        if name != kind.__name__ or len(values) != count:
            raise ValueError(f"{name!r} of {len(values)} values is no {kind.__name__}")
        return kind(*_read_some(some, values, paths))

    return read


def _some_readers(hints: Sequence[Any]) -> list[tuple[int, _Reader]]:
    """Where values are not plain already, and how they are read."""
    readers = ((i, _reader(hint)) for i, hint in enumerate(hints))
    return [(i, reader) for i, reader in readers if reader is not None]


def _read_some(
    some: Sequence[tuple[int, _Reader]], values: list[Any], paths: Sequence[FilePath]
) -> list[Any]:
    for i, reader in some:
        values[i] = reader(values[i], paths)
    return values
