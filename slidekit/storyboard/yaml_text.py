"""YAML to plain dicts, lists, strings and whole numbers, with the line of each.

Plain scalars stay the text that stands in the file, and the models make numbers and truth values
of it, so that `title: 1300`, `occasion: 2026-03-05` and `title: No` mean what they say in any
version of YAML. Only a whole number without quotes becomes an int, where nothing is lost by it:
dates tell an unquoted -1299 from the EDTF year "-1299".
"""

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias

import yaml

from slidekit.errors import Fault, StoryboardError
from slidekit.storyboard.places import FieldPath, Place, Places, dotted
from slidekit.storyboard.yaml_faults import Trouble, explain

Loader: TypeAlias = "type[yaml.SafeLoader | yaml.CSafeLoader]"

FAST_LOADER: Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"""libyaml's where PyYAML was built with it: some ten times as fast."""

Data: TypeAlias = "dict[str, Data] | list[Data] | str | int | None"

_LINE_BREAK = re.compile(r"\r\n|[\n\r\x85\u2028\u2029]")  # YAML 1.1, section 5.4
_NULLS = ("", "~", "null", "Null", "NULL")
_LONGEST_INT = 15  # digits; longer ones are no numbers of a storyboard
_MOST_NODES = 200_000
"""More than any storyboard has; a few lines of aliases to aliases can stand for billions."""
_CORE = "tag:yaml.org,2002:"
_CORE_TAGS = frozenset(
    _CORE + kind for kind in ("str", "int", "float", "bool", "null", "timestamp", "map", "seq")
) | {_CORE + "merge", _CORE + "value"}  # what PyYAML makes of the plain scalars << and =


def parse_yaml(text: str, file: Path, loader: Loader = FAST_LOADER) -> tuple[Data, Places]:
    """The data of a YAML text and the place of each part of it; None for an empty text.

    Raises
    ------
    StoryboardError
        Where the text is no YAML, a mapping has a key twice, or YAML means something that a
        storyboard does not use (tags, keys that are no words).
    """
    try:
        root = yaml.compose(text, Loader=loader)
    except (yaml.YAMLError, RecursionError) as error:
        raise StoryboardError([explain(_trouble(error, text), file)]) from error
    walk = _Walk(file, text)
    data = walk.read(root, ()) if root is not None else None
    if walk.faults:
        raise StoryboardError(walk.faults)
    return data, Places(Place(file, 1), walk.known)


def _trouble(error: Exception, text: str) -> Trouble:
    """What PyYAML could not read, and where."""
    lines = tuple(_LINE_BREAK.split(text))
    if isinstance(error, yaml.reader.ReaderError):
        # its position counts bytes in one loader and letters in the other
        first = max(text.find(chr(error.character)), 0)
        before = _LINE_BREAK.split(text[:first])
        at = (len(before) - 1, len(before[-1]))
        return Trouble(f"character U+{error.character:04X}", "", lines, at, at)
    if isinstance(error, yaml.MarkedYAMLError):
        mark = error.problem_mark or error.context_mark
        at = (mark.line, mark.column) if mark else (0, 0)
        mark = error.context_mark
        began = (mark.line, mark.column) if mark else at
        return Trouble(error.problem or "", error.context or "", lines, at, began)
    return Trouble(str(error), "", lines, (0, 0), (0, 0))


def without_empty(data: Data) -> Data:
    """`data` without the fields that have nothing after their colon: as if not written."""
    if isinstance(data, dict):
        return {key: without_empty(value) for key, value in data.items() if value is not None}
    if isinstance(data, list):
        return [without_empty(item) for item in data]
    return data


@dataclass
class _Walk:
    """One pass over the nodes: data, places and faults."""

    file: Path
    text: str
    known: dict[FieldPath, Place] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    nodes: int = 0
    open: list[yaml.Node] = field(default_factory=list)

    def read(self, node: yaml.Node, path: FieldPath) -> Data:
        self.nodes += 1
        if self.nodes > _MOST_NODES:
            if self.nodes == _MOST_NODES + 1:
                wrong = f"the storyboard has more than {_MOST_NODES} parts from here"
                self._complain(
                    node, path, wrong, "Write it out without anchors (&) and aliases (*)"
                )
            return None
        if node in self.open:
            self._complain(node, path, "is a part of itself", "Write it out without the alias (*)")
            return None
        if node.tag not in _CORE_TAGS:
            said = node.tag.replace(_CORE, "!!")
            instead = "Words that begin with ! need quotes around them"
            self._complain(node, path, f"{said} is a YAML tag, and none is used here", instead)
            return None
        self.open.append(node)
        try:
            return self._content(node, path)
        finally:
            self.open.pop()

    def _content(self, node: yaml.Node, path: FieldPath) -> Data:
        if isinstance(node, yaml.MappingNode):
            return self._mapping(node, path)
        if isinstance(node, yaml.SequenceNode):
            items = []
            for at, item in enumerate(node.value):
                self._note((*path, at), item, item)
                items.append(self.read(item, (*path, at)))
            return items
        if isinstance(node, yaml.ScalarNode):
            return self._scalar(node, path)
        raise TypeError(f"no YAML node: {node!r}")

    def _mapping(self, node: yaml.MappingNode, path: FieldPath) -> Data:
        data: dict[str, Data] = {}
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                wrong = "has a list or mapping where a name with a colon is expected"
                instead = "Words that begin with [ or { need quotes around them"
                self._complain(key_node, path, wrong, instead)
                continue
            key = str(key_node.value)
            here = (*path, key)
            if key in data:
                wrong = f"is written twice, first on line {self.known[here].line}"
                self._complain(key_node, here, wrong, "Remove one, or rename it")
                continue
            self._note(here, key_node, value_node)
            data[key] = self.read(value_node, here)
        return data

    def _scalar(self, node: yaml.ScalarNode, path: FieldPath) -> Data:
        text = str(node.value)
        if self.text[node.start_mark.index : node.start_mark.index + 1] == "&":
            wrong = "words that begin with & lose their first word, which names an anchor in YAML"
            self._complain(node, path, wrong, "Put quotes around them")
        if node.style:  # quoted, or a block after | or >
            return text
        if text in _NULLS:
            self._look_for_lost_words(node, path)
            return None
        if len(text) <= _LONGEST_INT and text.removeprefix("-").isdecimal():
            number = int(text)
            return number if str(number) == text else text
        return text

    def _look_for_lost_words(self, node: yaml.ScalarNode, path: FieldPath) -> None:
        """`color: #FF9524` is empty to YAML; a comment proper has a space after its #."""
        rest = self.text[node.end_mark.index :].split("\n", 1)[0].strip()
        if re.match(r"#[^\s#]", rest):
            wrong = "is empty, because # begins a comment"
            self._complain(node, path, wrong, "Put quotes around words that begin with #")

    def _note(self, path: FieldPath, node: yaml.Node, value: yaml.Node) -> None:
        words_line = None
        if isinstance(value, yaml.ScalarNode) and value.style == "|":
            blank = len(value.value) - len(value.value.lstrip("\n"))
            words_line = value.start_mark.line + 2 + blank
        self.known[path] = Place(self.file, node.start_mark.line + 1, words_line)

    def _complain(self, node: yaml.Node, path: FieldPath, wrong: str, instead: str) -> None:
        line = node.start_mark.line + 1
        self.faults.append(Fault(self.file, line, dotted(path), wrong, instead))
