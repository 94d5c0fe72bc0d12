"""Every error slidekit raises on purpose. Imports nothing of ours.

SlidekitError
├── StoryboardError   the author can mend it in the YAML: all faults of the file at once
├── DateError         a text is no date; the reader of storyboards makes a fault of it
├── RightsError       a text names no statement of rights, and means to; likewise
├── CitationError     a work is not described so that it can be cited; likewise
├── ScanError         the scan files cannot show what was asked
├── StyleError        a style file cannot be used
├── FitError          a text does not fit its place
├── WriteError        the output cannot be written
└── RuleError         a rule is asked for that there is not

All of them are bad input: the command line ends with exit code 2.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path


class SlidekitError(Exception):
    """Base class: one `except` catches all of ours and none of anyone else's."""


@dataclass(frozen=True)
class Fault:
    """One thing the author can mend, and where.

    `wrong` and `instead` are whole sentences without their full stop.
    """

    file: Path
    line: int  # 1-based
    field: str  # dotted name, as in "slides[3].views[0].view"
    wrong: str
    instead: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.field}: {self.wrong}. {self.instead}."


class StoryboardError(SlidekitError):
    """All faults of one storyboard, so that the author mends them in one pass."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__("\n".join(map(str, faults)))
        self.faults = tuple(faults)


class _AdvisedError(SlidekitError):
    """An error in two sentences: what is wrong, and what to do instead."""

    def __init__(self, wrong: str, instead: str) -> None:
        super().__init__(f"{wrong}. {instead}.")
        self.wrong = wrong
        self.instead = instead


class DateError(_AdvisedError, ValueError):
    """A text is no date. A ValueError, so that a model's validator may raise it."""


class RightsError(_AdvisedError, ValueError):
    """A text means to be a known statement of rights or licence, and there is none of that name."""


class CitationError(_AdvisedError, ValueError):
    """A work is not described so that it can be cited."""


class ScanError(_AdvisedError):
    """The scan files cannot show what was asked."""


class StyleError(_AdvisedError):
    """A style file cannot be used."""


class FitError(_AdvisedError):
    """A text does not fit its place, even at the smallest size its role allows."""


class WriteError(_AdvisedError):
    """The output cannot be written."""


class LibraryError(_AdvisedError):
    """A library that only some talks need is not installed."""


class RehearsalError(_AdvisedError):
    """What is told of a rehearsal makes no sense."""


class RuleError(_AdvisedError):
    """`check` has no rule of this name."""
