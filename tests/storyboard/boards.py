"""Storyboards for tests: one that uses everything, and a way to spoil a line of it."""

from pathlib import Path

import pytest

from slidekit.errors import StoryboardError
from slidekit.storyboard.read import Source, read_storyboard

BOARD = """\
talk:
  title: What the urn holds
  slot_min: 20
  language: en-GB
scans:
  urn:
    folder: ct
    credit: Scan by the town museum, 2025
    rights: CC BY 4.0
views:
  base: {scan: urn, plane: axial, at_mm: -112, window: bone}
  side: {scan: urn, plane: coronal, at_mm: 3.5, window: {center: 300, width: 1500}}
  slice: {scan: urn, plane: acquired, slice: 40, window: bone, slab_mm: 2, slab: max}
regions:
  coil:
    view: base
    shape: ellipse
    center_mm: [12, -3]
    radii_mm: [14, 9]
    called: the coil of wire
  wall: {view: side, shape: line, from_mm: [0, 0], to_mm: [0, 12], called: the wall}
  plug: {view: slice, shape: polygon, points_px: [[1, 2], [9, 2], [5, 9]], called: the plug}
chronology:
  periods:
    late: {label: Late Bronze Age, start: 1300 BCE, end: c. 950 BCE}
  events:
    burial: {label: The urn is buried, earliest: 1100 BCE, latest: 1050 BCE}
findings:
  sealed: {statement: The mouth was closed, certainty: observed, evidence: [coil, late]}
slides:
  - id: opening
    kind: title
    view: base
  - id: words
    kind: text
    title: What was known
    points: [It is an urn, It is heavy]
  - id: diary
    kind: quote
    title: Words of the finder
    quote: It is heavy.
    source: Excavation diary, 1931
  - id: coil
    kind: scan
    title: A coil of wire
    views:
      - view: base
        regions: [coil]
        caption: Seen from below
      - {view: side, regions: [wall]}
    say: |
      Look at the base.
      [show coil] {coil.mark} is around {coil.called}.

      The wall is {wall.length} thick. That was in {late}.
  - {id: time, kind: timeline, title: When, highlight: [late]}
  - {id: closing, kind: findings, title: What we know, findings: [sealed]}
  - {id: thanks, kind: credits, title: Credits, points: [The diggers]}
panels:
  poster:
    size_mm: [420, 594]
    headline: What the urn holds
    body: [It holds a coil.]
    views: [{view: base, regions: [coil]}]
"""


def spoiled(old: str, new: str, text: str = BOARD) -> str:
    """The text with one line changed."""
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the text"
    return text.replace(old, new)


def write(folder: Path, text: str, name: str = "talk.yaml") -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def read(folder: Path, text: str) -> Source:
    return read_storyboard(write(folder, text))


def complaints(folder: Path, text: str) -> list[str]:
    """What the reader says of a bad storyboard, one entry for each fault, without the folder."""
    with pytest.raises(StoryboardError) as raised:
        read(folder, text)
    return without_folder(raised.value, folder)


def without_folder(error: StoryboardError, folder: Path) -> list[str]:
    return [str(fault).replace(f"{folder}/", "") for fault in error.faults]
