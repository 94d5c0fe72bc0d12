"""Style files as text: finding them, laying one over another, and saying where a fault stands."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from slidekit.errors import Fault, StoryboardError, StyleError
from slidekit.scene.lettering.named import with_folders
from slidekit.scene.palette import Complaint
from slidekit.shipped import candidates_file, styles_folder
from slidekit.storyboard.places import Places, dotted
from slidekit.storyboard.source import Source
from slidekit.storyboard.yaml_text import parse_yaml


@dataclass(frozen=True)
class Layer:
    """One style file, read but not yet checked."""

    path: Path
    content: dict[str, Any]  # scalars are still text
    places: Places


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
        advice = f"Write {near[0]} if you mean that" if near else f"Write one of {', '.join(names)}"
        raise StyleError(
            f"There is no style called {name_or_path!r}",
            f"{advice}, or the path of a style file of your own, ending in .yaml",
        )
    return styles_folder() / f"{name_or_path}.yaml"


def style_of_talk(source: Source) -> Path:
    """The style file that a storyboard names; StoryboardError, at its line, if there is none."""
    try:
        return find_style(source.board.talk.style, source.path.parent)
    except StyleError as error:
        fault = source.places.fault(("talk", "style"), error.wrong, error.instead)
        raise StoryboardError([fault]) from error


def _shipped_names() -> list[str]:
    files = set(styles_folder().glob("*.yaml")) - {candidates_file()}
    return sorted(path.stem for path in files)


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
        content, places = parse_yaml(path.read_text(encoding="utf-8"), path)
    except (OSError, UnicodeDecodeError) as error:
        raise StyleError(
            f"{path} cannot be read: {error}", "A style is a YAML file in UTF-8"
        ) from error
    except StoryboardError as error:
        raise _all_as_one(error.faults) from error
    if not isinstance(content, dict):
        raise StyleError(
            f"{path} holds no settings", "Begin with `like: lecture-dark` and add what differs"
        )
    settings = dict(content)
    if "fonts" in settings:
        settings["fonts"] = with_folders(settings["fonts"], path.parent)
    return Layer(path, settings, places)


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
    return _all_as_one([_fault(layers, complaint) for complaint in complaints])


def _all_as_one(faults: Sequence[Fault]) -> StyleError:
    *earlier, last = (
        replace(fault, field="style") if fault.field == dotted(()) else fault for fault in faults
    )
    head = f"{last.file}:{last.line}: {last.field}: {last.wrong}"
    return StyleError("\n".join([*map(str, earlier), head]), last.instead)


def _fault(layers: Sequence[Layer], complaint: Complaint) -> Fault:
    """At the layer that states most of the field; the topmost, if several state as much."""
    layer = max(layers, key=lambda layer: _depth(layer.places, complaint.field))
    place = layer.places.find(complaint.field)
    return Fault(
        place.file, place.line, dotted(complaint.field), complaint.wrong, complaint.instead
    )


def _depth(places: Places, field: tuple[str, ...]) -> int:
    """How many parts of `field` a file states."""
    return max((n for n in range(1, len(field) + 1) if field[:n] in places.known), default=0)
