"""Storyboards of the corpus: the base, changed as a case says."""

import copy
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from PIL import Image

from slidekit.storyboard.model import Storyboard
from tests.scans.dicom_series import Attributes, Placement, write_series

FOLDER = Path(__file__).parent
BASE = yaml.safe_load((FOLDER / "base.yaml").read_text(encoding="utf-8"))
CASES = [
    {"family": path.stem, **case}
    for path in sorted(FOLDER.glob("*.yaml"))
    if path.stem != "base"
    for case in yaml.safe_load(path.read_text(encoding="utf-8"))
]

ALIKE = """\
like: lecture-dark
name: alike
marks:
  green: {spoken: green, color: "#0FE1A5", dash: dashDot}
  pink: {spoken: pink, color: "#FF87A5", dash: lgDash}
"""
"""A style of which two marks are told apart by their dashes alone without red or green cones."""

DIM = 'like: lecture-dark\nname: dim\ncolors: {accent: "#70706C"}\n'
"""A style whose accent is clear enough for lines (3:1) and not for small text (4.5:1)."""


def storyboard(*patches: Mapping[str, Any] | None) -> str:
    """The YAML of the base with patches, each {dotted path: value}; None removes a field.

    A slide is named by its id, as in "slides.level.say"; a new one comes before the credits, or
    before the slide that it names as `before`.
    """
    board = copy.deepcopy(BASE)
    for patch in patches:
        for path, value in (patch or {}).items():
            assert path.split(".")[0] in Storyboard.model_fields, path
            _set(board, path.split("."), copy.deepcopy(value))
    return yaml.safe_dump(board, sort_keys=False, allow_unicode=True, width=100)


def _set(at: Any, steps: list[str], value: Any) -> None:
    *way, last = steps
    for step in way:
        at = _slide(at, step) if isinstance(at, list) else at.setdefault(step, {})
    if isinstance(at, list):
        _set_slide(at, last, value)
    elif value is None:
        at.pop(last, None)
    else:
        at[last] = value


def _slide(slides: list[dict[str, Any]], name: str) -> Any:
    if name.isdecimal():
        return slides[int(name)]
    return next(slide for slide in slides if slide["id"] == name)


def _set_slide(slides: list[dict[str, Any]], name: str, value: Any) -> None:
    known = [slide["id"] for slide in slides]
    if value is None:
        del slides[known.index(name)]
    elif name in known:
        slides[known.index(name)] = {"id": name, **value}
    else:
        at = known.index(value.pop("before", "credits"))
        slides.insert(at, {"id": name, **value})


def write_scans(folder: Path) -> None:
    """What the storyboards show: a block, the same as MR, and with text in its pixels; a table,
    a photograph, and a coarse series."""
    block = np.full((80, 96, 96), 1024 - 1000, np.int16)
    block[:, 8:88, 4:92] = 1024  # water
    block[18:30, 34:48, 58:76] = 1400  # a coil
    block[20:66, 36:46, 10:30] = 1200  # bands
    ramp = np.arange(96, dtype=np.int16)[None, None, :] % 7
    block += ramp
    write_series(folder / "block", block)
    write_series(folder / "mr", block, Placement(), Attributes({"Modality": "MR"}))
    burned = Attributes({"BurnedInAnnotation": "YES"})
    write_series(folder / "burned", block, Placement(), burned)
    wide = Placement(step_lps=(0, 0, 8), row_spacing_mm=8, column_spacing_mm=8)
    write_series(folder / "coarse", block[::8, ::8, ::8], wide)
    holes = ["yes", "no", "no", "yes", "no", "no", "yes", "no", "no"]
    rows = [f"U{i},{hole}" for i, hole in enumerate(holes, 1)]
    (folder / "urns.csv").write_text("\n".join(["urn,hole", *rows]) + "\n", encoding="utf-8")
    Image.fromarray(np.full((60, 80, 3), 90, np.uint8)).save(folder / "photo.png")
    (folder / "alike.yaml").write_text(ALIKE, encoding="utf-8")
    (folder / "dim.yaml").write_text(DIM, encoding="utf-8")
