"""Which mark of the style each region wears."""

from collections.abc import Iterable, Mapping, Sequence

from slidekit.storyboard.model import ScanSlide, ShownView, Storyboard


def assign_marks(
    board: Storyboard, marks: Sequence[str], origins: Mapping[str, Storyboard] | None = None
) -> dict[str, str]:
    """Mark key of every region of the board, in order of definition.

    An explicit `color` wins. A borrowed region (`origins`: region name to the board it comes
    from, see `Source.origins`) keeps the mark it wears there while that is free. Others get the
    first of `marks` that no neighbour wears: regions are neighbours when they have the same view
    or appear on the same slide or panel. Later regions never change the marks of earlier ones.
    When all marks are taken by neighbours, the one worn by the fewest of them is given again.
    """
    neighbours = _neighbours(board)
    worn = {name: region.color for name, region in board.regions.items() if region.color}
    at_origin = _marks_at_origin(marks, origins or {})
    for names in (at_origin, board.regions):
        for name in names:
            if name in worn or name not in board.regions:
                continue
            taken = [worn[other] for other in neighbours[name] if other in worn]
            wished = at_origin.get(name)
            if wished is None or wished in taken:
                wished = min(marks, key=taken.count)  # the first of the least taken
            worn[name] = wished
    return {name: worn[name] for name in board.regions}


def shown_together(board: Storyboard) -> tuple[tuple[ShownView, ...], ...]:
    """The views of every scan slide and panel."""
    slides = (slide.views for slide in board.slides if isinstance(slide, ScanSlide))
    return (*slides, *(panel.views for panel in board.panels.values()))


def _neighbours(board: Storyboard) -> dict[str, set[str]]:
    by_view: dict[str, set[str]] = {}
    for name, region in board.regions.items():
        by_view.setdefault(region.view, set()).add(name)
    on_pages = (
        {name for shown in views for name in shown.regions} for views in shown_together(board)
    )
    return _cliques(board.regions, [*by_view.values(), *on_pages])


def _cliques(names: Iterable[str], groups: Iterable[set[str]]) -> dict[str, set[str]]:
    neighbours: dict[str, set[str]] = {name: set() for name in names}
    for group in groups:
        for name in group & neighbours.keys():
            neighbours[name] |= group - {name}
    return neighbours


def _marks_at_origin(marks: Sequence[str], origins: Mapping[str, Storyboard]) -> dict[str, str]:
    boards = {id(board): board for board in origins.values()}
    assigned = {key: assign_marks(board, marks) for key, board in boards.items()}
    return {name: assigned[id(board)][name] for name, board in origins.items()}
