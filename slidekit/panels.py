"""Exhibit panels of a storyboard: the table of contents of such a run."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from slidekit.basis import Advance, Basis, Progress, read_basis
from slidekit.cache import trim_cache
from slidekit.errors import Fault, FitError, StoryboardError
from slidekit.scene.credits_slide import references_in
from slidekit.scene.model import Page
from slidekit.scene.panel.compose import Beside, compose_panel
from slidekit.scene.panel.extras import supplements_of
from slidekit.scene.pictures.fineness import fineness_of, refined, with_pictures
from slidekit.scene.sights.make import make_sights
from slidekit.scene.sights.model import Sights
from slidekit.scene.sights.opening import Library, open_library
from slidekit.scene.sights.wanted import Wanted, shown_in, with_measured
from slidekit.scene.speech import Resolver, cast_of
from slidekit.storyboard.glossing import glossed_panel
from slidekit.storyboard.panels import Panel
from slidekit.storyboard.printed import placeholders_in, with_numbers
from slidekit.writers.figures.figure import PdfFacts, write_pdf, write_png
from slidekit.writers.records.board import board_record
from slidekit.writers.records.record import evidence_record, write_record


@dataclass(frozen=True)
class Printed:
    """What was written, and the views whose kept pictures `verify` found outdated."""

    files: tuple[Path, ...]
    renewed: tuple[str, ...]


def build_panels(
    storyboard: Path,
    out: Path,
    style_name: str | None,
    progress: Progress,
    *,
    verify: bool = False,
    language: str | None = None,
) -> Printed:
    """Write each exhibit panel of a storyboard as PDF, PNG and record into the folder `out`."""
    basis = read_basis(storyboard, style_name, language)
    panels = basis.source.board.panels
    if not panels:
        fault = basis.source.places.fault((), "there are no panels", "Add a `panels` section")
        raise StoryboardError([fault])
    advance = progress(2 * len(panels))
    laid_out = _compose_panels(basis, panels, advance, verify=verify)
    files: list[Path] = []
    for name, one in laid_out.items():
        files += _write_panel(one, out / name, basis, panels[name].png_dpi)
        advance(name)
    trim_cache()
    renewed = [name for one in laid_out.values() for name in one.sights.renewed]
    return Printed(tuple(files), tuple(dict.fromkeys(renewed)))


@dataclass(frozen=True)
class _LaidOutPanel:
    page: Page
    sights: Sights
    library: Library


def _compose_panels(
    basis: Basis, panels: Mapping[str, Panel], advance: Advance, *, verify: bool
) -> dict[str, _LaidOutPanel]:
    source = basis.source
    laid_out: dict[str, _LaidOutPanel] = {}
    faults: list[Fault] = []
    for name, panel in panels.items():
        shown = shown_in(("panels", name), panel.views)
        account = source.board.account if panel.stages else None
        named = [*placeholders_in(panel), *placeholders_in(account)]
        wanted = Wanted(shown, (), _panel_px(panel), native=True)
        wanted = with_measured(wanted, source.board, named)
        try:
            library = open_library(source, wanted.scans(source), verify=verify)
            sights = make_sights(source, library, wanted, basis.style)
            cast = cast_of(panel.views)
            glossed, board = glossed_panel(panel, source.board)
            resolver = Resolver(board, sights, cast, basis.tallies)
            printed = with_numbers(glossed, resolver)
            beside = Beside(
                supplements_of(printed, resolver),
                references_in(panel, source.board, basis.tallies.citations),
            )
            page = compose_panel(name, printed, sights, basis.style, source.board.talk, beside)
            sights = refined(sights, fineness_of([page], sights, panel.png_dpi))
            page = with_pictures(page, sights)
            laid_out[name] = _LaidOutPanel(page, sights, library)
        except FitError as error:
            faults.append(source.places.fault(("panels", name), error.wrong, error.instead))
        except StoryboardError as error:
            faults += error.faults
        advance(name)
    if faults:
        raise StoryboardError(faults)
    return laid_out


def _panel_px(panel: Panel) -> int:
    """Enough pixels for a picture that fills the panel's longer side."""
    return round(max(panel.size_mm) / 25.4 * panel.png_dpi)


def _write_panel(one: _LaidOutPanel, stem: Path, basis: Basis, dpi: float) -> tuple[Path, ...]:
    talk = basis.source.board.talk
    pdf, png = stem.with_suffix(".pdf"), stem.with_suffix(".png")
    record = stem.with_suffix(".json")
    write_pdf([one.page], pdf, PdfFacts(one.page.title, talk.speaker, talk.language))
    write_png(one.page, png, dpi)
    series = one.library.series
    facts = {
        **evidence_record(basis.inputs, one.sights, series),
        **board_record(basis.source.board, basis.tallies, series),
    }
    write_record(facts, record)
    return pdf, png, record
