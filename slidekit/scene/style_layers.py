"""Style files as text: finding them, laying one over another, and saying where a fault stands."""

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import yaml

from slidekit.errors import Fault, StyleError
from slidekit.scene.palette import Complaint
from slidekit.shipped import styles_folder


@dataclass(frozen=True)
class Layer:
    """One style file, read but not yet checked."""

    path: Path
    content: dict[str, Any]
    root: yaml.MappingNode  # knows the lines


def find_style(name_or_path: str, relative_to: Path) -> Path:
    """The file of a shipped style's name, or of a path ending in .yaml or .yml."""
    if name_or_path.endswith((".yaml", ".yml")):
        path = relative_to / name_or_path
        if not path.is_file():
            raise StyleError(
                f"There is no style file {path}",
                "Write a path relative to the file that names it, or the name of a shipped style:"
                f" {', '.join(_shipped_names())}",
            )
        return path
    names = _shipped_names()
    if name_or_path not in names:
        near = get_close_matches(name_or_path, names, n=1, cutoff=0.5)
        advice = f"Did you mean {near[0]}" if near else f"Write one of {', '.join(names)}"
        raise StyleError(
            f"There is no style called {name_or_path!r}",
            f"{advice}, or the path of a style file of your own, ending in .yaml",
        )
    return styles_folder() / f"{name_or_path}.yaml"


def _shipped_names() -> list[str]:
    return sorted(path.stem for path in styles_folder().glob("*.yaml"))


def read_layers(path: Path) -> tuple[Layer, ...]:
    """The file at `path`, then the style it is `like`, then the one that is like, and so on."""
    layers: list[Layer] = []
    wanted: Path | None = path
    while wanted is not None:
        if wanted.resolve() in {layer.path.resolve() for layer in layers}:
            raise StyleError(
                f"{path}: the styles {' and '.join(str(layer.path) for layer in layers)} are like"
                " each other in a circle",
                "Let one of them state everything itself, without `like`",
            )
        layer = _read_layer(wanted)
        layers.append(layer)
        like = layer.content.pop("like", None)
        wanted = None if like is None else find_style(str(like), layer.path.parent)
    return tuple(layers)


def _read_layer(path: Path) -> Layer:
    try:
        text = path.read_text(encoding="utf-8")
        root = yaml.compose(text, Loader=yaml.SafeLoader)
        content = yaml.safe_load(text)
    except (OSError, UnicodeDecodeError, yaml.YAMLError) as error:
        raise StyleError(
            f"{path} cannot be read: {' '.join(str(error).split())}",
            "A style file is YAML in UTF-8; compare it with a shipped style",
        ) from error
    if not isinstance(content, dict) or not isinstance(root, yaml.MappingNode):
        raise StyleError(
            f"{path} holds no settings",
            "Begin with `like: lecture-dark` and add what differs",
        )
    return Layer(path, content, root)


def merged(layers: Sequence[Layer]) -> dict[str, Any]:
    """All settings: the last layer's, with those of each earlier layer laid over them."""
    settings: dict[str, Any] = {}
    for layer in reversed(layers):
        settings = _laid_over(settings, layer.content)
    return settings


def _laid_over(below: dict[str, Any], above: dict[str, Any]) -> dict[str, Any]:
    both = dict(below)
    for key, value in above.items():
        under = both.get(key)
        both[key] = (
            _laid_over(under, value)
            if isinstance(under, dict) and isinstance(value, dict)
            else value
        )
    return both


def style_error(layers: Sequence[Layer], complaints: Sequence[Complaint]) -> StyleError:
    """All complaints as `file:line: field: ...`, each at the place that states the field."""
    faults = [_fault(layers, complaint) for complaint in complaints]
    *earlier, last = faults
    head = f"{last.file}:{last.line}: {last.field}: {last.wrong}"
    return StyleError("\n".join([*map(str, earlier), head]), last.instead)


def _fault(layers: Sequence[Layer], complaint: Complaint) -> Fault:
    depths = [_depth_and_line(layer.root, complaint.field) for layer in layers]
    # the layer that states most of the field is the one to mend; on a tie the topmost
    layer, (_, line) = max(zip(layers, depths, strict=True), key=lambda found: found[1][0])
    field = ".".join(complaint.field)
    return Fault(layer.path, line, field, complaint.wrong, complaint.instead)


def _depth_and_line(root: yaml.Node, field: Sequence[str]) -> tuple[int, int]:
    """How many parts of `field` the document states, and the line (from 1) of the last of them."""
    node, depth, line = root, 0, root.start_mark.line + 1
    for part in field:
        entry = _entry(node, part)
        if entry is None:
            break
        key, node = entry
        depth, line = depth + 1, key.start_mark.line + 1
    return depth, line


def _entry(node: yaml.Node, key: str) -> tuple[yaml.Node, yaml.Node] | None:
    if not isinstance(node, yaml.MappingNode):
        return None
    for key_node, value_node in node.value:
        if key_node.value == key:
            return key_node, value_node
    return None
