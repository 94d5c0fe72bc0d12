"""What a record says of the storyboard itself, in talks and panels alike."""

from collections.abc import Iterable, Sequence

from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.slides import OwnSlide
from slidekit.storyboard.tallies import Tallies
from slidekit.writers.records.account import Json, account_record
from slidekit.writers.records.credits import credits_record
from slidekit.writers.records.dates import dates_record
from slidekit.writers.records.numbers import numbers_record


def board_record(
    board: Storyboard, tallies: Tallies, scans: Iterable[str], slides: Sequence[OwnSlide] = ()
) -> Json:
    """Account, credits, dates and numbers; `slides`: those of the talk, which show the account."""
    return {
        **account_record(board, slides),
        **credits_record(board, tallies.citations, scans),
        **dates_record(board, tallies),
        **numbers_record(tallies),
    }
