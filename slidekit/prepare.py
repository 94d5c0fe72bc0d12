"""What comes before there is a talk: look at scans, read off places, measure, begin."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from slidekit.basis import Progress
from slidekit.cache import trim_cache
from slidekit.errors import Fault, ScanError, StoryboardError, WriteError
from slidekit.scans.catalogue import (
    describe_series,
    summarize,
    with_descriptions,
)
from slidekit.scans.dicom.file_windows import describe_windows
from slidekit.scans.origins import find_series, origin_of
from slidekit.scene.fonts import letter_with
from slidekit.scene.lettering.named import families_of
from slidekit.scene.look import compose_contact_sheet, compose_grid_page, preview_series
from slidekit.scene.model import Box, Page
from slidekit.scene.sights.figures import page_points
from slidekit.scene.sights.make import make_sights
from slidekit.scene.sights.model import PlacedRegion, Sight
from slidekit.scene.sights.opening import Library, open_library
from slidekit.scene.sights.placing import marks_of, place_region
from slidekit.scene.sights.wanted import Wanted
from slidekit.scene.style import Style, load_style, style_of_talk
from slidekit.shipped import demo_folder
from slidekit.storyboard.names.faults import find_name_faults
from slidekit.storyboard.names.naming import listed
from slidekit.storyboard.read import read_storyboard
from slidekit.storyboard.source import Source
from slidekit.writers.figures.figure import write_png
from slidekit.writers.files import write_text
from slidekit.writers.measures import Form, Measured, measures_text
from slidekit.writers.starter import Place, starter_text, write_starter

LOOK_DPI = 110
LOOK_PX = 1600
MEASURE_PX = 64  # pictures are made but not looked at
SHEET_STYLE = "lecture-dark"


@dataclass(frozen=True)
class Looked:
    """What there is to see: lines for the console, pictures, and what could not be drawn."""

    lines: tuple[str, ...]
    files: tuple[Path, ...]
    left_out: tuple[str, ...]


def look_at_images(path: Path, out: Path, progress: Progress) -> Looked:
    """List the series of a folder, archive or file, and draw the middle slice of each on a contact
    sheet."""
    catalogue = with_descriptions(find_series(path))
    style = load_style(SHEET_STYLE)
    letter_with(families_of(style.fonts))
    previews = preview_series(catalogue.series, progress(len(catalogue.series)))
    pages = compose_contact_sheet(previews, len(catalogue.refusals), style)
    names = ["series.png"] if len(pages) == 1 else [f"series-{p.id[7:]}.png" for p in pages]
    files = _write_pages(dict(zip(names, pages, strict=True)), out)
    lines = []
    for series in catalogue.series:
        title = f"  {series.description!r}" if series.description else ""
        lines.append(f"{describe_series(series)}{title}")
        if windows := describe_windows(series):
            lines.append(f"    windows in the files: {windows}")
        lines += [f"    {remark}" for remark in series.remarks]
    left_out = (summarize(catalogue.refusals),) if catalogue.refusals else ()
    return Looked(tuple(lines), files, left_out)


def look_at_views(storyboard: Path, view: str | None, out: Path, progress: Progress) -> Looked:
    """Draw one view of a storyboard, or all, large and with a grid, and the regions read on it.

    A region that cannot be drawn is left out and named: mending its coordinates is what the grid
    is for. Slides need not be sound yet.
    """
    source = read_storyboard(storyboard)
    style = load_style(style_of_talk(source))
    letter_with(families_of(style.fonts))
    views = _views_to_look_at(source, view, style)
    wanted = Wanted({}, alone=views, target_px=LOOK_PX)
    library = open_library(source, wanted.scans(source))
    sights = make_sights(source, library, wanted, style, progress(len(views)))
    pages: dict[str, Page] = {}
    left_out: list[str] = []
    for name, sight in sights.views.items():
        regions, faults = _regions_on(source, (sight, library), style)
        left_out += map(str, faults)
        series = library.series[sight.view.scan]
        pages[f"{name}.png"] = compose_grid_page(sight, series, regions, style)
    files = _write_pages(pages, out)
    trim_cache()
    return Looked((), files, tuple(left_out))


def _views_to_look_at(source: Source, view: str | None, style: Style) -> tuple[str, ...]:
    known = source.board.views
    if not known:
        fault = source.places.fault((), "there are no views", "Add a `views` section")
        raise StoryboardError([fault])
    if view is not None and view not in known:
        fault = source.places.fault(
            ("views",), f"there is no view `{view}`", f"Choose among {', '.join(known)}"
        )
        raise StoryboardError([fault])
    chosen = (view,) if view else tuple(known)
    faults = find_name_faults(
        source, marks=style.marks, windows=style.windows, style_name=style.name
    )
    about = tuple(f"views.{name}." for name in chosen)
    if found := [fault for fault in faults if fault.field.startswith(about)]:
        raise StoryboardError(found)
    return chosen


def _regions_on(
    source: Source, seen: tuple[Sight, Library], style: Style
) -> tuple[list[PlacedRegion], list[Fault]]:
    """The regions written on a view, and the faults of those that do not lie on it."""
    sight, _ = seen
    marks = marks_of(source, style)
    regions: list[PlacedRegion] = []
    faults: list[Fault] = []
    for name, region in source.board.regions.items():
        if region.view != sight.name:
            continue
        try:
            placed = place_region(source, name, seen, marks[name])
            page_points(placed.figure, sight.picture, Box(0, 0, 1, 1))
            regions.append(placed)
        except ScanError as error:
            faults.append(source.places.fault(("regions", name), error.wrong, error.instead))
    return regions, faults


def _write_pages(pages: dict[str, Page], out: Path) -> tuple[Path, ...]:
    for name, page in pages.items():
        write_png(page, out / name, LOOK_DPI)
    return tuple(out / name for name in pages)


def measure_storyboard(
    storyboard: Path,
    names: Sequence[str],
    form: Form,
    progress: Progress,
    *,
    verify: bool = False,
) -> str:
    """Every region and volume of a storyboard, or those named, with numbers, units and warnings.

    Slides need not be sound yet, and need not show them. `verify` trusts nothing that was kept.

    Raises
    ------
    StoryboardError
        With a fault for each name that is none, and each region or volume that cannot be measured.
    """
    source = read_storyboard(storyboard)
    style = load_style(style_of_talk(source))
    letter_with(families_of(style.fonts))
    chosen = _chosen(source, names, style)
    board = source.board
    regions = tuple(name for name in chosen if name in board.regions)
    volumes = tuple(name for name in chosen if name in board.volumes)
    wanted = Wanted({}, target_px=MEASURE_PX, named=regions, volumes=volumes)
    library = open_library(source, wanted.scans(source), verify=verify)
    sights = make_sights(source, library, wanted, style, progress(len(wanted.views(source))))
    measured = [
        Measured(name, one.called, board.regions[name].view, board.regions[name].shape, one.measure)
        for name, one in sights.regions.items()
    ]
    measured += [
        Measured(name, one.called, board.volumes[name].scan, board.volumes[name].shape, one.measure)
        for name, one in sights.volumes.items()
    ]
    return measures_text(measured, form)


def _chosen(source: Source, names: Sequence[str], style: Style) -> tuple[str, ...]:
    """The named regions and volumes, or all; StoryboardError if one of them is not sound."""
    known = [*source.board.regions, *source.board.volumes]
    unknown = [name for name in names if name not in known]
    if unknown or not known:
        wrong = [f"there is no region or volume `{name}`" for name in unknown]
        instead = f"Choose among {listed(known)}" if known else "Add a `regions` section"
        faults = [
            source.places.fault(("regions",), text, instead)
            for text in wrong or ["there is nothing to measure"]
        ]
        raise StoryboardError(faults)
    chosen = tuple(names) or tuple(known)
    views = {source.board.regions[name].view for name in chosen if name in source.board.regions}
    about = (
        *(f"regions.{name}." for name in chosen),
        *(f"volumes.{name}." for name in chosen),
        *(f"views.{name}." for name in views),
    )
    found = find_name_faults(
        source, marks=style.marks, windows=style.windows, style_name=style.name
    )
    if faults_here := [fault for fault in found if fault.field.startswith(about)]:
        raise StoryboardError(faults_here)
    return chosen


def start_storyboard(path: Path, out: Path) -> None:
    """Write a commented first storyboard for images; never over a file.

    `path` is a folder of scans, an archive of them, a NIfTI volume or a picture.
    """
    catalogue = find_series(path)
    place = Place(origin_of(path), os.path.relpath(path, out.parent))
    write_starter(starter_text(catalogue, place, out.name), out)


def copy_demo(out: Path) -> tuple[Path, ...]:
    """Copy the demo's storyboards, with their tables and sources, into the folder `out`; WriteError
    if one is there."""
    sources = sorted(
        file for kind in ("yaml", "csv", "bib") for file in demo_folder().glob(f"*.{kind}")
    )
    copies = {source: out / source.name for source in sources}
    for copy in copies.values():
        if copy.exists():
            raise WriteError(f"{copy} is there already", "Choose another folder with --out")
    for source, copy in copies.items():
        write_text(source.read_text(encoding="utf-8"), copy)
    return tuple(copies.values())
