"""A storyboard that counts, and its table."""

from pathlib import Path

import pytest

from slidekit.errors import StoryboardError
from slidekit.storyboard.names.faults import find_name_faults
from slidekit.storyboard.read import Source, read_storyboard
from slidekit.storyboard.tallies import Tallies, count_up
from tests.storyboard.boards import write

TABLE = """\
find,phase,hole,second,lid,height_mm
P01,early,drilled,drilled,sealed,150
P02,early,none,none,loose,160
P03,early,none,none,loose,170
P04,early,?,none,loose,180
P05,late,drilled,drilled,sealed,190
P06,late,drilled,none,loose,200
P07,late,none,none,?,210
P08,late,none,none,loose,?
P09,late,none,none,loose,230
P10,late,none,none,loose,240
"""

BOARD = """\
talk: {title: Holes, slot_min: 5}
tables:
  urns:
    file: urns.csv
    about: Ten urns
    cases: urns
    id: find
    this_case: P05
    missing: ["?"]
    columns:
      phase: {values: [early, late]}
      hole: {values: [drilled, none]}
      second: {values: [drilled, none]}
      lid: {values: [sealed, loose]}
      height_mm: {least: 100, most: 300}
counts:
  holes:
    called: A drilled hole
    table: urns
    where: [{column: hole, is: drilled}]
  sealed:
    called: Lid sealed
    of: holes
    where: [{column: lid, is: sealed}]
  tall:
    called: Tall
    table: urns
    where: [{column: height_mm, at_least: 200}, {column: lid, is_not: [sealed]}]
  early: {called: Early, table: urns, where: [{column: phase, is: early}]}
  late: {called: Late, table: urns, where: [{column: phase, is: late}]}
  early_holes: {called: Early holes, of: early, where: [{column: hole, is: drilled}]}
  late_holes: {called: Late holes, of: late, where: [{column: hole, is: drilled}]}
comparisons:
  phases: {called: Early and late, counts: [late_holes, early_holes]}
agreements:
  readers: {called: Two readers, table: urns, readers: [hole, second]}
quoted:
  survey: {percent: 34.2, n: 76, source: "Survey, 1987"}
  score: {mean: 3.45, n: 20, source: "Survey, 1987"}
  split: {parts: {burnt: 33, raw: 33, lost: 33}, n: 3, source: "Survey, 1987"}
findings:
  rare: {statement: "{holes} have a hole", certainty: observed, evidence: [holes]}
slides:
  - id: rare
    kind: series
    title: "{holes.words} has a hole"
    counts: [holes, sealed]
    say: |
      [show holes] {holes}, that is {holes.percent}.
      [show sealed] Of those, {sealed}.
  - {id: end, kind: findings, title: What we know, findings: [rare]}
"""


def read_counting(folder: Path, text: str = BOARD, table: str = TABLE) -> Source:
    write(folder, table, "urns.csv")
    return read_storyboard(write(folder, text))


def counted(folder: Path, text: str = BOARD, table: str = TABLE) -> Tallies:
    return count_up(read_counting(folder, text, table))


def name_faults(folder: Path, text: str) -> list[str]:
    source = read_counting(folder, text)
    faults = find_name_faults(source, marks=["blue"], windows=["bone"], style_name="test")
    return [str(fault).replace(f"{folder}/", "") for fault in faults]


def count_faults(folder: Path, text: str = BOARD, table: str = TABLE) -> list[str]:
    with pytest.raises(StoryboardError) as raised:
        counted(folder, text, table)
    return str(raised.value).replace(f"{folder}/", "").split("\n")
