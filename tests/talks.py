"""A small talk over a synthetic block, for tests of whole runs."""

from pathlib import Path

import numpy as np

from tests.scans.dicom_series import Attributes, Placement, write_series

TALK = """\
talk:
  title: What the block holds
  subtitle: A test of whole runs
  speaker: A. Speaker
  slot_min: 2
scans:
  block:
    folder: block
    credit: Made for a test
    rights: CC0 1.0
views:
  base:
    scan: block
    plane: axial
    at_mm: 4
    window: {center: 100, width: 400}
  front:
    scan: block
    plane: coronal
    at_mm: 12
    window: soft_tissue
regions:
  coil:
    view: base
    shape: ellipse
    center_mm: [16, 12]
    radii_mm: [5, 4]
    color: orange
    called: the coil
  gap:
    view: front
    shape: line
    from_mm: [8, 2]
    to_mm: [20, 2]
    called: the gap
chronology:
  periods:
    bronze: {label: Bronze Age, start: 2200 BCE, end: 800 BCE}
    iron: {label: Iron Age, start: 800 BCE, end: 50 CE}
  events:
    burial: {label: The burial, at: c. 950 BCE}
findings:
  wire:
    statement: A coil of wire lies in the block.
    certainty: observed
    evidence: [coil]
slides:
  - id: opening
    kind: title
    say: Good evening.
  - id: base
    kind: scan
    title: A coil lies near the base
    views:
      - {view: base, regions: [coil], caption: Section through the base}
      - {view: front, regions: [gap]}
    say: |
      Something is bright. [show coil] {coil.mark} is {coil.called}.
      [show gap] It stands {gap.length} off the wall.
  - id: times
    kind: timeline
    title: Where it stands in time
    highlight: [bronze]
    say: The Bronze Age lasted here {bronze}.
  - id: end
    kind: findings
    title: What we may say
    findings: [wire]
    say: A coil of wire lies there, near the base and not far from the wall.
  - {id: credits, kind: credits, title: Credits}
waive:
  - {rule: coarse-picture, slide: base, because: The block of the tests is small}
panels:
  coil:
    size_mm: [420, 594]
    headline: A coil in the block
    body: [Near the base lies a coil of wire.]
    views: [{view: base, regions: [coil], caption: Section through the base}]
    png_dpi: 50
"""


def write_block(folder: Path, attributes: Attributes = Attributes()) -> Path:  # noqa: B008 - frozen
    """Eight slices of 24 by 32 pixels, a bright spot in them, 1 mm apart."""
    volume = np.full((8, 24, 32), 1024, np.int16)
    volume[:, 10:14, 14:19] = 1400
    return write_series(folder, volume, Placement(), attributes)


def write_talk(folder: Path, text: str = TALK) -> Path:
    """The talk and its scan in `folder`."""
    write_block(folder / "block")
    path = folder / "talk.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def no_progress(_total: int):
    return lambda _done: None
