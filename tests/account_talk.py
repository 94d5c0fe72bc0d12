"""The small talk that counts, with a reference account, for tests of whole runs."""

from tests.counting_talk import COUNTING_TALK
from tests.storyboard.boards import spoiled

ACCOUNT = """\
account:
  called: How blocks were usually filled
  source: A handbook, 1978
  stages:
    pyre:
      called: Burning
      about: What is laid in has been burnt
      here: as described
      note: "It is {gap.length} off the wall"
      by: [coil, gap]
    gift:
      called: Gift
      about: A gift is laid on top
      here: differs
      by: [coil]
      series: holes
    soil:
      called: Soil
      about: Soil is heaped in
      here: absent
      note: The block is full of plaster
    stone:
      called: Stone
      about: A stone is set over it
      here: not assessable
"""

_COMPARE = """\
  - id: custom
    kind: compare
    title: Much was done as usual
    say: |
      [show pyre] {pyre}, stage {pyre.number}, is {pyre.here}. [show gift, soil] {gift} and
      {soil.called} are not. [show stone] Of the {stone} nobody knows.
"""


def _accounting() -> str:
    text = spoiled("findings:\n  wire:", f"{ACCOUNT}findings:\n  wire:", COUNTING_TALK)
    text = spoiled("  - id: end\n", f"{_COMPARE}  - id: end\n", text)
    text = spoiled("    title: A coil lies near the base\n",
                   "    title: A coil lies near the base\n    stage: gift\n", text)  # fmt: skip
    return spoiled("evidence: [coil, holes]", "evidence: [coil, holes, gift]", text)


ACCOUNT_TALK = _accounting()
