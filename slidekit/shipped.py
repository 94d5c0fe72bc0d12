"""Where the files that ship with slidekit lie: beside the package in a checkout, inside it in a
wheel (see `force-include` in pyproject.toml)."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def _shipped(folder: str) -> Path:
    inside = _PACKAGE / folder
    return inside if inside.is_dir() else _PACKAGE.parent / folder


def styles_folder() -> Path:
    """The folder of the shipped looks, one YAML file each."""
    return _shipped("styles")


def candidates_file() -> Path:
    """The shipped candidates for materials questions."""
    return styles_folder() / "materials.yaml"


def demo_folder() -> Path:
    """The folder of the demo: storyboards and the generator of its synthetic scans."""
    return _shipped("demo_deck")
