"""A small talk over a synthetic block of two materials, for tests of whole runs."""

from pathlib import Path

import numpy as np

from tests.scans.dicom_series import Attributes, Placement, write_series

TAR_HU, WAX_HU, NOISE_HU = 17, -63, 8
CANARY = "Canary^Never"
HEADER = Attributes(every={"KVP": "120", "PatientName": CANARY})

MATERIALS_TALK = """\
talk: {title: What seals the lid, slot_min: 5}
scans:
  block: {folder: block, credit: Made for a test, rights: CC0 1.0}
views:
  base: {scan: block, plane: axial, at_mm: 2, window: soft_tissue}
regions:
  left:
    view: base
    shape: rectangle
    center_mm: [7.5, 12]
    size_mm: [12, 18]
    called: the seal
  right:
    view: base
    shape: rectangle
    center_mm: [24.5, 12]
    size_mm: [12, 18]
    called: the mend
materials:
  seal_is:
    called: What the seal could be
    region: left
    candidates: [pine_resin, beeswax, quartz]
    mix: [beeswax, pine_resin]
contrasts:
  both:
    called: Seal and mend
    regions: [right, left]
findings:
  sealed:
    statement: The seal and the mend are two materials
    certainty: almost certain
    evidence: [both]
    against: One material can vary
  stuff:
    statement: The seal is pine resin
    certainty: possible
    evidence: [seal_is]
    against: Other things have these CT numbers
slides:
  - id: two
    kind: scan
    title: They differ by {both.difference}
    views: [{view: base, regions: [left, right], contrast: both}]
    say: >
      {left.mark} and {right.mark} differ by {both.difference}, {both.interval}, which is
      {both.effect}; {both.overlap} of their values overlap.
  - id: question
    kind: materials
    title: What the seal could be
    question: seal_is
    say: >
      {seal_is}. Possible is {seal_is.remain}, and not {seal_is.excluded}. {seal_is.share} of wax
      would fit. That is at {seal_is.energy}.
  - id: end
    kind: findings
    title: What we may say
    findings: [sealed, stuff]
    say: It is possible.
panels:
  poster:
    size_mm: [420, 594]
    headline: They differ by {both.difference}
    body: ["Among the candidates compared, {seal_is.remain} would fit."]
    views: [{view: base, regions: [left, right], contrast: both}]
    png_dpi: 50
"""


def write_materials_talk(
    folder: Path, text: str = MATERIALS_TALK, header: Attributes = HEADER
) -> Path:
    """The talk and its scan in `folder`: tar on the left, wax on the right, both with noise."""
    noise = np.random.default_rng(7).normal(0, NOISE_HU, (4, 24, 32))
    noise[:, :, :16] += TAR_HU
    noise[:, :, 16:] += WAX_HU
    write_series(folder / "block", np.round(noise).astype(np.int16), Placement(), header)
    path = folder / "talk.yaml"
    path.write_text(text, encoding="utf-8")
    return path
