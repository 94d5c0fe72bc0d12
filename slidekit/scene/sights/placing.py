"""Regions on the pictures: their marks, where they lie in the patient, and where they cannot."""

from collections.abc import Mapping

from slidekit.errors import Fault, ScanError, StoryboardError
from slidekit.scans.kept.measures import Values
from slidekit.scene.model import Box
from slidekit.scene.sights.figures import figure_of, frame_of, page_points
from slidekit.scene.sights.framing import check_same_picture, check_shared_frame
from slidekit.scene.sights.measuring import measure_figure, note_of, with_values
from slidekit.scene.sights.model import PlacedRegion, Sight
from slidekit.scene.sights.opening import Library
from slidekit.scene.sights.wanted import Wanted
from slidekit.scene.speech import spoken_mark, spoken_mark_itself
from slidekit.scene.style import Mark, Style
from slidekit.storyboard.marks import assign_marks
from slidekit.storyboard.source import Source


def place_regions(
    source: Source,
    library: Library,
    wanted: Wanted,
    found: tuple[Mapping[str, Sight], Style, Mapping[str, Values]],
) -> dict[str, PlacedRegion]:
    """Every wanted region with its mark, size and values.

    `found`: the pictures, the look, and the values measured in regions.

    Raises
    ------
    StoryboardError
        With a fault for each region that cannot be shown where a page shows it.
    """
    sights, style, values = found
    placed: dict[str, PlacedRegion] = {}
    faults: list[Fault] = []
    marks = marks_of(source, style)
    for name in wanted.regions(source.board):
        sight = sights[source.board.regions[name].view]
        try:
            region = place_region(source, name, (sight, library), marks[name])
            placed[name] = with_values(region, values.get(name, Values()))
        except ScanError as error:
            faults.append(source.places.fault(("regions", name), error.wrong, error.instead))
    faults += _misplaced(source, library, wanted, (sights, placed))
    if faults:
        raise StoryboardError(faults)
    return placed


def marks_of(source: Source, style: Style) -> dict[str, Mark]:
    """The mark of every region, the same on all slides and panels."""
    keys = assign_marks(source.board, tuple(style.marks), source.origins)
    return {name: style.marks[key] for name, key in keys.items()}


def place_region(
    source: Source, name: str, seen: tuple[Sight, Library], mark: Mark
) -> PlacedRegion:
    """A region in patient space. `seen`: the region's own view, and the opened series.

    Raises
    ------
    ScanError
        If its coordinates cannot be read on that view.
    """
    region = source.board.regions[name]
    sight, library = seen
    figure = figure_of(region, frame_of(sight.picture, library.series[sight.view.scan]))
    measure = measure_figure(figure, sight.picture)
    spoken = spoken_mark(mark, region.shape)
    itself = spoken_mark_itself(mark, region.shape)
    return PlacedRegion(
        name,
        region.called,
        spoken,
        mark,
        figure,
        note_of(measure),
        itself,
        measure,
        certainty=region.certainty,
    )


def _misplaced(
    source: Source,
    library: Library,
    wanted: Wanted,
    found: tuple[Mapping[str, Sight], Mapping[str, PlacedRegion]],
) -> list[Fault]:
    """Regions that a page shows on a view where they cannot be."""
    sights, placed = found
    faults: dict[tuple[str, str], Fault] = {}
    for path, shown in wanted.shown.items():
        for j, name in enumerate(shown.regions):
            if name not in placed or (name, shown.view) in faults:
                continue
            own_view = source.board.regions[name].view
            blamed = ("regions", name) if own_view == shown.view else (*path, "regions", j)
            try:
                own_scan, scan = (sights[view].view.scan for view in (own_view, shown.view))
                check_same_picture(sights[own_view].view, sights[shown.view].view)
                check_shared_frame(library.series, own_scan, scan)
                page_points(placed[name].figure, sights[shown.view].picture, Box(0, 0, 1, 1))
            except ScanError as error:
                about = ScanError(
                    f"region `{name}` on view `{shown.view}`: {error.wrong}", error.instead
                )
                faults[name, shown.view] = source.places.fault(blamed, about.wrong, about.instead)
    return list(faults.values())
