"""Where a `source` may be a name from `sources`, or words of its own."""

import re
from collections.abc import Iterator
from typing import TypeVar

from slidekit.storyboard.account import Account
from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.names.naming import nearest
from slidekit.storyboard.places import FieldPath
from slidekit.storyboard.slides import QuoteSlide
from slidekit.storyboard.tables import QuotedNumber
from slidekit.storyboard.words import NAME

_Sourced = TypeVar("_Sourced", Account, QuoteSlide, QuotedNumber)


def with_named_sources(board: Storyboard) -> Storyboard:
    """The board with `source: handbook` as `source: "{handbook}"`, where `handbook` is a source:
    from then on it is a citation like those in any other words."""
    slides = tuple(
        _named(slide, board) if isinstance(slide, QuoteSlide) else slide for slide in board.slides
    )
    quoted = {name: _named(number, board) for name, number in board.quoted.items()}
    account = _named(board.account, board) if board.account else None
    return board.model_copy(update={"slides": slides, "quoted": quoted, "account": account})


def complaints_about_source_fields(
    board: Storyboard,
) -> Iterator[tuple[FieldPath, str, str]]:
    """A `source` of one word that is nearly a name from `sources`."""
    slides = enumerate(board.slides)
    fields: dict[FieldPath, str] = {
        ("slides", at, "source"): one.source for at, one in slides if isinstance(one, QuoteSlide)
    }
    fields |= {("quoted", name, "source"): one.source for name, one in board.quoted.items()}
    if board.account:
        fields["account", "source"] = board.account.source
    for path, written in fields.items():
        meant = nearest(written, board.sources) if re.fullmatch(NAME, written) else None
        if meant:
            wrong = f"there is no source `{written}`"
            yield path, wrong, f"Write `{meant}` if you mean that, or the source in words"


def _named(part: _Sourced, board: Storyboard) -> _Sourced:
    if part.source not in board.sources:
        return part
    return part.model_copy(update={"source": f"{{{part.source}}}"})
