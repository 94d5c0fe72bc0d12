"""YAML to plain dicts, lists and strings, with the line of each.

Plain scalars stay the text that stands in the file, and the models make numbers of them: so that
`title: 1300`, `occasion: 2026-03-05` and `title: No` mean what they say, in any version of YAML.
"""

from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias

import yaml

from slidekit.errors import Fault, StoryboardError
from slidekit.storyboard.places import FieldPath, Place, Places, dotted

try:
    from yaml import CSafeLoader as _Loader
except ImportError:  # a PyYAML built without libyaml
    from yaml import SafeLoader as _Loader  # type: ignore[assignment]  # same interface

Data: TypeAlias = "dict[str, Data] | list[Data] | str | None"

_NULLS = ("", "~", "null", "Null", "NULL")


def parse_yaml(text: str, file: Path) -> tuple[Data, Places]:
    """The data of a YAML text and the place of each part of it.

    Raises
    ------
    StoryboardError
        Where the text is no YAML, or a mapping has a key twice.
    """
    try:
        root = yaml.compose(text, Loader=_Loader)
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else 1
        raise StoryboardError(
            [Fault(file, line, "storyboard", f"this is not YAML: {error.problem}", "Mend it")]
        ) from error
    walk = _Walk(file)
    data = walk.read(root, ()) if root is not None else None
    if walk.faults:
        raise StoryboardError(walk.faults)
    return data, Places(Place(file, 1), walk.known)


@dataclass
class _Walk:
    """One pass over the nodes: data, places and faults."""

    file: Path
    known: dict[FieldPath, Place] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def read(self, node: yaml.Node, path: FieldPath) -> Data:
        match node:
            case yaml.MappingNode():
                return self._mapping(node, path)
            case yaml.SequenceNode():
                return [self._item(item, (*path, at)) for at, item in enumerate(node.value)]
            case yaml.ScalarNode():
                return None if node.style is None and node.value in _NULLS else str(node.value)
        raise TypeError(f"unknown YAML node {node!r}")

    def _item(self, node: yaml.Node, path: FieldPath) -> Data:
        self._note(path, node)
        return self.read(node, path)

    def _mapping(self, node: yaml.MappingNode, path: FieldPath) -> Data:
        data: dict[str, Data] = {}
        for key_node, value_node in node.value:
            key = str(key_node.value)
            here = (*path, key)
            if key in data:
                first = self.known[here].line
                line = key_node.start_mark.line + 1
                wrong = f"is written twice, first on line {first}"
                self.faults.append(
                    Fault(self.file, line, dotted(here), wrong, "Remove one, or rename it")
                )
                continue
            self._note(here, key_node)
            data[key] = self.read(value_node, here)
        return data

    def _note(self, path: FieldPath, node: yaml.Node) -> None:
        self.known[path] = Place(self.file, node.start_mark.line + 1)
