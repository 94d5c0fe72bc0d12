"""Years before and after 1 BCE, as people write them and as EDTF does. There is no year 0.

Years are kept astronomically (ISO 8601: 1 BCE is 0000, 2 BCE is -0001), so that differences are
plain subtraction.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Date:
    """A year, or a range of years when only a decade or century is known.

    `earliest` and `latest` are astronomical years; equal for a plain year.
    """

    earliest: int
    latest: int
    approximate: bool = False  # "c.", EDTF ~
    uncertain: bool = False  # "?", EDTF ?


def parse_date(text: object) -> Date:
    """Read `text` as the author wrote it; raises ValueError with what to write instead."""
    if isinstance(text, Date):
        return text
    raise ValueError(f"{text!r} is not a date")
