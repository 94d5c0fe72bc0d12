"""What a speaker rehearses with, takes to the lectern, and learns from it."""

from collections.abc import Callable, Collection, Iterator, Mapping
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from slidekit.basis import Progress
from slidekit.build import Options, Show, compose_show
from slidekit.errors import FitError, RehearsalError, StoryboardError, WriteError
from slidekit.scene.clock.captions import compose_captions
from slidekit.scene.clock.pace import (
    pace_of,
    paces_of,
    parse_clock,
    parse_log,
    rehearsal_lines,
    talk_took_s,
)
from slidekit.scene.credits_slide import credits_of
from slidekit.scene.glossary import glossary_entries
from slidekit.scene.paper.back_matter import Chapter, chapters_of, compose_back_matter
from slidekit.scene.paper.cue_sheet import compose_cue_sheet
from slidekit.scene.paper.handout import Beside, compose_handout
from slidekit.scene.paper.script_sheets import Thumbnail, compose_script
from slidekit.scene.paper.sheet import Imprint, numbered
from slidekit.scene.steps import after_clicks
from slidekit.storyboard.glossing import first_uses
from slidekit.storyboard.slides import CreditsSlide
from slidekit.wording import phrase
from slidekit.writers.figures.figure import PdfFacts, page_pixels, write_pdf
from slidekit.writers.scripts.captions import write_srt, write_vtt
from slidekit.writers.scripts.docx import write_script_docx
from slidekit.writers.scripts.html import write_script_html
from slidekit.writers.scripts.prompter import write_prompter

THUMB_DPI = 34.0
"""Of a slide: 450 pixels, 210 to the inch where it is printed small."""


def write_forms(
    storyboard: Path,
    out: Path,
    forms: Collection[str],
    options: Options,
    progress: Progress,
) -> tuple[Path, ...]:
    """Write the words of a talk into the folder `out`, in the forms
    asked for, which are keys of `WRITERS`."""
    show = compose_show(storyboard, options, progress)
    return tuple(file for form in WRITERS if form in forms for file in WRITERS[form](show, out))


def _prompter(show: Show, out: Path) -> tuple[Path, ...]:
    page = out / "prompter.html"
    write_prompter(show.basis.source.board.talk, show.schedule, page)
    return (page,)


def _captions(show: Show, out: Path) -> tuple[Path, ...]:
    captions = compose_captions(show.schedule)
    vtt, srt = out / "captions.vtt", out / "captions.srt"
    write_vtt(captions, vtt)
    write_srt(captions, srt)
    return vtt, srt


def _print(show: Show, out: Path) -> tuple[Path, ...]:
    pdf, html = out / "script.pdf", out / "script.html"
    thumbnail = _thumbnails(show)
    try:
        pages = compose_script(show.schedule, _imprint(show, "script"), thumbnail)
    except FitError as error:
        raise _at_the_slides(show, error) from None
    write_pdf(pages, pdf, _facts(show, phrase("Script")))
    write_script_html(show.basis.source.board.talk, show.schedule, thumbnail, html)
    return pdf, html


def _cues(show: Show, out: Path) -> tuple[Path, ...]:
    pdf = out / "cues.pdf"
    title = show.basis.source.board.talk.title
    try:
        pages = compose_cue_sheet(show.schedule, _imprint(show, "cues"), title)
    except FitError as error:
        raise _at_the_slides(show, error) from None
    write_pdf(pages, pdf, _facts(show, phrase("Clicks")))
    return (pdf,)


def _docx(show: Show, out: Path) -> tuple[Path, ...]:
    document = out / "script.docx"
    talk = show.basis.source.board.talk
    write_script_docx(talk, show.schedule, _thumbnails(show), document)
    return (document,)


def _thumbnails(show: Show) -> Thumbnail:
    """Small pictures of the slides, each drawn once."""
    pages = show.pages

    @cache
    def thumbnail(number: int, clicks: int) -> NDArray[np.uint8]:
        return page_pixels(after_clicks(pages[number - 1], clicks), THUMB_DPI)

    return thumbnail


def _imprint(show: Show, id_: str) -> Imprint:
    talk = show.basis.source.board.talk
    return Imprint(id_, " · ".join(filter(None, (talk.title, talk.speaker))), talk.language)


def _facts(show: Show, what: str) -> PdfFacts:
    talk = show.basis.source.board.talk
    return PdfFacts(f"{what}: {talk.title}", talk.speaker, language=talk.language)


def _at_the_slides(show: Show, error: FitError) -> StoryboardError:
    fault = show.basis.source.places.fault(("slides",), error.wrong, error.instead)
    return StoryboardError([fault])


WRITERS: Mapping[str, Callable[[Show, Path], tuple[Path, ...]]] = {
    "prompter": _prompter,
    "captions": _captions,
    "print": _print,
    "cues": _cues,
    "docx": _docx,
}


def write_handout(
    storyboard: Path,
    out: Path,
    per_sheet: int,
    beside: Beside,
    options: Options,
    progress: Progress,
) -> Path:
    """Write the slides of a talk for the audience: so many on a sheet, with words, a summary or
    lines to write on beside them.

    Raises
    ------
    WriteError
        If the name of the file does not end with `.pdf`, or it cannot be written.
    """
    if out.suffix.lower() != ".pdf":
        raise WriteError(f"a handout is a PDF, and {out} is not called so", "Let it end with .pdf")
    show = compose_show(storyboard, options, progress)
    try:
        sheets = list(compose_handout(show.told, show.pages, per_sheet, beside))
    except FitError as error:
        raise _at_the_slides(show, error) from None
    back = compose_back_matter(tuple(_chapters(show)))
    pages = numbered([*sheets, *back], _imprint(show, "handout"))
    write_pdf(pages, out, _facts(show, phrase("Handout")))
    return out


def _chapters(show: Show) -> Iterator[Chapter]:
    """Terms that the talk uses, what it cites, whose its pictures are."""
    source, citations = show.basis.source, show.basis.tallies.citations
    board = source.board
    slides = [one.slide for one in show.told]
    terms = glossary_entries((), board, first_uses(slides, board))
    nothing_else = CreditsSlide(id="credits", kind="credits", title="-")
    yield from chapters_of(terms, credits_of(nothing_else, board, citations))


def time_rehearsal(
    storyboard: Path, took: str | None, log: Path | None, progress: Progress
) -> tuple[str, ...]:
    """What a rehearsal that `took` so long, or was timed slide by slide in `log`, says of the
    speaker's pace."""
    schedule = compose_show(storyboard, Options(draft=True), progress).schedule
    timed: Mapping[str, float] = {}
    if log is not None:
        timed = parse_log(_read_text(log), schedule)
    took_s = parse_clock(took) if took is not None else talk_took_s(schedule, timed)
    pace = pace_of(schedule, took_s)
    return tuple(rehearsal_lines(schedule, pace, paces_of(schedule, timed)))


def _read_text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        raise RehearsalError(
            f"the log {path} cannot be read", "Name a text file with lines like: 4:10 coil"
        ) from None
