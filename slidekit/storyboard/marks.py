"""Which mark of the style each region wears."""

from collections.abc import Iterable, Mapping, Sequence

from slidekit.storyboard.model import Storyboard
from slidekit.storyboard.slides import ScanSlide
from slidekit.storyboard.source import Source


def assign_marks(
    board: Storyboard, marks: Sequence[str], origins: Mapping[str, Source] | None = None
) -> dict[str, str]:
    """Mark key of every region of the board, in order of definition.

    An explicit `color` wins. A borrowed region keeps the mark it wears at its origin
    (`Source.origins`) unless a neighbour wears it here. Others get the first of `marks` that no
    neighbour wears: regions are neighbours when they have the same view, or appear on the same
    slide or panel. A region defined later changes no mark given before, unless it has a `color`.
    When the neighbours wear all marks, the one that the fewest of them wear is given again.
    """
    neighbours = _neighbours(board)
    worn = {name: region.color for name, region in board.regions.items() if region.color}

    def taken(name: str) -> list[str]:
        return [worn[other] for other in neighbours[name] if other in worn]

    for name, mark in _marks_at_origin(marks, origins or {}).items():
        if name in board.regions and mark not in taken(name):
            worn.setdefault(name, mark)
    for name in board.regions:
        if name not in worn:
            worn[name] = min(marks, key=taken(name).count)  # the first of the least taken
    return {name: worn[name] for name in board.regions}


def _neighbours(board: Storyboard) -> dict[str, set[str]]:
    by_view: dict[str, set[str]] = {}
    for name, region in board.regions.items():
        by_view.setdefault(region.view, set()).add(name)
    pages = [slide.views for slide in board.slides if isinstance(slide, ScanSlide)]
    pages += [panel.views for panel in board.panels.values()]
    by_page = ({name for shown in views for name in shown.regions} for views in pages)
    return _all_to_all(board.regions, [*by_view.values(), *by_page])


def _all_to_all(names: Iterable[str], groups: Iterable[set[str]]) -> dict[str, set[str]]:
    neighbours: dict[str, set[str]] = {name: set() for name in names}
    for group in groups:
        for name in group & neighbours.keys():
            neighbours[name] |= group - {name}
    return neighbours


def _marks_at_origin(marks: Sequence[str], origins: Mapping[str, Source]) -> dict[str, str]:
    lenders = {id(lender): lender for lender in origins.values()}
    worn = {
        key: assign_marks(lender.board, marks, lender.origins) for key, lender in lenders.items()
    }
    return {name: worn[id(lender)][name] for name, lender in origins.items()}
