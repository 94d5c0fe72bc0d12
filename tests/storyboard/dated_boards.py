"""A storyboard with periods, events, the case of the talk, and a table with periods."""

from pathlib import Path

from slidekit.storyboard.names.faults import find_name_faults
from slidekit.storyboard.read import read_storyboard
from tests.storyboard.boards import write

TABLE = """\
find,phase
P01,bronze
P02,bronze
P03,Iron Age
P04,?
P05,bronze
"""

BOARD = """\
talk: {title: When, slot_min: 5}
chronology:
  periods:
    bronze: {label: Bronze Age, start: c. 2200 BCE, end: c. 800 BCE}
    iron: {label: Iron Age, start: 800 BCE, end: 15 BCE}
    pots: {label: Pots, start: 1050 BCE, end: 850 BCE, lane: 2}
  lanes: {2: Pots}
  events:
    twigs:
      label: Twigs
      calibrated: {from: 2905 cal BP, to: 2780 cal BP, percent: 95.4, lab: XY-1, curve: IntCal20}
    felled: {label: Oak felled, at: 900 BCE}
    ditch: {label: Ditch, at: after 60 CE}
  this_case: {label: This urn, earliest: 1000 BCE, latest: c. 850 BCE}
tables:
  urns:
    file: urns.csv
    about: Five urns
    cases: urns
    id: find
    missing: ["?"]
    columns:
      phase: {values: [bronze, Iron Age]}
slides:
  - id: time
    kind: timeline
    title: "In the Bronze Age, {bronze.duration}"
    highlight: [bronze, this_case]
    zoom: [pots]
    tally: {table: urns, column: phase}
    say: It is {this_case}.
"""


def write_dated(folder: Path, text: str = BOARD) -> Path:
    write(folder, TABLE, "urns.csv")
    return write(folder, text)


def name_faults(folder: Path, text: str) -> list[str]:
    source = read_storyboard(write_dated(folder, text))
    faults = find_name_faults(source, marks=["blue"], windows=["bone"], style_name="test")
    return [str(fault).replace(f"{folder}/talk.yaml:", "") for fault in faults]
