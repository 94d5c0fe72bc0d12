"""A storyboard as read, with the way back to the files it comes from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from slidekit.storyboard.glossing import NOTHING, Explained
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.places import FieldPath, Places
from slidekit.storyboard.slides import BorrowedSlide, OwnSlide


@dataclass(frozen=True)
class Source:
    """Borrowed slides are own slides of `board`; scan folders are absolute."""

    board: Storyboard
    path: Path
    places: Places
    origins: "Mapping[str, Source]" = field(default_factory=dict)
    """Borrowed region: the source that lent it, so that it can keep its mark (`assign_marks`)."""
    untranslated: tuple[FieldPath, ...] = ()
    """Texts that are not in the language of the talk."""
    lenders: "tuple[Source, ...]" = ()
    """The storyboards named in `borrow`."""

    explained: Explained = NOTHING
    """What earlier talks of the same programme explain."""

    @property
    def slides(self) -> tuple[OwnSlide, ...]:
        """The slides in their order, borrowed ones as they are here."""
        return tuple(s for s in self.board.slides if not isinstance(s, BorrowedSlide))

    @property
    def files(self) -> tuple[Path, ...]:
        """The storyboard and all that it borrows from, each once."""
        borrowed = (path for lender in self.lenders for path in lender.files)
        return tuple(dict.fromkeys((self.path, *borrowed)))
